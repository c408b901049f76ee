package bar

// spot is a moment of the plan: a moment of the net and a distance from it.
// Acts at a fixed distance from their brew's zero share its moment.
type spot struct{ at, off int }

func (s spot) plus(n int) spot { return spot{s.at, s.off + n} }

// span is a stretch of a resource that an order takes.
type span struct {
	resource, order int
	from, to        spot
	fixed           bool // under way or past: it has what it uses
}

// moments is a problem laid out for the net.
type moments struct {
	p      *Problem
	zeros  []int
	acts   [][]spot
	spans  []span
	count  int
	owners []owner // of each moment
}

// owner is the act whose start a moment is; act -1 is the order's zero, order
// -1 the service's.
type owner struct{ order, act int }

func newMoments(p *Problem) *moments {
	m := &moments{p: p, count: 1, owners: []owner{{-1, -1}}, zeros: make([]int, len(p.Orders)), acts: make([][]spot, len(p.Orders))}
	for j := range p.Orders {
		m.zeros[j] = m.moment(j, -1)
		for a := range p.pattern(j).Acts {
			act := p.act(j, a)
			if _, is := p.Orders[j].fixed(a); is || !act.rigid() {
				m.acts[j] = append(m.acts[j], spot{m.moment(j, a), 0})
			} else {
				m.acts[j] = append(m.acts[j], spot{m.zeros[j], act.Start})
			}
		}
		m.spansOf(j)
	}
	return m
}

func (m *moments) moment(order, act int) int {
	m.owners = append(m.owners, owner{order, act})
	m.count++
	return m.count - 1
}

// spansOf lists what the order takes of each resource.
func (m *moments) spansOf(j int) {
	pat := m.p.pattern(j)
	isFixed := func(a int) bool { _, is := m.p.Orders[j].fixed(a); return is }
	for a, act := range pat.Acts {
		for _, r := range act.Uses {
			if length := m.p.length(j, a); length > 0 {
				m.spans = append(m.spans, span{r, j, m.acts[j][a], m.acts[j][a].plus(length), isFixed(a)})
			}
		}
	}
	for _, h := range pat.Holds {
		to := m.acts[j][h.To].plus(m.p.length(j, h.To))
		m.spans = append(m.spans, span{h.Resource, j, m.acts[j][h.From], to, isFixed(h.From)})
	}
}

// requireSpots asks that b lies at least so far behind a.
func requireSpots(w *net, a, b spot, least int) bool {
	return w.require(a.at, b.at, least+a.off-b.off)
}

// lay builds the net of all that holds whatever the order of work, and
// reports whether that can be.
func (m *moments) lay() (net, bool) {
	w := newNet(m.count)
	for j := range m.p.Orders {
		if !m.layOrder(&w, j) {
			return w, false
		}
	}
	for _, l := range m.p.Links {
		if !requireSpots(&w, m.acts[l.From][l.FromAct], m.acts[l.To][l.ToAct], l.Least) {
			return w, false
		}
	}
	return w, m.layTurns(&w)
}

func (m *moments) layOrder(w *net, j int) bool {
	o, pat := &m.p.Orders[j], m.p.pattern(j)
	zero, start := spot{m.zeros[j], 0}, spot{}
	if o.Begun && !m.pin(w, zero, o.Zero) {
		return false
	}
	for a := range pat.Acts {
		at, act := m.acts[j][a], m.p.act(j, a)
		f, is := o.fixed(a)
		if is && !m.pin(w, at, f.Start) {
			return false
		}
		if is && o.Begun { // past all windows
			continue
		}
		if !requireSpots(w, zero, at, act.Start-act.Early) || !requireSpots(w, at, zero, -act.Start-act.Late) {
			return false
		}
		latest := m.p.Horizon - act.Length
		if !is && (!requireSpots(w, start, at, m.p.soonest(j)) || !requireSpots(w, at, start, -latest)) {
			return false
		}
	}
	for a, act := range pat.Acts {
		for _, b := range act.Behind {
			if _, is := o.fixed(a); is {
				if _, both := o.fixed(b); both {
					continue
				}
			}
			if !requireSpots(w, m.acts[j][b], m.acts[j][a], m.p.length(j, b)) {
				return false
			}
		}
	}
	return true
}

// pin sets a moment.
func (m *moments) pin(w *net, at spot, tick int) bool {
	return requireSpots(w, spot{}, at, tick) && requireSpots(w, at, spot{}, -tick)
}

// layTurns asks that equal orders that have not begun do so in turn.
func (m *moments) layTurns(w *net) bool {
	if !m.p.InTurn {
		return true
	}
	for j, o := range m.p.Orders {
		for i := range j {
			if first := m.p.Orders[i]; first.Pattern == o.Pattern && !o.Begun && !w.require(m.zeros[i], m.zeros[j], 0) {
				return false
			}
		}
	}
	return true
}

// soonestPlan returns the plan in which everything is as early as the net
// allows.
func (m *moments) soonestPlan(w *net) Plan {
	pl := Plan{Zeros: make([]int, len(m.zeros)), Starts: make([][]int, len(m.zeros))}
	for j, z := range m.zeros {
		pl.Zeros[j] = w.at(0, z)
		pl.Starts[j] = make([]int, len(m.acts[j]))
		for a, at := range m.acts[j] {
			pl.Starts[j][a] = w.at(0, at.at) + at.off
		}
	}
	return pl
}

// when returns the tick of a spot in a plan.
func (m *moments) when(pl Plan, at spot) int {
	switch o := m.owners[at.at]; {
	case o.order < 0:
		return at.off
	case o.act < 0:
		return pl.Zeros[o.order] + at.off
	default:
		return pl.Starts[o.order][o.act] + at.off
	}
}
