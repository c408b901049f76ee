package main

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"barline/brew/drift"
	"barline/cmd/barline/internal/journal"

	"github.com/spf13/cobra"
)

// newFit returns the command that says who may brew a recipe alone, with those
// below it.
func newFit(a *app) *cobra.Command {
	var by string
	asJSON := false
	cmd := &cobra.Command{
		Use:   "fit [RECIPE]",
		Short: "say who was found fit to brew a recipe alone, and who was not",
		Long: "An attempt is opened for a person and a version of a recipe, with a number of brews\n" +
			"fixed beforehand. It is passed when every asked beat of the person's was inside its\n" +
			"window in all of them; the bed's do not count. Failed attempts stay.",
		Args:              cobra.MaximumNArgs(1),
		ValidArgsFunction: a.completeRecipes(),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.readJournal(func(j *journal.Journal) error {
				return a.listFits(cmd.Context(), j, args, by, asJSON)
			})
		},
	}
	cmd.Flags().StringVar(&by, "by", "", "only this person's")
	cmd.Flags().BoolVar(&asJSON, "json", false, "as JSON")
	cmd.AddCommand(newFitOpen(a), newFitWithdraw(a))
	return cmd
}

func newFitOpen(a *app) *cobra.Command {
	var by, version string
	brews := 0
	cmd := &cobra.Command{
		Use:               "open RECIPE",
		Short:             "open an attempt: the person's next brews of the recipe count",
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: a.completeRecipes(),
		RunE: func(cmd *cobra.Command, args []string) error {
			if brews < 1 {
				return fmt.Errorf("--brews %d, wanted 1 or more", brews)
			}
			if by = strings.TrimSpace(by); by == "" {
				return fmt.Errorf("--by names nobody")
			}
			return a.withJournal(func(j *journal.Journal) error {
				return a.openFit(cmd.Context(), j, args[0], by, version, brews)
			})
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&by, "by", "", "whose attempt it is")
	flags.IntVar(&brews, "brews", 0, "how many brews count")
	flags.StringVar(&version, "version", "", "of the recipe, how it begins (default the recipe's present one)")
	cmd.MarkFlagRequired("by")
	cmd.MarkFlagRequired("brews")
	return cmd
}

// openFit keeps an attempt at the recipe's present version, or at one that was
// brewed.
func (a *app) openFit(ctx context.Context, j *journal.Journal, name, by, version string, brews int) error {
	at := journal.Attempt{Person: by, Brews: brews, Opened: a.clock.Now().Wall}
	if version == "" {
		if plan, _, _, err := a.planned(name, ""); err == nil {
			at.Recipe, at.Version = plan.Name, plan.Version
		}
	}
	if at.Version == "" {
		m, err := a.manyOf(ctx, j, &driftFlags{kind: string(drift.Service), choice: choiceFlags{version: version}}, name)
		if err != nil {
			return err
		}
		at.Recipe, at.Version = m.recipe, m.set.Version()
	}
	var err error
	if at.ID, err = journal.DrawID(at.Opened); err != nil {
		return err
	}
	if err := j.SaveAttempt(ctx, at); err != nil {
		return err
	}
	say(a.stdout, "open: the next %s of %s by %s, version %s, as service, at speed 1 and from the start", counted(brews, "brew"), at.Recipe, by, at.Version)
	return nil
}

func newFitWithdraw(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "withdraw ID",
		Short: "end an attempt that is under way; it stays visible",
		Args:  cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.readJournal(func(j *journal.Journal) error { return a.withdrawFit(cmd.Context(), j, args[0]) })
		},
	}
}

func (a *app) withdrawFit(ctx context.Context, j *journal.Journal, prefix string) error {
	all, err := j.AttemptsAt(ctx, "")
	if err != nil {
		return err
	}
	var found []journal.Attempt
	for _, at := range all {
		if strings.HasPrefix(at.ID, strings.ToLower(prefix)) {
			found = append(found, at)
		}
	}
	switch {
	case len(found) == 0:
		return &inputError{fmt.Sprintf("no attempt has an id that begins with %q", prefix), "barline fit lists them"}
	case len(found) > 1:
		return &inputError{fmt.Sprintf("%q begins the ids of %d attempts", prefix, len(found)), "give more of the id"}
	}
	at := found[0]
	if at.Closed != nil {
		return &inputError{"the attempt is closed: " + at.Result, ""}
	}
	told, err := a.fits(ctx, j, at.Recipe)
	if err != nil {
		return err
	}
	for _, f := range told {
		if f.ID == at.ID && f.Standing != drift.UnderWay {
			return &inputError{"the attempt is over: " + string(f.Standing), "only one that is under way can be withdrawn"}
		}
	}
	now := a.clock.Now().Wall
	at.Closed, at.Result = &now, "withdrawn"
	if err := j.SaveAttempt(ctx, at); err != nil {
		return err
	}
	say(a.stdout, "withdrawn: %s, %s", at.Person, at.Recipe)
	return nil
}

