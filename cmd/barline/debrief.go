package main

import (
	"fmt"
	"io"
	"text/tabwriter"

	"barline/brew"
	"barline/brew/drift"
)

// printDebrief writes where the time of a brew went: the sentence, the beats
// and the lengths.
func printDebrief(w io.Writer, d drift.Debrief) error {
	fmt.Fprintf(w, "%s: %s\n", d.Recipe, d.Sentence.Text)
	if len(d.Rows) == 0 {
		return nil
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "beat\twritten\tcalled\tmarked\tslip\tdrift")
	for _, r := range d.Rows {
		marked, slip := "-", "-"
		if r.IsMarked() {
			marked, slip = brew.Exact(drift.Tenths(r.Marked)), brew.Signed(drift.Tenths(r.Slip))
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\t%s\n", r.Name, brew.Exact(drift.Tenths(r.Written)), brew.Exact(drift.Tenths(r.Called)), marked, slip, r.Word())
	}
	if err := t.Flush(); err != nil {
		return err
	}
	for _, l := range d.Lengths {
		fmt.Fprintf(w, "%s: %s\n", l.Name, l.Word())
	}
	if d.Contact != nil {
		fmt.Fprintf(w, "contact: %s\n", d.Contact.Word())
	}
	return nil
}
