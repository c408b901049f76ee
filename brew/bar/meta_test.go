package bar_test

import (
	"math/rand/v2"
	"strings"
	"testing"

	"barline/brew/bar"
)

// solved returns what the goal counts at best, and whether there is a plan.
func solved(t *testing.T, p *bar.Problem) ([2]int, bool) {
	t.Helper()
	pl, any := best(p)
	if !any {
		return [2]int{}, false
	}
	sound(t, p, pl)
	return asked(p, pl), true
}

func more(a, b [2]int) bool { return a[0] > b[0] || a[0] == b[0] && a[1] > b[1] }

// copied returns a problem that shares nothing with another.
func copied(p *bar.Problem) *bar.Problem {
	out := *p
	out.Resources = append([]bar.Resource(nil), p.Resources...)
	out.Orders = append([]bar.Order(nil), p.Orders...)
	out.Patterns = nil
	for _, pat := range p.Patterns {
		pat.Acts = append([]bar.Act(nil), pat.Acts...)
		out.Patterns = append(out.Patterns, pat)
	}
	return &out
}

func TestWhatMustNotMakeAPlanWorse(t *testing.T) {
	for name, ease := range map[string]func(p *bar.Problem){
		"one more of everything": func(p *bar.Problem) {
			for i := range p.Resources {
				p.Resources[i].Capacity++
			}
		},
		"wider windows": func(p *bar.Problem) {
			for _, pat := range p.Patterns {
				for a := range pat.Acts {
					pat.Acts[a].Early++
					pat.Acts[a].Late += 2
				}
			}
		},
		"rarely: a later horizon":     func(p *bar.Problem) { p.Horizon += 20 },
		"rarely: any number may pass": func(p *bar.Problem) { p.Passing = -1 },
		"rarely: out of turn":         func(p *bar.Problem) { p.InTurn = false },
		"the last order dropped":      func(p *bar.Problem) { p.Orders = p.Orders[:len(p.Orders)-1] },
		"all ordered at once": func(p *bar.Problem) {
			for j := range p.Orders {
				p.Orders[j].Placed = 0
			}
		},
	} {
		r, changed := rand.New(rand.NewPCG(11, 5)), 0
		for range 150 {
			p := small(r, true)
			was, any := solved(t, p)
			if !any {
				continue
			}
			q := copied(p)
			ease(q)
			is, any := solved(t, q)
			if !any || more(is, was) {
				t.Fatalf("%s: %v became %v\n%+v", name, was, is, p)
			}
			if is != was {
				changed++
			}
		}
		if changed == 0 && !strings.HasPrefix(name, "rarely: ") {
			t.Errorf("%s never changed anything", name)
		}
	}
}

func TestAShiftedProblemHasTheShiftedPlan(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 9))
	for range 300 {
		p := small(r, r.IntN(2) == 0)
		q := copied(p)
		for j := range q.Orders {
			q.Orders[j].Placed += 37
		}
		q.Horizon += 37
		was, any := best(p)
		is, anyShifted := best(q)
		if any != anyShifted {
			t.Fatalf("a plan: %v, shifted: %v", any, anyShifted)
		}
		if !any {
			continue
		}
		n := len(p.Orders)
		if v, w := p.Value(was), q.Value(is); p.Goal != bar.End && v.Wait != w.Wait || p.Goal != bar.Wait && v.End+37 != w.End {
			t.Fatalf("%+v became %+v with %d orders", v, w, n)
		}
	}
}

func TestTwiceTheTicksCostTwiceAsMuch(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	for range 300 {
		p := small(r, false)
		q := copied(p)
		q.Horizon *= 2
		for j := range q.Orders {
			q.Orders[j].Placed *= 2
		}
		for _, pat := range q.Patterns {
			for a := range pat.Acts {
				pat.Acts[a].Start *= 2
				pat.Acts[a].Length *= 2
			}
		}
		was, any := solved(t, p)
		is, anyTwice := solved(t, q)
		if any && !anyTwice || any && (is[0] != 2*was[0] || is[1] != 2*was[1]) {
			t.Fatalf("%v became %v\n%+v", was, is, p)
		}
	}
}

// Two bars side by side do together at least as well as each alone.
func TestTwoBarsTogetherDoAsWell(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 8))
	for range 200 {
		p := small(r, true)
		p.Goal, p.Passing, p.Orders = bar.Wait, -1, p.Orders[:2]
		one, any := solved(t, p)
		if !any {
			continue
		}
		q := copied(p)
		for i := range q.Resources {
			q.Resources[i].Capacity *= 2
		}
		q.Orders = []bar.Order{p.Orders[0], p.Orders[0], p.Orders[1], p.Orders[1]}
		if both, any := solved(t, q); !any || both[0] > 2*one[0] {
			t.Fatalf("%v alone, %v together\n%+v", one, both, p)
		}
	}
}

func TestEqualOrdersMayStandInAnyRow(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 2))
	for range 200 {
		p := small(r, true)
		p.Passing, p.InTurn = -1, false
		for j := range p.Orders {
			p.Orders[j].Placed = 0
		}
		q := copied(p)
		r.Shuffle(len(q.Orders), func(i, k int) { q.Orders[i], q.Orders[k] = q.Orders[k], q.Orders[i] })
		was, any := solved(t, p)
		if is, other := solved(t, q); any != other || is != was {
			t.Fatalf("%v became %v\n%+v", was, is, p)
		}
	}
}
