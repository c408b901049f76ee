package main

import (
	"io"
	"text/tabwriter"

	"barline/brew"
	"barline/brew/drift"
	"barline/tui/draw"
	"barline/tui/tasted"
)

// printCup writes what there is to say of a brew's cup; of one that has just
// been brewed also when it can be drunk.
func printCup(w io.Writer, d drift.Debrief, p *brew.Plan, r brew.Reading, fresh bool) {
	cools := fresh && d.Ending == brew.Finished && d.Conditions.Speed == 1
	all := tasted.Lines(d, p, r)
	if wait := tasted.Drinking(p); cools && wait != "" {
		all = append(all, tasted.Line{Text: wait})
	}
	for _, line := range all {
		lead := "cup: "
		if line.Care {
			lead = "cup: ! "
		}
		lines(w, lead, draw.OneLine(line.Text))
	}
}

// printDebrief writes where the time of a brew went: the sentence, the beats
// and the lengths.
func printDebrief(w io.Writer, d drift.Debrief) error {
	say(w, "%s: %s", d.Recipe, d.Sentence.Text)
	if len(d.Rows) == 0 {
		return nil
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	io.WriteString(t, cells("beat", "written", "called", "marked", "slip", "drift"))
	for _, r := range d.Rows {
		marked, slip := "-", "-"
		if r.IsMarked() {
			marked, slip = brew.Exact(drift.Tenths(r.Marked)), brew.Signed(drift.Tenths(r.Slip))
		}
		io.WriteString(t, cells(r.Name, brew.Exact(drift.Tenths(r.Written)), brew.Exact(drift.Tenths(r.Called)), marked, slip, r.Word().String()))
	}
	if err := t.Flush(); err != nil {
		return err
	}
	for _, l := range d.Lengths {
		say(w, "%s: %s", l.Name, l.Word())
	}
	if d.Contact != nil {
		say(w, "contact: %s", d.Contact.Word())
	}
	return nil
}
