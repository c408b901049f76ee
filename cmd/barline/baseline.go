package main

import (
	"context"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"
	"time"

	"barline/brew/drift"
	"barline/cmd/barline/internal/journal"

	"github.com/google/uuid"
	"github.com/spf13/cobra"
)

// idText writes an id as the journal does.
func idText(id [16]byte) string {
	h := hex.EncodeToString(id[:])
	return strings.Join([]string{h[:8], h[8:12], h[12:16], h[16:20], h[20:]}, "-")
}

// frozenOf returns the baselines that are in force for the versions of a
// record. What was frozen stays so whatever becomes of its brews. A range that
// is of other brews than the record takes, of other kinds, is not in force.
func frozenOf(ctx context.Context, j *journal.Journal, recipe string, r *drift.Record) (drift.Baseline, error) {
	var out drift.Baseline
	begun, err := beginnings(ctx, j, recipe, r)
	if err != nil {
		return out, err
	}
	for _, version := range r.Versions() {
		all, err := j.Baselines(ctx, version)
		if err != nil {
			return out, err
		}
		for _, b := range inForce(all) {
			if f, ok := frozenRange(begun, b); ok {
				out.Frozen = append(out.Frozen, f)
			}
		}
	}
	return out, nil
}

// beginnings returns what tells by its id when a brew of a record began, or
// one that was forgotten.
func beginnings(ctx context.Context, j *journal.Journal, recipe string, r *drift.Record) (func(id string) (time.Time, bool), error) {
	gone, err := j.Forgotten(ctx, recipe)
	return func(id string) (time.Time, bool) {
		for _, f := range gone {
			if f.ID == id {
				return f.Start, true
			}
		}
		raw, err := uuid.Parse(id)
		n, ok := r.Find(raw)
		if err != nil || !ok {
			return time.Time{}, false
		}
		return r.Head(n).Start, true
	}, err
}

// inForce returns the last baseline of each beat, unless it was thawed.
func inForce(all []journal.Baseline) []journal.Baseline {
	var out []journal.Baseline
	for i, b := range all {
		later := false
		for _, o := range all[i+1:] {
			later = later || o.Beat == b.Beat && whatOf(o.Measure) == whatOf(b.Measure)
		}
		if !later && !b.Thawed() {
			out = append(out, b)
		}
	}
	return out
}

// whatOf returns what a baseline's measure is of.
func whatOf(measure string) drift.What {
	switch measure {
	case "length":
		return drift.Lengths
	case "weight":
		return drift.Weights
	}
	return drift.Beats
}

func measureOf(c drift.Column) string {
	switch c.What {
	case drift.Lengths:
		return "length"
	case drift.Weights:
		return "weight"
	}
	return string(drift.BySlip)
}

// frozenRange returns a baseline as a range in time.
func frozenRange(begun func(id string) (time.Time, bool), b journal.Baseline) (drift.Frozen, bool) {
	first, ok := begun(b.First)
	last, also := begun(b.Last)
	return drift.Frozen{What: whatOf(b.Measure), Version: b.Version, Key: b.Beat, Since: first, Until: last.Add(1), Brews: b.Brews}, ok && also
}

func newFreeze(a *app) *cobra.Command {
	var beat, first, last string
	cmd := &cobra.Command{
		Use:   "freeze RECIPE",
		Short: "take the limits of a beat's chart from these brews, from now on",
		Long: "freeze takes the limits of a beat's control chart from a range of brews, in place of\n" +
			"the first 25 of the version. Only later brews are judged. thaw goes back.",
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: a.completeRecipes(),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.readJournal(func(j *journal.Journal) error {
				return a.freeze(cmd.Context(), j, args[0], beat, first, last)
			})
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&beat, "beat", "", "the beat or length, 'second pour, end'")
	flags.StringVar(&first, "first", "", "the first brew, by the start of its id")
	flags.StringVar(&last, "last", "", "the last brew")
	for _, name := range []string{"beat", "first", "last"} {
		cmd.MarkFlagRequired(name)
	}
	return cmd
}

