package bar

import (
	"cmp"
	"slices"
	"time"

	"barline/brew"
)

// Passing is how many later orders may overtake an order of a service; common
// practice, no source.
const Passing = 1

// asked is a service's problem from a moment on, and which order of the
// service each of its orders is; -1 for a kettle that is empty.
type asked struct {
	*Problem
	number []int
}

// Problem returns what is to be planned from a moment on: what is done or
// under way is fixed, brews that run keep their zeros and what is left of
// their windows, the rest is free. Orders that are over, held without an end,
// or without a brewer to be had are left out; numbers says which order of the
// service each order of the problem is, -1 for a kettle that is empty.
func (s Service) Problem(now time.Duration) (p *Problem, numbers []int) {
	a := s.ask(now)
	return a.Problem, a.number
}

func (s Service) ask(now time.Duration) asked {
	s = s.clone()
	s.settle(tickAt(now))
	a := asked{Problem: &Problem{
		Resources: s.usable().Resources(), InTurn: true, Passing: Passing, Now: tickAt(now),
	}}
	s.addEmpty(&a, now)
	patterns := map[*brew.Plan]int{}
	for _, j := range s.inTurn(now) {
		s.add(&a, j, now, patterns)
	}
	a.placeInTurn()
	a.Horizon = a.far()
	return a
}

// usable returns the kit without what cannot be used.
func (s *Service) usable() Kit {
	k := s.kit
	k.Brewers = max(max(k.Brewers, 1)-s.out.Brewers, 1)
	k.Kettles = max(max(k.Kettles, 1)-s.out.Kettles, 1)
	if k.Scales == 0 {
		k.Scales = max(s.kit.Brewers, 1)
	}
	k.Scales = max(k.Scales-s.out.Scales, 1)
	return k
}

// brewerless reports whether there is no brewer for a brew that has none yet.
func (s *Service) brewerless() bool { return s.out.Brewers >= max(s.kit.Brewers, 1) }

// addEmpty adds an order for each kettle that is empty, which uses it until
// it is full again.
func (s *Service) addEmpty(a *asked, now time.Duration) {
	from := a.Now
	for _, until := range s.empty {
		if until <= now {
			continue
		}
		to := tickAt(until-1) + 1
		a.Patterns = append(a.Patterns, Pattern{Name: "kettle empty", Acts: []Act{{Name: "kettle empty", Uses: []int{Kettle}, Length: to - from, Cue: -1}}})
		a.Orders = append(a.Orders, Order{Pattern: len(a.Patterns) - 1, Placed: from, Begun: true, Zero: from, Fixed: []Fixed{{0, from, to}}})
		a.number = append(a.number, -1)
	}
}

// stage says how far an order is on its way to its brew.
type stage int

const (
	stageBegun    stage = iota
	stageSet            // it has its brewer
	stagePrepared       // in part
	stageFresh
	stageHeld // until later
)

func (s *Service) stageAt(j int, now time.Duration) stage {
	o := &s.orders[j]
	switch {
	case o.brew >= 0:
		return stageBegun
	case s.hasBrewer(j):
		return stageSet
	case o.held && o.until > now:
		return stageHeld
	case len(o.chores) > 0:
		return stagePrepared
	}
	return stageFresh
}

// inTurn returns the orders that can be planned, first first: by stage, for
// what has its brewer must not wait for one that has none, else as they queue.
func (s *Service) inTurn(now time.Duration) (out []int) {
	for _, j := range s.queue {
		if s.plannable(j, now) {
			out = append(out, j)
		}
	}
	slices.SortStableFunc(out, func(i, k int) int {
		a, b := s.stageAt(i, now), s.stageAt(k, now)
		if a == stageHeld && b == stageHeld {
			return cmp.Compare(s.orders[i].until, s.orders[k].until)
		}
		return cmp.Compare(a, b)
	})
	return out
}

// plannable reports whether there is anything to plan of an order.
func (s *Service) plannable(j int, now time.Duration) bool {
	o := &s.orders[j]
	switch {
	case o.cancelled || s.overAt(j, now):
		return false
	case o.brew >= 0:
		return true
	case o.held && o.until == 0:
		return false
	}
	return !s.brewerless() || s.hasBrewer(j)
}

// hasBrewer reports whether an order has taken its brewer.
func (s *Service) hasBrewer(j int) bool {
	o := &s.orders[j]
	for _, h := range s.dish(j).Pattern.Holds {
		if _, done := o.done(h.From); h.Resource == Brewer && done {
			return true
		}
	}
	return false
}

// add adds an order to the problem.
func (s *Service) add(a *asked, j int, now time.Duration, patterns map[*brew.Plan]int) {
	o, d := &s.orders[j], s.dish(j)
	out := Order{Name: o.Name, Cups: o.Cups, Placed: nearTick(o.placed), Fixed: slices.Clone(o.chores)}
	if o.brew >= 0 {
		pat, fixed := s.running(j, now)
		out.Pattern, out.Begun = len(a.Patterns), true
		out.Zero = nearTick(s.brews[o.brew].lane.Zero())
		out.Fixed = append(out.Fixed, fixed...)
		a.Patterns = append(a.Patterns, pat)
	} else {
		n, is := patterns[d.Plan]
		if !is {
			n = len(a.Patterns)
			patterns[d.Plan] = n
			a.Patterns = append(a.Patterns, d.Pattern)
		}
		out.Pattern, out.Passed = n, s.passed(j, now)
		for _, f := range o.chores {
			// It may have been quicker, and it may wait: no brew that runs gives
			// way for the sake of what stands prepared.
			out.Wider = append(out.Wider, Wide{Act: f.Act, Early: MostHorizon, Late: MostHorizon})
		}
		if o.held && o.until > now {
			out.Placed = tickAt(o.until-1) + 1
		}
	}
	a.Orders, a.number = append(a.Orders, out), append(a.number, j)
}

