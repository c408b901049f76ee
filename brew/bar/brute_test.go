package bar_test

import (
	"math/rand/v2"
	"testing"

	"barline/brew/bar"
)

// brute returns the best value of all plans of a small problem, by trying
// every tick for every act, and whether there is any plan. It knows nothing of
// the search but the checker's rules, which it repeats in its own words.
type brute struct {
	p     *bar.Problem
	plan  bar.Plan
	used  [][]int
	best  [2]int
	found bool
	ready []int
}

func bruteForce(p *bar.Problem) (best [2]int, found bool) {
	b := &brute{p: p, used: make([][]int, len(p.Resources)), ready: make([]int, len(p.Orders))}
	for r := range b.used {
		b.used[r] = make([]int, p.Horizon+1)
	}
	b.plan = bar.Plan{Zeros: make([]int, len(p.Orders)), Starts: make([][]int, len(p.Orders))}
	b.order(0)
	return b.best, b.found
}

func (b *brute) order(j int) {
	if j == len(b.p.Orders) {
		b.leaf()
		return
	}
	pat := b.p.Patterns[b.p.Orders[j].Pattern]
	b.plan.Starts[j] = make([]int, len(pat.Acts))
	for zero := -8; zero <= b.p.Horizon+8; zero++ {
		b.plan.Zeros[j] = zero
		if b.turnsHold(j) {
			b.act(j, 0)
		}
	}
}

func (b *brute) turnsHold(j int) bool {
	for i := range j {
		if b.p.InTurn && b.p.Orders[i].Pattern == b.p.Orders[j].Pattern && b.plan.Zeros[i] > b.plan.Zeros[j] {
			return false
		}
	}
	for i := 0; i <= j && b.p.Passing >= 0; i++ {
		passed := 0
		for k := i + 1; k <= j; k++ {
			if b.plan.Zeros[k] < b.plan.Zeros[i] {
				passed++
			}
		}
		if passed > b.p.Passing {
			return false
		}
	}
	return true
}

func (b *brute) act(j, a int) {
	o := b.p.Orders[j]
	pat := b.p.Patterns[o.Pattern]
	if a == len(pat.Acts) {
		b.holds(j)
		return
	}
	act := pat.Acts[a]
	low := max(o.Placed, b.plan.Zeros[j]+act.Start-act.Early)
	for _, k := range act.Behind {
		low = max(low, b.plan.Starts[j][k]+pat.Acts[k].Length)
	}
	for at := low; at <= b.plan.Zeros[j]+act.Start+act.Late && at+act.Length <= b.p.Horizon; at++ {
		b.plan.Starts[j][a] = at
		if b.take(act.Uses, at, at+act.Length, 1) {
			b.act(j, a+1)
		}
		b.take(act.Uses, at, at+act.Length, -1)
	}
}

func (b *brute) holds(j int) {
	pat := b.p.Patterns[b.p.Orders[j].Pattern]
	room := true
	for _, h := range pat.Holds {
		room = b.take([]int{h.Resource}, b.plan.Starts[j][h.From], b.plan.Starts[j][h.To]+pat.Acts[h.To].Length, 1) && room
	}
	if room {
		b.ready[j] = b.plan.Starts[j][pat.Done] + pat.Acts[pat.Done].Length
		b.order(j + 1)
	}
	for _, h := range pat.Holds {
		b.take([]int{h.Resource}, b.plan.Starts[j][h.From], b.plan.Starts[j][h.To]+pat.Acts[h.To].Length, -1)
	}
}

func (b *brute) take(uses []int, from, to, by int) bool {
	room := true
	for _, r := range uses {
		for t := from; t < to; t++ {
			b.used[r][t] += by
			room = room && b.used[r][t] <= b.p.Resources[r].Capacity
		}
	}
	return room
}

func (b *brute) leaf() {
	for _, l := range b.p.Links {
		if b.plan.Starts[l.To][l.ToAct]-b.plan.Starts[l.From][l.FromAct] < l.Least {
			return
		}
	}
	sum, end := 0, 0
	for _, r := range b.ready {
		sum, end = sum+r, max(end, r)
	}
	cost := [2]int{sum, end}
	switch b.p.Goal {
	case bar.Wait:
		cost[1] = 0
	case bar.End:
		cost = [2]int{end, 0}
	}
	if !b.found || cost[0] < b.best[0] || cost[0] == b.best[0] && cost[1] < b.best[1] {
		b.best, b.found = cost, true
	}
}

