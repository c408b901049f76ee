package bar

import (
	"cmp"
	"slices"
	"time"
)

// Look returns everything to show at a moment.
func (s Service) Look(now time.Duration) Look {
	s = s.clone()
	s.settle(tickAt(now))
	l := Look{At: now, Claim: s.claim, Stale: s.staleAt(now), Over: true}
	l.Tickets = make([]TicketLook, len(s.orders))
	var all []doing
	for j := range s.orders {
		acts := s.acts(j, now)
		l.Tickets[j] = s.ticketLook(j, acts, now)
		if state := l.Tickets[j].State; state == OrderServed || state == OrderDropped {
			continue
		}
		l.Over = false
		all = append(all, acts...)
	}
	l.Queue = s.waitingQueue(now)
	l.Waiting = s.pending(now)
	l.People = s.duties(all, now)
	l.Gives = s.givesAt(all)
	l.changes(&s, all)
	return l
}

// ticketLook returns one order at a moment.
func (s *Service) ticketLook(j int, acts []doing, now time.Duration) TicketLook {
	o := &s.orders[j]
	t := TicketLook{
		Order: j, Ticket: o.Ticket, Placed: o.placed, Why: o.why, RemakeOf: o.remakeOf, Brew: o.brew, Person: -1,
		State: s.stateOf(j, acts, now),
	}
	if o.held {
		t.Until = o.until
	}
	if o.brew >= 0 {
		t.Zero, t.HasZero = s.brews[o.brew].lane.Zero(), true
	} else if o.timing != nil {
		t.Zero, t.HasZero = max(moment(o.timing.Zero), now), true
	}
	for _, x := range acts {
		if !x.over {
			t.Coming = append(t.Coming, x.Do)
		}
	}
	t.Person = personOf(acts)
	t.Ready, t.Sure = s.ready(o, acts, now)
	return t
}

// stateOf returns how far an order is.
func (s *Service) stateOf(j int, acts []doing, now time.Duration) State {
	o := &s.orders[j]
	switch {
	case o.cancelled:
		return OrderDropped
	case s.overAt(j, now):
		return OrderServed
	case o.brew >= 0:
		if ready, sure := s.ready(o, acts, now); sure == SurePast && ready <= now {
			return OrderServing
		}
		return OrderBrewing
	case len(o.chores) > 0:
		return OrderPreparing
	case o.held && (o.until == 0 || o.until > now):
		return OrderHeldBack
	}
	return OrderWaiting
}

// ready returns when an order's cup is ready and how sure that is.
func (s *Service) ready(o *order, acts []doing, now time.Duration) (time.Duration, Sure) {
	done := s.dishOf(o).Pattern.Done
	for _, x := range acts {
		switch {
		case x.Act != done || o.cancelled:
		case o.brew < 0:
			return x.End, SurePlanned
		case x.over:
			return x.End, SurePast
		default:
			return x.End, SureFirm
		}
	}
	return 0, SureNot
}

// personOf returns who does what is on, else what comes next, else what was
// done last.
func personOf(acts []doing) int {
	last := -1
	for _, x := range acts {
		if x.who < 0 || !x.Hands {
			continue
		}
		last = x.who
		if !x.over {
			break
		}
	}
	return last
}

// waitingQueue returns the orders that have not begun to brew, first first.
func (s *Service) waitingQueue(now time.Duration) (out []int) {
	for _, j := range s.queue {
		if o := &s.orders[j]; !o.cancelled && o.brew < 0 {
			out = append(out, j)
		}
	}
	slices.SortStableFunc(out, func(i, k int) int { return cmp.Compare(s.stageAt(i, now), s.stageAt(k, now)) })
	return out
}

// duties returns what each person does.
func (s *Service) duties(all []doing, now time.Duration) []Duty {
	out := make([]Duty, len(s.people))
	for p := range out {
		out[p] = dutyOf(all, p, now)
		out[p].Name = s.people[p]
	}
	return out
}

// dutyOf returns what one person does. What a running brew calls goes before
// a zero that waits for its mark, and that before a chore.
func dutyOf(all []doing, person int, now time.Duration) (d Duty) {
	rank := -1
	for _, x := range all {
		if x.who != person || !x.Hands || x.over {
			continue
		}
		do := x.Do
		switch on := x.begun || x.Late; {
		case on && x.rank() >= rank:
			d.Now, rank = &do, x.rank()
		case !on && (d.Next == nil || x.Start < d.Next.Start):
			d.Next = &do
		}
	}
	if d.Now == nil && d.Next != nil {
		d.Free = d.Next.Start - now
	}
	return d
}

func (x doing) rank() int {
	switch {
	case x.kind == cueAct && !x.Zero:
		return 2
	case x.Zero:
		return 1
	}
	return 0
}

// givesAt returns what gives way and has not begun.
func (s *Service) givesAt(all []doing) (out []Giving) {
	for _, g := range s.gives {
		if slices.ContainsFunc(all, func(x doing) bool { return x.Order == g.Order && x.Act == g.Act && !x.begun }) {
			out = append(out, g)
		}
	}
	return out
}

// LateEvery is how often a plan goes stale while a brew is overdue to begin.
const LateEvery = 5 * time.Second

// staleAt reports whether a plan should be made again.
func (s *Service) staleAt(now time.Duration) bool {
	if s.stale {
		return true
	}
	for j := range s.orders {
		o := &s.orders[j]
		if !s.plannable(j, now) {
			continue
		}
		if o.timing == nil || o.brew < 0 && now-max(moment(o.timing.Zero), s.planned) >= LateEvery {
			return true
		}
	}
	return false
}

// changes works out when the picture changes by itself.
func (l *Look) changes(s *Service, all []doing) {
	add := func(at time.Duration) {
		if at > l.At && (!l.HasChange || at < l.Changes) {
			l.Changes, l.HasChange = at, true
		}
	}
	for _, x := range all {
		add(x.Start)
		add(x.End)
	}
	for j := range s.orders {
		o := &s.orders[j]
		if o.brew >= 0 && !o.cancelled {
			lane := s.brews[o.brew].lane
			if m := lane.At(lane.Elapsed(l.At)); m.HasChange {
				add(lane.Zero() + m.Changes)
			}
		} else if o.timing != nil {
			add(max(moment(o.timing.Zero), s.planned) + LateEvery)
		}
		if o.held {
			add(o.until)
		}
	}
}
