package main

import (
	"fmt"
	"text/tabwriter"

	"github.com/spf13/cobra"
)

// newRecipes returns the command that lists the recipes at hand.
func newRecipes(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "recipes",
		Short: "list the recipes and routines at hand: your own, then those that are shipped",
		Args:  flagsAlone,
		RunE: func(*cobra.Command, []string) error {
			s, err := a.shelf()
			if err != nil {
				return err
			}
			routines, err := a.routines()
			if err != nil {
				return err
			}
			w := tabwriter.NewWriter(a.stdout, 0, 0, 2, ' ', 0)
			row := func(stem string, shipped bool, name, line string) {
				whose := "your own"
				if shipped {
					whose = "shipped"
				}
				fmt.Fprintf(w, "%s\t%s\t%s\t%s\n", stem, whose, name, line)
			}
			for _, e := range s.Entries() {
				row(e.Stem, e.Shipped, e.Name, e.Line())
			}
			for _, e := range routines {
				row(e.Stem, e.Shipped, e.Name, e.Line())
			}
			fmt.Fprintf(w, "\nyour own recipes go into %s\n", a.ownRecipes())
			return w.Flush()
		},
	}
}
