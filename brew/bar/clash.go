package bar

import (
	"cmp"
	"slices"
)

// starts and ends of a span in the soonest plan.
func (f *elasticFrame) from(s span) int { return f.net.at(0, s.from.at) + s.from.off }
func (f *elasticFrame) to(s span) int   { return f.net.at(0, s.to.at) + s.to.off }

// clash is a set of spans that over-books a resource in the soonest plan.
type clashing struct {
	spans []span
	loss  int // ticks that some order loses whoever goes first
	at    int
}

// worse reports whether one clash is to be settled ahead of another: that
// which costs most, so that the bounds rise soon, and then the earliest.
func (c clashing) worse(than clashing) bool {
	return len(than.spans) == 0 || cmp.Or(cmp.Compare(c.loss, than.loss), cmp.Compare(than.at, c.at)) > 0
}

// clash returns the worst over-booking of the soonest plan; none has spans
// where all is well.
func (s *elastic) clash(f *elasticFrame) clashing {
	var worst clashing
	for _, i := range f.open {
		a, b := s.pairs[i].a, s.pairs[i].b
		at := max(f.from(a), f.from(b))
		if at >= min(f.to(a), f.to(b)) {
			continue
		}
		if c := (clashing{nil, min(s.lost(f, a, b), s.lost(f, b, a)), at}); len(worst.spans) == 0 || c.worse(worst) {
			c.spans = []span{a, b}
			worst = c
		}
	}
	for _, g := range s.groups {
		worst = s.overBooked(f, g, worst)
	}
	return worst
}

// overBooked returns the worst over-booking of one resource, if it is worse
// than the one given.
func (s *elastic) overBooked(f *elasticFrame, g group, worst clashing) clashing {
	order := s.active[:0]
	for i := range g.spans {
		order = append(order, i)
	}
	s.active = order
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(f.from(g.spans[a]), f.from(g.spans[b])) })
	for n, i := range order {
		at := f.from(g.spans[i])
		if at >= f.to(g.spans[i]) || n+1 < len(order) && f.from(g.spans[order[n+1]]) == at {
			continue
		}
		if set := f.over(g, order[:n+1], at); set != nil {
			if c := (clashing{set, s.leastLost(f, set), at}); c.worse(worst) {
				worst = c
			}
		}
	}
	return worst
}

// leastLost returns what the cheapest way out of a clash costs an order.
func (s *elastic) leastLost(f *elasticFrame, set []span) int {
	least := worst
	for i, a := range set {
		for k, b := range set {
			if ab := before(a, b); i != k && f.net.can(ab.from, ab.to, ab.least) {
				least = min(least, s.lost(f, a, b))
			}
		}
	}
	return least
}

// over returns one span more than there is room for of those that are on at
// the tick, nil where there is room. What is past takes its place whether
// there was room or not.
func (f *elasticFrame) over(g group, begun []int, at int) []span {
	var on []span
	fixed := 0
	for _, fixedNow := range [2]bool{false, true} {
		for _, i := range begun {
			sp := g.spans[i]
			if sp.fixed != fixedNow || f.to(sp) <= at {
				continue
			}
			on = append(on, sp)
			if sp.fixed {
				fixed++
			}
		}
	}
	if len(on) <= max(g.capacity, fixed) {
		return nil
	}
	return on[:g.capacity+1]
}

// branch finds the worst over-booking of the soonest plan and lists the
// ways out of it, that of least delay first; no branches where all is well.
func (s *elastic) branch(f *elasticFrame) {
	f.branches, f.next = f.branches[:0], 0
	set := s.clash(f).spans
	if set == nil {
		s.branchPassing(f)
		return
	}
	for i, a := range set {
		for k, b := range set {
			if i == k {
				continue
			}
			if ab := before(a, b); f.net.can(ab.from, ab.to, ab.least) {
				f.branches = append(f.branches, ab)
			}
		}
	}
	delay := func(a arc) int { return f.net.at(0, a.from) + a.least - f.net.at(0, a.to) }
	slices.SortStableFunc(f.branches, func(a, b arc) int { return cmp.Compare(delay(a), delay(b)) })
	if len(f.branches) == 0 {
		f.branches = append(f.branches, arc{0, 0, 1}) // no way out: a branch that fails
	}
}
