package draw

import (
	"fmt"
	"time"

	"barline/brew"
)

// Timeline draws the picture: time runs left to right under a playhead, the
// water as a rising stair, busy spans solid and free ones thin, marks where
// they fell. It is never larger than asked. With less height it leaves out,
// in this order: the stair, the row of marks (they move onto the spans), the
// labels, the ruler, the clock above the playhead; then lanes, the last ones
// first, and says how many.
func Timeline(width, height int, p Picture, ascii bool) *Canvas {
	c := NewCanvas(width, height)
	if c.Width == 0 || c.Height == 0 || len(p.Lanes) == 0 {
		return c
	}
	rows := share(c.Height, p)
	f := frame{Canvas: c, p: p, rows: rows, signs: blockSigns, ascii: ascii}
	if ascii {
		f.signs = asciiSigns
	}
	f.axis = f.lay()
	f.draw()
	return c
}

// frame is one picture being drawn.
type frame struct {
	*Canvas
	p     Picture
	rows  rows
	axis  axis
	signs signs
	ascii bool
}

// rows says which rows a picture has: those of the whole, and those of each
// lane, from above: stair, bar, marks, labels.
type rows struct {
	lanes, left          int // shown, and left out
	clock, ruler         int
	stair, marks, labels int
}

const (
	leastStair = 2 // rows, below which a stair shows nothing
	tallStair  = 5 // rows, from which on a second row of labels is better used
)

// share divides a height among the rows by their importance.
func share(height int, p Picture) rows {
	r := rows{lanes: len(p.Lanes)}
	if r.lanes > height {
		r.lanes = max(height-1, 1)
		r.left = len(p.Lanes) - r.lanes
		return r
	}
	free := height - r.lanes
	take := func(n int) int {
		if free < n {
			return 0
		}
		free -= n
		return 1
	}
	if !p.Still {
		r.clock = take(1)
	}
	r.ruler = take(1)
	r.labels = take(r.lanes)
	r.marks = take(r.lanes)
	switch each := free / r.lanes; {
	case each >= leastStair && p.watered():
		r.stair = each
		if each > tallStair {
			r.stair, r.labels = each-1, 2
		}
	case each > 0:
		r.labels = 2
	}
	return r
}

// watered reports whether any lane has a stair.
func (p Picture) watered() bool {
	for _, l := range p.Lanes {
		if len(l.Stair) > 0 {
			return true
		}
	}
	return false
}

// lay returns where time lies: right of a gutter with the names of lanes and
// the weights, which is left out on narrow screens.
func (f frame) lay() axis {
	gutter := 0
	for _, l := range f.p.Lanes[:f.rows.lanes] {
		gutter = max(gutter, Width(l.title())+1)
		if f.rows.stair > 0 && len(l.Stair) > 0 {
			gutter = max(gutter, Width(l.weight())+1)
		}
	}
	gutter = min(gutter, f.Width/4)
	if gutter < 4 || f.Width < 30 {
		gutter = 0
	}
	a := axis{left: gutter, columns: f.Width - gutter, from: f.p.From, to: f.p.To}
	if a.to <= a.from {
		a.from, a.to = f.p.Shown(a.columns)
	}
	return a
}

// title is a lane's name, with a sign where its zero is not known.
func (l Lane) title() string {
	if l.Name != "" && l.Floating {
		return l.Name + " ?"
	}
	return l.Name
}

// weight is what stands beside the top of a lane's stair.
func (l Lane) weight() string { return fmt.Sprintf("%.0f g", l.most()) }

func (f frame) draw() {
	y := f.rows.clock
	for _, l := range f.p.Lanes[:f.rows.lanes] {
		y = f.lane(y, l)
	}
	f.clock()
	if f.rows.ruler > 0 {
		f.ruler(y)
	}
	if f.rows.left > 0 && f.Height > 1 {
		f.Text(0, f.Height-1, Fit(fmt.Sprintf("and %d more", f.rows.left), f.Width), Faint)
	}
}

// lane draws a lane from row y on and returns the row behind it.
func (f frame) lane(y int, l Lane) int {
	if f.rows.stair > 0 && len(l.Stair) > 0 {
		f.stair(y, l)
		f.gutter(y, l.weight(), Water)
	}
	y += f.rows.stair
	f.bar(y, l)
	f.gutter(y, l.title(), Plain)
	y++
	if f.rows.marks > 0 {
		f.marks(y, l.Marks)
	} else {
		f.marksOnBar(y-1, l.Marks)
	}
	y += f.rows.marks
	f.labels(y, l.Spans)
	return y + f.rows.labels
}

// gutter writes a text left of the time.
func (f frame) gutter(y int, text string, role Role) {
	if room := f.axis.left - 1; room > 0 {
		f.Text(0, y, Fit(text, room), role)
	}
}

// clock writes the clock above the playhead.
func (f frame) clock() {
	x, shown := f.axis.column(f.p.Now)
	if f.rows.clock == 0 || !shown {
		return
	}
	clock := brew.Clock(f.p.Now)
	w := Width(clock)
	f.Text(max(0, min(x-w/2, f.Width-w)), 0, clock, Now)
}

// head draws the playhead across a row. What must not be covered by it is
// drawn afterwards.
func (f frame) head(y int) {
	if x, shown := f.axis.column(f.p.Now); shown && !f.p.Still {
		f.Set(x, y, f.signs.head[f.axis.half(f.p.Now)%2], Now)
	}
}

// now returns the moment of the playhead, or one that nothing reaches.
func (f frame) now() time.Duration {
	if f.p.Still {
		return never
	}
	return f.p.Now
}

const never = time.Duration(-1 << 63)
