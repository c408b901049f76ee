package bar

import (
	"errors"
	"slices"
	"time"

	"barline/brew"
)

// Replan looks for the plan of a service from a moment on. It works only
// while it is made and while Advance runs, and after the same number of nodes
// it always knows the same.
type Replan struct {
	asked
	s        Service
	gives    []Give
	repaired Plan // the plan in force as it is from now on
	kept     bool // there is one
	search   *Search
	err      error
}

// reliefNodes bounds the search for who gives way where running brews collide.
const reliefNodes = 200_000

// ErrNoRelief says that no way was found in which all running brews go on.
var ErrNoRelief = errors.New("no plan was found in which all running brews go on")

// Replan starts to look for the plan from a moment on. The plan in force, as
// far as it can be kept, is there at once: see Kept.
func (s Service) Replan(now time.Duration) *Replan {
	r := &Replan{asked: s.ask(now), s: s}
	old, whole := s.inForce(r.asked)
	if whole {
		r.keep(old)
	}
	if r.kept {
		return r
	}
	relieved, gives, can := r.Relief(reliefNodes)
	if !can {
		r.err = ErrNoRelief
		return r
	}
	r.Problem, r.gives = relieved, gives
	if whole {
		r.keep(old)
	}
	return r
}

// keep keeps a plan as far as it can be, its acts as close to the recipes' own
// times as that allows, where nothing moves further than a zero came late or
// an act had to move: somebody is reading the plan.
func (r *Replan) keep(old Plan) {
	if r.repaired, r.kept = r.Repair(old); r.kept {
		r.repaired = r.EaseNear(r.repaired, old, r.slipped())
	}
}

// slipped returns by how many ticks at most the repaired plan has a zero, or
// an act that is coming, off the plan in force.
func (r *Replan) slipped() (most int) {
	for i, j := range r.number {
		if j < 0 {
			continue
		}
		t := r.s.orders[j].timing
		most = max(most, distance(t.Zero, r.repaired.Zeros[i]))
		for a, at := range t.Starts {
			if _, is := r.Orders[i].fixed(a); !is {
				most = max(most, distance(at, r.repaired.Starts[i][a]))
			}
		}
	}
	return most
}

// inForce returns the plan in force in the terms of a problem, and whether it
// has every order of it.
func (s Service) inForce(a asked) (Plan, bool) {
	var pl Plan
	for i, j := range a.number {
		switch {
		case j < 0:
			pl.Zeros, pl.Starts = append(pl.Zeros, a.Orders[i].Zero), append(pl.Starts, []int{a.Orders[i].Zero})
		case s.orders[j].timing == nil || len(s.orders[j].timing.Starts) != len(a.pattern(i).Acts):
			return Plan{}, false
		default:
			t := s.orders[j].timing
			pl.Zeros, pl.Starts = append(pl.Zeros, t.Zero), append(pl.Starts, slices.Clone(t.Starts))
		}
		for _, f := range a.Orders[i].Fixed {
			pl.Starts[i][f.Act] = f.Start
		}
		if a.Orders[i].Begun {
			pl.Zeros[i] = a.Orders[i].Zero
		}
	}
	return pl, true
}

// Err returns why there can be no plan, nil where there can.
func (r *Replan) Err() error { return r.err }

// Kept returns the plan in force with what happened taken into account: the
// same order of work, every cup where it was or later by as little as can be,
// and the acts as close to the recipes' own times as that allows without
// moving further than something slipped. It says whether that will do for now: not where orders came, went or changed places,
// or what stands at the bar or who works there did.
func (r *Replan) Kept() (Schedule, bool) {
	if !r.kept || r.s.anew && !r.s.steady {
		return Schedule{}, false
	}
	return r.schedule(r.repaired, Claim{}), true
}

// Advance takes so many nodes of the search and reports whether there is more
// to do. There is nothing to do where a service is steady and its plan can be
// kept.
func (r *Replan) Advance(nodes int) bool {
	if r.err != nil || r.kept && r.s.steady {
		return false
	}
	if r.search == nil {
		var from *Plan
		if r.kept {
			from = &r.repaired
		}
		if r.search, r.err = NewSearch(r.Problem, from); r.err != nil {
			return false
		}
	}
	return r.search.Advance(nodes)
}

// Best returns the best plan so far, its acts as close to the recipes' own
// times as that allows, and whether there is one.
func (r *Replan) Best() (Schedule, bool) {
	if r.search != nil {
		if pl, any := r.search.Best(); any {
			return r.schedule(r.Ease(pl), r.claim()), true
		}
	}
	if !r.kept {
		return Schedule{}, false
	}
	return r.schedule(r.repaired, Claim{}), true
}

// Worth reports whether the best plan should take the place of the one that
// is kept: it gains enough, and changes nothing of what comes next.
func (r *Replan) Worth(now time.Duration) bool {
	if r.search == nil {
		return false
	}
	pl, any := r.search.Best()
	return any && (!r.kept || r.s.anew || r.Problem.Worth(r.repaired, r.Ease(pl), tickAt(now)))
}

// claim returns what may be said of the best plan, in waits counted from when
// the orders were really placed.
func (r *Replan) claim() Claim {
	c := r.search.Claim()
	for i, j := range r.number {
		more := r.Orders[i].Placed
		if j >= 0 {
			more -= nearTick(r.s.orders[j].placed)
		} else {
			more -= r.Orders[i].Fixed[0].End
		}
		c.Cost, c.Bound = c.Cost+more, c.Bound+more
	}
	return c
}

