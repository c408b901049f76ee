package main

import (
	"context"
	"fmt"
	"io"

	"barline/brew/drift"
	"barline/cmd/barline/internal/journal"
)

// driftOfAll writes a line or two of each recipe: how many brews, the share of
// its marks that was on time, and the strongest finding.
func (a *app) driftOfAll(ctx context.Context, j *journal.Journal, f *driftFlags) error {
	names, err := j.Recipes(ctx)
	if err != nil {
		return err
	}
	all := []driftLine{}
	for _, name := range names {
		m, err := a.manyOf(ctx, j, f, name)
		if _, ok := err.(*inputError); ok {
			continue // nothing of that choice
		}
		if err != nil {
			return err
		}
		all = append(all, m.line())
	}
	if f.json {
		return writeJSON(a.stdout, struct {
			Schema  int         `json:"schema"`
			Kind    string      `json:"kind"`
			Recipes []driftLine `json:"recipes"`
		}{driftSchema, f.kind, all})
	}
	if len(all) == 0 {
		fmt.Fprintf(a.stderr, "no %s brews of that choice\n", f.kind)
	}
	for _, l := range all {
		l.text(a.stdout)
	}
	return nil
}

// driftLine is a recipe in a line.
type driftLine struct {
	Recipe  string       `json:"recipe"`
	Version string       `json:"version"`
	Brews   int          `json:"brews"`
	Marked  int          `json:"marked"` // of all beats, with a window to set them against
	OnTime  int          `json:"on_time"`
	Looked  int          `json:"looked"`
	Finding *jsonFinding `json:"finding"` // the strongest; null for none
}

func (m lookedAt) line() driftLine {
	l := driftLine{Recipe: m.recipe, Version: m.set.Version(), Brews: m.set.Len()}
	for _, s := range m.set.Table(m.flags.of()) {
		if s.Column.What == drift.Beats {
			l.OnTime, l.Marked = l.OnTime+s.OnTime.K, l.Marked+s.OnTime.N
		}
	}
	page := m.set.Findings(m.baseline)
	l.Looked = page.Looked
	if len(page.Findings) > 0 {
		f := m.jsonFinding(page.Findings[0])
		l.Finding = &f
	}
	return l
}

func (l driftLine) text(w io.Writer) {
	share := "no mark to judge"
	if l.Marked > 0 {
		share = fmt.Sprintf("%.0f %% of %s on time", 100*float64(l.OnTime)/float64(l.Marked), counted(l.Marked, "mark"))
	}
	say(w, "%s: %s, %s", l.Recipe, counted(l.Brews, "brew"), share)
	if l.Finding != nil {
		lines(w, "  ", l.Finding.Text)
	} else {
		lines(w, "  ", "nothing stands out from chance")
	}
}
