package bar

import (
	"cmp"
	"slices"
	"time"

	"barline/brew"
)

// pending returns what was called and waits for a mark, oldest call first.
func (s *Service) pending(now time.Duration) (out []Waiting) {
	for _, w := range s.awaited(now) {
		if w.Called <= now {
			out = append(out, w)
		}
	}
	slices.SortStableFunc(out, func(a, b Waiting) int { return cmp.Compare(a.Called, b.Called) })
	return out
}

// awaited returns every beat and every zero that a mark may be meant for. A
// zero may be from when the last thing to prepare has begun.
func (s *Service) awaited(now time.Duration) (out []Waiting) {
	for j := range s.orders {
		o := &s.orders[j]
		switch {
		case o.cancelled:
		case o.brew >= 0:
			out = append(out, s.awaitedOf(j)...)
		case o.timing != nil && s.prepared(o, now):
			called := moment(o.timing.Zero)
			if o.waits {
				called = o.called
			}
			out = append(out, Waiting{j, -1, called, s.whoDoes(o, s.dish(j).first())})
		}
	}
	return out
}

// awaitedOf returns the beats of an order's brew that wait, called or not.
func (s *Service) awaitedOf(j int) (out []Waiting) {
	o, d := &s.orders[j], s.dish(j)
	lane := s.brews[o.brew].lane
	if how, _, _ := lane.Ending(); how != brew.Running {
		return nil
	}
	for n, b := range d.Plan.Beats {
		if state := lane.Beat(n); b.Asked && state.Status == brew.Waiting {
			a := slices.IndexFunc(d.Pattern.Acts, func(x Act) bool { return x.Cue == b.Cue })
			out = append(out, Waiting{j, n, lane.Zero() + state.Called, s.whoDoes(o, a)})
		}
	}
	return out
}

// prepared reports whether everything to prepare for an order has begun, or,
// where there is nothing, whether its zero is near.
func (s *Service) prepared(o *order, now time.Duration) bool {
	first := s.dishOf(o).first()
	if first == 0 {
		return now >= moment(o.timing.Zero)-brew.ZeroWithin
	}
	for a := range first {
		if f, begun := o.done(a); !begun || moment(f.Start) > now {
			return false
		}
	}
	return true
}

// Nearest returns what a mark at a moment belongs to: the beat, or the zero
// of an order that is prepared, that is called nearest to it over all lanes.
// Of two that are equally near, and of several zeros that were called, that of
// the prompted order is taken, else the first. With a person, -1 for any, what is somebody else's counts only where
// nothing is theirs or nobody's. It is false where nothing waits.
func (s Service) Nearest(at time.Duration, prompted, person int) (Target, bool) {
	s = s.clone()
	s.settle(tickAt(at))
	all := s.awaited(at)
	if person >= 0 {
		others := func(w Waiting) bool { return w.Person >= 0 && w.Person != person }
		if own := slices.DeleteFunc(slices.Clone(all), others); len(own) > 0 {
			all = own
		}
	}
	best := Target{Order: -1}
	var least time.Duration
	for _, w := range all {
		off := (at - w.Called).Abs()
		kind := brew.EventMark
		if w.Beat < 0 {
			kind = brew.EventStart
		}
		switch {
		case best.Order < 0 || off < least:
			best, least = Target{Order: w.Order, Kind: kind}, off
		case off == least && w.Order != best.Order:
			best.Tie = true
			if w.Order == prompted {
				best.Order, best.Kind = w.Order, kind
			}
		}
	}
	if best.Kind == brew.EventStart {
		best = amongZeros(best, all, at, prompted)
	}
	return best, best.Order >= 0
}

// amongZeros gives a start to the prompted order where several zeros have been
// called: each of them is called on and on until its mark comes.
func amongZeros(best Target, all []Waiting, at time.Duration, prompted int) Target {
	for _, w := range all {
		if w.Beat < 0 && w.Called <= at && w.Order != best.Order {
			best.Tie = true
			if w.Order == prompted {
				best.Order = prompted
				return best
			}
		}
	}
	return best
}

// Mark returns the event that a mark at a moment is for one order: the zero
// of its brew, or the nearest beat of it.
func (s Service) Mark(order int, at time.Duration, source brew.Source) ServiceEvent {
	kind := brew.EventMark
	if order >= 0 && order < len(s.orders) && s.orders[order].brew < 0 {
		kind = brew.EventStart
	}
	return ServiceEvent{Kind: BrewEvent, At: at, Source: source, Order: order, Brew: brew.Event{Kind: kind}}
}
