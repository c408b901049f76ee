package bar_test

import (
	"math/rand/v2"
	"testing"

	"barline/brew/bar"
)

// eased returns the least shift of all plans that keep the order of work of
// one and have no cup ready later, by trying every tick.
type eased struct {
	p     *bar.Problem
	from  bar.Plan
	plan  bar.Plan
	least int
	most  int  // nothing goes further than so many ticks
	stays bool // what is due now is not put off
}

func (e *eased) order(j int) {
	if j == len(e.p.Orders) {
		if e.near() && len(e.p.Check(e.plan)) == 0 && e.keeps() {
			e.least = min(e.least, e.p.Shift(e.plan))
		}
		return
	}
	for zero := e.from.Zeros[j] - 6; zero <= e.from.Zeros[j]+6; zero++ {
		e.plan.Zeros[j] = zero
		e.act(j, 0)
	}
}

func (e *eased) act(j, a int) {
	acts := e.p.Patterns[e.p.Orders[j].Pattern].Acts
	if a == len(acts) {
		if e.p.Ready(e.plan, j) <= e.p.Ready(e.from, j) {
			e.order(j + 1)
		}
		return
	}
	for at := e.plan.Zeros[j] + acts[a].Start - acts[a].Early; at <= e.plan.Zeros[j]+acts[a].Start+acts[a].Late; at++ {
		e.plan.Starts[j][a] = at
		e.act(j, a+1)
	}
}

// near reports whether nothing is too far from where it was, and no act later
// that is due.
func (e *eased) near() bool {
	for j, starts := range e.plan.Starts {
		if d := e.plan.Zeros[j] - e.from.Zeros[j]; d > e.most || -d > e.most {
			return false
		}
		for a, at := range starts {
			was := e.from.Starts[j][a]
			if at-was > e.most || was-at > e.most || e.stays && at > was && was <= e.p.Now {
				return false
			}
		}
	}
	return true
}

// keeps reports whether what came first on a resource still does.
func (e *eased) keeps() bool {
	type stretch struct{ r, from, to, wasFrom, wasTo int }
	var all []stretch
	for j, o := range e.p.Orders {
		pat := e.p.Patterns[o.Pattern]
		add := func(r, from, to int) {
			n := pat.Acts[to].Length
			all = append(all, stretch{r, e.plan.Starts[j][from], e.plan.Starts[j][to] + n, e.from.Starts[j][from], e.from.Starts[j][to] + n})
		}
		for a, act := range pat.Acts {
			for _, r := range act.Uses {
				add(r, a, a)
			}
		}
		for _, h := range pat.Holds {
			add(h.Resource, h.From, h.To)
		}
	}
	for _, a := range all {
		for _, b := range all {
			if a.r == b.r && a.wasTo <= b.wasFrom && a.to > b.from {
				return false
			}
		}
	}
	for j := range e.p.Orders {
		for i := range j {
			if e.p.Passing >= 0 && e.from.Zeros[i] <= e.from.Zeros[j] && e.plan.Zeros[i] > e.plan.Zeros[j] {
				return false
			}
		}
	}
	return true
}

func TestAnEasedPlanShiftsLeast(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	eases := 0
	for range 400 {
		p := small(r, true)
		p.Orders = p.Orders[:2]
		pl, any := best(p)
		if !any {
			continue
		}
		got := p.Ease(pl)
		sound(t, p, got)
		for j := range p.Orders {
			if p.Ready(got, j) > p.Ready(pl, j) {
				t.Fatalf("order %d is ready at %d, was at %d", j, p.Ready(got, j), p.Ready(pl, j))
			}
		}
		e := eased{p: p, from: pl, plan: pl.Clone(), least: p.Shift(pl), most: bar.MostHorizon}
		if e.order(0); p.Shift(got) != e.least {
			t.Fatalf("shift %d, it can be %d\n%+v\n%+v\n%+v", p.Shift(got), e.least, p, pl, got)
		}
		if p.Shift(got) < p.Shift(pl) {
			eases++
		}
	}
	if eases < 50 {
		t.Errorf("only %d plans were eased", eases)
	}
}

// Held near where it was, the plan shifts least of those that are as near.
func TestAnEasedPlanStaysNear(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 2))
	held, eases := 0, 0
	for i := range 800 {
		p := small(r, true)
		p.Orders = p.Orders[:2]
		pl, any := best(p)
		if !any {
			continue
		}
		e := eased{p: p, from: pl, plan: pl.Clone(), least: p.Shift(pl), most: i % 4, stays: true}
		got := p.EaseNear(pl, pl, e.most)
		sound(t, p, got)
		if e.order(0); p.Shift(got) != e.least {
			t.Fatalf("within %d: shift %d, it can be %d\n%+v\n%+v\n%+v", e.most, p.Shift(got), e.least, p, pl, got)
		}
		if e.most > 0 && e.least > p.Shift(p.Ease(pl)) {
			held++
		}
		if e.least < p.Shift(pl) {
			eases++
		}
	}
	if held < 10 || eases < 20 {
		t.Errorf("%d plans were held, %d were eased", held, eases)
	}
}

// best searches a problem to the end.
func best(p *bar.Problem) (bar.Plan, bool) {
	s := bar.SearchWith(p, bar.Everything)
	for s.Advance(1000) {
	}
	return s.Best()
}
