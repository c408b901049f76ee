package main

import (
	"cmp"
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

// mostWent is at how many beats it is said how much is made and carried there.
const mostWent = 3

// went says in a few lines where the time of a brew goes.
func (t driftTold) went(w io.Writer) {
	all := t.where
	if all.Brews == 0 || len(all.Beats) == 0 {
		return
	}
	fmt.Fprintln(w)
	lines(w, "", "where the time goes: "+wentWhole(all))
	var told []int
	for i, b := range all.Beats {
		if b.Withheld == "" {
			told = append(told, i)
		}
	}
	slices.SortStableFunc(told, func(a, b int) int {
		return cmp.Compare(math.Abs(all.Beats[b].Slip), math.Abs(all.Beats[a].Slip))
	})
	for _, i := range told[:min(mostWent, len(told))] {
		lines(w, "- ", wentAt(all, i))
	}
}

// wentWhole says whose doing the drift of the last mark is.
func wentWhole(all drift.Where) string {
	if all.Withheld != "" {
		return "withheld: " + all.Withheld.For("mean")
	}
	mean := func(sum float64) string { return off(all.Mean(sum)) + " s" }
	text := fmt.Sprintf("the last mark comes %s off in the mean; made by hands %s, by the bed %s", mean(all.Total), mean(all.Person), mean(all.Bed))
	if all.Untold != 0 {
		text += fmt.Sprintf(", by the bed or the hand %s", mean(all.Untold))
	}
	return text + ", in between " + mean(all.Between)
}

// wentAt says how much is made and carried at a beat.
func wentAt(all drift.Where, i int) string {
	b := all.Beats[i]
	mean := func(sum float64) string { return off(b.Mean(sum)) + " s" }
	text := fmt.Sprintf("%s: %s made there, %s carried", b.Column.Name, mean(b.Slip), mean(b.Carried))
	if from, share := all.Source(i); from >= 0 && math.Abs(b.Mean(b.From[from]).Value) >= 0.05 {
		text += fmt.Sprintf(", %.0f %% of it all from %s", 100*share, all.Beats[from].Column.Name)
	}
	return text
}
