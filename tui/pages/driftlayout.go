package pages

import (
	"fmt"

	"barline/tui/draw"
)

// driftLayout is which rows of the screen a drift page gives to what: from the
// top the title, a row of heads, the list, all of the chosen row, the text, the
// keys. It follows from the size and from how much there is to show.
type driftLayout struct {
	head   int // the row of the heads, -1 for none
	list   int // the first row of the list
	rows   int // how many of the list are shown
	pillar int // how many rows each of them takes
	gap    int // blank rows behind each
	detail int // the first row of what is said of the chosen one
	said   int // how many rows that takes
	text   int // the first row of the text
	lines  int // how many of it are shown
	foot   int // the row of the keys, or the height where there is none
}

// contents is how much there is for a page to show.
type contents struct {
	rows   int // of the list,
	tall   int // each at most so tall
	detail int // rows of what is said of the chosen one
	lines  int // of the text,
	most   int // of which the first few matter most
}

// layoutOf lays a page out. The title and what matters most of the text survive
// longest.
func layoutOf(height int, has contents) driftLayout {
	l := driftLayout{head: -1, foot: height, pillar: 1}
	y := min(1, height)
	if height >= 6 {
		l.foot--
	}
	if height >= 16 {
		y++
	}
	room := l.foot - y
	l.lines = min(has.most, room)
	room -= l.lines
	if has.rows > 0 && room >= 4 {
		l.head = y
		y, room = y+1, room-1
	}
	l.list = y
	if room >= 4 {
		l.said = min(has.detail, 1+room/8)
		room -= l.said
	}
	if room >= 8 {
		room -= 2 // blank rows around what is said
	}
	l.rows = min(has.rows, max((room+1)/2, room-(has.lines-l.lines)))
	room -= l.rows
	more := min(has.lines-l.lines, max(room, 0))
	l.lines, room = l.lines+more, room-more
	l.grow(room, has.tall)
	l.place()
	return l
}

// grow gives what is left to taller rows, with a gap between them.
func (l *driftLayout) grow(room, most int) {
	for tall := most; l.rows > 0 && tall > 1 && l.pillar == 1; tall-- {
		if l.rows*tall <= room {
			l.pillar, l.gap = tall, 1
		}
	}
}

// place says where the parts below the list begin.
func (l *driftLayout) place() {
	y := l.list + l.rows*(l.pillar+l.gap)
	left := l.foot - y - l.said - l.lines
	if left > 0 && l.said > 0 {
		y, left = y+1, left-1
	}
	l.detail = y
	y += l.said
	if left > 0 {
		y++
	}
	l.text = y
}

// lead is the width of the sign before the chosen row.
func lead(chosen bool) string {
	if chosen {
		return "> "
	}
	return "  "
}

// tableColumns are how many cells each column of a recipe's page takes, 0 for
// one that is not shown.
type tableColumns struct{ name, strip, middle, timely, within, trend, control int }

// columnsFor fits the columns into a width: the strip takes what is left.
func (t driftTable) columnsFor(width int) tableColumns {
	c := tableColumns{name: draw.Width("beat"), middle: draw.Width("median"), timely: draw.Width("share")}
	trend, control := draw.Width("trend"), draw.Width("limits")
	for _, r := range t.rows {
		c.name = max(c.name, draw.Width(r.name()))
		c.middle = max(c.middle, draw.Width(r.figure(r.summary.Median)))
		c.timely = max(c.timely, draw.Width(share(r.summary.OnTime)))
		c.within = max(c.within, draw.Width(within(r.summary.OnTime)))
		trend, control = max(trend, draw.Width(r.said.trend)), max(control, draw.Width(r.said.limits))
	}
	interval := c.within
	c.within = 0
	if width >= 72 {
		c.timely = max(c.timely, draw.Width("on time"))
		c.trend, c.control = trend, control
	}
	if width >= 110 {
		c.within = interval
	}
	if c.strip = c.left(width); c.strip < leastStrip {
		c.name = max(c.name-leastStrip+c.strip, min(c.name, leastName))
		c.strip = c.left(width)
	}
	if c.strip < 5 { // there is no picture in fewer
		c.strip = 0
		c.name = max(min(c.name, width-leadWidth-c.middle-1), 0)
		if c.left(width) < 0 {
			c.timely = 0
		}
	}
	c.strip = min(c.strip, 62)
	return c
}

