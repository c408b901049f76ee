package main

import (
	"context"

	"fmt"
	"runtime/debug"
	"strings"

	"barline/brew/drift"
	"barline/cmd/barline/internal/journal"

	"github.com/spf13/cobra"
)

// newDrift returns the command that says what many brews tell.
func newDrift(a *app) *cobra.Command {
	f := &driftFlags{}
	cmd := &cobra.Command{
		Use:   "drift [RECIPE]",
		Short: "say what many brews of a recipe tell: how far off, whose doing, better or worse",
		Long: "drift looks at what was brewed of a recipe for service, finished, at speed 1 and from\n" +
			"the start, by its newest version. Without a recipe it says a line of each.",
		Args:              cobra.MaximumNArgs(1),
		ValidArgsFunction: a.completeRecipes(),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := f.check(); err != nil {
				return err
			}
			if len(args) == 0 && (f.beat != "" || f.against != "" || f.csv) {
				return &usageError{"--beat, --against and --csv are of one recipe", "name the recipe: barline drift RECIPE"}
			}
			defer debug.SetGCPercent(debug.SetGCPercent(sparing))
			return a.readJournal(func(j *journal.Journal) error {
				if len(args) == 0 {
					return a.driftOfAll(cmd.Context(), j, f)
				}
				return a.driftOf(cmd.Context(), j, f, args[0])
			})
		},
	}
	f.register(cmd)
	cmd.AddCommand(newFreeze(a), newThaw(a))
	return cmd
}

// sparing is how much garbage is suffered beside the brews, in per cent of
// them: a million take 200 MB.
const sparing = 15

// lookedAt is what the journal tells of one recipe, and which of it is looked
// at.
type lookedAt struct {
	recipe   string // as it is written in the journal
	record   *drift.Record
	choice   drift.Choice
	set      drift.Set
	baseline drift.Baseline
	leftOut  int // brews that cannot be read
	flags    *driftFlags
}

// driftOf writes what is told of one recipe.
func (a *app) driftOf(ctx context.Context, j *journal.Journal, f *driftFlags, name string) error {
	m, err := a.manyOf(ctx, j, f, name)
	if err != nil {
		return err
	}
	if f.beat != "" {
		return a.driftOfBeat(m)
	}
	if f.csv {
		return writeDriftCSV(a.stdout, m.set.Table(f.of()))
	}
	t, err := m.told()
	if err != nil {
		return err
	}
	if t.cup, err = m.cups(ctx, j); err != nil {
		return err
	}
	switch {
	case f.json:
		return t.json(a.stdout)
	}
	return t.text(a.stdout)
}

// manyOf reads the brews of a recipe and chooses among them. That there is
// nothing to look at is an error, which says what there is.
func (a *app) manyOf(ctx context.Context, j *journal.Journal, f *driftFlags, name string) (lookedAt, error) {
	recipe, err := a.recipeInJournal(ctx, j, name)
	if err != nil {
		return lookedAt{}, err
	}
	d, err := j.Drifts(ctx, f.counting(recipe))
	if err != nil {
		return lookedAt{}, err
	}
	m := lookedAt{recipe: recipe, record: d.Record, leftOut: d.LeftOut, flags: f}
	if d.Record.Len() == 0 {
		return m, &inputError{fmt.Sprintf("no %s brews of %s at speed 1 and from the start", f.kind, recipe), "--kind asks for others, --any for those at another speed or begun in the middle"}
	}
	if m.choice, err = f.choice.choose(d.Record); err != nil {
		return m, err
	}
	if m.set = d.Record.Choose(m.choice); m.set.Len() == 0 {
		return m, &inputError{fmt.Sprintf("none of the %s of %s are of that choice", counted(d.Record.Len(), f.kind+" brew"), recipe), "ask for more days, persons or versions; stopped brews do not count"}
	}
	m.baseline, err = frozenOf(ctx, j, recipe, d.Record)
	return m, err
}

// recipeInJournal returns a recipe's name as the journal has it: the name that
// was given, whatever the case, or that of the recipe of that name on the shelf.
func (a *app) recipeInJournal(ctx context.Context, j *journal.Journal, name string) (string, error) {
	names, err := j.Recipes(ctx)
	if err != nil {
		return "", err
	}
	named := func(want string) string {
		for _, n := range names {
			if drift.Same(n, want) {
				return n
			}
		}
		return ""
	}
	if n := named(name); n != "" {
		return n, nil
	}
	if d, err := a.find(name); err == nil && named(d.Recipe().Name) != "" {
		return named(d.Recipe().Name), nil
	}
	hint := "nothing was brewed yet"
	if len(names) > 0 {
		hint = "brewed were " + strings.Join(names, ", ")
	}
	return "", &inputError{fmt.Sprintf("%q was never brewed", name), hint}
}
