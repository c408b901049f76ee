package bar

import (
	"slices"
	"time"

	"barline/brew"
)

// Apply folds one more event into the service. A refused event leaves the
// service as it is. Events come in the order of their moments: an earlier one
// counts as happening at the moment of the latest.
func (s Service) Apply(e ServiceEvent) (Service, Result) {
	e.At = max(e.At, s.latest)
	next := s.clone()
	next.settle(tickAt(e.At))
	result := next.take(e)
	if result.Effect == brew.Refused {
		return s, result
	}
	next.latest = e.At
	next.count++
	return next, result
}

// clone returns a service whose orders and brews can be changed.
func (s Service) clone() Service {
	s.menu, s.people, s.empty = slices.Clone(s.menu), slices.Clone(s.people), slices.Clone(s.empty)
	s.orders, s.queue, s.brews = slices.Clone(s.orders), slices.Clone(s.queue), slices.Clone(s.brews)
	s.gives, s.marks = slices.Clone(s.gives), slices.Clone(s.marks)
	return s
}

// tickAt returns the tick that a moment lies in.
func tickAt(at time.Duration) int { return int(at / time.Second) }

// nearTick returns the tick nearest to a moment.
func nearTick(at time.Duration) int { return ticks(at) }

// moment returns when a tick begins.
func moment(tick int) time.Duration { return time.Duration(tick) * time.Second }

// settle takes for done, or under way, what was planned to begin before a
// tick.
func (s *Service) settle(now int) {
	for j := range s.orders {
		o := &s.orders[j]
		if o.timing == nil || o.cancelled {
			continue
		}
		dish := s.dish(j)
		for a, at := range o.timing.Starts {
			if at >= now || !s.settles(j, a, dish.kinds[a]) {
				continue
			}
			o.do(Fixed{a, at, at + dish.Pattern.Acts[a].Length})
			o.taken = dish
		}
		if zero := moment(o.timing.Zero); o.brew < 0 && !o.waits && o.timing.Zero < now && s.prepared(o, zero) {
			o.called, o.waits = zero, true
		}
	}
}

// settles reports whether an act is taken for begun at its planned time: a
// chore before the brew of an order that has not begun, or after it.
func (s *Service) settles(j, a int, kind actKind) bool {
	o := &s.orders[j]
	if _, is := o.done(a); is {
		return false
	}
	switch kind {
	case choreBefore:
		return o.brew < 0
	case choreAfter:
		return o.brew >= 0
	}
	return false
}

// do notes how a chore really went.
func (o *order) do(f Fixed) {
	o.chores = slices.DeleteFunc(slices.Clone(o.chores), func(g Fixed) bool { return g.Act == f.Act })
	o.chores = append(o.chores, f)
}

// done returns how a chore went, and whether it has begun.
func (o *order) done(act int) (Fixed, bool) {
	for _, f := range o.chores {
		if f.Act == act {
			return f, true
		}
	}
	return Fixed{}, false
}

// dish returns the recipe of an order: the menu's until something of it has
// begun.
func (s *Service) dish(j int) *Dish {
	if d := s.orders[j].taken; d != nil {
		return d
	}
	d := s.menu[s.orders[j].Dish]
	return &d
}

// take folds an event into this very service.
func (s *Service) take(e ServiceEvent) Result {
	if why := s.refuses(e); why != "" {
		return refusedService(why)
	}
	out := Result{Effect: brew.Taken, Order: e.Order}
	switch e.Kind {
	case OrderPlaced:
		out.Order = s.place(e, e.Ticket, -1)
	case OrderNamed:
		o := &s.orders[e.Order]
		o.Name, o.Coffee, o.Cups = e.Ticket.Name, e.Ticket.Coffee, e.Ticket.Cups
		return out
	case OrderCancelled:
		out.Brews = s.drop(e.Order, e.At, firstWord(e.Text, "cancelled"))
	case OrderRemade:
		out.Brews = s.drop(e.Order, e.At, firstWord(e.Text, "remade"))
		out.Order = s.place(e, s.orders[e.Order].Ticket, e.Order)
		s.front(out.Order)
	case OrderHeld:
		o := &s.orders[e.Order]
		o.held, o.until, o.waits = true, e.Until, false
		o.timing, o.chores, o.taken = nil, nil, nil
	case OrderReleased:
		s.orders[e.Order].held, s.orders[e.Order].until = false, 0
	case OrderMovedUp:
		s.orders[e.Order].held, s.orders[e.Order].until = false, 0
		s.front(e.Order)
	case ChoreDone:
		s.choreDone(e)
	case KitChanged:
		s.out, out.Order = e.Out, -1
	case KettleEmpty:
		s.kettle(e)
		out.Order = -1
	case PeopleChanged:
		s.people, s.kit.People, out.Order = slices.Clone(e.People), len(e.People), -1
	case MenuChanged:
		s.change(e)
		out.Order = -1
	case PlanAdopted:
		out.Brews, out.Order = s.adopt(*e.Schedule, e.At), -1
		return out
	case BrewEvent:
		return s.brewed(e)
	case StartTakenBack:
		out.Brews = s.takeBack(e)
	case ServiceClosed:
		s.close(e)
		out.Order = -1
	}
	s.stale, s.anew = true, true
	return out
}

