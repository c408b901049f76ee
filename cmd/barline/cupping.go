package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"barline/brew"
	"barline/brew/bar"
	"barline/recipes"

	"github.com/spf13/cobra"
)

// cuppingFlags are what a table is made of.
type cuppingFlags struct {
	bowls, people, kettles int
	every                  string
	coffees                []string
	seed                   uint64
	key, plan, asJSON      bool
}

// newCupping returns the command of a cupping table.
func newCupping(a *app) *cobra.Command {
	var f cuppingFlags
	cmd := &cobra.Command{
		Use:   "cupping RECIPE",
		Short: "a cupping table: one bowl's recipe, many bowls",
		Long: "cupping pours the bowls one after another at an even spacing, breaks the crusts in\n" +
			"the order of pouring, then skims, then tastes. Without --every the spacing is the\n" +
			"least at which every crust is broken at its own time, or else the least that keeps\n" +
			"the recipe's windows.\n\n" +
			"Each bowl gets a code by chance, to be tasted blind: --key shows whose it is. With\n" +
			"--coffee, once for each, the coffees are dealt to the bowls by chance, too.",
		Example:           "  barline cupping quayside-cupping --bowls 6 --plan\n  barline cupping quayside-cupping --bowls 6 --coffee washed --coffee natural --seed 7 --plan --key",
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: a.completeRecipes(),
		RunE: func(_ *cobra.Command, args []string) error {
			t, err := a.cuppingTable(args[0], f)
			if err != nil {
				return err
			}
			if f.asJSON {
				return printJSON(a.stdout, t.json(f.key))
			}
			t.print(a.stdout, a.across(), f.key)
			return nil
		},
	}
	flags := cmd.Flags()
	flags.IntVar(&f.bowls, "bowls", 5, "how many bowls")
	flags.IntVar(&f.people, "people", 1, "how many people pour, break and skim")
	flags.IntVar(&f.kettles, "kettles", 1, "how many kettles there are")
	flags.StringVar(&f.every, "every", "", "from one pour to the next, in seconds (default the least that works)")
	flags.StringArrayVar(&f.coffees, "coffee", nil, "a coffee on the table; once for each")
	flags.Uint64Var(&f.seed, "seed", 0, "what the codes follow from (default drawn anew)")
	flags.BoolVar(&f.key, "key", false, "show which bowl has which code")
	flags.BoolVar(&f.plan, "plan", false, "show the plan of the table, without pouring")
	flags.BoolVar(&f.asJSON, "json", false, "the plan as JSON")
	return a.pour(cmd, &f)
}

// cuppingNodes is how many nodes a spacing is searched for; with an even
// spacing a few hundred find a plan or prove that there is none.
const cuppingNodes = 3000

// cuppingTable is a table that is planned: the round that a live table starts
// from, too.
type cuppingTable struct {
	plan    *brew.Plan // of one bowl, the same for all
	laid    bar.Laid
	people  int
	seed    uint64
	codes   []string // of each bowl, in the order of pouring
	coffees []string // in each bowl; nil where none were named
	given   bool     // the spacing was asked for
}

// starts returns when each bowl is poured, from the table's zero.
func (t cuppingTable) starts() []time.Duration {
	out := make([]time.Duration, len(t.laid.Plan.Zeros))
	for i, zero := range t.laid.Plan.Zeros {
		out[i] = seconds(zero)
	}
	return out
}

// cuppingTable reads and plans the table that is asked for.
func (a *app) cuppingTable(name string, f cuppingFlags) (cuppingTable, error) {
	every, err := f.spacing()
	if err != nil {
		return cuppingTable{}, err
	}
	plan, _, _, err := a.planned(name, "")
	if err != nil {
		return cuppingTable{}, err
	}
	if plan.Method != brew.Cupping {
		return cuppingTable{}, &inputError{fmt.Sprintf("%s is for a %s, wanted a bowl for cupping", plan.Name, plan.Method), shelfHint}
	}
	if f.seed == 0 {
		f.seed = uint64(a.clock.Now().Wall.UnixNano())%1_000_000 + 1
	}
	return layTable(plan, f, every)
}

// spacing reads the flags that have bounds.
func (f cuppingFlags) spacing() (int, error) {
	switch {
	case f.bowls < 1 || f.bowls > bar.MostBowls:
		return 0, &usageError{fmt.Sprintf("--bowls %d, wanted 1 to %d", f.bowls, bar.MostBowls), ""}
	case f.people < 1 || f.people > mostOfEach:
		return 0, &usageError{fmt.Sprintf("--people %d, wanted 1 to %d", f.people, mostOfEach), ""}
	case f.kettles < 1 || f.kettles > mostOfEach:
		return 0, &usageError{fmt.Sprintf("--kettles %d, wanted 1 to %d", f.kettles, mostOfEach), ""}
	case len(f.coffees) > f.bowls:
		return 0, &usageError{fmt.Sprintf("%d coffees for %s", len(f.coffees), counted(f.bowls, "bowl")), "give more --bowls"}
	case slices.ContainsFunc(f.coffees, func(c string) bool { return strings.TrimSpace(c) == "" }):
		return 0, &usageError{"a --coffee has no name", "give each coffee on the table a name"}
	case f.every == "":
		return 0, nil
	}
	every, err := recipes.ReadLength(withUnit(f.every, "s"))
	if err != nil {
		return 0, misused("--every", f.every, err)
	}
	if every%time.Second != 0 || every < time.Second || every > seconds(bar.MostSpacing) {
		return 0, &usageError{fmt.Sprintf("--every %q, wanted whole seconds from 1 to %d", f.every, bar.MostSpacing), ""}
	}
	return int(every / time.Second), nil
}

// layTable plans a table of a bowl's plan; every is 0 for the least spacing
// that works. It asks nothing but its arguments.
func layTable(plan *brew.Plan, f cuppingFlags, every int) (cuppingTable, error) {
	t := cuppingTable{plan: plan, people: f.people, seed: f.seed, given: every > 0, codes: bar.Codes(f.bowls, f.seed)}
	if n := len(f.coffees); n > 0 {
		for _, which := range bar.Coffees(f.bowls, n, f.seed) {
			t.coffees = append(t.coffees, f.coffees[which])
		}
	}
	laid, err := bar.NewTable(plan, f.bowls, every, bar.Kit{People: f.people, Kettles: f.kettles}).Lay(cuppingNodes)
	var crowded *bar.Crowded
	if errors.As(err, &crowded) {
		return t, crowdedTable(crowded, f.bowls)
	}
	t.laid = laid
	return t, err
}

// crowdedTable says what runs into what.
func crowdedTable(c *bar.Crowded, bowls int) error {
	message := fmt.Sprintf("%s every %d s cannot be kept", counted(bowls, "bowl"), c.Every)
	if c.Conflict.Resource >= 0 {
		message += ": " + clashing(c.Problem, c.Conflict, func(n int) string { return fmt.Sprintf("bowl %d", n+1) })
	}
	return &inputError{message, "give fewer --bowls, another --every, or more --people"}
}
