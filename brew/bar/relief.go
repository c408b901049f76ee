package bar

import "slices"

// Give is an act of a brew under way whose window cannot be kept, because
// another needs the same at the same time, or because it is late already.
type Give struct {
	Order, Act int
	Late       int // ticks behind the window's end; of what is prepared, that it waits too long
	For        int // the order that it gives way to; -1 for none
	Cup        int // ticks by which the order's cup is ready later than it could be by itself
}

// Relief returns the problem in which the brews under way can all go on:
// itself where they can, else with the windows of some acts opened by as
// little as can be, summed over the acts, and what gives way. The last result
// is false where no such plan was found within so many nodes.
func (p *Problem) Relief(nodes int) (*Problem, []Give, bool) {
	is, any := p.going()
	if _, can := p.keepGoing(); can || !any {
		return p, nil, true
	}
	alone := p.only(is)
	wide := alone.only(all(len(alone.Orders)))
	for j := range wide.Orders {
		wide.open(j, func(fixed bool) (early, late int) {
			if fixed {
				return p.Horizon, 0
			}
			return 0, p.Horizon
		})
	}
	s := unstarted(wide, options{})
	s.terms, s.ends = alone.overdue(s.m), false
	s.start(func(*net) bool { return true })
	for range nodes {
		if !s.step() {
			break
		}
	}
	if s.cost == worst {
		return p, nil, false
	}
	gives := alone.gives(s.best, s.m)
	out, number := p.only(all(len(p.Orders))), numbers(is)
	for i, g := range gives {
		gives[i].Order = number[g.Order]
		if g.For >= 0 {
			gives[i].For = number[g.For]
		}
		o, w := &out.Orders[gives[i].Order], Wide{Act: g.Act, Late: g.Late}
		if _, fixed := o.fixed(g.Act); fixed {
			w.Early, w.Late = g.Late, 0
		}
		o.Wider = append(slices.Clone(o.Wider), w)
	}
	return out, gives, true
}

// all returns that so many are in.
func all(n int) []bool {
	is := make([]bool, n)
	for i := range is {
		is[i] = true
	}
	return is
}

// open widens the windows of the order's acts that can fail to be kept (see
// due).
func (p *Problem) open(order int, by func(fixed bool) (early, late int)) {
	o := &p.Orders[order]
	o.Wider = slices.Clone(o.Wider)
	for a := range p.pattern(order).Acts {
		if _, fixed := o.fixed(a); fixed != o.Begun {
			early, late := by(fixed)
			o.Wider = append(o.Wider, Wide{a, early, late})
		}
	}
}

// numbers returns the numbers of the orders that are in.
func numbers(is []bool) (out []int) {
	for j := range is {
		if is[j] {
			out = append(out, j)
		}
	}
	return out
}

// due returns by when a moment must be for the act to keep its window: its own
// start counted from the zero of a brew that has begun, or, where the act is
// done ahead of it, the zero.
func (p *Problem) due(m *moments, j, a int) (at spot, due int, counts bool) {
	o, act := &p.Orders[j], p.act(j, a)
	f, fixed := o.fixed(a)
	switch {
	case !fixed && o.Begun:
		return m.acts[j][a], o.Zero + act.Start + act.Late, true
	case fixed && !o.Begun:
		return spot{m.zeros[j], 0}, f.Start - act.Start + act.Early, true
	}
	return spot{}, 0, false
}

// overdue returns the terms that count by how much windows are not kept. The
// free windows of a brew that has not begun are not counted: they go with its
// zero.
func (p *Problem) overdue(m *moments) (out []term) {
	for j := range p.Orders {
		for a := range p.pattern(j).Acts {
			if at, due, counts := p.due(m, j, a); counts {
				out = append(out, term{at, due})
			}
		}
	}
	return out
}

// gives lists the windows that are not kept in a plan.
func (p *Problem) gives(pl Plan, m *moments) (out []Give) {
	w, _ := m.lay()
	for j := range p.Orders {
		pat := p.pattern(j)
		for a := range pat.Acts {
			at, due, counts := p.due(m, j, a)
			if late := m.when(pl, at) - due; counts && late > 0 {
				done := m.acts[j][pat.Done]
				out = append(out, Give{j, a, late, p.inTheWay(pl, m, j, a, due), pl.Starts[j][pat.Done] - w.at(0, done.at) - done.off})
			}
		}
	}
	return out
}

// inTheWay returns the order whose use of what the act needs ends last by the
// act's start and after it was due, -1 for none.
func (p *Problem) inTheWay(pl Plan, m *moments, j, a, due int) int {
	who, last := -1, due
	for _, r := range p.pattern(j).Acts[a].Uses {
		for _, s := range m.spans {
			if end := m.when(pl, s.to); s.resource == r && s.order != j && end > last && end <= pl.Starts[j][a] {
				who, last = s.order, end
			}
		}
	}
	return who
}
