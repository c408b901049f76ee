package bar

import (
	"fmt"
	"math"
)

// engine goes through all plans, node by node.
type engine interface {
	step() bool         // takes one node; false when there is nothing left
	frontier() price    // a bound on what is not met yet
	beat(price)         // only what is better counts from now on
	top() (Plan, price) // the best met so far; worst where there is none
}

func (s *tight) beat(than price)    { s.limit = min(s.limit, than) }
func (s *tight) top() (Plan, price) { return s.best, s.cost }

func (s *elastic) beat(than price)    { s.limit = min(s.limit, than) }
func (s *elastic) top() (Plan, price) { return s.best, s.cost }

// Search looks for the best plan of a problem. It works only while Advance
// runs, and after the same number of nodes it always knows the same.
type Search struct {
	p      *Problem
	opt    options
	engine engine
	polish *polish
	part   *part
	best   Plan
	cost   price
	root   price
	nodes  int
	rhythm int // of so many nodes a few go into improving the plan
	over   bool
}

// NewSearch starts a search. A plan from before, nil for none, is kept until
// there is a better one, repaired where it must be. The error says what is
// wrong with the problem.
func NewSearch(p *Problem, from *Plan) (*Search, error) {
	if err := p.Valid(); err != nil {
		return nil, err
	}
	opt := everything
	opt.start = from
	return newSearch(p, opt), nil
}

func newSearch(p *Problem, opt options) *Search {
	s := &Search{p: p, opt: opt, cost: worst}
	if opt.tight && p.stiff() && (p.tightIsFaster() || opt.always) {
		s.engine, s.rhythm = newTight(p, opt), 512
	} else {
		s.engine, s.rhythm = newElastic(p, opt), 32
	}
	s.take(s.engine.top())
	s.root = min(s.engine.frontier(), s.cost)
	if opt.start != nil {
		if pl, can := p.Repair(*opt.start); can {
			s.take(pl, p.price(pl))
		}
	}
	if opt.polish {
		s.polish = newPolish(p)
	}
	return s
}

// stiff reports whether tight points are enough: no windows, no links, nothing
// begun and nobody passed.
func (p *Problem) stiff() bool {
	if len(p.Links) > 0 {
		return false
	}
	for j, o := range p.Orders {
		if o.Begun || o.Passed > 0 || len(o.Fixed) > 0 {
			return false
		}
		for _, a := range p.pattern(j).Acts {
			if !a.rigid() {
				return false
			}
		}
	}
	return true
}

// tightIsFaster reports whether tight points are known to prove sooner than
// the net: with one of everything that is worked with, where waiting counts
// and orders are few. Both are exact.
func (p *Problem) tightIsFaster() bool {
	for _, pat := range p.Patterns {
		for _, a := range pat.Acts {
			for _, r := range a.Uses {
				if p.Resources[r].Capacity > 1 {
					return false
				}
			}
		}
	}
	return p.Goal != End && len(p.Orders) <= 10
}

// take keeps a plan if it is better than what there is.
func (s *Search) take(pl Plan, cost price) {
	if cost < s.cost {
		s.best, s.cost = pl, cost
		s.engine.beat(cost)
	}
}

// Advance takes so many nodes, fewer if the search ends, and reports whether
// there is more to do.
func (s *Search) Advance(nodes int) bool {
	for range nodes {
		if s.over {
			break
		}
		s.node()
		s.nodes++
	}
	return !s.over
}

// node takes one node: at first of the insertion, so that there is a plan at
// once, then of the two ways to improve one in turn, and of the proof.
func (s *Search) node() {
	if s.polish != nil {
		turn := s.nodes % s.rhythm
		switch {
		case s.nodes < s.polish.opening || turn == 0:
			if pl, better := s.polish.step(); better {
				s.take(pl, s.p.price(pl))
			}
			return
		case turn <= 8 && s.patch():
			return
		}
	}
	if !s.engine.step() {
		s.over = true
	}
	s.take(s.engine.top())
}

// Best returns the best plan so far, and whether there is one.
func (s *Search) Best() (Plan, bool) { return s.best, s.cost != worst }

// Nodes returns how many nodes the search has taken.
func (s *Search) Nodes() int { return s.nodes }

// Over reports whether the search has seen everything: the best plan is
// proven best, or there is none.
func (s *Search) Over() bool { return s.over }

// Bound returns what no plan can be better than, in what the goal counts
// first: ticks of waiting summed over the orders, or the tick of the end.
func (s *Search) Bound() int {
	low := s.cost
	if !s.over {
		low = max(s.root, min(s.engine.frontier(), s.cost))
	}
	return s.first(low)
}

// first returns what a price says of what the goal counts first.
func (s *Search) first(of price) int {
	switch {
	case of == worst:
		return math.MaxInt
	case s.p.Goal == End:
		return of
	case s.p.Goal == WaitThenEnd:
		of >>= secondBits
	}
	return of - s.p.placed()
}

// Claim is what may be said of a plan.
type Claim struct {
	Proven bool // nothing better exists, by the whole of the goal
	Cost   int  // what the goal counts first, in ticks
	Bound  int  // below which no plan can be
}

// Claim returns what may be said of the best plan; the zero Claim where there
// is none.
func (s *Search) Claim() Claim {
	if s.cost == worst {
		return Claim{}
	}
	return Claim{s.over, s.first(s.cost), s.Bound()}
}

// Above returns by how many hundredths of the bound the plan may be above the
// best, rounded up, and whether the bound supports any such figure.
func (c Claim) Above() (percent int, known bool) {
	if c.Bound <= 0 || c.Cost < c.Bound {
		return 0, false
	}
	return (100*(c.Cost-c.Bound) + c.Bound - 1) / c.Bound, true
}

// String returns the claim in words, ” where nothing can be said.
func (c Claim) String() string {
	if c.Proven {
		return "proven best"
	}
	percent, known := c.Above()
	if !known {
		return ""
	}
	return fmt.Sprintf("at most %d %% above the bound", percent)
}
