package bar

// Repair returns the plan that keeps another's order of work after something
// has gone otherwise, with every act where it was or later by as little as
// can be; what cannot stay there at all comes as soon as it can. It reports
// whether there is such a plan: it takes no search, so it is the first thing
// to try.
func (p *Problem) Repair(pl Plan) (Plan, bool) {
	if len(pl.Starts) != len(p.Orders) {
		return Plan{}, false
	}
	for _, stay := range []bool{true, false} {
		m := newMoments(p)
		w, can := m.lay()
		if can = can && m.keepOrder(&w, pl); can && stay {
			m.each(func(j, a int, at spot) { can = can && requireSpots(&w, spot{}, at, pl.Starts[j][a]) })
		}
		if !can {
			continue
		}
		if out := m.soonestPlan(&w); len(p.Check(out)) == 0 {
			return out, true
		}
	}
	return Plan{}, false
}
