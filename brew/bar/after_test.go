package bar_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"barline/brew/bar"
)

// rush is twelve orders of four recipes at a bar for one, with windows.
func rush(t testing.TB, people int) *bar.Problem {
	p := load(t, "A1-sum-n12")
	p.Goal, p.Passing, p.Horizon = bar.WaitThenEnd, 1, 4000
	p.Resources[bar.Hands].Capacity = people
	return p
}

// planned searches so many nodes from a plan, nil for none, and on where that
// was not enough for any.
func planned(t testing.TB, p *bar.Problem, from *bar.Plan, nodes int) bar.Plan {
	t.Helper()
	s, err := bar.NewSearch(p, from)
	if err != nil {
		t.Fatal(err)
	}
	s.Advance(nodes)
	pl, any := s.Best()
	for !any && s.Nodes() < 50_000 && s.Advance(100) {
		pl, any = s.Best()
	}
	if !any {
		t.Fatalf("no plan at %d after %d nodes", p.Now, s.Nodes())
	}
	sound(t, p, pl)
	return pl
}

// Planned again at any tick without anything new, the plan stays as it was,
// or gets better by what the search finds; what is past stays to the tick.
func TestWhatIsPastStays(t *testing.T) {
	p := rush(t, 1)
	p.Orders = p.Orders[:5]
	first, _ := best(p)
	for now := 0; now < 900; now += 37 {
		q := p.After(first, now)
		sound(t, q, first)
		for j, o := range q.Orders {
			if o.Begun != (first.Zeros[j] < now) || o.Begun && o.Zero != first.Zeros[j] {
				t.Errorf("at %d: order %d, begun %v at %d, was to begin at %d", now, j, o.Begun, o.Zero, first.Zeros[j])
			}
			for a, at := range first.Starts[j] {
				if fixed := slices.ContainsFunc(o.Fixed, func(f bar.Fixed) bool { return f.Act == a }); fixed != (at < now) {
					t.Errorf("at %d: act %d of order %d at %d, fixed %v", now, a, j, at, fixed)
				}
			}
		}
		again, any := best(q)
		if !any {
			t.Fatal("no plan at", now)
		}
		sound(t, q, again)
		if p.Value(again) != p.Value(first) {
			t.Errorf("at %d: %+v became %+v", now, p.Value(first), p.Value(again))
		}
		s, err := bar.NewSearch(q, &first)
		if err != nil {
			t.Fatal(err)
		}
		for s.Advance(1000) {
		}
		if same, _ := s.Best(); !same.Equal(first) {
			t.Errorf("at %d a plan that is best was replaced", now)
		}
		for j := range first.Starts {
			for a, at := range first.Starts[j] {
				if at < now && again.Starts[j][a] != at {
					t.Errorf("at %d: act %d of order %d was at %d, now %d", now, a, j, at, again.Starts[j][a])
				}
			}
			if first.Zeros[j] < now && again.Zeros[j] != first.Zeros[j] {
				t.Errorf("at %d: the zero of order %d moved", now, j)
			}
		}
	}
}

// An act may be late by its slack: within Free no cup is later, within May
// there is still a plan with the same order of work, one tick more and there
// is none.
func TestSlackIsWhatAnActMayWait(t *testing.T) {
	p := rush(t, 1)
	p.Orders = p.Orders[:3]
	pl, _ := best(p)
	slacks, some := p.Slacks(pl), 0
	for j := range slacks {
		for a, s := range slacks[j] {
			if s.Free < 0 || s.May < s.Free {
				t.Errorf("order %d, act %d: %+v", j, a, s)
			}
			if s.Free > 0 && s.Free < 200 {
				some++
			}
			for _, late := range []struct{ by, want int }{{s.Free, 0}, {s.Free + 1, 1}, {s.May + 1, 2}} {
				if got := outcome(p, pl, j, a, late.by); got < late.want || late.by == s.Free && got != 0 {
					t.Errorf("order %d, act %d late by %d of %+v: outcome %d", j, a, late.by, s, got)
				}
			}
			if got := outcome(p, pl, j, a, s.May); got == 2 {
				t.Errorf("order %d, act %d late by %d: no plan", j, a, s.May)
			}
		}
	}
	if some == 0 {
		t.Error("no act has any slack")
	}
}

// outcome says what comes of an act that is late: 0 no cup is later, 1 some
// cup is, 2 there is no plan, all with the same order of work.
func outcome(p *bar.Problem, pl bar.Plan, order, act, by int) int {
	starts, feasible := bar.Repaired(p, pl, order, act, pl.Starts[order][act]+by)
	if !feasible {
		return 2
	}
	for j := range p.Orders {
		if p.Ready(starts, j) > p.Ready(pl, j) {
			return 1
		}
	}
	return 0
}

