package bar

// elastic searches plans whose acts may move within their windows. A node is
// a net; its soonest plan is best for every goal that counts moments, so
// either nothing is over-booked in it, or some of those that want the same at
// once must be put one behind the other. The branches of a node exclude each
// other.
type elastic struct {
	p      *Problem
	opt    options
	m      *moments
	terms  []term
	ends   bool // the goal also counts the latest term
	pairs  []pair
	groups []group
	limit  price
	best   Plan
	cost   price // of the best; worst where there is none
	frames []elasticFrame
	depth  int
	mach   machine
	active []int
	loss   []int // of each couple of orders
}

// term is a moment that costs as many ticks as it lies behind its due.
type term struct {
	at  spot
	due int
}

// pair is two spans of a resource of which there is one.
type pair struct{ a, b span }

// group is all spans of a resource of which there are several.
type group struct {
	capacity int
	spans    []span
}

// arc asks that to lies at least so far behind from.
type arc struct{ from, to, least int }

// before returns the arc that puts a ahead of b.
func before(a, b span) arc { return arc{a.to.at, b.from.at, a.to.off - b.from.off} }

// not returns the arc that forbids this one.
func (a arc) not() arc { return arc{a.to, a.from, 1 - a.least} }

type elasticFrame struct {
	net      net
	open     []int32 // pairs not in order yet
	branches []arc
	next     int // branch to take
	bound    price
}

func newElastic(p *Problem, opt options) *elastic {
	s := unstarted(p, opt)
	s.start(func(*net) bool { return true })
	return s
}

// unstarted returns a search that has still to be started.
func unstarted(p *Problem, opt options) *elastic {
	s := &elastic{p: p, opt: opt, m: newMoments(p), limit: worst, cost: worst, ends: true}
	for j := range p.Orders {
		done := p.pattern(j).Done
		s.terms = append(s.terms, term{at: s.m.acts[j][done].plus(p.length(j, done))})
	}
	s.loss = make([]int, len(s.terms)*len(s.terms))
	s.pairUp()
	return s
}

// pairUp lists what may clash.
func (s *elastic) pairUp() {
	for r, res := range s.p.Resources {
		var of []span
		for _, sp := range s.m.spans {
			if sp.resource == r {
				of = append(of, sp)
			}
		}
		if res.Capacity > 1 {
			s.groups = append(s.groups, group{res.Capacity, of})
			continue
		}
		for j, b := range of {
			for _, a := range of[:j] {
				if !(a.fixed && b.fixed) {
					s.pairs = append(s.pairs, pair{a, b})
				}
			}
		}
	}
}

// start sets up the first node, from which more may be asked at once.
func (s *elastic) start(more func(*net) bool) {
	w, can := s.m.lay()
	if !can || !more(&w) {
		return
	}
	f := s.frame(0)
	copy(f.net.d, w.d)
	f.open = f.open[:0]
	for i := range s.pairs {
		f.open = append(f.open, int32(i))
	}
	f.bound = 0
	if s.settle(f) {
		s.branch(f)
		s.depth = 1
		if len(f.branches) == 0 {
			s.record(f)
			s.depth = 0
		}
	}
}

// frame returns the frame at a depth, made when it is first needed.
func (s *elastic) frame(depth int) *elasticFrame {
	for len(s.frames) <= depth {
		s.frames = append(s.frames, elasticFrame{net: newNet(s.m.count)})
	}
	return &s.frames[depth]
}

// step takes one node and reports whether there is more to do.
func (s *elastic) step() bool {
	for s.depth > 0 {
		f := &s.frames[s.depth-1]
		if f.next < len(f.branches) && f.bound < s.limit {
			break
		}
		s.depth--
	}
	if s.depth == 0 {
		return false
	}
	child := s.frame(s.depth)
	f := &s.frames[s.depth-1]
	copy(child.net.d, f.net.d)
	child.open = append(child.open[:0], f.open...)
	child.bound = f.bound
	taken := f.branches[f.next]
	left := f.branches[:f.next]
	f.next++
	if !s.take(child, taken, left) || !s.settle(child) {
		return true
	}
	s.branch(child)
	if len(child.branches) == 0 {
		s.record(child)
		return true
	}
	s.depth++
	return true
}

