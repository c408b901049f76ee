package bar

// Ways to switch off what only makes the search faster, for the tests.
var (
	Everything = everything
	Tight      = options{bounds: true, activity: true, tight: true, always: true, polish: true}
	NoBounds   = options{activity: true, tight: true, always: true, polish: true}
	NoActivity = options{bounds: true, tight: true, always: true, polish: true}
	NoPolish   = options{bounds: true, activity: true, tight: true, always: true}
	NoTight    = options{bounds: true, activity: true, polish: true}
	NetAlone   = options{bounds: true}
	Bare       = options{tight: true, always: true}
	BareNet    = options{}
)

// SearchWith starts a search with the given switches.
func SearchWith(p *Problem, opt options) *Search { return newSearch(p, opt) }

// Inserted returns the plan of one order of insertion.
func Inserted(p *Problem, order []int) (Plan, bool) { return newInsertion(p).build(order) }

// Options are the switches.
type Options = options

// Repaired returns the soonest plan that keeps another's order of work and in
// which one act begins no sooner than the tick, and whether there is one.
func Repaired(p *Problem, pl Plan, order, act, tick int) (Plan, bool) {
	m := newMoments(p)
	w, can := m.lay()
	if !can || !m.keepOrder(&w, pl) || !requireSpots(&w, spot{}, m.acts[order][act], tick) {
		return Plan{}, false
	}
	return m.soonestPlan(&w), true
}