// passed returns how many orders that queue behind an order have begun ahead of
// it, or stand ahead of it by their stage.
func (s *Service) passed(j int, now time.Duration) (n int) {
	own := s.stageAt(j, now)
	for _, k := range s.queue[slices.Index(s.queue, j)+1:] {
		ahead := s.plannable(k, now) && s.stageAt(k, now) < own && own != stageHeld
		if s.orders[k].brew >= 0 || ahead {
			n++
		}
	}
	return n
}

// running returns the pattern of a brew that runs, with what is still to come
// where its own lane will call it, and what has begun of it.
func (s *Service) running(j int, now time.Duration) (Pattern, []Fixed) {
	o, d := &s.orders[j], s.dish(j)
	lane := unmoved(s.brews[o.brew].lane, now)
	zero, elapsed := lane.Zero(), lane.Elapsed(now)
	how, endedAt, _ := lane.Ending()
	pat := d.Pattern
	pat.Acts = slices.Clone(pat.Acts)
	var fixed []Fixed
	base := nearTick(zero)
	span := func(cue int) (from, to int, begun bool) {
		start, end := lane.Span(cue)
		if how != brew.Running {
			start, end = min(start, endedAt), min(end, endedAt)
		}
		return nearTick(zero + start), nearTick(zero + end), start <= elapsed || how != brew.Running
	}
	for a := range pat.Acts {
		act := &pat.Acts[a]
		from, to, begun := 0, 0, false
		switch d.kinds[a] {
		case cueAct:
			from, to, begun = span(act.Cue)
		case gapAct:
			_, from, _ = span(d.Plan.Cues[pat.Acts[a+1].Cue].Before)
			to, _, _ = span(pat.Acts[a+1].Cue)
			to, begun = max(from, min(to, from+act.Length)), from < tickAt(now)
		default:
			continue
		}
		written := act.Start + act.Late
		act.Start, act.Length, act.Late = from-base, to-from, max(written-(from-base), 0)
		if begun {
			fixed = append(fixed, Fixed{a, from, to})
		}
	}
	spreadAfter(&pat, d)
	return pat, fixed
}

// spreadAfter lets what is to be done afterwards wait: nothing that runs need
// give way to it.
func spreadAfter(pat *Pattern, d *Dish) {
	for a := range pat.Acts {
		if act := &pat.Acts[a]; d.kinds[a] == choreAfter {
			act.Early, act.Late = hour, act.Late+hour
		}
	}
}

// unmoved returns the lane as it would go on if none of its coming cues had to
// wait.
func unmoved(l brew.Lane, now time.Duration) brew.Lane {
	moved := map[int]bool{}
	for _, e := range l.Events() {
		if e.Kind == brew.EventMoved {
			moved[e.Cue] = e.To > 0
		}
	}
	for cue := range l.Plan().Cues {
		if moved[cue] {
			l, _ = l.Apply(brew.Event{Kind: brew.EventMoved, At: now, Source: brew.FromClock, Cue: cue})
		}
	}
	return l
}

// placeInTurn sets the moments of order so that the problem's orders stand in
// their order, as a problem wants it.
func (a *asked) placeInTurn() {
	next := MostHorizon
	for j := len(a.Orders) - 1; j >= 0; j-- {
		o := &a.Orders[j]
		o.Placed = min(o.Placed, next)
		next = o.Placed
	}
}

// far returns a horizon by which everything can be done one after the other.
func (a *asked) far() int {
	end := a.Now
	for _, o := range a.Orders {
		end = max(end, o.Placed)
		for _, f := range o.Fixed {
			end = max(end, f.End)
		}
	}
	for _, o := range a.Orders {
		low, high := 0, 0
		for _, act := range a.Patterns[o.Pattern].Acts {
			low, high = min(low, act.Start), max(high, act.Start+act.Length)
		}
		end += high - low + 2*DefaultFloat
	}
	return min(end+hour, MostHorizon)
}

// overAt reports whether an order is over at a moment: cancelled, or its brew
// has ended and nothing is left to do.
func (s *Service) overAt(j int, now time.Duration) bool {
	o := &s.orders[j]
	if o.cancelled {
		return true
	}
	if o.brew < 0 {
		return false
	}
	lane := s.brews[o.brew].lane
	if how, _, _ := lane.Ending(); how == brew.Running {
		return false
	}
	d := s.dish(j)
	for a, kind := range d.kinds {
		if kind != choreAfter {
			continue
		}
		if f, is := o.done(a); !is || f.End > nearTick(now) {
			return false
		}
	}
	return true
}