// leastStrip and leastName are the widths below which a strip and a name say
// little.
const (
	leastStrip = 10
	leastName  = 10
)

// left is how many cells are left for the strip.
func (c tableColumns) left(width int) int {
	used := leadWidth + c.name + 1
	for _, w := range []int{c.middle, c.timely, c.within, c.trend, c.control} {
		if w > 0 {
			used += w + gapWidth - 1
		}
	}
	return width - used
}

// drawTitle draws the recipe's name, which survives longest, and what of it is
// looked at.
func (d Drift) drawTitle(c *draw.Canvas, what, right string) {
	name := d.filter.Recipe
	x := c.Text(0, 0, draw.Fit(name, d.width), draw.Strong)
	if d.width-x >= leastName {
		x = c.Text(x, 0, draw.Fit(": "+what, d.width-x), draw.Strong)
	}
	words := Filter{Person: d.filter.Person, Kind: d.filter.Kind, Days: d.filter.Days}.words()
	if d.every {
		words += ", all versions"
	}
	x = c.Text(x, 0, draw.Fit(words, d.width-x), draw.Plain)
	if x+2+draw.Width(right) <= d.width {
		c.Right(d.width, 0, right, draw.Faint)
	}
}

// drawText draws lines of a text from one on into rows, and says how many are
// below.
func drawText(c *draw.Canvas, x, y, rows int, lines []sheetLine, top int) {
	lines = lines[min(top, len(lines)):]
	for i := 0; i < rows && i < len(lines); i++ {
		line := lines[i]
		if below := len(lines) - i; i > 0 && i == rows-1 && below > 1 {
			line = sheetLine{draw.Fit(fmt.Sprintf("... %d more lines: page-down", below), c.Width-x), draw.Faint}
		}
		c.Text(x, y+i, line.text, line.role)
	}
}

// sayState draws what stands where the page would, where there is none of it,
// and reports whether there is.
func (d Drift) sayState(c *draw.Canvas) bool {
	var text string
	role := draw.Faint
	switch {
	case d.err != nil:
		text, role = "! "+d.err.Error(), draw.Caution
	case d.waiting:
		text = "looking"
	default:
		return false
	}
	y := min(1, max(d.height-1, 0))
	if d.height >= 16 {
		y++
	}
	for i, line := range draw.WrapWhole(text, d.width) {
		c.Text(0, y+i, line, role)
	}
	return true
}

// Draw returns the page on a canvas of its size.
func (d Drift) Draw() *draw.Canvas {
	c := draw.NewCanvas(d.width, d.height)
	switch d.view {
	case onBeat:
		d.drawBeat(c)
	case onPersons:
		d.drawPersons(c)
	default:
		d.drawTable(c)
	}
	return c
}

// measured says by what a page goes.
func (d Drift) measured() string { return string(d.measure) }

// page is how far a key scrolls the text, last how far it goes at most.
func (d Drift) page() int {
	shown, _ := d.scrolls()
	return max(shown-1, 1)
}

func (d Drift) last() int {
	shown, lines := d.scrolls()
	return max(lines-shown, 0)
}

// scrolls returns how many lines of the text are shown, and how many there are.
func (d Drift) scrolls() (shown, lines int) {
	switch d.view {
	case onBeat:
		l, figures, _ := d.beatParts()
		return l.figures.h, len(figures)
	case onPersons:
		l, text := d.personsLayout()
		return l.lines, len(text)
	}
	l, text := d.tableLayout()
	return l.lines, len(text)
}
