package pages

import (
	"fmt"
	"slices"

	"barline/tui/draw"

	"github.com/charmbracelet/bubbles/key"
)

// rect is a part of the screen.
type rect struct{ x, y, w, h int }

// beatLayout is where a beat's page shows what. A part without a height is not
// shown.
type beatLayout struct {
	finding, chart, ranges, legend, histogram, figures rect
	foot                                               int
}

// The widths from which on the figures stand beside the chart, and beside the
// histogram.
const (
	besideChart     = 120
	besideHistogram = 64
)

// besideRanges is how tall a chart is at least that leaves a quarter of its room
// to its moving ranges; smaller ones leave them to the figures.
const besideRanges = 24

// mostHistogram is how tall a histogram is at most.
const mostHistogram = 14

// beatLayoutOf lays a beat's page out; the finding takes so many rows, the
// legend so many.
func beatLayoutOf(w, h, finding, legend int) beatLayout {
	l := beatLayout{foot: h}
	if h >= 6 {
		l.foot--
	}
	y := min(1, h)
	l.finding = rect{0, y, w, min(finding, l.foot-y)}
	y += l.finding.h
	if h >= 20 {
		y++
	}
	room := l.foot - y
	switch {
	case room < 6:
		l.figures = rect{0, y, w, room}
	case w >= besideChart && room >= 16:
		side := w * 2 / 3
		l.figures = rect{side + 2, y, w - side - 2, room}
		below := min(room*2/5, mostHistogram)
		l.chart = rect{0, y, side, room - below - legend - 1}
		if l.chart.h >= besideRanges {
			l.ranges = rect{0, 0, side, l.chart.h / 4}
			l.chart.h -= l.ranges.h
		}
		l.ranges.y = y + l.chart.h
		l.legend = rect{0, l.ranges.y + l.ranges.h, side, legend}
		l.histogram = rect{0, l.foot - below, side, below}
	case w >= besideHistogram && room >= 12:
		l.chart = rect{0, y, w, room*5/9 - legend}
		l.legend = rect{0, y + l.chart.h, w, legend}
		below := room - l.chart.h - legend - 1
		l.histogram = rect{0, l.foot - below, w/2 - 2, below}
		l.figures = rect{w / 2, l.foot - below, w - w/2, below}
	default:
		l.chart = rect{0, y, w, room / 2}
		l.histogram = rect{0, y + room/2, w, 1}
		l.figures = rect{0, y + room/2 + 1, w, room - room/2 - 1}
	}
	return l
}

// drawBeat draws a beat's page.
func (d Drift) drawBeat(c *draw.Canvas) {
	l, lines, shapes := d.beatParts()
	name := d.table.rows[d.at].name()
	right := ""
	if !d.waiting && d.err == nil {
		right = d.beat.shown(l.chart, d.single)
	}
	d.drawTitle(c, name+" by "+d.measured(), right)
	if l.foot < d.height {
		c.Help(l.foot, d.beatHelp())
	}
	if d.sayState(c) {
		return
	}
	if d.height == 1 {
		d.drawOnly(c, d.beat.strongest())
		return
	}
	b := d.beat
	drawText(c, 0, l.finding.y, l.finding.h, item(d.width, draw.Plain, "- ", b.strongest()), 0)
	c.Draw(l.chart.x, l.chart.y, draw.Chart(l.chart.w, l.chart.h, b.control, d.single, b.say, d.ascii))
	b.drawRanges(c, l.ranges, d.single, d.ascii)
	drawText(c, l.legend.x, l.legend.y, l.legend.h, shapes, 0)
	if h := l.histogram; h.h > 1 {
		c.Draw(h.x, h.y, draw.Strip(h.w, h.h-1, b.spread, d.ascii))
		c.Draw(h.x, h.y+h.h-1, draw.StripAxis(h.w, b.spread, b.say))
	} else {
		c.Draw(h.x, h.y, draw.Strip(h.w, h.h, b.spread, d.ascii))
	}
	side := draw.NewCanvas(l.figures.w, l.figures.h)
	drawText(side, 0, 0, side.Height, lines, min(d.top, max(len(lines)-side.Height, 0)))
	c.Draw(l.figures.x, l.figures.y, side)
}

