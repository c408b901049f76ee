package pages

import (
	"barline/brew/drift"
	"barline/tui/draw"
)

// rangesOf puts the moving ranges of a series' charts into the terms of a
// picture, those of the same values as controlOf. The first of each version has
// none, nor has a version without limits.
func rangesOf(s drift.Series, charts []drift.Chart) draw.Control {
	points := make([]draw.ControlPoint, len(s.Values))
	has := make([]bool, len(points))
	out := draw.Control{}
	for n, c := range charts {
		l := c.Limits
		out.Versions = append(out.Versions, draw.ControlVersion{Name: c.Version, Centre: l.MeanRange, High: l.HighRange, Known: c.Withheld == ""})
		if c.Withheld != "" {
			continue // there is nothing to set them against
		}
		for i, r := range c.Ranges {
			p := c.Points[i+1]
			points[p], has[p] = draw.ControlPoint{Value: r, Version: n, Flag: rangeFlag(r, i+1, c)}, true
		}
	}
	for i := max(0, len(points)-mostCharted); i < len(points); i++ {
		if has[i] {
			out.Points = append(out.Points, points[i])
		}
	}
	return out
}

// rangeFlag says what is special about the range up to point i of a chart.
func rangeFlag(r float64, i int, c drift.Chart) draw.Flag {
	switch {
	case c.Withheld != "" || i < c.Judge:
		return draw.Unjudged
	case r > c.Limits.HighRange:
		return draw.Above
	}
	return draw.Judged
}
