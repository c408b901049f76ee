package routine

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"barline/brew"
)

// EntryKind says what an Entry is.
type EntryKind int

// What stands on a sheet, in the order in which things of one moment stand
// there.
const (
	ACall EntryKind = iota
	ASection
	ACue
	ALine
)

// Entry is one line of a routine's sheet.
type Entry struct {
	Kind       EntryKind
	Start, End time.Duration
	Who        string // a cup's id, hands, talk; "" of a section and a call
	What       string
	Note       string    // what a line is tied to; "" for nothing
	Scale      brew.Mass // what the scale reads at the end, if OnScale
	OnScale    bool
	By         string // of a cue: when it ends and, of a pour, what the scale reads then
	Asked      bool   // waits for a mark
	Number     int    // of the section, the line, or the cue in its lane
	Lane       int    // of a cue
}

// Sheet returns all that happens, in order.
func (p *Plan) Sheet() []Entry {
	out := []Entry{{Kind: ACall, What: "call time", Asked: true}}
	for i, s := range p.Sections {
		out = append(out, Entry{Kind: ASection, Start: s.Start, End: s.End, What: s.Name, Number: i})
	}
	for i, c := range p.Cups {
		for n := range c.Plan.Cues {
			out = append(out, p.cueEntry(i, n))
		}
	}
	for n := range p.Hands.Cues {
		out = append(out, p.cueEntry(p.HandsLane(), n))
	}
	for i, l := range p.Lines {
		what := l.Words
		if what == "" {
			what = "(pause, " + brew.Spoken(l.Length) + ")"
		}
		out = append(out, Entry{Kind: ALine, Start: l.Start, End: l.End(), Who: "talk", What: what, Note: l.Note, Number: i})
	}
	slices.SortStableFunc(out, func(a, b Entry) int {
		return cmp.Or(cmp.Compare(a.Start, b.Start), cmp.Compare(a.Kind, b.Kind))
	})
	return append(out, Entry{Kind: ACall, Start: p.End, End: p.End, What: "call time", Asked: true})
}

// cueEntry returns a cue of a lane, with its times as the plan has them.
func (p *Plan) cueEntry(lane, n int) Entry {
	plan := p.lane(lane)
	c := plan.Cues[n]
	e := Entry{Kind: ACue, Who: "hands", What: c.Prompt, Number: n, Lane: lane, Scale: c.Scale, OnScale: c.OnScale,
		Asked: plan.Beats[c.StartBeat].Has(n, brew.StartEdge) && plan.Beats[c.StartBeat].Asked || plan.Beats[c.EndBeat].Asked}
	e.Start, e.End = p.span(lane, n)
	e.By = by(c, e.End)
	if lane < len(p.Cups) {
		e.Who = p.Cups[lane].ID
		if c.Label != "" {
			e.What = c.Label + ": " + c.Prompt
		}
	}
	return e
}

// by says when a cue ends and, of a pour whose prompt does not name it, what
// the scale reads then.
func by(c brew.Cue, end time.Duration) string {
	switch {
	case c.Action != brew.Pour:
		return "until " + brew.Clock(end)
	case !c.OnScale || strings.Contains(c.Prompt, c.Scale.String()):
		return "by " + brew.Clock(end)
	}
	return "scale at " + c.Scale.String() + " by " + brew.Clock(end)
}
