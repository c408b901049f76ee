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
		Short: "list the recipes at hand: your own, then those that are shipped",
		Args:  flagsAlone,
		RunE: func(*cobra.Command, []string) error {
			s, err := a.shelf()
			if err != nil {
				return err
			}
			w := tabwriter.NewWriter(a.stdout, 0, 0, 2, ' ', 0)
			for _, entry := range s.Entries() {
				whose := "your own"
				if entry.Shipped {
					whose = "shipped"
				}
				fmt.Fprintf(w, "%s\t%s\t%s\t%s\n", entry.Stem, whose, entry.Name, entry.Line())
			}
			fmt.Fprintf(w, "\nyour own recipes go into %s\n", a.ownRecipes())
			return w.Flush()
		},
	}
}
