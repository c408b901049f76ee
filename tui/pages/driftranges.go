package pages

import (
	"barline/brew/drift"
	"barline/tui/draw"
)

// rangesIn returns how far each value of a chart lies from the one before it.
func rangesIn(s drift.Series, c drift.Chart) []float64 {
	values := make([]float64, len(c.Points))
	for i, p := range c.Points {
		values[i] = s.Values[p]
	}
	return draw.Ranges(values)
}

// beyond returns how many of the ranges that are judged are beyond their limit.
func beyond(ranges []float64, c drift.Chart) (n int) {
	if c.Withheld != "" {
		return 0
	}
	for _, r := range ranges[c.Judge-1:] {
		if r > c.Limits.HighRange {
			n++
		}
	}
	return n
}

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
		for i, r := range rangesIn(s, c) {
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
