package bar

import "slices"

// After returns the problem as it stands at a tick of a plan that has been
// kept to so far: what begun before it is fixed as planned, zeros that have
// come are past, the rest is free. Begun, Did and Drop then tell what was
// otherwise. It shares no orders with the problem it came from.
func (p *Problem) After(pl Plan, now int) *Problem {
	out := *p
	out.Now = now
	out.Orders = slices.Clone(p.Orders)
	for j := range out.Orders {
		o := &out.Orders[j]
		o.Fixed = slices.Clone(o.Fixed)
		if !o.Begun && pl.Zeros[j] < now {
			o.Begun, o.Zero = true, pl.Zeros[j]
		}
		for a, at := range pl.Starts[j] {
			if _, is := o.fixed(a); !is && at < now {
				o.Fixed = append(o.Fixed, Fixed{a, at, at + p.pattern(j).Acts[a].Length})
			}
		}
	}
	return &out
}

// Began sets the order's zero to when water really met coffee.
func (p *Problem) Began(order, zero int) {
	p.Orders[order].Begun, p.Orders[order].Zero = true, zero
}

// Did sets when an act really began and ended, or is thought to end.
func (p *Problem) Did(order, act, start, end int) {
	o := &p.Orders[order]
	o.Fixed = slices.DeleteFunc(slices.Clone(o.Fixed), func(f Fixed) bool { return f.Act == act })
	o.Fixed = append(o.Fixed, Fixed{act, start, end})
}

// Drop returns the problem and the plan without one order: cancelled, or
// ready and cleared away. Later orders move up by one.
func (p *Problem) Drop(order int, pl Plan) (*Problem, Plan) {
	keep := make([]bool, len(p.Orders))
	for j := range keep {
		keep[j] = j != order
	}
	out := p.only(keep)
	rest := Plan{}
	for j, is := range keep {
		if is && j < len(pl.Zeros) {
			rest.Zeros, rest.Starts = append(rest.Zeros, pl.Zeros[j]), append(rest.Starts, pl.Starts[j])
		}
	}
	return out, rest.Clone()
}

// only returns the problem of some of the orders.
func (p *Problem) only(keep []bool) *Problem {
	out := *p
	out.Orders, out.Links = nil, nil
	number := make([]int, len(keep))
	for j, is := range keep {
		number[j] = len(out.Orders)
		if is {
			out.Orders = append(out.Orders, p.Orders[j])
		}
	}
	for _, l := range p.Links {
		if keep[l.From] && keep[l.To] {
			l.From, l.To = number[l.From], number[l.To]
			out.Links = append(out.Links, l)
		}
	}
	return &out
}

// going returns which orders have begun or are prepared in part, and whether
// any is.
func (p *Problem) going() (is []bool, any bool) {
	is = make([]bool, len(p.Orders))
	for j, o := range p.Orders {
		is[j] = o.Begun || len(o.Fixed) > 0
		any = any || is[j]
	}
	return is, any
}

// spread gives a plan of some of the orders their numbers among all.
func (p *Problem) spread(pl Plan, is []bool) Plan {
	out := Plan{Zeros: make([]int, len(is)), Starts: make([][]int, len(is))}
	n := 0
	for j := range is {
		if is[j] {
			out.Zeros[j], out.Starts[j] = pl.Zeros[n], pl.Starts[n]
			n++
		}
	}
	return out
}

// Nodes after which the search for a plan of what is going gives up, and after
// which one that has a plan does.
const goingNodes, enoughNodes = 3000, 100

// keepGoing returns a plan of the brews that are going by themselves, and
// whether one was found.
func (p *Problem) keepGoing() (Plan, bool) {
	is, any := p.going()
	if !any {
		return Plan{}, false
	}
	alone := p.only(is)
	alone.Goal = Wait
	s := newElastic(alone, everything)
	for n := range goingNodes {
		if s.cost != worst && n > enoughNodes || !s.step() {
			break
		}
	}
	if s.cost == worst {
		return Plan{}, false
	}
	return p.spread(s.best, is), true
}