// freeze keeps a baseline, if it is one.
func (a *app) freeze(ctx context.Context, j *journal.Journal, recipe, beat, first, last string) error {
	var ends [2]journal.Brew
	for i, prefix := range []string{first, last} {
		b, err := a.findBrew(ctx, j, prefix)
		if err != nil {
			return err
		}
		ends[i] = b
	}
	if ends[0].Version != ends[1].Version {
		return &inputError{fmt.Sprintf("the first brew is of version %s, the last of %s", ends[0].Version, ends[1].Version), "limits start anew at each version: take both from one"}
	}
	if ends[1].Start.Before(ends[0].Start) {
		ends[0], ends[1] = ends[1], ends[0]
	}
	f := &driftFlags{kind: string(drift.Service), choice: choiceFlags{version: ends[0].Version}}
	m, err := a.manyOf(ctx, j, f, recipe)
	if err != nil {
		return err
	}
	c, err := m.column(beat)
	if err != nil {
		return err
	}
	b := journal.Baseline{Version: ends[0].Version, Beat: c.Key, Measure: measureOf(c), First: ends[0].ID, Last: ends[1].ID, By: a.config.by}
	begun, err := beginnings(ctx, j, m.recipe, m.record)
	if err != nil {
		return err
	}
	frozen, ok := frozenRange(begun, b)
	if !ok {
		return &inputError{fmt.Sprintf("%s or %s does not count", ends[0].Short, ends[1].Short), "a baseline is of brews for service, at speed 1 and from the start"}
	}
	s, _ := m.set.Series(c.What, c.Key, drift.BySlip)
	chart := s.Control(drift.Baseline{Frozen: []drift.Frozen{frozen}})[0]
	b.Brews = s.Between(frozen.Since, frozen.Until)
	switch {
	case b.Brews < drift.LeastBaseline():
		return &inputError{fmt.Sprintf("%s of %s in that range, a baseline wants %d", counted(b.Brews, "mark"), rowName(c), drift.LeastBaseline()), "take more brews"}
	case chart.Withheld != "":
		return &inputError{"no limits: " + string(chart.Withheld), "take other brews"}
	}
	b.Low, b.Centre, b.High = chart.Limits.Low*nanos, chart.Limits.Centre*nanos, chart.Limits.High*nanos
	if c.What == drift.Weights {
		b.Low, b.Centre, b.High = b.Low/1e6, b.Centre/1e6, b.High/1e6
	}
	if err := a.keepBaseline(ctx, j, b); err != nil {
		return err
	}
	say(a.stdout, "%s of %s, version %s: limits from %s, %s to %s", rowName(c), m.recipe, b.Version, counted(b.Brews, "brew"), a.when(ends[0].Start), a.when(ends[1].Start))
	fmt.Fprintf(a.stdout, "limits %s to %s %s, centre %s; barline drift thaw goes back\n", off(figure(chart.Limits.Low)), off(figure(chart.Limits.High)), s.Unit(), off(figure(chart.Limits.Centre)))
	return nil
}

// nanos is how many nanoseconds a second has: a baseline's limits are in them.
const nanos = 1e9

func (a *app) keepBaseline(ctx context.Context, j *journal.Journal, b journal.Baseline) error {
	var err error
	b.Made = a.clock.Now().Wall
	if b.ID, err = journal.DrawID(b.Made); err != nil {
		return err
	}
	return j.SaveBaseline(ctx, b)
}

func newThaw(a *app) *cobra.Command {
	var beat string
	cmd := &cobra.Command{
		Use:               "thaw RECIPE",
		Short:             "take the limits of a beat's chart from its first 25 brews again",
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: a.completeRecipes(),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.readJournal(func(j *journal.Journal) error { return a.thaw(cmd.Context(), j, args[0], beat) })
		},
	}
	cmd.Flags().StringVar(&beat, "beat", "", "the beat or length, 'second pour, end'")
	cmd.MarkFlagRequired("beat")
	return cmd
}

func (a *app) thaw(ctx context.Context, j *journal.Journal, recipe, beat string) error {
	m, err := a.manyOf(ctx, j, &driftFlags{kind: string(drift.Service), choice: choiceFlags{version: "all"}}, recipe)
	if err != nil {
		return err
	}
	thawed := 0
	for _, version := range m.record.Versions() {
		all, err := j.Baselines(ctx, version)
		if err != nil {
			return err
		}
		columns := m.record.Choose(drift.Choice{Version: version}).Columns()
		for _, b := range inForce(all) {
			name := b.Beat
			of := slices.IndexFunc(columns, func(c drift.Column) bool { return c.What == whatOf(b.Measure) && c.Key == b.Beat })
			switch {
			case of >= 0 && !isCalled(columns[of], beat), of < 0 && !strings.EqualFold(b.Beat, beat):
				continue
			case of >= 0:
				name = rowName(columns[of])
			}
			b.Low, b.Centre, b.High, b.By = 0, 0, 0, a.config.by
			if err := a.keepBaseline(ctx, j, b); err != nil {
				return err
			}
			thawed++
			say(a.stdout, "%s of %s, version %s: limits from its first %d brews again", name, m.recipe, version, drift.LeastBaseline())
		}
	}
	if thawed == 0 {
		return &inputError{fmt.Sprintf("no baseline of %q is frozen", beat), "barline drift freeze freezes one"}
	}
	return nil
}
