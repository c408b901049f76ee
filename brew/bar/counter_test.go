package bar_test

import (
	"testing"

	"barline/brew/bar"
)

// blocks returns a rigid pattern of stretches of the hands.
func blocks(at ...int) bar.Pattern {
	var pat bar.Pattern
	for i := 0; i < len(at); i += 2 {
		a := bar.Act{Uses: []int{0}, Start: at[i], Length: at[i+1] - at[i]}
		if i > 0 {
			a.Behind = []int{i/2 - 1}
		}
		pat.Acts = append(pat.Acts, a)
	}
	pat.Done = len(pat.Acts) - 1
	return pat
}

// No order of insertion reaches the best plan of these; the search does.
func TestWhatNoOrderOfInsertionReaches(t *testing.T) {
	hands := []bar.Resource{{Name: "hands", Capacity: 1}}
	for name, c := range map[string]struct {
		p              bar.Problem
		best, inserted int
	}{
		"least waiting of three alike": {bar.Problem{Goal: bar.Wait, Patterns: []bar.Pattern{blocks(0, 1, 4, 6)}, Orders: make([]bar.Order, 3)}, 27, 28},
		"earliest end of three": {bar.Problem{Goal: bar.End, Patterns: []bar.Pattern{blocks(0, 2, 5, 8, 11, 13), blocks(0, 2, 5, 7, 10, 12), blocks(0, 2, 4, 6, 9, 10)},
			Orders: []bar.Order{{Pattern: 0}, {Pattern: 1}, {Pattern: 2}}}, 22, 23},
	} {
		p := c.p
		p.Resources, p.Horizon, p.Passing = hands, 60, -1
		pl, _ := best(&p)
		sound(t, &p, pl)
		if got := cost(&p, pl); got != c.best {
			t.Errorf("%s: %d, want %d", name, got, c.best)
		}
		least := 1 << 30
		for _, order := range [][]int{{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}} {
			if pl, can := bar.Inserted(&p, order); can {
				sound(t, &p, pl)
				least = min(least, cost(&p, pl))
			}
		}
		if least != c.inserted {
			t.Errorf("%s: insertion reaches %d, want %d", name, least, c.inserted)
		}
	}
}

// One brew that needs both hands and kettle is in the way of two that need
// one each. It gives way once, not once for each: a bound that adds the two
// losses up would hide the best plan.
func TestOneGivesWayToTwoAtOnce(t *testing.T) {
	need := func(uses ...int) bar.Pattern {
		return bar.Pattern{Acts: []bar.Act{{Uses: uses, Length: 5}}}
	}
	p := &bar.Problem{
		Resources: []bar.Resource{{Name: "hands", Capacity: 1}, {Name: "kettle", Capacity: 1}}, Goal: bar.Wait, Passing: -1, Horizon: 60,
		Patterns: []bar.Pattern{need(0, 1), need(0), need(1)}, Orders: []bar.Order{{Pattern: 0}, {Pattern: 1}, {Pattern: 2}},
	}
	for name, way := range map[string]bar.Options{"tight points": bar.Tight, "net": bar.NoTight, "net without polish": bar.NetAlone} {
		s := bar.SearchWith(p, way)
		low := s.Bound()
		for s.Advance(100) {
		}
		pl, any := s.Best()
		if !any || p.Value(pl).Wait != 20 || low > 20 {
			t.Errorf("%s: %+v, bound at first %d; want 20", name, s.Claim(), low)
		}
	}
}