// Two brews that were both begun and need the hands at the same moment: one
// gives way, by as little as can be, and it is said which and by how much.
func TestOfTwoThatCollideOneGivesWay(t *testing.T) {
	pat := blocks(0, 5, 30, 40)
	pat.Acts[1].Late = 3
	pat.Acts = append(pat.Acts, bar.Act{Start: 80, Length: 1, Behind: []int{1}}) // on time whatever happens
	p := &bar.Problem{
		Resources: []bar.Resource{{Name: "hands", Capacity: 1}}, Patterns: []bar.Pattern{pat},
		Orders: make([]bar.Order, 3), Horizon: 300, Passing: -1, InTurn: true, Now: 10,
	}
	p.Began(0, 0)
	p.Did(0, 0, 0, 5)
	p.Began(1, 5)
	p.Did(1, 0, 5, 10)
	q, gives, can := p.Relief(1000)
	if !can {
		t.Fatal("no relief")
	}
	// The first is busy over [30, 40) or up to three later; the second may
	// begin up to 38, so it begins at 40, two behind its window.
	if want := []bar.Give{{Order: 1, Act: 1, Late: 2, For: 0, Cup: 5}}; len(gives) != 1 || gives[0] != want[0] {
		t.Errorf("%+v, want %+v", gives, want)
	}
	pl, any := best(q)
	if !any {
		t.Fatal("no plan with relief")
	}
	sound(t, q, pl)
	if got := fmt.Sprint(pl.Starts[:2]); got != "[[0 30 80] [5 40 85]]" {
		t.Errorf("starts %s", got)
	}
	if _, any := best(p); any {
		t.Error("there is a plan without relief")
	}
	p.Began(1, 7)
	if q, gives, can := p.Relief(1000); q != p || gives != nil || !can {
		t.Errorf("relief where none is needed: %+v", gives)
	}
}

func TestAPlanIsReplacedForAGainAndNotAtOnce(t *testing.T) {
	p := &bar.Problem{Patterns: []bar.Pattern{blocks(0, 5)}, Orders: make([]bar.Order, 2), Horizon: 99}
	plan := func(a, b int) bar.Plan { return bar.Plan{Zeros: []int{a, b}, Starts: [][]int{{a}, {b}}} }
	old := plan(10, 60)
	for _, c := range []struct {
		new  bar.Plan
		now  int
		want bool
	}{
		{plan(10, 55), 0, true},
		{plan(10, 56), 0, false},
		{plan(10, 55), 35, true},
		{plan(10, 55), 36, false},
		{plan(5, 60), 0, false},
		{plan(25, 60), 0, false},
		{old, 0, false},
	} {
		if got := p.Worth(old, c.new, c.now); got != c.want {
			t.Errorf("%v at %d: %v, want %v", c.new.Zeros, c.now, got, c.want)
		}
	}
	if late := plan(40, 60); !p.Worth(late, plan(35, 60), 0) || p.Worth(late, plan(36, 60), 0) {
		t.Error("a gain in waiting alone is not judged by its five ticks")
	}
}

// A service in which things go wrong: acts slip, orders are cancelled, a
// brewer is lost. Every plan is sound, no order is lost, and what runs keeps
// its zero.
func TestServicesWithSlipsStaySound(t *testing.T) {
	services := 12
	switch {
	case campaign:
		services = 1000
	case testing.Short():
		services = 2
	}
	gives, replans := 0, 0
	for seed := range services {
		g, n := slippedService(t, uint64(seed))
		gives, replans = gives+g, replans+n
	}
	t.Logf("%d services, %d plans made again, %d acts gave way", services, replans, gives)
	if gives == 0 || replans < 20*services {
		t.Errorf("%d acts gave way in %d plans", gives, replans)
	}
}

func slippedService(t *testing.T, seed uint64) (gives, replans int) {
	r := rand.New(rand.NewPCG(seed, 1))
	p := rush(t, 1+int(seed%2))
	at := 0
	for j := range p.Orders {
		at += r.IntN(110)
		p.Orders[j] = bar.Order{Pattern: r.IntN(len(p.Patterns)), Placed: at, Name: fmt.Sprint(j)}
	}
	pl := planned(t, p, nil, 200)
	for now := 20; now < p.Horizon; now += 20 + r.IntN(50) {
		p = p.After(pl, now)
		slip(r, p, pl, now)
		if n := len(p.Orders); n > 1 && r.IntN(20) == 0 {
			if j := r.IntN(n); !p.Orders[j].Begun && len(p.Orders[j].Fixed) == 0 {
				p, pl = p.Drop(j, pl)
			}
		}
		if r.IntN(40) == 0 {
			p.Resources = append([]bar.Resource(nil), p.Resources...)
			p.Resources[bar.Brewer].Capacity = 2
		}
		q, given, can := p.Relief(20_000)
		if !can {
			t.Fatalf("seed %d at %d: no relief\n%+v", seed, now, p.Orders)
		}
		gives += len(given)
		old := pl
		pl = planned(t, q, &old, 60)
		p = q
		replans++
		if len(pl.Zeros) != len(p.Orders) {
			t.Fatalf("seed %d at %d: %d of %d orders planned", seed, now, len(pl.Zeros), len(p.Orders))
		}
		for j, o := range p.Orders {
			if o.Begun && pl.Zeros[j] != o.Zero {
				t.Fatalf("seed %d at %d: a running brew was moved", seed, now)
			}
		}
		if done(p, pl, now) {
			return gives, replans
		}
	}
	t.Fatalf("seed %d: the service never ended", seed)
	return
}

// slip makes acts that are under way take longer than planned.
func slip(r *rand.Rand, p *bar.Problem, pl bar.Plan, now int) {
	for j := range p.Orders {
		for a, act := range p.Patterns[p.Orders[j].Pattern].Acts {
			if end := pl.Starts[j][a] + act.Length; pl.Starts[j][a] < now && end >= now && r.IntN(3) == 0 {
				p.Did(j, a, pl.Starts[j][a], end+r.IntN(12))
			}
		}
	}
}

func done(p *bar.Problem, pl bar.Plan, now int) bool {
	for j := range pl.Starts {
		for _, at := range pl.Starts[j] {
			if at >= now {
				return false
			}
		}
	}
	return true
}
