package draw

import (
	"cmp"
	"fmt"
	"slices"
	"time"
)

// Timeline draws the picture: time runs left to right under a playhead, the
// water as a rising stair, busy spans solid and free ones thin, marks where
// they fell. It is never larger than asked. With less height it leaves out,
// in this order: the stair, the row of marks (they move onto the spans), the
// labels, the ruler, the clock above the playhead; then lanes, the last ones
// first but never the one that is chosen, and lists them.
func Timeline(width, height int, p Picture, ascii bool) *Canvas {
	c := NewCanvas(width, height)
	if c.Width == 0 || c.Height == 0 || len(p.Lanes) == 0 {
		return c
	}
	f := frame{Canvas: c, p: p, rows: share(c.Height, p), signs: blockSigns, ascii: ascii}
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
	first, lanes, left   int // the first that is shown, how many are, and how many are left out
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
		r.first = max(p.chosen()-r.lanes+1, 0)
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

// chosen returns the lane to look at, 0 where none is.
func (p Picture) chosen() int {
	return max(slices.IndexFunc(p.Lanes, func(l Lane) bool { return l.Chosen }), 0)
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
	gutter, notes := 0, 0
	for _, l := range f.p.Lanes {
		gutter, notes = max(gutter, Width(f.title(l))+1), max(notes, Width(l.Note)+1)
		if f.rows.stair > 0 && len(l.Stair) > 0 {
			gutter = max(gutter, Width(l.weight())+1)
		}
	}
	gutter = min(gutter, f.Width/4)
	if gutter < 4 || f.Width < 30 {
		gutter = 0
	}
	if notes > f.Width/4 || notes == 1 {
		notes = 0
	}
	a := axis{left: gutter, columns: f.Width - gutter - notes, from: f.p.From, to: f.p.To}
	if a.to <= a.from {
		a.from, a.to = f.p.Shown(a.columns)
	}
	return a
}

// title is a lane's name, with a sign where its zero is not known, and one
// before the lane to look at.
func (f frame) title(l Lane) string {
	name := l.Name
	if name != "" && l.Floating {
		name += " ?"
	}
	switch {
	case l.Chosen:
		return ">" + name
	case f.p.Lanes[f.p.chosen()].Chosen:
		return " " + name
	}
	return name
}

// weight is what stands beside the top of a lane's stair.
func (l Lane) weight() string { return fmt.Sprintf("%.0f g", l.most()) }

func (f frame) draw() {
	shown := f.p.Lanes[f.rows.first : f.rows.first+f.rows.lanes]
	if f.Height == 1 && f.rows.left > 0 && noted(f.p.Lanes) {
		f.list(0, f.p.Lanes)
		return
	}
	y := f.rows.clock
	for _, l := range shown {
		y = f.lane(y, l)
	}
	f.clock()
	if f.rows.ruler > 0 {
		f.ruler(y)
	}
	if f.rows.left > 0 && f.Height > 1 {
		f.list(f.Height-1, slices.Concat(f.p.Lanes[:f.rows.first], f.p.Lanes[f.rows.first+f.rows.lanes:]))
	}
}

// noted reports whether anything is noted of any lane.
func noted(lanes []Lane) bool {
	return slices.ContainsFunc(lanes, func(l Lane) bool { return l.Note != "" })
}

// list names lanes and what is noted of them in one row, as many as fit, and
// says how many more there are. Where something is noted of some, the others
// are empty and do not count.
func (f frame) list(y int, lanes []Lane) {
	if noted(lanes) {
		lanes = slices.DeleteFunc(slices.Clone(lanes), func(l Lane) bool { return l.Note == "" })
	}
	x := 0
	for i, l := range lanes {
		text, rest := l.short()+" "+l.Note, fmt.Sprintf("and %d more", len(lanes)-i)
		if l.Note == "" || x+Width(text) > f.Width || i < len(lanes)-1 && x+Width(text)+2+Width(rest) > f.Width {
			f.Text(x, y, Fit(rest, f.Width-x), Faint)
			return
		}
		x = f.Text(x, y, text, l.titleRole()) + 2
	}
}

// short is a lane's name where there is little room.
func (l Lane) short() string {
	name := cmp.Or(l.Short, l.Name)
	if l.Chosen {
		return ">" + name
	}
	return name
}

// lane draws a lane from row y on and returns the row behind it.
func (f frame) lane(y int, l Lane) int {
	if f.rows.stair > 0 && len(l.Stair) > 0 {
		f.stair(y, l)
		f.gutter(y, l.weight(), Water)
	}
	y += f.rows.stair
	f.bar(y, l)
	f.gutter(y, f.title(l), l.titleRole())
	f.Text(f.axis.left+f.axis.columns+1, y, l.Note, l.titleRole())
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

// titleRole is how a lane's name and note stand out.
func (l Lane) titleRole() Role {
	switch {
	case l.Flash:
		return Inverse
	case l.Chosen:
		return Now
	}
	return Plain
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
	clock := f.figure(f.p.Now)
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