// schedule returns a plan in the service's own terms.
func (r *Replan) schedule(pl Plan, c Claim) Schedule {
	out := Schedule{Now: r.Now, Claim: c}
	for i, j := range r.number {
		if j >= 0 {
			out.Slots = append(out.Slots, Slot{Order: j, Zero: pl.Zeros[i], Starts: slices.Clone(pl.Starts[i])})
		}
	}
	for _, g := range r.gives {
		give := Giving{Order: r.number[g.Order], Act: g.Act, Late: g.Late, For: -1, Cup: g.Cup}
		if g.For >= 0 {
			give.For = r.number[g.For]
		}
		if give.Order >= 0 {
			out.Gives = append(out.Gives, give)
		}
	}
	return out
}

// Plan returns a schedule in the terms of the replan's problem.
func (r *Replan) Plan(sch Schedule) Plan {
	pl := Plan{Zeros: make([]int, len(r.number)), Starts: make([][]int, len(r.number))}
	for i, j := range r.number {
		if j < 0 {
			pl.Zeros[i], pl.Starts[i] = r.Orders[i].Zero, []int{r.Orders[i].Zero}
		}
		for _, slot := range sch.Slots {
			if slot.Order == j {
				pl.Zeros[i], pl.Starts[i] = slot.Zero, slices.Clone(slot.Starts)
			}
		}
	}
	return pl
}

// refusesPlan returns why a schedule cannot be adopted, "" where it can.
func (s *Service) refusesPlan(sch *Schedule) string {
	if sch == nil {
		return "there is no plan"
	}
	for _, slot := range sch.Slots {
		switch {
		case slot.Order < 0 || slot.Order >= len(s.orders):
			return "the plan is for an order that is not there"
		case len(slot.Starts) != len(s.dish(slot.Order).Pattern.Acts):
			return "the plan is for another recipe"
		case slices.ContainsFunc(append([]int{slot.Zero}, slot.Starts...), func(at int) bool { return at < 0 || at > MostHorizon }):
			return "the plan goes beyond a day"
		}
	}
	return ""
}

// adopt puts a schedule in force. Coming cues that must wait are moved, those
// that need not any more are not.
func (s *Service) adopt(sch Schedule, at time.Duration) (out []Happening) {
	for j := range s.orders {
		s.orders[j].timing, s.orders[j].slacks, s.orders[j].who = nil, nil, nil
	}
	s.gives, s.claim, s.planned, s.stale, s.anew = slices.Clone(sch.Gives), sch.Claim, at, false, false
	for _, slot := range sch.Slots {
		slot.Starts = slices.Clone(slot.Starts)
		o := &s.orders[slot.Order]
		if o.cancelled {
			continue
		}
		o.timing = &slot
		o.waits = o.waits && moment(slot.Zero) <= at+LateEvery // else it was put off
		if o.brew >= 0 {
			out = append(out, s.move(o, at)...)
		}
	}
	if !s.bulk {
		s.weigh(sch, at)
	}
	return out
}

// move tells a brew's lane which of its coming cues must wait, first first, for
// what hangs on one comes later with it.
func (s *Service) move(o *order, at time.Duration) (out []Happening) {
	n := o.brew
	for a, act := range s.dish(s.brews[n].order).Pattern.Acts {
		if act.Cue >= 0 {
			out = append(out, s.moveCue(n, act.Cue, o.timing.Starts[a], at)...)
		}
	}
	return out
}

func (s *Service) moveCue(n, cue, planned int, at time.Duration) []Happening {
	lane := s.brews[n].lane
	begin, _ := lane.Span(cue)
	how, _, _ := lane.Ending()
	if how != brew.Running || begin <= lane.Elapsed(at) || nearTick(lane.Zero()+begin) == planned {
		return nil
	}
	e := brew.Event{Kind: brew.EventMoved, At: at, Source: brew.FromClock, Cue: cue}
	free, _ := lane.Apply(e)
	if own, _ := free.Span(cue); nearTick(lane.Zero()+own) < planned {
		e.To = moment(planned) - lane.Zero()
	} else if !isMoved(lane, cue) {
		return nil
	}
	return s.give(n, e)
}

// isMoved reports whether a cue has been told to wait.
func isMoved(l brew.Lane, cue int) bool {
	to := time.Duration(0)
	for _, e := range l.Events() {
		if e.Kind == brew.EventMoved && e.Cue == cue {
			to = e.To
		}
	}
	return to > 0
}

// weigh works out who does what and how long each act may wait.
func (s *Service) weigh(sch Schedule, at time.Duration) {
	a := s.ask(at)
	a.widen(sch.Gives)
	pl, whole := s.inForce(a)
	if !whole {
		return
	}
	who, slacks := a.Deal(pl, Hands), a.Slacks(pl)
	for i, j := range a.number {
		if j < 0 {
			continue
		}
		s.orders[j].who, s.orders[j].slacks = who[i], slacks[i]
	}
}

// widen opens the windows of what gives way.
func (a *asked) widen(gives []Giving) {
	for _, g := range gives {
		i := slices.Index(a.number, g.Order)
		if i < 0 {
			continue
		}
		a.Orders[i].Wider = append(a.Orders[i].Wider, Wide{Act: g.Act, Late: g.Late})
	}
}
