package bar

import (
	"slices"
	"time"

	"barline/brew"
)

// markRef is a start, mark or skip that can be taken back.
type markRef struct {
	brew int
	kind brew.EventKind
}

// brewed folds what happened to an order's brew.
func (s *Service) brewed(e ServiceEvent) Result {
	if e.Brew.Kind == brew.EventStart {
		return s.begin(e)
	}
	n := s.orders[e.Order].brew
	b := e.Brew
	b.At, b.Source, b.Lane = e.At, e.Source, n
	lane, outcome := s.brews[n].lane.Apply(b)
	if outcome.Effect == brew.Refused {
		return refusedService(outcome.Why)
	}
	before := s.brews[n].lane
	s.brews[n].lane = lane
	s.stale = s.stale || retimed(before, lane)
	switch b.Kind {
	case brew.EventMark, brew.EventSkip:
		s.marks = append(s.marks, markRef{n, b.Kind})
	case brew.EventUndo:
		s.unmark(n)
	case brew.EventStop:
		s.stopped(e.Order, e.At, b.Text)
	}
	return Result{Effect: outcome.Effect, Why: outcome.Why, Order: e.Order, Brews: []Happening{{Brew: n, Event: b, Outcome: outcome}}}
}

// begin begins an order's brew: the zero is this moment. What was to be
// prepared is taken for done.
func (s *Service) begin(e ServiceEvent) Result {
	o, n := &s.orders[e.Order], len(s.brews)
	o.taken = s.dish(e.Order)
	o.held, o.until, o.waits = false, 0, false
	zero := nearTick(e.At)
	for a := range o.taken.first() {
		f, is := o.done(a)
		if !is {
			f = Fixed{a, zero, zero}
		}
		f.Start, f.End = min(f.Start, zero), min(f.End, zero)
		o.do(f)
	}
	o.brew = n
	s.brews = append(s.brews, pot{order: e.Order, lane: brew.NewLane(o.taken.Plan)})
	s.marks = append(s.marks, markRef{n, brew.EventStart})
	s.stale = true
	b := e.Brew
	b.At, b.Source = e.At, e.Source
	who := s.people[max(s.whoDoes(o, o.taken.first()), 0)]
	out := Result{Effect: brew.Taken, Order: e.Order, Brews: s.give(n, b)}
	for i := range out.Brews {
		out.Brews[i].Begun = &Begun{e.Order, o.taken.Plan, o.Ticket, who}
	}
	return out
}

// stopped notes that a person broke off an order's brew: no cup comes of it.
func (s *Service) stopped(j int, at time.Duration, why string) {
	o := &s.orders[j]
	s.forget(o.brew)
	o.cancelled, o.why, o.over, o.timing = true, firstWord(why, "stopped"), at, nil
	s.stale = true
}

// takeBack ends a brew as not begun. The order waits again, prepared as it
// is.
func (s *Service) takeBack(e ServiceEvent) []Happening {
	o := &s.orders[e.Order]
	n := o.brew
	s.brews[n].back = true
	o.brew, o.timing = -1, nil
	return s.stop(n, e.At, "the start was taken back")
}

// unmark forgets the latest mark or skip of a brew.
func (s *Service) unmark(n int) {
	for i := len(s.marks) - 1; i >= 0; i-- {
		if s.marks[i].brew == n && s.marks[i].kind != brew.EventStart {
			s.marks = slices.Delete(s.marks, i, i+1)
			return
		}
	}
}

// forget takes what a brew has of marks off the list.
func (s *Service) forget(n int) {
	s.marks = slices.DeleteFunc(s.marks, func(m markRef) bool { return m.brew == n })
}

// Undo returns the event that takes back the latest start, mark or skip at a
// moment, or why there is none: a brew that ended more than brew.FinishAfter
// ago is not opened again.
func (s Service) Undo(at time.Duration) (ServiceEvent, string) {
	if len(s.marks) == 0 {
		return ServiceEvent{}, "there is nothing to take back"
	}
	last := s.marks[len(s.marks)-1]
	lane := s.brews[last.brew].lane
	if how, ended, _ := lane.Ending(); how != brew.Running && lane.Elapsed(at)-ended > brew.FinishAfter {
		return ServiceEvent{}, "there is nothing to take back that is not long over"
	}
	j := s.brews[last.brew].order
	e := ServiceEvent{Kind: BrewEvent, At: at, Source: brew.FromKey, Order: j, Brew: brew.Event{Kind: brew.EventUndo}}
	if last.kind == brew.EventStart {
		if why := s.refusesBack(&s.orders[j], at); why != "" {
			return ServiceEvent{}, why
		}
		e.Kind, e.Brew = StartTakenBack, brew.Event{}
	}
	return e, ""
}

// Due returns what the clock brings about by itself until a moment: brews
// that end. They are to be applied in this order.
func (s Service) Due(now time.Duration) (out []ServiceEvent) {
	for _, b := range s.brews {
		end, ends := b.lane.EndsItself()
		if at := b.lane.Zero() + end; ends && at <= now {
			out = append(out, ServiceEvent{Kind: BrewEvent, At: at, Source: brew.FromClock, Order: b.order, Brew: brew.Event{Kind: brew.EventFinish}})
		}
	}
	slices.SortStableFunc(out, func(a, b ServiceEvent) int { return int(a.At - b.At) })
	return out
}

// retimed reports whether an event changed any cue's times by a tick.
func retimed(was, is brew.Lane) bool {
	for cue := range is.Plan().Cues {
		a, b := is.Span(cue)
		c, d := was.Span(cue)
		if nearTick(was.Zero()+c) != nearTick(is.Zero()+a) || nearTick(was.Zero()+d) != nearTick(is.Zero()+b) {
			return true
		}
	}
	was1, _, _ := was.Ending()
	is1, _, _ := is.Ending()
	return was1 != is1
}
