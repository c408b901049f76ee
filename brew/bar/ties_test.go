package bar_test

import (
	"testing"

	"barline/brew/bar"
)

// Brews that begin at the same tick do not pass one another: the best plans of
// these have two that do.
func TestBeginningAtTheSameTickIsNotPassing(t *testing.T) {
	kettleFirst := bar.Pattern{Done: 1, Acts: []bar.Act{
		{Uses: []int{1}, Length: 3},
		{Uses: []int{0}, Start: 3, Length: 3, Behind: []int{0}},
		{Uses: []int{0}, Start: 6, Length: 3, Behind: []int{1}},
	}}
	for name, c := range map[string]struct {
		p   bar.Problem
		end int
	}{
		"two may pass": {bar.Problem{Passing: 2, Horizon: 14, Patterns: []bar.Pattern{blocks(0, 2, 4, 6), kettleFirst},
			Orders: []bar.Order{{Pattern: 1}, {}, {}, {Placed: 2}}}, 9},
		"none may pass": {bar.Problem{Passing: 0, Horizon: 13, Patterns: []bar.Pattern{blocks(0, 2, 3, 5), blocks(0, 3)},
			Orders: []bar.Order{{}, {Pattern: 1, Placed: 1}, {Placed: 1}}}, 8},
	} {
		p := c.p
		p.Resources, p.Goal = []bar.Resource{{Name: "hands", Capacity: 2}, {Name: "kettle", Capacity: 2}}, bar.End
		for way, how := range map[string]bar.Options{"tight points": bar.Tight, "net": bar.NoTight} {
			s := bar.SearchWith(&p, how)
			for s.Advance(500) {
			}
			pl, any := s.Best()
			if !any {
				t.Fatal(name, way, "there is no plan")
			}
			sound(t, &p, pl)
			if end := p.Value(pl).End; end != c.end {
				t.Errorf("%s, %s: the round ends at %d, want %d", name, way, end, c.end)
			}
		}
	}
}

// An order that one later one has passed may still begin together with the
// next.
func TestAnOrderMayBeginTogetherWithOneThatMayNotPassIt(t *testing.T) {
	hands, kettle := bar.Pattern{Acts: []bar.Act{{Uses: []int{0}, Length: 5}}}, bar.Pattern{Acts: []bar.Act{{Uses: []int{1}, Length: 5}}}
	p := &bar.Problem{
		Resources: []bar.Resource{{Name: "hands", Capacity: 1}, {Name: "kettle", Capacity: 1}}, Passing: 1, Horizon: 20,
		Patterns: []bar.Pattern{hands, kettle}, Orders: []bar.Order{{}, {}, {Pattern: 1, Placed: 5}},
	}
	pl, can := bar.Inserted(p, []int{1, 2, 0})
	if !can {
		t.Fatal("there is no room for the first order at tick 5")
	}
	sound(t, p, pl)
	if pl.Zeros[0] != 5 || pl.Zeros[2] != 5 {
		t.Errorf("zeros %v, want the first and the last order to begin at 5", pl.Zeros)
	}
}

// What is prepared cannot wait for ever: an order that it was prepared for
// begins while it is fit, or not at all.
func TestWhatIsPreparedSetsALimitToTheZero(t *testing.T) {
	prepared := bar.Pattern{Done: 1, Acts: []bar.Act{
		{Name: "rinse", Start: -10, Length: 10, Early: 5},
		{Name: "pour", Uses: []int{0}, Length: 5, Behind: []int{0}},
	}}
	for busyUntil, want := range map[int]bool{15: true, 16: false} {
		busy := bar.Pattern{Acts: []bar.Act{{Name: "press", Uses: []int{0}, Length: busyUntil - 5}}}
		p := &bar.Problem{
			Resources: []bar.Resource{{Name: "hands", Capacity: 1}}, Passing: -1, Horizon: 60, Now: 10, Patterns: []bar.Pattern{prepared, busy},
			Orders: []bar.Order{{Fixed: []bar.Fixed{{Act: 0, Start: 0, End: 10}}}, {Pattern: 1, Begun: true, Zero: 5, Fixed: []bar.Fixed{{Act: 0, Start: 5, End: busyUntil}}}},
		}
		pl, can := bar.Inserted(p, []int{0, 1})
		if can != want {
			t.Errorf("hands busy until %d: room %v, want %v\n%+v", busyUntil, can, want, pl)
		}
		if can {
			sound(t, p, pl)
		}
	}
}

// Two equal orders may begin together, whichever is put in first; and an order
// that begins together with an earlier one leaves room for one to pass.
func TestWhoBeginsTogetherIsInTurnAndHasNotPassed(t *testing.T) {
	ground := bar.Pattern{Done: 1, Acts: []bar.Act{{Start: -5, Length: 5}, {Uses: []int{0}, Length: 5, Behind: []int{0}}}}
	kettle := bar.Pattern{Acts: []bar.Act{{Uses: []int{1}, Length: 5}}}
	p := &bar.Problem{
		Resources: []bar.Resource{{Name: "hands", Capacity: 2}, {Name: "kettle", Capacity: 1}}, Passing: 1, InTurn: true, Horizon: 10,
		Patterns: []bar.Pattern{ground, kettle}, Orders: []bar.Order{{}, {}, {Pattern: 1}},
	}
	for _, order := range [][]int{{0, 1, 2}, {1, 0, 2}, {2, 1, 0}} {
		pl, can := bar.Inserted(p, order)
		if !can {
			t.Errorf("%v: there is no room", order)
			continue
		}
		sound(t, p, pl)
		if pl.Zeros[0] != 5 || pl.Zeros[1] != 5 || pl.Zeros[2] != 0 {
			t.Errorf("%v: zeros %v, want 5, 5 and 0", order, pl.Zeros)
		}
	}
}
