package draw

import "math"

// Heap is how many values lie at one place.
type Heap struct {
	At float64 // in the unit of the spread
	N  int
}

// Spread is many values and the window they are set against, all in one unit.
type Spread struct {
	Heaps     []Heap  // in rising order
	Low, High float64 // the window's edges; a value on an edge is inside
	HasWindow bool
}

// leastSpread is the width from which on there is room for both edges of a
// window, and a column on either side of each.
const leastSpread = 5

// Strip draws the values as columns as high as they are many, between the
// edges of their window, [ and ]: what stands left of it is early, what stands
// right of it late. The window takes the middle half whatever its length, so
// that strips below each other can be compared. What lies beyond the picture is
// drawn as < or > at its end. Without a window the picture reaches from the
// least to the largest value. Narrower than 5 columns it is blank.
func Strip(width, height int, s Spread, ascii bool) *Canvas {
	c := NewCanvas(width, height)
	if c.Width < leastSpread || c.Height == 0 {
		return c
	}
	a, signs := s.axis(c.Width), spreadSigns(ascii)
	counts, most := a.counts(s.Heaps)
	for x, n := range counts {
		a.pillar(c, x, n, most, signs)
	}
	if zero, ok := a.column(0); ok && counts[zero] == 0 {
		c.Set(zero, c.Height-1, ':', Faint)
	}
	for _, edge := range a.edges() {
		for y := range c.Height {
			c.Set(edge.x, y, edge.sign, Strong)
		}
	}
	if a.before {
		c.Set(0, c.Height-1, '<', Early)
	}
	if a.behind {
		c.Set(c.Width-1, c.Height-1, '>', Late)
	}
	return c
}

// StripAxis writes the figures of the window's edges and of zero below their
// columns of a strip, or those of the least and the largest value where there
// is no window. What would touch a figure already written is left out.
func StripAxis(width int, s Spread, label func(float64) string) *Canvas {
	c := NewCanvas(width, 1)
	if c.Width < leastSpread || len(s.Heaps) == 0 && !s.HasWindow {
		return c
	}
	a := s.axis(c.Width)
	places := []float64{a.low, a.high, 0}
	for _, v := range places {
		x, ok := a.column(v)
		switch {
		case s.HasWindow && v == a.low:
			x = a.left
		case s.HasWindow && v == a.high:
			x = a.left + a.inside + 1
		case !ok:
			continue
		}
		c.centred(x, 0, label(v))
	}
	return c
}

// centred writes a figure around column x where there is room for it.
func (c *Canvas) centred(x, y int, text string) {
	w := Width(text)
	from := max(0, min(x-w/2, c.Width-w))
	for i := from - 1; i <= from+w; i++ {
		if c.At(i, y).Rune != 0 {
			return
		}
	}
	c.Text(from, y, text, Faint)
}

// spreadAxis is how values become columns.
type spreadAxis struct {
	low, high      float64
	left, inside   int // columns before the window's edge, and between its edges
	width          int
	windowed       bool
	before, behind bool // something lies beyond the picture
}

type spreadEdge struct {
	x    int
	sign rune
}

// axis returns the axis of a strip. A window without any length is taken to be
// a second long to each side.
func (s Spread) axis(width int) *spreadAxis {
	a := &spreadAxis{low: s.Low, high: s.High, width: width, inside: width, windowed: s.HasWindow}
	if s.HasWindow {
		a.inside = max((width-2)/2, 1)
		a.left = (width - 2 - a.inside) / 2
	} else if len(s.Heaps) > 0 {
		a.low, a.high = s.Heaps[0].At, s.Heaps[len(s.Heaps)-1].At
	}
	if a.high <= a.low {
		a.low, a.high = a.low-1, a.low+1
	}
	return a
}

func (a *spreadAxis) edges() []spreadEdge {
	if !a.windowed {
		return nil
	}
	return []spreadEdge{{a.left, '['}, {a.left + a.inside + 1, ']'}}
}

// column returns the column of a value, and false where it lies beyond the
// picture; the column is then the last one on its side.
func (a *spreadAxis) column(v float64) (x int, ok bool) {
	place := a.place(v)
	x = int(math.Floor(max(-1, min(place, float64(a.width)))))
	if from, to := a.zone(v); x < from || x >= to {
		return max(from, min(x, to-1)), from < x && x == to && v == a.high
	}
	return x, true
}

// place is where a value lies along the picture, in columns.
func (a *spreadAxis) place(v float64) float64 {
	at := float64(a.left) + (v-a.low)/(a.high-a.low)*float64(a.inside)
	switch {
	case !a.windowed || v < a.low:
		return at
	case v > a.high:
		return at + 2
	}
	return at + 1
}

// zone returns the columns [from, to) of what is early, inside or late, as the
// value is.
func (a *spreadAxis) zone(v float64) (from, to int) {
	switch {
	case !a.windowed:
		return 0, a.width
	case v < a.low:
		return 0, a.left
	case v > a.high:
		return a.left + a.inside + 2, a.width
	}
	return a.left + 1, a.left + 1 + a.inside
}

// grain is how long a piece of the axis a heap stands for: values are told
// apart to a tenth.
const grain = 0.1

// counts heaps the values by columns. A heap is spread over the columns that
// its grain covers, or columns would be fuller by turns where they are about as
// narrow as that; what of it would lie beyond the window's edge is left out.
func (a *spreadAxis) counts(heaps []Heap) (counts []float64, most float64) {
	counts = make([]float64, a.width)
	for _, h := range heaps {
		x, ok := a.column(h.At)
		a.before = a.before || !ok && h.At < a.low
		a.behind = a.behind || !ok && h.At > a.high
		half := grain / 2 / (a.high - a.low) * float64(a.inside)
		middle := a.place(h.At)
		from, to := a.zone(h.At)
		if !ok || half <= 0 {
			counts[x] += float64(h.N)
			continue
		}
		low, high := max(middle-half, float64(from)), min(middle+half, float64(to))
		for i := max(int(low), from); i < to && float64(i) < high; i++ {
			counts[i] += float64(h.N) * (min(high, float64(i+1)) - max(low, float64(i))) / (2 * half)
		}
	}
	for _, n := range counts {
		most = max(most, n)
	}
	return counts, most
}

// pillar draws one column: as high as it has values, at least an eighth of a
// row where it has any.
func (a *spreadAxis) pillar(c *Canvas, x int, n, most float64, levels []rune) {
	if n == 0 {
		return
	}
	role := OnTime
	switch {
	case !a.windowed:
		role = Plain
	case x < a.left:
		role = Early
	case x > a.left+a.inside:
		role = Late
	}
	eighths := max(1, int(n/most*float64(8*c.Height)+0.5))
	for row := 0; eighths > 8*row; row++ {
		c.Set(x, c.Height-1-row, levels[min(eighths-8*row, 8)-1], role)
	}
}

// spreadSigns returns the characters for one to eight eighths of a row.
func spreadSigns(ascii bool) []rune {
	if ascii {
		return []rune("..::++##")
	}
	return []rune(blockSigns.levels)
}
