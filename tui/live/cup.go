package live

import (
	"time"

	"barline/brew"
	"barline/brew/drift"
	"barline/tui/draw"
	"barline/tui/tasted"
)

// cupOf returns what there is to say of the cup. Where several were brewed at
// once nobody knows whose the readings are.
func (p Page) cupOf(d drift.Debrief) []line {
	reading := p.report.reading
	if p.timeline.Lanes() > 1 {
		reading = brew.Reading{}
	}
	plan := p.opt.Plans[p.report.lane]
	all := tasted.Lines(d, plan, reading)
	if wait, _, _ := p.cooling(); wait != "" {
		all = append(all, tasted.Line{Text: wait})
	}
	var rows []line
	for i, said := range all {
		if i == 0 {
			rows = append(rows, line{draw.Fit("the cup", p.width), draw.Faint})
		}
		lead, role := "  ", draw.Plain
		if said.Care {
			lead, role = "! ", draw.Caution
		}
		rows = append(rows, p.wrapped(lead, said.Text, role)...)
	}
	return rows
}

// cooling says how long the cup that has just been brewed cools until it is
// liked best, and at which moment of the timeline that will be said otherwise;
// the latter is false where it will not. A cup of the record, of practice at
// another speed or of a part of the recipe is none to wait for.
func (p Page) cooling() (text string, at time.Duration, goesOn bool) {
	lane := p.timeline.Lane(p.report.lane)
	ending, _, _ := lane.Ending()
	if p.phase != debriefing || p.past || p.opt.From > 0 || p.opt.Speed != 1 || ending != brew.Finished {
		return "", 0, false
	}
	text, next, goesOn := tasted.Waiting(lane.Plan(), lane.Elapsed(p.pace.At(p.now)))
	return text, lane.Zero() + next, goesOn
}
