package live

import (
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
	if wait := tasted.Drinking(plan); wait != "" && d.Ending == brew.Finished && d.Conditions.Speed == 1 && !p.past {
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
