package bar

func newTight(p *Problem, opt options) *tight {
	s := &tight{p: p, opt: opt, limit: worst, cost: worst}
	n := len(p.Orders)
	if n == 0 {
		s.best, s.cost = Plan{Zeros: []int{}, Starts: [][]int{}}, 0
		return s
	}
	s.of = make([]int, n)
	for j, o := range p.Orders {
		s.of[j] = o.Pattern
	}
	for _, r := range p.Resources {
		s.shared = s.shared || r.Capacity > 1
	}
	for i := range p.Patterns {
		s.shapes = append(s.shapes, p.Patterns[i].shape())
	}
	s.pairs()
	s.span()
	s.frames = make([]tightFrame, n+1)
	for i := range s.frames {
		s.frames[i] = s.newFrame()
	}
	s.depth = 1
	if f := &s.frames[0]; !s.begin(f) || s.cut(f) {
		s.depth = 0
	}
	return s
}

// pairs works out how the patterns clash with one another.
func (s *tight) pairs() {
	n := len(s.shapes)
	one := func(r int) bool { return s.p.Resources[r].Capacity == 1 }
	all := func(int) bool { return true }
	s.unit, s.any = make([][]apart, n), make([][]apart, n)
	least, ready := make([][]int, n), make([]int, n)
	for a := range n {
		least[a] = make([]int, n)
		ready[a] = s.shapes[a].ready
		for b := range n {
			s.unit[a] = append(s.unit[a], clash(s.shapes[a], s.shapes[b], one))
			s.any[a] = append(s.any[a], clash(s.shapes[a], s.shapes[b], all))
			least[a][b] = s.unit[a][b].soonestBehind()
		}
	}
	s.counts, s.earliest = make([]int, n), make([]int, n)
	for _, pat := range s.of {
		s.counts[pat]++
	}
	s.seq = newSequence(least, ready, s.counts)
}

// span finds the range of zeros and of ticks.
func (s *tight) span() {
	s.low, s.tick = s.p.soonest(0)-s.shapes[s.of[0]].first, s.p.soonest(0)
	high := s.low
	for j, pat := range s.of {
		s.low = min(s.low, s.p.soonest(j)-s.shapes[pat].first)
		s.tick = min(s.tick, s.p.soonest(j))
		high = max(high, s.p.Horizon-s.shapes[pat].last)
	}
	s.words = (max(high-s.low, 0) + 64) / 64
	s.ticks = max(s.p.Horizon-s.tick, 0)
}

func (s *tight) newFrame() tightFrame {
	n := len(s.of)
	f := tightFrame{bit: make([]int, n), soonest: make([]int, n), used: make([][]int16, len(s.p.Resources)), sums: make([][]int32, len(s.p.Resources))}
	all, used := make([]uint64, 3*n*s.words), make([]int16, len(f.used)*s.ticks)
	cut := func() (out []set) {
		for range n {
			out, all = append(out, set(all[:s.words:s.words])), all[s.words:]
		}
		return out
	}
	f.free, f.out, f.lined = cut(), cut(), cut()
	for r := range f.used {
		f.used[r], used = used[:s.ticks:s.ticks], used[s.ticks:]
	}
	return f
}

// begin sets up the frame in which nothing is placed and reports whether
// every brew can be made at all.
func (s *tight) begin(f *tightFrame) bool {
	f.left, f.pending = len(s.of), barred{order: -1}
	for j, pat := range s.of {
		f.bit[j] = -1
		sh := s.shapes[pat]
		if !s.p.Patterns[pat].possible(sh, s.p.Resources) {
			return false
		}
		f.free[j].addRange(s.p.soonest(j)-sh.first-s.low, s.p.Horizon-sh.last-s.low+1)
	}
	return true
}
