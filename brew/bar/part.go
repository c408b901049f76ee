package bar

import "math/rand/v2"

// part looks again at a few orders of a plan at a time, all else keeping its
// order of work.
type part struct {
	random *rand.Rand
	engine *elastic
	left   int // nodes until the next few
}

const (
	partNodes  = 400
	partOrders = 4
	fewOrders  = 6 // of which the proof itself makes short work
)

// patch takes one node of a part and reports whether there was one to take.
func (s *Search) patch() bool {
	if s.cost == worst || len(s.p.Orders) <= fewOrders {
		return false
	}
	if s.part == nil {
		s.part = &part{random: rand.New(rand.NewPCG(2, uint64(len(s.p.Orders))))}
	}
	q := s.part
	if q.engine == nil || q.left == 0 {
		q.engine, q.left = newPart(s.p, s.opt, s.best, q.pick(s.p, s.best)), partNodes
		q.engine.beat(s.cost)
	}
	q.left--
	if !q.engine.step() {
		q.left = 0
	}
	s.take(q.engine.top())
	return true
}

// pick returns a few orders whose brews lie close together.
func (q *part) pick(p *Problem, pl Plan) []bool {
	free := make([]bool, len(p.Orders))
	middle := q.random.IntN(len(p.Orders))
	for range partOrders {
		best := -1
		for j := range free {
			if !free[j] && (best < 0 || distance(pl.Zeros[j], pl.Zeros[middle]) < distance(pl.Zeros[best], pl.Zeros[middle])) {
				best = j
			}
		}
		free[best] = true
	}
	return free
}

// newPart returns the search of the plans in which only the free orders may
// change places with anything.
func newPart(p *Problem, opt options, pl Plan, free []bool) *elastic {
	s := unstarted(p, opt)
	s.start(func(w *net) bool { return s.keep(w, pl, free) })
	return s
}

// keep posts the plan's order of work among the orders that are not free.
func (s *elastic) keep(w *net, pl Plan, free []bool) bool {
	at := func(sp spot) int { return s.m.when(pl, sp) }
	for i, a := range s.m.spans {
		for _, b := range s.m.spans[:i] {
			if a.resource != b.resource || free[a.order] || free[b.order] {
				continue
			}
			if at(a.to) <= at(b.from) && !requireArc(w, before(a, b)) || at(b.to) <= at(a.from) && !requireArc(w, before(b, a)) {
				return false
			}
		}
	}
	return true
}

func requireArc(w *net, a arc) bool { return w.require(a.from, a.to, a.least) }
