package bar

import (
	"fmt"
	"slices"
)

// Check returns everything that is wrong with a plan, in words, nil for
// nothing. It counts tick by tick and shares nothing with the search.
func (p *Problem) Check(pl Plan) []string {
	c := planCheck{Problem: p, plan: pl}
	if !c.complete() {
		return c.faults
	}
	for j := range p.Orders {
		c.order(j)
	}
	c.capacity()
	c.links()
	c.turns()
	c.passing()
	return c.faults
}

type planCheck struct {
	*Problem
	plan   Plan
	faults []string
}

func (c *planCheck) say(format string, args ...any) {
	c.faults = append(c.faults, fmt.Sprintf(format, args...))
}

// complete checks that every act of every order is planned.
func (c *planCheck) complete() bool {
	if len(c.plan.Zeros) != len(c.Orders) || len(c.plan.Starts) != len(c.Orders) {
		c.say("%d orders planned, %d wanted", len(c.plan.Starts), len(c.Orders))
		return false
	}
	for j, o := range c.Orders {
		if n, want := len(c.plan.Starts[j]), len(c.Patterns[o.Pattern].Acts); n != want {
			c.say("order %d: %d acts planned, %d wanted", j, n, want)
		}
	}
	return len(c.faults) == 0
}

// order checks the windows, the order and the bounds of one brew's acts.
func (c *planCheck) order(j int) {
	o, pat, starts, zero := c.Orders[j], c.Patterns[c.Orders[j].Pattern], c.plan.Starts[j], c.plan.Zeros[j]
	if o.Begun && zero != o.Zero {
		c.say("order %d: began at %d, planned at %d", j, o.Zero, zero)
	}
	for a, act := range pat.Acts {
		c.act(j, a, act)
		for _, b := range act.Behind {
			if before := starts[b] + c.lengthOf(j, b); starts[a] < before && !c.bothFixed(j, a, b) {
				c.say("order %d: %s begins at %d, %s ends at %d", j, act.Name, starts[a], pat.Acts[b].Name, before)
			}
		}
	}
}

func (c *planCheck) act(j, a int, act Act) {
	at, o, zero, fixed := c.plan.Starts[j][a], c.Orders[j], c.plan.Zeros[j], false
	for _, f := range o.Fixed {
		if f.Act == a && at != f.Start {
			c.say("order %d: %s was at %d, planned at %d", j, act.Name, f.Start, at)
		}
		fixed = fixed || f.Act == a
	}
	for _, w := range o.Wider {
		if w.Act == a {
			act.Early, act.Late = act.Early+w.Early, act.Late+w.Late
		}
	}
	if !(fixed && o.Begun) && (at < zero+act.Start-act.Early || at > zero+act.Start+act.Late) {
		c.say("order %d: %s at %d is outside its window -%d +%d around %d", j, act.Name, at, act.Early, act.Late, zero+act.Start)
	}
	if fixed {
		return
	}
	if at < o.Placed || at < c.Now {
		c.say("order %d: %s at %d, but ordered at %d and now it is %d", j, act.Name, at, o.Placed, c.Now)
	}
	if at+act.Length > c.Horizon {
		c.say("order %d: %s ends at %d, behind the horizon %d", j, act.Name, at+act.Length, c.Horizon)
	}
}

func (c *planCheck) lengthOf(j, a int) int {
	for _, f := range c.Orders[j].Fixed {
		if f.Act == a {
			return f.End - f.Start
		}
	}
	return c.Patterns[c.Orders[j].Pattern].Acts[a].Length
}

// bothFixed reports whether both acts are past: what was done was done.
func (c *planCheck) bothFixed(j, a, b int) bool { return c.isFixed(j, a) && c.isFixed(j, b) }

// capacity counts the users of every resource in every tick that is not past.
func (c *planCheck) capacity() {
	for r, res := range c.Resources {
		var u usage
		for j, o := range c.Orders {
			pat, starts := c.Patterns[o.Pattern], c.plan.Starts[j]
			for a, act := range pat.Acts {
				if slices.Contains(act.Uses, r) {
					u.take(starts[a], starts[a]+c.lengthOf(j, a), c.isFixed(j, a))
				}
			}
			for _, h := range pat.Holds {
				if h.Resource == r {
					u.take(starts[h.From], starts[h.To]+c.lengthOf(j, h.To), c.isFixed(j, h.From))
				}
			}
		}
		for t, n := range u.used {
			if n > max(res.Capacity, u.past[t]) {
				c.say("%s: %d at once in tick %d, there is %d", res.Name, n, t, res.Capacity)
				break
			}
		}
	}
}

// usage counts who uses a resource, tick by tick from the service's zero.
type usage struct {
	used []int
	past []int // by what is done or under way: it has what it uses
}

func (u *usage) take(from, to int, done bool) {
	for len(u.used) < to {
		u.used, u.past = append(u.used, 0), append(u.past, 0)
	}
	for t := max(from, 0); t < to; t++ {
		u.used[t]++
		if done {
			u.past[t]++
		}
	}
}

func (c *planCheck) isFixed(j, a int) bool {
	return slices.ContainsFunc(c.Orders[j].Fixed, func(f Fixed) bool { return f.Act == a })
}

func (c *planCheck) links() {
	for _, l := range c.Links {
		if from, to := c.plan.Starts[l.From][l.FromAct], c.plan.Starts[l.To][l.ToAct]; to < from+l.Least {
			c.say("act %d of order %d at %d is less than %d behind %d", l.ToAct, l.To, to, l.Least, from)
		}
	}
}

// turns checks that equal recipes begin in order of arrival.
func (c *planCheck) turns() {
	if !c.InTurn {
		return
	}
	for j, o := range c.Orders {
		for i := range j {
			first := c.Orders[i]
			if first.Pattern == o.Pattern && !(first.Begun && o.Begun) && !(o.Begun && !first.Begun) && c.plan.Zeros[i] > c.plan.Zeros[j] {
				c.say("order %d begins at %d, before the equal order %d at %d", j, c.plan.Zeros[j], i, c.plan.Zeros[i])
			}
		}
	}
}

// passing checks how many later orders begin ahead of each. Those that have
// begun cannot be called back, but no further one may pass.
func (c *planCheck) passing() {
	if c.Passing < 0 {
		return
	}
	for j, o := range c.Orders {
		passed, past := 0, 0
		for i := j + 1; i < len(c.Orders); i++ {
			if c.plan.Zeros[i] < c.plan.Zeros[j] {
				passed++
				if c.Orders[i].Begun {
					past++
				}
			}
		}
		if may := max(c.Passing-o.Passed, past, 0); !o.Begun && passed > may {
			c.say("order %d is passed by %d later ones, at most %d may", j, passed, may)
		}
	}
}
