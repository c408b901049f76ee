package bar

import (
	"fmt"
	"math/rand/v2"
	"slices"
)

// Day is a day of orders at a bar, drawn by chance from a seed.
type Day struct {
	Kit      Kit
	Patterns []Pattern
	Mix      []float64 // how often each pattern is ordered, as a share of their sum
	Rates    []float64 // orders an hour, of each hour from the opening
	Seed     uint64
	Passing  int // see Problem
	Tries    int // orders of work tried at each new order; 0 is taken as 20
}

// hour is an hour in ticks.
const hour = 3600

// Hour is what one hour of a day came to.
type Hour struct {
	Orders     int
	Wait       int       // ticks from order to cup, summed over the hour's orders
	Worst      int       // the longest of them
	Busy       []float64 // of each resource, the share of the hour that it was in use
	Bottleneck int       // the resource that was busiest
}

// Mean returns the mean wait of the hour's orders in ticks, 0 without any.
func (h Hour) Mean() float64 {
	if h.Orders == 0 {
		return 0
	}
	return float64(h.Wait) / float64(h.Orders)
}

// Outcome is what a day came to, hour by hour; the work goes on after the
// last until all is served. Orders count in the hour in which they were
// placed.
type Outcome struct {
	Hours []Hour
	Total Hour // Busy and Bottleneck are over the hours that are listed
	Log   []Served
}

// Served is one order of the day.
type Served struct {
	Pattern, Placed, Zero, Ready int
	Starts                       []int
}

// Change is what a day would come to with something changed.
type Change struct {
	What    string
	Outcome Outcome
}

// orders draws the day's orders: gaps without memory at each hour's rate.
func (d Day) orders() []Order {
	r := rand.New(rand.NewPCG(d.Seed, 1))
	var out []Order
	for h, rate := range d.Rates {
		if rate <= 0 {
			continue
		}
		for at := r.ExpFloat64() / rate; at < 1; at += r.ExpFloat64() / rate {
			out = append(out, Order{Pattern: d.draw(r.Float64()), Placed: h*hour + int(at*hour)})
		}
	}
	return out
}

// draw returns the pattern at a share of the mix.
func (d Day) draw(at float64) int {
	sum := 0.0
	for _, m := range d.Mix {
		sum += m
	}
	for i, m := range d.Mix {
		if at -= m / sum; at < 0 {
			return i
		}
	}
	return len(d.Mix) - 1
}

// Valid returns what is wrong with the day, nil for nothing.
func (d Day) Valid() error {
	if len(d.Mix) != len(d.Patterns) || len(d.Mix) == 0 {
		return fmt.Errorf("%d shares for %d recipes", len(d.Mix), len(d.Patterns))
	}
	sum := 0.0
	for i, m := range d.Mix {
		if !(m >= 0) {
			return fmt.Errorf("%s: a share of %g", d.Patterns[i].Name, m)
		}
		sum += m
	}
	if !(sum > 0) {
		return fmt.Errorf("the shares add up to %g", sum)
	}
	for h, rate := range d.Rates {
		if !(rate >= 0 && rate <= 1000) {
			return fmt.Errorf("hour %d: %g orders, 0 to 1000 are possible", h+1, rate)
		}
	}
	p := Problem{Resources: d.Kit.Resources(), Patterns: d.Patterns}
	return p.Valid()
}

// Run plays the day: at every new order what is not begun is planned again.
// Nothing slips. The error says what is wrong with the day, or which order
// found no place.
func (d Day) Run() (Outcome, error) {
	if err := d.Valid(); err != nil {
		return Outcome{}, err
	}
	p := &Problem{
		Resources: d.Kit.Resources(), Patterns: d.Patterns, InTurn: true, Passing: d.Passing,
		Horizon: MostHorizon,
	}
	pl, log := Plan{}, []Served(nil)
	for _, o := range d.orders() {
		p = p.After(pl, o.Placed)
		p, pl = p.clear(pl, &log)
		p.Orders = append(p.Orders, o)
		next, can := d.plan(p)
		if !can {
			next, can = p.behind(pl)
		}
		if !can {
			return Outcome{}, fmt.Errorf("the order at %d found no place", o.Placed)
		}
		pl = next
	}
	p = p.After(pl, MostHorizon)
	p.clear(pl, &log)
	return d.sum(log), nil
}

// plan finds a plan by trying orders of insertion.
func (d Day) plan(p *Problem) (best Plan, can bool) {
	tries := d.Tries
	if tries == 0 {
		tries = 20
	}
	q := newPolish(p)
	for range tries {
		if pl, better := q.step(); better {
			best, can = pl, true
		}
	}
	return best, can
}

