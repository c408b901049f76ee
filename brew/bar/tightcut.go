package bar

import "math/bits"

func trailing(v uint64) int { return bits.TrailingZeros64(v) }

// cut reports whether nothing in the frame's branch can be better than what
// is known.
func (s *tight) cut(f *tightFrame) bool {
	if !s.aim(f) {
		return true
	}
	if s.bound(f); f.bound >= s.limit {
		return true
	}
	return s.opt.activity && s.idle(f)
}

// aim finds the first zero of every order that is not placed and reports
// whether each has one. Of equal orders the later begins no sooner.
func (s *tight) aim(f *tightFrame) bool {
	for j, at := range f.bit {
		if at >= 0 {
			continue
		}
		from := 0
		if s.p.InTurn {
			for i := range j {
				if s.of[i] == s.of[j] && f.bit[i] < 0 {
					from = f.soonest[i]
				}
			}
		}
		if f.soonest[j] = f.free[j].firstAbove(f.out[j], from); f.soonest[j] < 0 {
			return false
		}
	}
	return true
}

// bound works out what any plan of the branch costs at least, by three
// arguments: each order alone, how closely brews can follow one another, and
// the work of each resource.
func (s *tight) bound(f *tightFrame) {
	sum, end := f.sum, f.end
	for j, at := range f.bit {
		if at < 0 {
			ready := f.soonest[j] + s.low + s.shapes[s.of[j]].ready
			sum, end = sum+ready, max(end, ready)
		}
	}
	f.bound = max(f.bound, s.p.Goal.price(sum, end))
	if !s.opt.bounds || f.bound >= s.limit {
		return
	}
	lined, last := s.inLine(f)
	sum, end = max(sum, f.sum+lined), max(end, last)
	f.bound = max(f.bound, s.p.Goal.price(sum, end))
	for r := range s.p.Resources {
		if f.bound >= s.limit {
			return
		}
		worked, last := s.worked(f, r)
		sum, end = max(sum, f.sum+worked), max(end, last)
		f.bound = max(f.bound, s.p.Goal.price(sum, end))
	}
}

// inLine bounds what is left by how closely its brews can follow.
func (s *tight) inLine(f *tightFrame) (sum, end int) {
	clear(s.counts)
	for j, at := range f.bit {
		if at >= 0 {
			continue
		}
		pat := s.of[j]
		if soonest := f.soonest[j] + s.low; s.counts[pat] == 0 || soonest < s.earliest[pat] {
			s.earliest[pat] = soonest
		}
		s.counts[pat]++
	}
	return s.seq.bound(s.counts, s.earliest)
}

// worked bounds what is left by one resource's work.
func (s *tight) worked(f *tightFrame, resource int) (sum, end int) {
	m := &s.machine
	m.jobs = m.jobs[:0]
	for j, at := range f.bit {
		if at >= 0 {
			continue
		}
		sh, zero := s.shapes[s.of[j]], f.soonest[j]+s.low
		first, last, work := 0, 0, 0
		for _, v := range sh.uses {
			if v.resource != resource || v.from >= sh.ready {
				continue
			}
			to := min(v.to, sh.ready)
			if work == 0 || v.from < first {
				first = v.from
			}
			if work == 0 || to > last {
				last = to
			}
			work += to - v.from
		}
		if work == 0 {
			sum, end = sum+zero+sh.ready, max(end, zero+sh.ready)
			continue
		}
		m.jobs = append(m.jobs, job{head: zero + first - s.tick, work: work, tail: s.tick + sh.ready - last})
	}
	if len(m.jobs) < 2 {
		return 0, 0
	}
	m.rate = s.p.Resources[resource].Capacity
	m.free = f.freeUnits(resource, m.rate)
	moreSum, moreEnd := m.bound()
	return sum + moreSum, max(end, moreEnd)
}

// freeUnits returns how many units of a resource are left ahead of each tick, as
// far as what is placed reaches.
func (f *tightFrame) freeUnits(resource, capacity int) []int32 {
	if sums := f.sums[resource]; len(sums) > 0 {
		return sums
	}
	sum, sums := int32(0), append(f.sums[resource], 0)
	for _, n := range f.used[resource][:f.reach] {
		sum += int32(capacity) - int32(n)
		sums = append(sums, sum)
	}
	f.sums[resource] = sums
	return sums
}

// idle reports whether some order was left out of a zero that will stay free
// for it ahead of where it ends up: the same plan with that order there is
// better, or has a smaller sum of zeros, so this branch need not be looked
// at. A bar that can never matter again is forgotten.
func (s *tight) idle(f *tightFrame) bool {
	kept := f.bars[:0]
	for i, b := range f.bars {
		at := f.bit[b.order]
		if !f.free[b.order].has(b.bit) || at >= 0 && at < b.bit {
			continue
		}
		kept = append(kept, b)
		if at < 0 && f.soonest[b.order] < b.bit || s.passing() && !s.passesNobody(f, b) || s.mayBlock(f, b) {
			continue
		}
		f.bars = append(kept, f.bars[i+1:]...)
		return true
	}
	f.bars = kept
	return false
}

// passesNobody reports whether the order at the bar would go ahead of no
// earlier one.
func (s *tight) passesNobody(f *tightFrame, b barred) bool {
	for i := range b.order {
		if f.bit[i] < 0 || f.bit[i] > b.bit {
			return false
		}
	}
	return true
}

// mayBlock reports whether an order that is not placed yet might take the
// bar's place.
func (s *tight) mayBlock(f *tightFrame, b barred) bool {
	for u, at := range f.bit {
		if at >= 0 || u == b.order {
			continue
		}
		ap := s.any[s.of[b.order]][s.of[u]]
		if f.free[u].meetsShifted(f.out[u], ap.at, b.bit+ap.base) {
			return true
		}
	}
	return false
}
