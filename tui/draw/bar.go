package draw

import "time"

// piece is what one half column of a bar shows.
type piece uint8

const (
	nothing piece = iota
	free
	chore
	busy
)

// bar draws a lane's spans into one row, two pieces to a cell. The playhead
// shows what is on at its moment, even where its half column holds more.
func (f frame) bar(y int, l Lane) {
	pieces, on := f.pieces(l.Spans)
	for x := range f.axis.columns {
		r, role := f.signs.bar(pieces[2*x], pieces[2*x+1], l)
		if on[2*x] || on[2*x+1] {
			role = Now
		}
		if r != 0 {
			f.Set(f.axis.left+x, y, r, role)
		}
	}
	if x, shown := f.axis.column(f.p.Now); shown && !f.p.Still {
		f.Set(x, y, f.signs.crossed(l.onAt(f.p.Now), f.axis.half(f.p.Now)%2), Now)
	}
}

// onAt returns what is on at a moment.
func (l Lane) onAt(now time.Duration) piece {
	on := nothing
	for _, s := range l.Spans {
		if s.on(now) {
			on = max(on, s.piece())
		}
	}
	return on
}

// pieces returns what each half column shows, and which of them belong to a
// span that is on. Where several spans lie in one half column, a busy one is
// shown, else the later one. A busy span directly behind another one loses
// its first half column, so that the two are seen apart.
func (f frame) pieces(spans []Span) (pieces []piece, on []bool) {
	pieces, on = make([]piece, f.axis.halves()), make([]bool, f.axis.halves())
	for _, s := range freeFirst(spans) {
		from, to := f.extent(s)
		if s.Busy && from > 0 && to-from > 1 && pieces[from-1] == busy {
			from++
		}
		for h := from; h < to; h++ {
			pieces[h], on[h] = s.piece(), s.on(f.now())
		}
	}
	return pieces, on
}

// freeFirst returns the free spans, then the busy ones.
func freeFirst(spans []Span) []Span {
	layers := make([]Span, 0, len(spans))
	for _, wanted := range []bool{false, true} {
		for _, s := range spans {
			if s.Busy == wanted {
				layers = append(layers, s)
			}
		}
	}
	return layers
}

// extent returns the half columns [from, to) that a span takes, at least one
// if it is in sight.
func (f frame) extent(s Span) (from, to int) {
	from, to = f.axis.half(s.Start), f.axis.half(s.End)
	if from >= f.axis.halves() || s.End <= f.axis.from {
		return 0, 0
	}
	return max(from, 0), min(max(to, from+1), f.axis.halves())
}

func (s Span) piece() piece {
	switch {
	case s.Chore:
		return chore
	case s.Busy:
		return busy
	}
	return free
}