// take posts a branch, and that the branches ahead of it were not taken.
func (s *elastic) take(f *elasticFrame, taken arc, left []arc) bool {
	if !f.net.require(taken.from, taken.to, taken.least) {
		return false
	}
	for _, l := range left {
		if not := l.not(); !f.net.require(not.from, not.to, not.least) {
			return false
		}
	}
	return true
}

// settle draws every conclusion it can and reports whether the branch may
// still hold something better.
func (s *elastic) settle(f *elasticFrame) bool {
	for changed := true; changed; {
		if !s.cutOff(f) {
			return false
		}
		var can bool
		if changed, can = s.order(f); !can {
			return false
		}
		passed, can := s.keepPassing(f)
		if !can {
			return false
		}
		changed = changed || passed
	}
	return !s.opt.bounds || s.worked(f) && s.squeeze(f)
}

// order puts the pairs in order of which only one order is left.
func (s *elastic) order(f *elasticFrame) (changed, can bool) {
	w, open := &f.net, f.open[:0]
	for _, i := range f.open {
		ab, ba := before(s.pairs[i].a, s.pairs[i].b), before(s.pairs[i].b, s.pairs[i].a)
		if w.has(ab.from, ab.to, ab.least) || w.has(ba.from, ba.to, ba.least) {
			continue
		}
		canAB, canBA := w.can(ab.from, ab.to, ab.least), w.can(ba.from, ba.to, ba.least)
		switch {
		case !canAB && !canBA:
			return false, false
		case canAB && canBA:
			open = append(open, i)
		case canAB:
			changed = w.require(ab.from, ab.to, ab.least)
		default:
			changed = w.require(ba.from, ba.to, ba.least)
		}
	}
	f.open = open
	return changed, true
}

// cutOff bounds the branch by what its terms cost as soon as can be, and
// holds every term to what is left until the limit.
func (s *elastic) cutOff(f *elasticFrame) bool {
	sum, end := s.due(&f.net)
	f.bound = max(f.bound, s.price(sum, end))
	if f.bound >= s.limit {
		return false
	}
	if s.limit == worst {
		return true
	}
	spare := s.spare(sum, end)
	for _, t := range s.terms {
		latest := max(f.net.at(0, t.at.at)+t.at.off, t.due) + spare
		if s.p.Goal == End && s.ends {
			latest = s.limit - 1
		}
		if !f.net.require(t.at.at, 0, t.at.off-latest) {
			return false
		}
	}
	return true
}

// spare returns by how much the sum may still grow below the limit.
func (s *elastic) spare(sum, end int) int {
	if s.ends && s.p.Goal == WaitThenEnd {
		return (s.limit-1-end)>>secondBits - sum
	}
	return s.limit - 1 - sum
}

func (s *elastic) price(sum, end int) price {
	if !s.ends {
		return sum
	}
	return s.p.Goal.price(sum, end)
}

func (s *elastic) due(w *net) (sum, end int) {
	for _, t := range s.terms {
		at := max(w.at(0, t.at.at)+t.at.off-t.due, 0)
		sum, end = sum+at, max(end, at)
	}
	return sum, end
}

// record keeps the soonest plan of a frame with nothing over-booked.
func (s *elastic) record(f *elasticFrame) {
	if cost := s.price(s.due(&f.net)); cost < s.limit {
		s.limit, s.cost, s.best = cost, cost, s.m.soonestPlan(&f.net)
	}
}

// frontier returns a lower bound on every plan not yet met.
func (s *elastic) frontier() price {
	low := worst
	for i := range s.depth {
		if f := &s.frames[i]; f.next < len(f.branches) {
			low = min(low, f.bound)
		}
	}
	return low
}
