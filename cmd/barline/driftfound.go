package main

import (
	"fmt"
	"io"
	"math"
	"slices"

	"barline/brew/drift"
)

// findings writes what may be claimed, the strongest first, of the set and
// against the second.
func (t driftTold) findings(w io.Writer) {
	fmt.Fprintln(w)
	if t.page.Brews < t.set.Len() {
		lines(w, "", fmt.Sprintf("findings, of the latest %d brews of each version", drift.LatestBrews))
	}
	sayFindings(w, "findings", t.page)
	if t.against == nil {
		return
	}
	x := t.against
	fmt.Fprintln(w)
	x.head(w)
	sayFindings(w, "apart", x.page)
}

func sayFindings(w io.Writer, title string, p drift.Page) {
	if len(p.Findings) == 0 {
		lines(w, "", fmt.Sprintf("nothing stands out from chance, of %s asked", counted(p.Looked, "question")))
		return
	}
	lines(w, "", fmt.Sprintf("%s, the strongest first; %s were asked, and by chance alone one page in %.0f holds any", title, counted(p.Looked, "question"), 1/p.Rate))
	for _, f := range p.Findings {
		lines(w, "- ", f.Text)
		if f.Note != "" {
			lines(w, "  ", "("+f.Note+")")
		}
	}
}

// went says in a few lines where the time of a brew goes.
func (t driftTold) went(w io.Writer) {
	all := t.where
	if all.Brews == 0 || len(all.Beats) == 0 {
		return
	}
	mean := func(sum float64, n int) string { return off(drift.Figure{Value: sum / float64(max(n, 1))}) + " s" }
	fmt.Fprintln(w)
	lines(w, "", fmt.Sprintf("where the time goes: the last mark comes %s off in the mean; made by hands %s, by the bed %s, in between %s",
		mean(all.Total, all.Brews), mean(all.Person, all.Brews), mean(all.Bed, all.Brews), mean(all.Between, all.Brews)))
	order := make([]int, len(all.Beats))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		x, y := math.Abs(all.Beats[a].Slip), math.Abs(all.Beats[b].Slip)
		switch {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	for _, i := range order[:min(3, len(order))] {
		b := all.Beats[i]
		if b.Marked == 0 {
			continue
		}
		text := fmt.Sprintf("%s: %s made there, %s carried", b.Column.Name, mean(b.Slip, b.Marked), mean(b.Carried, b.Marked))
		if from, share := all.Source(i); from >= 0 && math.Abs(b.From[from]) >= 0.05*float64(b.Marked) {
			text += fmt.Sprintf(", %.0f %% of it all from %s", 100*share, all.Beats[from].Column.Name)
		}
		lines(w, "- ", text)
	}
}