func firstWord(text, otherwise string) string {
	if text != "" {
		return text
	}
	return otherwise
}

// place adds an order at the end of the queue and returns its number.
func (s *Service) place(e ServiceEvent, t Ticket, remakeOf int) int {
	n := len(s.orders)
	s.orders = append(s.orders, order{Ticket: t, placed: e.At, brew: -1, remakeOf: remakeOf})
	s.queue = append(s.queue, n)
	return n
}

// front moves an order to the front of the queue.
func (s *Service) front(n int) {
	s.queue = slices.DeleteFunc(s.queue, func(i int) bool { return i == n })
	s.queue = append([]int{n}, s.queue...)
}

// drop cancels an order. A brew of it that runs is stopped; one that is
// served stays as it is.
func (s *Service) drop(n int, at time.Duration, why string) []Happening {
	o := &s.orders[n]
	if o.cancelled || s.overAt(n, at) {
		return nil
	}
	o.cancelled, o.why, o.over, o.timing = true, why, at, nil
	if o.brew < 0 {
		return nil
	}
	return s.stop(o.brew, at, why)
}

// stop ends a brew, unless it has ended. Nothing of it can be taken back then.
func (s *Service) stop(n int, at time.Duration, why string) []Happening {
	s.forget(n)
	return s.give(n, brew.Event{Kind: brew.EventStop, At: at, Source: brew.FromClock, Text: why})
}

// give folds an event into a brew and returns what became of it.
func (s *Service) give(n int, e brew.Event) []Happening {
	e.Lane = n
	lane, outcome := s.brews[n].lane.Apply(e)
	s.brews[n].lane = lane
	if outcome.Effect == brew.Refused {
		return nil
	}
	return []Happening{{Brew: n, Event: e, Outcome: outcome}}
}

func (s *Service) choreDone(e ServiceEvent) {
	o, now := &s.orders[e.Order], nearTick(e.At)
	o.taken = s.dish(e.Order)
	f, begun := o.done(e.Act)
	if !begun || f.Start > now {
		f.Start = now
	}
	o.do(Fixed{e.Act, f.Start, now})
}

// kettle notes until when a kettle is empty. What is past is forgotten.
func (s *Service) kettle(e ServiceEvent) {
	s.empty = slices.DeleteFunc(s.empty, func(until time.Duration) bool { return until <= e.At })
	if e.Until <= e.At {
		s.empty = nil
		return
	}
	s.empty = append(s.empty, e.Until)
	if most := max(s.kit.Kettles, 1); len(s.empty) > most {
		s.empty = s.empty[len(s.empty)-most:]
	}
}

// change puts a recipe on the menu in another's place, or adds one. Orders of
// which something has begun keep what they were begun with.
func (s *Service) change(e ServiceEvent) {
	d := NewDish(e.Plan)
	if e.Dish == len(s.menu) {
		s.menu = append(s.menu, d)
		return
	}
	s.menu[e.Dish] = d
	for j := range s.orders {
		if o := &s.orders[j]; o.Dish == e.Dish && o.taken == nil {
			o.timing = nil
		}
	}
}

func (s *Service) close(e ServiceEvent) {
	s.closed = true
	for j := range s.orders {
		if s.orders[j].brew < 0 {
			s.drop(j, e.At, firstWord(e.Text, "the service was closed"))
		}
	}
}
