package bar

// insertion builds plans by putting brews in one after another, each as soon
// as what is there already leaves it room.
type insertion struct {
	p     *Problem
	used  [][]int16 // of each resource, by tick
	plan  Plan
	in    []bool // orders put in
	going Plan   // of what has begun, by the orders' numbers; empty where unknown
}

func newInsertion(p *Problem) *insertion {
	b := &insertion{p: p, used: make([][]int16, len(p.Resources)), in: make([]bool, len(p.Orders))}
	for r := range b.used {
		b.used[r] = make([]int16, p.Horizon+1)
	}
	b.plan = Plan{Zeros: make([]int, len(p.Orders)), Starts: make([][]int, len(p.Orders))}
	for j := range p.Orders {
		b.plan.Starts[j] = make([]int, len(p.pattern(j).Acts))
	}
	if going, ok := p.keepGoing(); ok {
		b.going = going
	}
	return b
}

// build puts the orders in, those that have begun first, and reports whether
// there was room for all. The plan is valid until the next build.
func (b *insertion) build(order []int) (Plan, bool) {
	for r := range b.used {
		clear(b.used[r])
	}
	clear(b.in)
	for _, o := range b.p.Orders {
		for _, f := range o.Fixed {
			b.book(b.p.Patterns[o.Pattern].Acts[f.Act].Uses, f.Start, f.End, 1)
		}
	}
	for stage := range 4 {
		for _, j := range order {
			if b.p.Orders[j].stage(b.p.pattern(j).Holds) == stage && !b.insert(j) {
				return Plan{}, false
			}
		}
	}
	return b.plan, b.linked()
}

// stage says how far an order is: 0 begun, 1 it holds something, 2 prepared in
// part, 3 not touched.
func (o *Order) stage(holds []Hold) int {
	switch {
	case o.Begun:
		return 0
	case len(o.Fixed) == 0:
		return 3
	}
	for _, h := range holds {
		if _, has := o.fixed(h.From); has {
			return 1
		}
	}
	return 2
}

func (b *insertion) linked() bool {
	for _, l := range b.p.Links {
		if b.plan.Starts[l.To][l.ToAct] < b.plan.Starts[l.From][l.FromAct]+l.Least {
			return false
		}
	}
	return true
}

// insert finds the soonest zero at which the order fits.
func (b *insertion) insert(j int) bool {
	low, high := b.zeros(j)
	for zero := low; zero <= high; {
		next := b.try(j, zero)
		if next == zero {
			b.plan.Zeros[j], b.in[j] = zero, true
			return true
		}
		zero = next
	}
	return false
}

// zeros returns the range of zeros that the turns and the passing leave.
func (b *insertion) zeros(j int) (low, high int) {
	o := &b.p.Orders[j]
	if o.Begun {
		return o.Zero, o.Zero
	}
	if b.known(j) {
		return b.going.Zeros[j], b.going.Zeros[j]
	}
	high = b.p.Horizon
	for a := range b.p.pattern(j).Acts {
		act := b.p.act(j, a)
		if f, is := o.fixed(a); is {
			low, high = max(low, f.Start-act.Start-act.Late), min(high, f.Start-act.Start+act.Early)
		} else {
			low = max(low, b.p.soonest(j)-act.Start-act.Late)
		}
	}
	var later []int
	for i, in := range b.in {
		if !in {
			continue
		}
		zero, other := b.plan.Zeros[i], &b.p.Orders[i]
		if b.p.InTurn && other.Pattern == o.Pattern {
			if i < j {
				low = max(low, zero)
			} else if !other.Begun {
				high = min(high, zero)
			}
		}
		if i > j {
			later = append(later, zero)
		} else if b.p.Passing >= 0 && !other.Begun && b.passed(i) >= b.p.mayPass(i) {
			low = max(low, zero)
		}
	}
	if may := b.p.mayPass(j); b.p.Passing >= 0 && len(later) > may {
		high = min(high, nth(later, may))
	}
	return low, high
}

// known reports whether it is known when the order's acts go.
func (b *insertion) known(j int) bool { return b.going.Starts != nil && b.going.Starts[j] != nil }

// passed counts the later orders put in ahead of one.
func (b *insertion) passed(j int) int {
	n := 0
	for i := j + 1; i < len(b.in); i++ {
		if b.in[i] && b.plan.Zeros[i] < b.plan.Zeros[j] {
			n++
		}
	}
	return n
}

