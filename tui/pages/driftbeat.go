package pages

import (
	"barline/brew/drift"
	"barline/brew/drift/stat"
	"barline/tui/draw"
)

// driftBeat is what the page of a beat, a length or a weight shows.
type driftBeat struct {
	driftRow        // over the versions that are looked at
	version  string // the newest
	found    []drift.Finding
	control  draw.Control // over all versions that can be joined
	ranges   draw.Control // from brew to brew, of the same
	charted  int          // values that there are for it
	texts    [][2]string  // the figures, each with its name
}

// mostCharted is how many values, the latest, a chart has: more than fit side
// by side on any screen.
const mostCharted = 4000

// beatOf works out the page of a column at a rate of false claims; page is what
// all columns tell, nil where that is not known yet.
func beatOf(m Many, of glance, column drift.Column, rate float64, page *drift.Page) driftBeat {
	var b driftBeat
	set := m.choose(of.filter.Person, of.every)
	s, ok := set.Series(column.What, column.Key, of.measure)
	if !ok {
		b.driftRow = rowOf(drift.Series{Column: column, Measure: of.measure}, m.Baseline)
		b.tell(rate)
		return b
	}
	b.driftRow, b.version = rowOf(s, m.Baseline), set.Version()
	b.tell(rate)
	if all, ok := m.choose(of.filter.Person, true).Series(column.What, column.Key, of.measure); ok {
		charts := all.Control(m.Baseline)
		b.control, b.ranges, b.charted = controlOf(all, charts), rangesOf(all, charts), len(all.Values)
	}
	if page == nil {
		p := set.Findings(m.Baseline)
		page = &p
	}
	for _, f := range page.Findings {
		if f.Column.What == column.What && f.Column.Key == column.Key {
			b.found = append(b.found, f)
		}
	}
	return b
}

// tell puts the figures and the words into texts, which are all that is kept of
// the chart.
func (b *driftBeat) tell(rate float64) {
	b.said = b.words(rate)
	b.texts = b.figureTexts()
	b.chart = drift.Chart{}
}

// controlOf puts the charts of a series into the terms of a picture.
func controlOf(s drift.Series, charts []drift.Chart) draw.Control {
	out := draw.Control{Points: make([]draw.ControlPoint, len(s.Values))}
	for n, c := range charts {
		l := c.Limits
		out.Versions = append(out.Versions, draw.ControlVersion{Name: c.Version, Low: l.Low, Centre: l.Centre, High: l.High, Known: c.Withheld == ""})
		for i, p := range c.Points {
			point := draw.ControlPoint{Value: s.Values[p], Version: n}
			if i >= c.Judge {
				point.Flag = flagOf(s.Values[p], l, c.Rules[i-c.Judge])
			}
			out.Points[p] = point
		}
	}
	out.Points = out.Points[max(0, len(out.Points)-mostCharted):]
	return out
}

// sided are the rules of a long run on one side.
var sided = rulesOf("N2", "W4")

// flagOf says what is special about a value that is judged.
func flagOf(x float64, l stat.Limits, rules stat.RuleSet) draw.Flag {
	switch {
	case x > l.High:
		return draw.Above
	case x < l.Low:
		return draw.Below
	case rules&sided != 0:
		return draw.OneSided
	case rules != 0:
		return draw.Pattern
	}
	return draw.Judged
}

// rulesOf returns the set of the rules with these names.
func rulesOf(ids ...string) (set stat.RuleSet) {
	for i, r := range stat.Rules() {
		for _, id := range ids {
			if r.ID == id {
				set |= 1 << i
			}
		}
	}
	return set
}
