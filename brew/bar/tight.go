package bar

// tight searches the plans of rigid brews. It rests on this: take the best
// plan with the least sum of zeros, and any of its brews as listed. Among the
// rest one begins as soon as it may, or has a use that begins exactly where a
// listed brew's use of the same resource ends; for otherwise all of the rest
// could begin one tick sooner. So a branch is 'this brew at this tight point'
// or 'not there', and every plan worth having is met once.
type tight struct {
	p        *Problem
	opt      options
	shapes   []shape
	of       []int     // the pattern of each order
	unit     [][]apart // between patterns, by resources of which there is one
	any      [][]apart // by any resource
	seq      *sequence
	low      int // the zero that bit 0 stands for
	tick     int // the tick that used[...][0] stands for
	ticks    int
	words    int // of one order's set
	shared   bool
	limit    price // what a plan must beat
	best     Plan
	cost     price // of the best; worst where there is none
	frames   []tightFrame
	depth    int // frames in use; 0 when the search is over
	machine  machine
	counts   []int
	earliest []int
}

// barred says that an order does not begin at the bit's zero.
type barred struct{ order, bit int }

type tightFrame struct {
	free    []set     // of each order: zeros that what is placed leaves it
	out     []set     // of each order: zeros that this branch leaves out
	lined   []set     // of each order: tight points that are no left end of a run of free
	used    [][]int16 // of each resource, by tick
	reach   int       // ticks of used behind which there is nothing
	sums    [][]int32 // of each resource, what is left ahead of each tick; empty until it is asked for
	bit     []int     // where each order is placed, -1 for not yet
	soonest []int     // the least bit of each order that is not placed
	bars    []barred
	left    int
	sum     int // of the placed orders' ready times
	end     int
	bound   price
	pending barred // the branch under way; order -1 for none
}

// copyFrom makes f the same as another frame.
func (f *tightFrame) copyFrom(o *tightFrame, shared bool) {
	for j := range f.free {
		copy(f.free[j], o.free[j])
		copy(f.out[j], o.out[j])
		if shared {
			copy(f.lined[j], o.lined[j])
		}
	}
	for r := range f.used {
		copy(f.used[r], o.used[r])
		f.sums[r] = f.sums[r][:0]
	}
	copy(f.bit, o.bit)
	copy(f.soonest, o.soonest)
	f.bars = append(f.bars[:0], o.bars...)
	f.left, f.reach, f.sum, f.end, f.bound, f.pending = o.left, o.reach, o.sum, o.end, o.bound, barred{order: -1}
}

// step takes one node and reports whether there is more to do.
func (s *tight) step() bool {
	if s.depth == 0 {
		return false
	}
	f := &s.frames[s.depth-1]
	if f.pending.order >= 0 {
		b := f.pending
		f.pending.order = -1
		f.out[b.order].add(b.bit)
		f.bars = append(f.bars, b)
		if s.cut(f) {
			s.depth--
			return s.depth > 0
		}
	}
	b, any := s.candidate(f)
	if !any {
		s.depth--
		return s.depth > 0
	}
	f.pending = b
	child := &s.frames[s.depth]
	child.copyFrom(f, s.shared || s.passing())
	s.place(child, b.order, b.bit)
	switch {
	case child.left == 0:
		s.record(child)
	case !s.cut(child):
		s.depth++
	}
	return true
}

// candidate returns the earliest tight point of any order.
func (s *tight) candidate(f *tightFrame) (b barred, any bool) {
	for j, at := range f.bit {
		if at >= 0 {
			continue
		}
		if bit := s.tightFrom(f, j, f.soonest[j]); bit >= 0 && (!any || bit < b.bit) {
			b, any = barred{j, bit}, true
		}
	}
	return b, any
}

// tightFrom returns the first tight point of the order that is not left out,
// -1 for none: a left end of a run of its free zeros, or a point lined up.
func (s *tight) tightFrom(f *tightFrame, j, from int) int {
	free, out, lined := f.free[j], f.out[j], f.lined[j]
	for w := from >> 6; w < len(free); w++ {
		below := free[w] << 1
		if w > 0 {
			below |= free[w-1] >> 63
		}
		left := free[w] &^ below
		v := (left | free[w]&lined[w]) &^ out[w]
		if w == from>>6 {
			v &= ^uint64(0) << (from & 63)
		}
		for ; v != 0; v &= v - 1 {
			if bit := w<<6 + trailing(v); left&(v&-v) != 0 || s.leans(f, j, bit) {
				return bit
			}
		}
	}
	return -1
}

// leans reports whether the order, placed there, could not begin a tick
// sooner together with all that is not placed: it would pass an earlier order
// that begins with it, or it has a use that begins where the listed ones' use
// of a resource falls, and enough is left to fill that resource up.
func (s *tight) leans(f *tightFrame, j, bit int) bool {
	if s.passing() {
		for u := range j {
			if f.bit[u] == bit {
				return true
			}
		}
	}
	for _, v := range s.shapes[s.of[j]].uses {
		used, i := f.used[v.resource], bit+s.low+v.from-s.tick
		if i > 0 && used[i-1] > used[i] && int(used[i-1])+f.left > s.p.Resources[v.resource].Capacity {
			return true
		}
	}
	return false
}

// record keeps the plan of a frame in which all is placed, if it is better.
func (s *tight) record(f *tightFrame) {
	worth := s.p.Goal.price(f.sum, f.end)
	if worth >= s.limit {
		return
	}
	s.limit, s.cost = worth, worth
	zeros := make([]int, len(f.bit))
	for j, bit := range f.bit {
		zeros[j] = bit + s.low
	}
	s.best = s.p.written(zeros)
}

// written returns the plan of the recipes' own times behind the given zeros.
func (p *Problem) written(zeros []int) Plan {
	pl := Plan{Zeros: zeros, Starts: make([][]int, len(zeros))}
	for j, zero := range zeros {
		acts := p.pattern(j).Acts
		pl.Starts[j] = make([]int, len(acts))
		for a, act := range acts {
			pl.Starts[j][a] = zero + act.Start
		}
	}
	return pl
}

// frontier returns a lower bound on every plan not yet met.
func (s *tight) frontier() price {
	low := worst
	for i := range s.depth {
		low = min(low, s.frames[i].bound)
	}
	return low
}