// behind keeps the plan of all orders but the last, which is put in where they
// leave it room.
func (p *Problem) behind(pl Plan) (Plan, bool) {
	b, order := newInsertion(p), make([]int, len(p.Orders))
	for j := range order {
		order[j] = j
	}
	b.going = Plan{Zeros: append(pl.Zeros[:len(order)-1:len(order)-1], 0), Starts: append(pl.Starts[:len(order)-1:len(order)-1], nil)}
	return b.build(order)
}

// clear moves the orders of which every act is over to the log and returns the
// problem and the plan of the others. That an order which still waits was passed
// by one of those is not forgotten.
func (p *Problem) clear(pl Plan, log *[]Served) (*Problem, Plan) {
	keep, kept := make([]bool, len(p.Orders)), Plan{}
	for j, o := range p.Orders {
		over := len(o.Fixed) == len(p.pattern(j).Acts)
		for _, f := range o.Fixed {
			over = over && f.End <= p.Now
		}
		if keep[j] = !over; over {
			*log = append(*log, Served{o.Pattern, o.Placed, pl.Zeros[j], p.Ready(pl, j), slices.Clone(pl.Starts[j])})
		} else {
			kept.Zeros, kept.Starts = append(kept.Zeros, pl.Zeros[j]), append(kept.Starts, pl.Starts[j])
		}
	}
	for i := range keep {
		for j := range p.Orders[:i] {
			if !keep[i] && !p.Orders[j].Begun {
				p.Orders[j].Passed++
			}
		}
	}
	return p.only(keep), kept
}

// sum adds the day up.
func (d Day) sum(log []Served) Outcome {
	resources := d.Kit.Resources()
	out := Outcome{Hours: make([]Hour, len(d.Rates)), Log: log}
	for h := range out.Hours {
		out.Hours[h].Busy = make([]float64, len(resources))
	}
	out.Total.Busy = make([]float64, len(resources))
	for _, s := range log {
		wait := s.Ready - s.Placed
		for _, h := range []*Hour{&out.Hours[s.Placed/hour], &out.Total} {
			h.Orders, h.Wait, h.Worst = h.Orders+1, h.Wait+wait, max(h.Worst, wait)
		}
		d.Patterns[s.Pattern].eachUse(s.Starts, func(r, from, to int) {
			for h := range out.Hours {
				in := max(min(to, (h+1)*hour)-max(from, h*hour), 0)
				share := float64(in) / float64(hour*resources[r].Capacity)
				out.Hours[h].Busy[r] += share
				out.Total.Busy[r] += share / float64(len(out.Hours))
			}
		})
	}
	for h := range out.Hours {
		out.Hours[h].Bottleneck = busiest(out.Hours[h].Busy)
	}
	out.Total.Bottleneck = busiest(out.Total.Busy)
	return out
}

// eachUse visits what a brew took of each resource, and when.
func (pat *Pattern) eachUse(starts []int, do func(resource, from, to int)) {
	for a, act := range pat.Acts {
		for _, r := range act.Uses {
			do(r, starts[a], starts[a]+act.Length)
		}
	}
	for _, h := range pat.Holds {
		do(h.Resource, starts[h.From], starts[h.To]+pat.Acts[h.To].Length)
	}
}

func busiest(busy []float64) int {
	best := 0
	for r, share := range busy {
		if share > busy[best] {
			best = r
		}
	}
	return best
}

// Wider is by how many ticks to either side Changes widens the windows.
const Wider = 3

// Changes plays the same orders as the day's with one more brewer, with one
// more person, and with every window wider.
func (d Day) Changes() ([]Change, error) {
	brewer, person, wider := d, d, d
	brewer.Kit.Brewers = max(d.Kit.Brewers, 1) + 1
	if d.Kit.Scales > 0 {
		brewer.Kit.Scales++
	}
	person.Kit.People = max(d.Kit.People, 1) + 1
	wider.Patterns = (&Problem{Patterns: d.Patterns}).withActs(func(a *Act) {
		if a.Cue > 0 {
			a.Early, a.Late = a.Early+Wider, a.Late+Wider
		}
	}).Patterns
	out := []Change{{What: "one more brewer"}, {What: "one more person"}, {What: fmt.Sprintf("windows %d s wider", Wider)}}
	for i, day := range []Day{brewer, person, wider} {
		var err error
		if out[i].Outcome, err = day.Run(); err != nil {
			return nil, fmt.Errorf("%s: %w", out[i].What, err)
		}
	}
	return out, nil
}