// asked returns what the goal counts, in the order in which it does.
func asked(p *bar.Problem, pl bar.Plan) [2]int {
	v := p.Value(pl)
	for _, o := range p.Orders {
		v.Wait += o.Placed
	}
	switch p.Goal {
	case bar.Wait:
		return [2]int{v.Wait, 0}
	case bar.End:
		return [2]int{v.End, 0}
	}
	return [2]int{v.Wait, v.End}
}

// small draws a problem that brute force can go through.
func small(r *rand.Rand, windows bool) *bar.Problem {
	p := &bar.Problem{Goal: bar.Goal(r.IntN(3)), InTurn: r.IntN(2) == 0, Passing: r.IntN(4) - 1}
	p.Resources = []bar.Resource{{Name: "hands", Capacity: 1 + r.IntN(2)}, {Name: "kettle", Capacity: 1 + r.IntN(2)}, {Name: "brewer", Capacity: 1 + r.IntN(2)}}
	for range 1 + r.IntN(2) {
		p.Patterns = append(p.Patterns, smallPattern(r, windows))
	}
	n, at := 2+r.IntN(3), 0
	if windows {
		n = 2
	}
	for range n {
		p.Orders = append(p.Orders, bar.Order{Pattern: r.IntN(len(p.Patterns)), Placed: at})
		at += r.IntN(4)
	}
	p.Horizon = 10 + r.IntN(10)
	return p
}

func smallPattern(r *rand.Rand, windows bool) bar.Pattern {
	var pat bar.Pattern
	at := -r.IntN(3)
	for i := range 2 + r.IntN(2) {
		a := bar.Act{Start: at, Length: 1 + r.IntN(3)}
		if windows && r.IntN(2) == 0 {
			a.Early, a.Late = r.IntN(2), r.IntN(3)
		}
		if i > 0 {
			a.Behind = []int{i - 1}
		}
		switch r.IntN(5) {
		case 0:
			a.Uses = []int{0, 1}
		case 1:
		default:
			a.Uses = []int{0}
		}
		at += a.Length + r.IntN(4)
		pat.Acts = append(pat.Acts, a)
	}
	pat.Done = len(pat.Acts) - 1 - r.IntN(2)
	if r.IntN(2) == 0 {
		pat.Holds = []bar.Hold{{Resource: 2, From: 0, To: len(pat.Acts) - 1}}
	}
	return pat
}

// Every way of searching finds what trying everything finds.
func TestTheBestOfAllPlansIsFound(t *testing.T) {
	ways := map[string]*bar.Search{}
	r := rand.New(rand.NewPCG(7, 7))
	plans, times := 0, 8000
	switch {
	case campaign:
		times = 60_000
	case testing.Short():
		times = 500
	}
	for i := range times {
		p := small(r, i%2 == 0)
		if i%5 == 0 {
			p.Links = []bar.Link{{From: r.IntN(2), FromAct: r.IntN(2), To: r.IntN(2), ToAct: r.IntN(2), Least: r.IntN(9) - 3}}
		}
		want, any := bruteForce(p)
		ways["everything"] = bar.SearchWith(p, bar.Everything)
		ways["tight points"] = bar.SearchWith(p, bar.Tight)
		ways["no bounds"] = bar.SearchWith(p, bar.NoBounds)
		ways["no activity rule"] = bar.SearchWith(p, bar.NoActivity)
		ways["no polish"] = bar.SearchWith(p, bar.NoPolish)
		ways["windows even where closed"] = bar.SearchWith(p, bar.NoTight)
		ways["bare tight points"] = bar.SearchWith(p, bar.Bare)
		ways["bare net"] = bar.SearchWith(p, bar.BareNet)
		for way, s := range ways {
			low := s.Bound()
			for s.Advance(50) {
				if pl, is := s.Best(); is {
					sound(t, p, pl)
				}
			}
			pl, found := s.Best()
			if found != any {
				t.Fatalf("%d, %s: found %v, there is one: %v\n%+v", i, way, found, any, p)
			}
			if !found {
				continue
			}
			plans++
			sound(t, p, pl)
			if got := asked(p, pl); got != want {
				t.Fatalf("%d, %s: found %v, the best is %v\n%+v", i, way, got, want, p)
			}
			if claim := s.Claim(); !claim.Proven || claim.Bound != claim.Cost || low > claim.Cost {
				t.Fatalf("%d, %s: cost %d, bound %d, proven %v; bound at first %d\n%+v", i, way, claim.Cost, claim.Bound, claim.Proven, low, p)
			}
		}
	}
	if plans < times {
		t.Errorf("only %d plans were compared", plans)
	}
}
