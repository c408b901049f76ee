package pages

import (
	"fmt"
	"math"
	"strings"
	"time"

	"barline/brew"
	"barline/brew/cup"
	"barline/brew/drift"
	"barline/tui/draw"
)

const noBrews = "no brews of this kind yet"

// finding is the strongest finding, or that there is none.
func (t driftTable) finding() string {
	switch {
	case len(t.page.Findings) > 0:
		return told(t.page.Findings[0], t.version)
	case t.brews == 0:
		return noBrews
	}
	return fmt.Sprintf("nothing stands out from chance, of %d questions asked", t.page.Looked)
}

// text is the findings as sentences, and where the time goes.
func (t driftTable) text(width int) []sheetLine {
	out := t.found(width)
	if t.leftOut > 0 {
		out = append(out, item(width, draw.Caution, "! ", fmt.Sprintf("%d brews cannot be read and are left out; journal verify says which", t.leftOut))...)
	}
	if where := t.went(width); len(where) > 0 {
		out = append(append(out, sheetLine{}), where...)
	}
	if tasted := t.tasted(width); len(tasted) > 0 {
		out = append(append(out, sheetLine{}), tasted...)
	}
	return out
}

// tasted is what the drifts did to the cup, nothing where nothing can be said.
func (t driftTable) tasted(width int) []sheetLine {
	if t.cup == nil || len(t.cup.Said()) == 0 {
		return nil
	}
	out := item(width, draw.Faint, "", t.cup.Title())
	for _, text := range t.cup.Said() {
		out = append(out, item(width, draw.Plain, "- ", text)...)
	}
	return append(out, item(width, draw.Faint, "", cup.ByNobodysLot)...)
}

// found is the findings, the strongest first.
func (t driftTable) found(width int) []sheetLine {
	if len(t.page.Findings) == 0 {
		return item(width, draw.Plain, "", t.finding())
	}
	out := []sheetLine{{draw.Fit("findings", width), draw.Faint}}
	for _, f := range t.page.Findings {
		out = append(out, item(width, draw.Plain, "- ", told(f, t.version))...)
	}
	return out
}

// told is a finding with what its sentence cannot tell apart, and its version
// where that is not the newest.
func told(f drift.Finding, newest string) string {
	text := f.Text
	if f.Note != "" {
		text += " (" + f.Note + ")"
	}
	if f.Column.Version != newest {
		text += " (version " + f.Column.Version + ")"
	}
	return text
}

// item is a text wrapped to the width, with a lead before its first line. No
// line ends between a figure and its per cent.
func item(width int, role draw.Role, lead, text string) []sheetLine {
	const held = "\ue000" // stands for a space that holds: of private use, so no text has it
	out := Sheet{width: width}.wrapped(role, lead, strings.ReplaceAll(text, " %", held+"%"))
	for i := range out {
		out[i].text = strings.ReplaceAll(out[i].text, held, " ")
	}
	return out
}

// went is where the time goes, as means of a brew.
func (t driftTable) went(width int) []sheetLine {
	w := t.where
	if w.Brews == 0 || len(w.Beats) == 0 {
		return nil
	}
	out := []sheetLine{{draw.Fit("where the time goes, a brew", width), draw.Faint}}
	out = append(out, item(width, draw.Plain, "- ", wentWhole(w))...)
	for i, b := range w.Beats {
		if b.Withheld == "" {
			out = append(out, item(width, draw.Plain, "- ", b.Column.Name+": "+wentAt(w, i))...)
		}
	}
	return out
}

// wentWhole says whose doing the drift of the last mark is.
func wentWhole(w drift.Where) string {
	if w.Withheld != "" {
		return "withheld: " + w.Withheld.For("mean")
	}
	mean := func(sum float64) string { return amount(w.Mean(sum).Value, "s") }
	text := fmt.Sprintf("the last mark comes %s off: %s by hands, %s by the bed, ", mean(w.Total), mean(w.Person), mean(w.Bed))
	if w.Untold != 0 {
		text += mean(w.Untold) + " by the one or the other, "
	}
	return text + mean(w.Between) + " between"
}

// wentAt says of a beat how much it inherits and how much is made at it.
func wentAt(w drift.Where, i int) string {
	b := w.Beats[i]
	mean := func(sum float64) string { return amount(b.Mean(sum).Value, "s") }
	text := fmt.Sprintf("%s, of it %s carried and %s its own", mean(b.Drift), mean(b.Carried), mean(b.Slip))
	if b.Column.Owner == brew.Bed {
		text = strings.TrimSuffix(text, "its own") + "the bed's"
	}
	from, part := w.Source(i)
	if from >= 0 && math.Abs(b.Mean(b.From[from]).Value) >= 0.05 {
		text += fmt.Sprintf("; %s comes from %s", percent(part), w.Beats[from].Column.Name)
	}
	return text
}

// detail says all of one row, with the reasons of what is withheld.
func (r driftRow) detail() string {
	s := r.summary
	parts := []string{counted(s.Tally)}
	if s.Column.HasWindow {
		parts = append(parts, "window "+windowed(s.Column.Window))
	}
	parts = append(parts, r.middle(), r.timely(), r.said.trending, r.said.limited)
	return r.name() + ": " + strings.Join(parts, "; ")
}

// brief is the words on a row that a narrow list leaves out: whole where they
// have room.
func (r driftRow) brief(width int) string {
	text := r.said.trending + "; " + r.said.limited
	if draw.Width(text) > width {
		text = r.said.trend + "; " + r.said.limits
	}
	return text
}

// windowed is a window by its edges.
func windowed(w brew.Window) string { return brew.Signed(-w.Early) + " to " + brew.Signed(w.Late) }

// counted says how many marks there were, and how many were missing.
func counted(t drift.Tally) string {
	text := fmt.Sprintf("%d marked", t.Marked)
	for _, c := range []struct {
		n    int
		what string
	}{{t.Unmarked, "unmarked"}, {t.Skipped, "skipped"}, {t.NotReached, "not reached"}, {t.BehindBed, "not to be told from the bed's"}} {
		if c.n > 0 {
			text += fmt.Sprintf(", %d %s", c.n, c.what)
		}
	}
	return text
}

func (r driftRow) middle() string {
	return "median " + reasoned(r.summary.Median, r.say)
}

func (r driftRow) timely() string {
	s := r.summary.OnTime
	if s.Withheld != "" {
		return "on time withheld: " + string(s.Withheld)
	}
	return "on time " + share(s) + " (" + within(s) + ")"
}

// reasoned is a figure, or why it is withheld.
func reasoned(f drift.Figure, say func(float64) string) string {
	if f.Withheld != "" {
		return "withheld: " + string(f.Withheld)
	}
	return say(f.Value)
}

// noTrend is what a trend says that is none.
const noTrend = "no trend"

// trending says where the trend goes and how fast.
func (r driftRow) trending(word string) string {
	switch {
	case r.trend.Withheld != "":
		return "trend withheld: " + word
	case word == noTrend:
		return word
	case math.Abs(r.trend.Line.Slope) < 0.05:
		return word + ", by less than 0.1 " + r.summary.Unit + " a week"
	}
	return word + ", " + amount(r.trend.Line.Slope, r.summary.Unit) + " a week"
}

// day is a day as people say it.
func day(t time.Time) string { return t.Format("2 January 2006") }