// fitTold is an attempt with what came of it.
type fitTold struct {
	ID     string `json:"id"`
	Recipe string `json:"recipe"`
	drift.Fit
	FailedID string `json:"failed_id"` // of the brew that failed; "" for none
}

// listFits writes the attempts, the oldest first.
func (a *app) listFits(ctx context.Context, j *journal.Journal, args []string, by string, asJSON bool) error {
	all, err := j.AttemptsAt(ctx, "")
	if err != nil {
		return err
	}
	want := ""
	if len(args) > 0 {
		want = args[0]
		if d, err := a.find(want); err == nil && !slices.ContainsFunc(all, func(at journal.Attempt) bool { return drift.Same(at.Recipe, want) }) {
			want = d.Recipe().Name
		}
	}
	var recipes []string
	for _, at := range all {
		known := slices.ContainsFunc(recipes, func(r string) bool { return drift.Same(r, at.Recipe) })
		if !known && (want == "" || drift.Same(at.Recipe, want)) {
			recipes = append(recipes, at.Recipe)
		}
	}
	if len(recipes) == 0 && want != "" {
		if err := a.knowsRecipe(ctx, j, want); err != nil {
			return err
		}
	}
	out := []fitTold{}
	for _, r := range recipes {
		told, err := a.fits(ctx, j, r)
		if err != nil {
			return err
		}
		for _, f := range told {
			if by == "" || drift.Same(f.Attempt.Person, by) {
				out = append(out, f)
			}
		}
	}
	if asJSON {
		return writeJSON(a.stdout, struct {
			Schema   int       `json:"schema"`
			Attempts []fitTold `json:"attempts"`
		}{driftSchema, out})
	}
	if len(out) == 0 {
		fmt.Fprintln(a.stderr, "no attempt was opened; barline fit open opens one")
	}
	for _, f := range out {
		a.sayFit(a.stdout, f)
	}
	return nil
}

// knowsRecipe returns an error where a recipe is neither on the shelf nor was
// ever brewed.
func (a *app) knowsRecipe(ctx context.Context, j *journal.Journal, name string) error {
	if _, err := a.find(name); err == nil {
		return nil
	}
	_, err := a.recipeInJournal(ctx, j, name)
	return err
}

// fits judges the attempts at a recipe.
func (a *app) fits(ctx context.Context, j *journal.Journal, recipe string) ([]fitTold, error) {
	all, err := j.AttemptsAt(ctx, recipe)
	if err != nil {
		return nil, err
	}
	d, err := j.Drifts(ctx, journal.Counting{Recipe: recipe})
	if err != nil {
		return nil, err
	}
	out := make([]fitTold, len(all))
	for i, f := range d.Record.Fit(attemptsOf(all)) {
		out[i] = fitTold{ID: all[i].ID, Recipe: all[i].Recipe, Fit: f}
		if f.Failed >= 0 {
			out[i].FailedID = idText(d.Record.Head(f.Failed).ID)
		}
	}
	return out, nil
}

// attemptsOf returns attempts as they are judged.
func attemptsOf(all []journal.Attempt) []drift.Attempt {
	out := make([]drift.Attempt, len(all))
	for i, a := range all {
		out[i] = drift.Attempt{Person: a.Person, Version: a.Version, Opened: a.Opened, Brews: a.Brews}
		if a.Closed != nil && a.Result == "withdrawn" {
			out[i].Withdrawn = *a.Closed
		}
	}
	return out
}

// sayFit writes one attempt.
func (a *app) sayFit(w io.Writer, f fitTold) {
	at := f.Attempt
	lines(w, "", fmt.Sprintf("%s %s: %s, version %s, %s from %s on: %s", f.ID[:idShown], at.Person, f.Recipe, at.Version, counted(at.Brews, "brew"), a.when(at.Opened), standing(f)))
	if f.Untold > 0 {
		lines(w, "  ", fmt.Sprintf("not judged in its brews, for the bed's lateness may be in them: %s", counted(f.Untold, "beat")))
	}
	if f.Of > 0 {
		lines(w, "  ", fmt.Sprintf("of all %s since the first attempt %d %s on time throughout: a rate of at least %.0f %%, at 95 %%", counted(f.Of, "brew"), f.OnTime, were(f.OnTime), 100*f.AtLeast))
	}
}

func were(n int) string {
	if n == 1 {
		return "was"
	}
	return "were"
}

// standing says how an attempt stands.
func standing(f fitTold) string {
	switch f.Standing {
	case drift.Failed:
		return fmt.Sprintf("failed at brew %d, %s (%s)", f.Done+1, f.Why, f.FailedID[:idShown])
	case drift.Passed:
		return "passed"
	case drift.Void:
		return fmt.Sprintf("void, %s", f.Why)
	}
	return fmt.Sprintf("%s, %d of %d brewed", f.Standing, f.Done, f.Attempt.Brews)
}
