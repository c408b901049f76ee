package service

import (
	"time"

	"barline/brew"
	"barline/brew/bar"
)

// cast is who is to do what at a moment: the one prompt that stands large, and
// what comes next.
type cast struct {
	order  int     // whose lane is prompted, -1 for none
	on     *bar.Do // that is on; nil where the hands are free
	next   *bar.Do // that comes next; nil for nothing
	person int     // whose prompt it is
	wait   *bar.Waiting
	zero   time.Duration // of the prompted lane, on the service's clock
	timed  bool          // there is one
}

// cast finds the prompt: of what the persons do, what began latest; where all
// hands are free, what comes next; else what goes on by itself; else a beat
// that waits for its mark.
func (p Page) cast() cast {
	c := cast{order: -1}
	for i, d := range p.look.People {
		switch {
		case d.Now != nil && (c.on == nil || d.Now.Start > c.on.Start):
			c.on, c.next, c.person = d.Now, d.Next, i
		case c.on == nil && d.Next != nil && (c.next == nil || d.Next.Start < c.next.Start):
			c.next, c.person = d.Next, i
		}
	}
	switch {
	case c.on != nil:
		c.order = c.on.Order
	case c.next != nil:
		c.order = c.next.Order
	default:
		c = p.byItself(c)
	}
	if c.order >= 0 {
		t := p.look.Tickets[c.order]
		c.zero, c.timed = t.Zero, t.HasZero
	}
	return c
}

// byItself is the cast where nobody has anything to do.
func (p Page) byItself(c cast) cast {
	for _, t := range p.look.Tickets {
		for _, do := range t.Coming {
			if do.Start <= p.look.At && do.End > p.look.At && do.Cue >= 0 && (c.on == nil || do.End < c.on.End) {
				c.on, c.order = &do, t.Order
			}
		}
	}
	if c.on == nil && len(p.look.Waiting) > 0 {
		c.wait, c.order = &p.look.Waiting[0], p.look.Waiting[0].Order
	}
	return c
}

// cue returns the cue of something to do, and whether it is one.
func (p Page) cue(do *bar.Do) (brew.Cue, bool) {
	if do == nil || do.Cue < 0 {
		return brew.Cue{}, false
	}
	return p.service.DishOf(do.Order).Plan.Cues[do.Cue], true
}

// running returns an order's brew, and whether it runs.
func (p Page) running(order int) (brew.Lane, bool) {
	if order < 0 || p.service.BrewOf(order) < 0 {
		return brew.Lane{}, false
	}
	lane := p.service.Lane(p.service.BrewOf(order))
	how, _, _ := lane.Ending()
	return lane, how == brew.Running
}

// moment returns what a running brew shows, and whether it is on the cue of
// something to do.
func (p Page) moment(do *bar.Do) (brew.Moment, bool) {
	if do == nil {
		return brew.Moment{}, false
	}
	lane, runs := p.running(do.Order)
	if !runs || do.Cue < 0 {
		return brew.Moment{}, false
	}
	m := lane.At(lane.Elapsed(p.at()))
	return m, m.On == do.Cue
}
