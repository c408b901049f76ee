package bar

import "slices"

// place puts an order at the bit's zero and takes from all others what it
// leaves them no longer.
func (s *tight) place(f *tightFrame, j, bit int) {
	zero, pat := bit+s.low, s.of[j]
	f.bit[j], f.left = bit, f.left-1
	ready := zero + s.shapes[pat].ready
	f.sum, f.end = f.sum+ready, max(f.end, ready)
	f.reach = max(f.reach, zero+s.shapes[pat].last-s.tick)
	for u, other := range s.of {
		if u != j {
			ap := s.unit[pat][other]
			f.free[u].dropShifted(ap.at, bit+ap.base)
		}
	}
	for _, v := range s.shapes[pat].uses {
		s.take(f, j, v, zero)
	}
	if s.p.InTurn {
		for u, other := range s.of {
			switch {
			case other != pat:
			case u > j:
				f.free[u].dropRange(0, bit)
			case u < j:
				f.free[u].dropRange(bit+1, 64*s.words)
			}
		}
	}
	if s.passing() {
		s.limitPassing(f, j)
	}
}

// take books one use of the order, and where that fills a resource of which
// there are several, takes the ticks from the others.
func (s *tight) take(f *tightFrame, j int, v use, zero int) {
	used, capacity := f.used[v.resource], int16(s.p.Resources[v.resource].Capacity)
	full := -1 // where a run of ticks begins that are full now
	for t := zero + v.from; t <= zero+v.to; t++ {
		filled := false
		if t < zero+v.to {
			used[t-s.tick]++
			filled = capacity > 1 && used[t-s.tick] >= capacity
		}
		if filled && full < 0 {
			full = t
		}
		if !filled && full >= 0 {
			s.block(f, j, v.resource, full, t)
			full = -1
		}
	}
	if capacity > 1 {
		s.lineUp(f, v.resource, zero+v.to)
	}
}

// block takes from all others the zeros at which they would use the resource
// in [from, to).
func (s *tight) block(f *tightFrame, j, resource, from, to int) {
	for u, pat := range s.of {
		if u == j {
			continue
		}
		for _, v := range s.shapes[pat].uses {
			if v.resource == resource {
				f.free[u].dropRange(from-v.to+1-s.low, to-v.from-s.low)
			}
		}
	}
}

// lineUp notes where the others' uses of the resource would begin at the
// tick at which one ends.
func (s *tight) lineUp(f *tightFrame, resource, end int) {
	for u, pat := range s.of {
		if f.bit[u] >= 0 {
			continue
		}
		for _, v := range s.shapes[pat].uses {
			if bit := end - v.from - s.low; v.resource == resource && bit >= 0 && bit < 64*s.words {
				f.lined[u].add(bit)
			}
		}
	}
}

// passing reports whether there is a bound on later orders going first.
func (s *tight) passing() bool { return s.p.Passing >= 0 && s.p.Passing < len(s.of)-1 }

// limitPassing keeps orders from being passed by more than may pass, now that
// j is placed.
func (s *tight) limitPassing(f *tightFrame, j int) {
	may := s.p.Passing
	for u := range s.of {
		if u > j && f.bit[u] < 0 {
			f.lined[u].add(f.bit[j]) // sooner, it would pass j
		}
		var later []int
		for i := u + 1; i < len(s.of); i++ {
			if f.bit[i] >= 0 {
				later = append(later, f.bit[i])
			}
		}
		slices.Sort(later)
		switch {
		case f.bit[u] < 0 && len(later) > may:
			f.free[u].dropRange(later[may]+1, 64*s.words)
		case f.bit[u] >= 0 && (may == 0 || len(later) >= may && later[may-1] < f.bit[u]):
			for i := u + 1; i < len(s.of); i++ {
				if f.bit[i] < 0 {
					f.free[i].dropRange(0, f.bit[u])
				}
			}
		}
	}
}
