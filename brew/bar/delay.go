package bar

import "slices"

// Delay is why an order's cup comes later than it would if the order had the
// bar to itself.
type Delay struct {
	Longer   int  // ticks
	Act      int  // the act that cannot be any sooner; -1 where no resource is in its way
	Resource int  // what it would need
	For      Need // what has that: an act of another order, or the one a hold begins with
	Until    int  // the tick at which it is free
}

// Delays returns the delays of a plan's orders. The act named is the first
// that would be in somebody's way if the brew, with what is prepared right
// ahead of it, were one tick sooner; a brew may be late for more reasons than
// that last one. Orders that have begun have none.
func (p *Problem) Delays(pl Plan) []Delay {
	alone := make([]int, len(p.Patterns))
	for i := range alone {
		alone[i] = p.alone(i)
	}
	m := newMoments(p)
	out := make([]Delay, len(p.Orders))
	for j, o := range p.Orders {
		out[j] = Delay{Act: -1}
		if longer := p.Ready(pl, j) - o.Placed - alone[o.Pattern]; !o.Begun && longer > 0 {
			out[j] = m.delay(pl, j)
			out[j].Longer = longer
		}
	}
	return out
}

// alone returns how many ticks after it is ordered a brew is ready at the
// soonest, with the bar to itself.
func (p *Problem) alone(pattern int) int {
	one := &Problem{Resources: p.Resources, Patterns: p.Patterns, Orders: []Order{{Pattern: pattern}}, Goal: Wait, Passing: -1}
	one.Horizon = p.Patterns[pattern].extent()
	s, err := NewSearch(one, nil)
	if err != nil {
		return 0
	}
	s.Advance(1000)
	pl, any := s.Best()
	if !any {
		return 0
	}
	return one.Ready(pl, 0)
}

// delay finds what is in the way of an order one tick sooner.
func (m *moments) delay(pl Plan, j int) Delay {
	needs := m.needs()
	out := Delay{Act: -1}
	for i, a := range m.spans {
		at := m.when(pl, a.from)
		if a.order != j || !m.moved(pl, j, needs[i].Act) || out.Act >= 0 && at >= pl.Starts[j][out.Act] {
			continue
		}
		taken, last := 0, -1 // by others; the one that has it longest
		for k, b := range m.spans {
			if b.order == j || b.resource != a.resource || m.when(pl, b.from) >= at || m.when(pl, b.to) < at {
				continue
			}
			taken++
			if last < 0 || m.when(pl, b.to) < m.when(pl, m.spans[last].to) {
				last = k
			}
		}
		if taken >= m.p.Resources[a.resource].Capacity {
			out = Delay{Act: needs[i].Act, Resource: a.resource, For: needs[last], Until: m.when(pl, m.spans[last].to)}
		}
	}
	return out
}

// moved reports whether an act would move if the brew were a tick sooner: its
// steps, and what is prepared right ahead of one that would.
func (m *moments) moved(pl Plan, j, act int) bool {
	pat := m.p.pattern(j)
	if pl.Starts[j][act] >= pl.Zeros[j] {
		return true
	}
	end := pl.Starts[j][act] + m.p.length(j, act)
	for b, other := range pat.Acts {
		if b > act && pl.Starts[j][b] == end && slices.Contains(other.Behind, act) && m.moved(pl, j, b) {
			return true
		}
	}
	return false
}
