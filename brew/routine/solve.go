package routine

import (
	"barline/brew/bar"
)

// Search looks for the plan of a routine that ends soonest. It works only
// while Advance runs, and after the same number of nodes it always knows the
// same. Steps that come later within their windows are tried only once it is
// proven that no plan keeps every step at its written time.
type Search struct {
	routine Resolved
	steps   Steps
	problem *Problem
	search  *bar.Search
}

// NewSearch starts a search for a routine without faults.
func NewSearch(r Resolved) *Search {
	s := &Search{routine: r}
	steps := Exact
	if r.Loose {
		steps = Later
	}
	s.begin(steps)
	return s
}

func (s *Search) begin(steps Steps) {
	s.steps, s.problem = steps, NewProblem(s.routine, steps)
	search, err := bar.NewSearch(&s.problem.Problem, nil)
	if err != nil { // cannot be: the problem comes from a routine without faults
		panic(err)
	}
	s.search = search
}

// Advance takes so many nodes, fewer if the search ends, and reports whether
// there is more to do.
func (s *Search) Advance(nodes int) bool {
	if s.search.Advance(nodes) {
		return true
	}
	if _, found := s.search.Best(); !found && s.steps == Exact {
		s.begin(Later)
		return true
	}
	return false
}

// Usual is how many nodes are usually taken: more than the shipped routines
// need for a proof by far.
const Usual = 20_000

// Solve searches for so many nodes.
func Solve(r Resolved, nodes int) *Search {
	s := NewSearch(r)
	for taken := 0; taken < nodes && s.Advance(100); taken += 100 {
	}
	return s
}

// Found reports whether there is a plan.
func (s *Search) Found() bool {
	_, found := s.search.Best()
	return found
}

// Impossible reports whether it is proven that there is no plan.
func (s *Search) Impossible() bool {
	return !s.Found() && s.steps == Later && s.search.Over()
}

// Proven reports whether no plan ends sooner, with the steps moved no further
// than in this one.
func (s *Search) Proven() bool { return s.search.Claim().Proven }

// Bound returns the tick that no plan ends before.
func (s *Search) Bound() int { return s.search.Bound() }

// Moved reports whether steps had to come later than written.
func (s *Search) Moved() bool { return s.steps == Later }

// Plan returns the best plan so far; Found says whether there is one. What can
// stand closer to the recipes' own times without a later end does.
func (s *Search) Plan() *Plan {
	best, _ := s.search.Best()
	return s.problem.plan(s.problem.Ease(best))
}

// Eased returns the plan in the planner's own terms.
func (s *Search) Eased() (*Problem, bar.Plan) {
	best, _ := s.search.Best()
	return s.problem, s.problem.Ease(best)
}

// Dry returns the search for the routine as it is rehearsed without water.
func (s *Search) Dry(nodes int) *Search { return Solve(s.routine.Dry(), nodes) }