// try puts the order's acts in behind the zero, each as soon as it can be. It
// returns the zero where they fit, else the next one worth trying.
func (b *insertion) try(j, zero int) int {
	o, pat, starts := &b.p.Orders[j], b.p.pattern(j), b.plan.Starts[j]
	for a := range pat.Acts {
		f, is := o.fixed(a)
		act := b.p.act(j, a)
		if is {
			starts[a] = f.Start // booked already
			continue
		}
		from, to := max(zero+act.Start-act.Early, b.p.soonest(j)), zero+act.Start+act.Late
		if b.known(j) {
			from = b.going.Starts[j][a]
		}
		for _, k := range act.Behind {
			from = max(from, starts[k]+b.p.length(j, k))
		}
		at := b.free(act.Uses, from, act.Length)
		if at < 0 || at > to {
			b.unbook(j, a)
			if at < 0 || o.Begun || b.known(j) {
				return b.p.Horizon + 1
			}
			return max(zero+1, at-act.Start-act.Late)
		}
		starts[a] = at
		b.book(act.Uses, at, at+act.Length, 1)
	}
	if b.holds(j) {
		return zero
	}
	b.later(j, zero)
	if b.holds(j) {
		return zero
	}
	b.unbook(j, len(pat.Acts))
	return zero + 1
}

// free returns the first tick from which all the resources are free for a
// while, -1 for none ahead of the horizon.
func (b *insertion) free(uses []int, from, length int) int {
	for t := from; t < from+length; t++ {
		if from+length > b.p.Horizon {
			return -1
		}
		for _, r := range uses {
			if int(b.used[r][t]) >= b.p.Resources[r].Capacity {
				from = t + 1
				break
			}
		}
	}
	if from+length > b.p.Horizon {
		return -1
	}
	return from
}

// lastFree returns the last tick up to latest, and not ahead of earliest,
// from which the resources are free for a while; -1 for none.
func (b *insertion) lastFree(uses []int, earliest, latest, length int) int {
	for at := latest; at >= earliest; at-- {
		if b.free(uses, at, length) == at {
			return at
		}
	}
	return -1
}

func (b *insertion) book(uses []int, from, to int, by int16) {
	for _, r := range uses {
		for t := max(from, 0); t < min(to, len(b.used[r])); t++ {
			b.used[r][t] += by
		}
	}
}

// unbook takes the order's first acts out again, but for what is fixed.
func (b *insertion) unbook(j, acts int) {
	for a, act := range b.p.pattern(j).Acts[:acts] {
		if _, is := b.p.Orders[j].fixed(a); !is {
			at := b.plan.Starts[j][a]
			b.book(act.Uses, at, at+act.Length, -1)
		}
	}
}

// holds books what the order keeps and reports whether there was room; where
// there was none, nothing is booked. What it has already it keeps.
func (b *insertion) holds(j int) bool {
	pat, starts := b.p.pattern(j), b.plan.Starts[j]
	for i, h := range pat.Holds {
		from, to := starts[h.From], starts[h.To]+b.p.length(j, h.To)
		_, has := b.p.Orders[j].fixed(h.From)
		for t := max(from, 0); t < to && !has; t++ {
			if int(b.used[h.Resource][t]) >= b.p.Resources[h.Resource].Capacity {
				b.unhold(j, i)
				return false
			}
		}
		b.book([]int{h.Resource}, from, to, 1)
	}
	return true
}

func (b *insertion) unhold(j, holds int) {
	pat, starts := b.p.pattern(j), b.plan.Starts[j]
	for _, h := range pat.Holds[:holds] {
		b.book([]int{h.Resource}, starts[h.From], starts[h.To]+b.p.length(j, h.To), -1)
	}
}

// later moves the acts up to the one at which a hold begins as late as they
// can be, last first, so that nothing is kept longer than it must be.
func (b *insertion) later(j, zero int) {
	o, pat, starts := &b.p.Orders[j], b.p.pattern(j), b.plan.Starts[j]
	last := -1
	for _, h := range pat.Holds {
		last = max(last, h.From)
	}
	for a := last; a >= 0; a-- {
		if _, is := o.fixed(a); is {
			continue
		}
		act := b.p.act(j, a)
		latest := zero + act.Start + act.Late
		for k, other := range pat.Acts {
			for _, behind := range other.Behind {
				if behind == a {
					latest = min(latest, starts[k]-act.Length)
				}
			}
		}
		b.book(act.Uses, starts[a], starts[a]+act.Length, -1)
		if at := b.lastFree(act.Uses, starts[a], latest, act.Length); at >= 0 {
			starts[a] = at
		}
		b.book(act.Uses, starts[a], starts[a]+act.Length, 1)
	}
}

// nth returns the n-th smallest number, from zero; it sorts them.
func nth(of []int, n int) int {
	for i := range of {
		for k := i; k > 0 && of[k] < of[k-1]; k-- {
			of[k], of[k-1] = of[k-1], of[k]
		}
	}
	return of[n]
}
