package probe

import (
	"fmt"
	"strings"
	"time"

	"barline/brew"
)

// Report is all that is known of a terminal.
type Report struct {
	Facts
	Width, Height int     // in cells; 0 by 0 where it does not tell
	NotAsked      string  // why the terminal is asked nothing; "" where it is asked
	Synced        bool    // it says that it knows synchronised output
	Widths        *Widths // nil until they were asked
	Rings         int     // how often the bell was rung, of BellStrokes strokes
	Hand          Hand
	Delays        Delays
	Writes        *Writes // nil until they were measured
}

// BellStrokes is how many strokes the bell is rung with, those of a cue.
const BellStrokes = 2

// Line is one line of the report.
type Line struct{ Name, Value string }

// Part is a part of the report: what belongs together.
type Part struct {
	Name  string
	Lines []Line
}

// The names of the parts, in their order.
const (
	PartTerminal   = "what is known"
	PartColours    = "colours"
	PartCharacters = "characters"
	PartFigures    = "figures"
	PartBell       = "bell"
	PartKeys       = "mark key"
	PartDelay      = "delay"
	PartJournal    = "journal"
)

// Parts returns the report, part by part.
func (r Report) Parts() []Part {
	return []Part{
		{PartTerminal, append(r.Facts.lines(), Line{"size", r.size()}, Line{"synchronised output", r.synced()})},
		{PartColours, []Line{{"colours used", r.Colours}, {"ground of the theme", r.Ground}}},
		{PartCharacters, []Line{{"width of signs", r.widths()}}},
		{PartFigures, []Line{{"figures made of", r.figures()}}},
		{PartBell, []Line{{"bell", onOff(r.Bell)}, {"rung", r.rung()}}},
		{PartKeys, []Line{
			{"mark keys", strings.Join(r.MarkKeys, ", ")}, {"last key", r.personal(r.Hand.arrived())},
			{"marks pressed", r.personal(r.Hand.pressed())}, {"key held down", r.personal(r.Hand.Held.String())},
		}},
		{PartDelay, []Line{{"moment to answer", r.delay()}}},
		{PartJournal, []Line{{"durable write", r.writes()}}},
	}
}

// Text returns the report as lines of 'name: value', to be pasted.
func (r Report) Text() string {
	var b strings.Builder
	b.WriteString("report: barline terminal\n")
	for _, part := range r.Parts() {
		for _, line := range part.Lines {
			fmt.Fprintf(&b, "%s: %s\n", line.Name, line.Value)
		}
	}
	return b.String()
}

func (r Report) size() string {
	switch {
	case r.Width > 0 && r.Height > 0:
		return fmt.Sprintf("%dx%d", r.Width, r.Height)
	case r.Terminal:
		return "the terminal does not tell"
	}
	return "no terminal"
}

// asked returns what was measured by asking, or why nothing was.
func (r Report) asked(measured string) string {
	if r.NotAsked != "" {
		return "not measured: " + r.NotAsked
	}
	return measured
}

// personal returns what a person did, or that no person could.
func (r Report) personal(did string) string {
	if r.NotAsked == NoScreen {
		return r.asked("")
	}
	return did
}

// Why a terminal is asked nothing.
const (
	NoScreen  = "there is no screen"
	TooSmall  = "the terminal is too small to be asked"
	NoReports = "answers cannot be told from keys on this system"
)

func (r Report) synced() string {
	if r.Synced {
		return "known"
	}
	return r.personal("no answer that it is known")
}

func (r Report) widths() string {
	switch {
	case r.NotAsked != "":
		return r.asked("")
	case !r.UTF8:
		return "not measured: the locale is not UTF-8"
	case r.Widths == nil:
		return "not measured yet"
	}
	return r.Widths.String()
}

func (r Report) figures() string {
	if r.ASCII {
		return "ASCII characters"
	}
	return "block elements"
}

func onOff(on bool) string {
	if on {
		return "on"
	}
	return "off"
}

func (r Report) rung() string {
	if r.Rings == 0 {
		return r.personal(times(0))
	}
	return r.personal(fmt.Sprintf("%s, with %d strokes each", times(r.Rings), BellStrokes))
}

// times says how often something was done.
func times(n int) string {
	switch n {
	case 0:
		return "not yet"
	case 1:
		return "once"
	}
	return fmt.Sprintf("%d times", n)
}

func (r Report) delay() string { return r.asked(r.Delays.String()) }

func (r Report) writes() string {
	if r.Writes == nil {
		return "not measured yet"
	}
	return r.Writes.String()
}

// Moments is how many moments the delay is measured at.
const Moments = 20

// Delays are the times from a moment to the terminal's answer behind the frame
// that shows it.
type Delays struct {
	Taken []time.Duration
	Lost  int   // without an answer
	How   Heard // what became of the last question
}

// With returns the delays with what became of one more question.
func (d Delays) With(took time.Duration, how Heard) Delays {
	if d.How = how; how != Answered {
		d.Lost++
		return d
	}
	d.Taken = append(d.Taken[:len(d.Taken):len(d.Taken)], took)
	return d
}

// Over reports whether no more moments are to come: all have been, or the
// terminal has not answered once.
func (d Delays) Over() bool {
	return len(d.Taken)+d.Lost >= Moments || d.Lost > 0 && len(d.Taken) == 0
}

// String says the delays in a few figures.
func (d Delays) String() string {
	s := SpreadOf(d.Taken)
	switch {
	case s.N == 0 && d.Lost == 0:
		return "not measured yet"
	case s.N == 0 && d.How == Unasked:
		return "not measured: no frame was written within " + brew.Spoken(Patience)
	case s.N == 0:
		return fmt.Sprintf("%s within %s", silence, brew.Spoken(Patience))
	}
	text := fmt.Sprintf("p50 %s, max %s (%d moments", Millis(s.P50), Millis(s.Max), s.N)
	if d.Lost > 0 {
		text += fmt.Sprintf(", %d without an answer", d.Lost)
	}
	return text + ")"
}

// Writes is how long the journal takes to make an event durable.
type Writes struct {
	Spread
	Fault string // why it cannot be measured, without a path; "" where it can
}

// String says it in a few figures.
func (w Writes) String() string {
	if w.Fault != "" {
		return "not measured: " + w.Fault
	}
	return fmt.Sprintf("p50 %s, p99 %s, max %s (%d events)", Millis(w.P50), Millis(w.P99), Millis(w.Max), w.N)
}
