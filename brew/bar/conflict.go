package bar

import "slices"

// Need is an act that needs a resource; of a hold, the act it begins with.
type Need struct{ Order, Act int }

// Conflict is why a problem has no plan.
type Conflict struct {
	Resource int    // -1 where the times alone contradict one another
	At       int    // the tick at which there is one need too many
	Needs    []Need // what needs it then: more than there is of it
	Sure     bool   // it is in the way of every plan
}

// Conflict returns what is in the way of any plan: needs of one resource that
// can have it in no order. Where none is sure, it is the first over-booking of
// the soonest plan. It reports whether there is anything in the way at all.
func (p *Problem) Conflict() (Conflict, bool) {
	m := newMoments(p)
	w, can := m.lay()
	if !can {
		return Conflict{Resource: -1, Sure: true}, true
	}
	needs := m.needs()
	if c, sure := m.deadlock(&w, needs); sure {
		return c, true
	}
	return m.firstOver(&w, needs)
}

// needs returns whose each span is.
func (m *moments) needs() []Need {
	var out []Need
	for j := range m.p.Orders {
		pat := m.p.pattern(j)
		for a, act := range pat.Acts {
			for range act.Uses {
				if m.p.length(j, a) > 0 {
					out = append(out, Need{j, a})
				}
			}
		}
		for _, h := range pat.Holds {
			out = append(out, Need{j, h.From})
		}
	}
	return out
}

// deadlock posts every order of two spans to which there is no other way,
// until a pair is left that can go neither way. It names the earliest such
// pair of the round in which it is met.
func (m *moments) deadlock(w *net, needs []Need) (Conflict, bool) {
	for again := true; again; {
		again = false
		found := Conflict{Resource: -1}
		for i, a := range m.spans {
			for k, b := range m.spans[:i] {
				if a.resource != b.resource || m.p.Resources[a.resource].Capacity > 1 || a.fixed && b.fixed {
					continue
				}
				ab, ba := before(a, b), before(b, a)
				first, then := w.can(ab.from, ab.to, ab.least), w.can(ba.from, ba.to, ba.least)
				switch at := max(soonest(w, a.from), soonest(w, b.from)); {
				case !first && !then && (found.Resource < 0 || at < found.At):
					found = Conflict{a.resource, at, []Need{needs[k], needs[i]}, true}
				case first && !then && !w.has(ab.from, ab.to, ab.least):
					again = requireArc(w, ab)
				case then && !first && !w.has(ba.from, ba.to, ba.least):
					again = requireArc(w, ba)
				}
			}
		}
		if found.Resource >= 0 {
			return found, true
		}
	}
	return Conflict{}, false
}

// firstOver returns the first tick of the soonest plan at which a resource has
// more needs than it can bear.
func (m *moments) firstOver(w *net, needs []Need) (Conflict, bool) {
	found, any := Conflict{}, false
	for i, a := range m.spans {
		at := soonest(w, a.from)
		c := Conflict{Resource: a.resource, At: at}
		for k, b := range m.spans {
			if (k <= i || soonest(w, b.from) < at) && b.resource == a.resource && soonest(w, b.from) <= at && at < soonest(w, b.to) {
				c.Needs = append(c.Needs, needs[k])
			}
		}
		if len(c.Needs) > m.p.Resources[a.resource].Capacity && (!any || at < found.At) {
			found, any = c, true
		}
	}
	slices.SortFunc(found.Needs, func(a, b Need) int { return a.Order - b.Order })
	return found, any
}

// soonest returns the first tick at which a spot can be.
func soonest(w *net, s spot) int { return w.at(0, s.at) + s.off }
