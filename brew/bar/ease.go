package bar

// Ease returns the plan that keeps another's order of work and has no cup
// ready later, with the acts as close to the recipes' own times as that
// allows (see Shift). What is fixed stays. A plan that is not sound comes
// back as it is.
//
// The sum of distances is convex along the integers in the sense of Murota
// (Discrete Convex Analysis, 2003, ch. 7): where moving no set of moments by
// one tick to either side makes it less, it is least. The best set to move is
// a minimal cut.
func (p *Problem) Ease(pl Plan) Plan {
	return p.ease(pl, 64, func(*moments, *net) bool { return true })
}

// EaseNear is Ease for a plan that was made from another: no zero and no act
// goes further than so many ticks from where the other has it, unless the plan
// does, and what is due now is not put off.
func (p *Problem) EaseNear(pl, from Plan, most int) Plan {
	if most == 0 {
		return pl
	}
	return p.ease(pl, 2*most, func(m *moments, w *net) bool { return m.keepNear(w, pl, from, most) })
}

// ease is Ease where more is asked for, by steps of at most so many ticks.
func (p *Problem) ease(pl Plan, most int, more func(*moments, *net) bool) Plan {
	m := newMoments(p)
	w, can := m.lay()
	if !can || len(p.Check(pl)) > 0 || !m.keepAll(&w, pl) || !more(m, &w) {
		return pl
	}
	e := easing{m: m, w: &w, at: make([]int, m.count)}
	for i := range e.at {
		e.at[i] = m.when(pl, spot{i, 0})
	}
	for _, step := range []int{64, 16, 4, 1} {
		for step <= most && (e.move(step) || e.move(-step)) {
		}
	}
	out := pl.Clone()
	for j := range out.Zeros {
		out.Zeros[j] = e.at[m.zeros[j]]
		for a, sp := range m.acts[j] {
			out.Starts[j][a] = e.at[sp.at] + sp.off
		}
	}
	return out
}

// keepAll posts a plan's order of work and when its cups are ready.
func (m *moments) keepAll(w *net, pl Plan) bool {
	return m.keepOrder(w, pl) && m.keepReady(w, pl)
}

// keepOrder posts a plan's order of work and who does not pass whom.
func (m *moments) keepOrder(w *net, pl Plan) bool {
	for i, a := range m.spans {
		for _, b := range m.spans[:i] {
			if a.resource != b.resource || a.fixed && b.fixed {
				continue
			}
			first, then := a, b
			if m.when(pl, b.from) < m.when(pl, a.from) {
				first, then = b, a
			}
			// Where there is one of it, what overlaps has run over.
			apart := m.when(pl, first.to) <= m.when(pl, then.from) || m.p.Resources[a.resource].Capacity == 1
			if apart && !requireArc(w, before(first, then)) {
				return false
			}
		}
	}
	for j := range m.zeros {
		for i := range j {
			if m.p.Passing >= 0 && pl.Zeros[i] <= pl.Zeros[j] && !w.require(m.zeros[i], m.zeros[j], 0) {
				return false
			}
		}
	}
	return true
}

// keepReady posts that no cup is ready later than in a plan.
func (m *moments) keepReady(w *net, pl Plan) bool {
	for j := range m.zeros {
		done := m.p.pattern(j).Done
		if !requireSpots(w, m.acts[j][done], spot{}, -pl.Starts[j][done]) {
			return false
		}
	}
	return true
}

// keepNear posts that nothing is further than so many ticks from where a plan
// from before has it, unless the plan is, and no act later that is due now.
func (m *moments) keepNear(w *net, pl, from Plan, most int) bool {
	can := true
	hold := func(at spot, now, was, latest int) {
		can = can && requireSpots(w, spot{}, at, min(now, was-most)) && requireSpots(w, at, spot{}, -latest)
	}
	for j, zero := range m.zeros {
		now, was := pl.Zeros[j], from.Zeros[j]
		hold(spot{zero, 0}, now, was, max(now, was+most))
	}
	m.each(func(j, a int, at spot) {
		now, was := pl.Starts[j][a], from.Starts[j][a]
		latest := max(now, was+most)
		if now <= m.p.Now {
			latest = now
		}
		hold(at, now, was, latest)
	})
	return can
}

// easing moves sets of moments.
type easing struct {
	m  *moments
	w  *net
	at []int // of each moment
}

// move moves the set of moments that makes the shift least by so many ticks
// and reports whether that made it less.
func (e *easing) move(by int) bool {
	g := newCut(e.m.count)
	e.costs(g, by)
	for a := range e.m.count {
		for b := range e.m.count {
			if a == b || !e.w.known(a, b) {
				continue
			}
			// b keeps its distance behind a unless a moves up alone, or b down.
			if room := e.at[b] - e.at[a] - e.w.at(a, b); by > 0 && room < by {
				g.edge(a, b, endless)
			} else if by < 0 && room < -by {
				g.edge(b, a, endless)
			}
		}
	}
	g.weigh(0, endless) // the service's zero stays
	moved, gain := g.least()
	if gain >= 0 {
		return false
	}
	for i, is := range moved {
		if is {
			e.at[i] += by
		}
	}
	return true
}

// costs enters what moving an act, its brew's zero, or both costs.
func (e *easing) costs(g *cutGraph, by int) {
	for j, acts := range e.m.acts {
		zero := e.m.zeros[j]
		for a, sp := range acts {
			if _, is := e.m.p.Orders[j].fixed(a); is || sp.at == zero {
				continue
			}
			off := e.at[sp.at] + sp.off - e.at[zero] - e.m.p.pattern(j).Acts[a].Start
			alone, left := distance(off+by, 0)-distance(off, 0), distance(off-by, 0)-distance(off, 0)
			g.weigh(sp.at, -left)
			g.weigh(zero, left)
			g.edge(sp.at, zero, alone+left)
		}
	}
}