// drawRanges draws the chart of moving ranges under its name, where it has room.
func (b driftBeat) drawRanges(c *draw.Canvas, at rect, single, ascii bool) {
	if at.h == 0 || len(b.ranges.Points) == 0 {
		return
	}
	c.Text(at.x, at.y, draw.Fit("from brew to brew: how far each lies from the one before it", at.w), draw.Faint)
	wide := 0 // the figures of both charts are as wide, so that brews stand below each other
	for _, v := range b.control.Versions {
		for _, x := range []float64{v.Low, v.Centre, v.High} {
			wide = max(wide, draw.Width(b.say(x)))
		}
	}
	size := func(x float64) string { return fmt.Sprintf("%*s", wide, b.size(x)) }
	c.Draw(at.x, at.y+1, draw.Chart(at.w, at.h-1, b.ranges, single, size, ascii))
}

// beatParts returns the page's layout, its figures and its legend, which
// follow from each other.
func (d Drift) beatParts() (l beatLayout, figures, shapes []sheetLine) {
	if d.waiting || d.err != nil {
		return beatLayoutOf(d.width, d.height, 0, 0), nil, nil
	}
	b := d.beat
	finding := len(item(d.width, draw.Plain, "- ", b.strongest()))
	l = beatLayoutOf(d.width, d.height, finding, 0)
	signs := b.signs(l.ranges.h > 0, d.ascii)
	if l.chart.h > 8 {
		shapes = legend(signs, l.chart.w)
		l = beatLayoutOf(d.width, d.height, finding, min(len(shapes), l.chart.h/4))
	}
	if len(b.ranges.Points) == 0 { // the chart has their room, too
		l.chart.h, l.ranges.h = l.chart.h+l.ranges.h, 0
	}
	figures = b.figures(l.figures.w)
	if l.legend.h < len(shapes) || l.chart.h > 0 && len(shapes) == 0 {
		figures = append(figures, legend(signs, l.figures.w)...)
	}
	for _, f := range b.found[min(1, len(b.found)):] {
		figures = append(figures, item(l.figures.w, draw.Plain, "- ", told(f, b.version))...)
	}
	return l, figures, shapes
}

// strongest is the strongest finding on the beat, or that there is none.
func (b driftBeat) strongest() string {
	switch {
	case len(b.found) > 0:
		return told(b.found[0], b.version)
	case b.summary.Tally.Brews == 0:
		return noBrews
	}
	return "nothing about it stands out from chance"
}

// shown says how many brews the chart shows.
func (b driftBeat) shown(at rect, single bool) string {
	n := draw.Charted(at.w, at.h, b.control, single, b.say)
	switch {
	case n == 0:
		return ""
	case n < b.charted:
		return fmt.Sprintf("the latest %d of %d brews", n, b.charted)
	}
	return fmt.Sprintf("%d brews", n)
}

// signs are the shapes of what is drawn: of the chart, and of the ranges where
// they are.
func (b driftBeat) signs(ranges, ascii bool) []draw.Sign {
	out := b.control.Legend(ascii)
	if !ranges {
		return out
	}
	for _, s := range b.ranges.Legend(ascii) {
		if !slices.ContainsFunc(out, func(o draw.Sign) bool { return o.Means == s.Means }) {
			out = append(out, s)
		}
	}
	return out
}

// legend explains shapes.
func legend(signs []draw.Sign, width int) []sheetLine {
	var out []sheetLine
	text := ""
	for _, s := range signs {
		sign := s.Shapes + " " + s.Means
		if text != "" && draw.Width(text)+3+draw.Width(sign) > width {
			out, text = append(out, sheetLine{text, draw.Faint}), ""
		}
		if text != "" {
			text += "   "
		}
		text += sign
	}
	if text != "" {
		out = append(out, sheetLine{draw.Fit(text, width), draw.Faint})
	}
	return out
}

// beatHelp returns the keys that do something now.
func (d Drift) beatHelp() []key.Binding {
	k := d.scrolling(d.measuring(d.keys))
	k.Up.SetEnabled(d.at > 0)
	k.Down.SetEnabled(d.at+1 < len(d.table.rows))
	one := "a column a brew"
	if d.single {
		one = "all brews"
	}
	k.Single.SetHelp(k.Single.Help().Key, one)
	return k.Beat()
}
