package bar_test

import (
	"slices"
	"testing"

	"barline/brew"
	"barline/brew/bar"
)

// A mark that comes late pushes the rest of its own brew, and that pushes the
// swirl and what follows it of the other. Where the plan is kept, the other
// begins as much later, so that all of its steps keep the recipe's own times;
// its cup is ready no later for it. Nothing moves by more than the mark is late.
func TestAPlanThatIsKeptIsEased(t *testing.T) {
	for late := range 6 {
		h := opened(t, 2, "Ada")
		h.brewIt(at(20), brew.EventStart, 0)
		for now := 20; now < 40+late; now++ {
			for _, e := range h.s.Due(at(now)) {
				h.apply(e)
			}
			h.replan(at(now))
		}
		h.apply(bar.ServiceEvent{Kind: bar.BrewEvent, At: at(40 + late), Source: brew.FromKey, Brew: brew.Event{Kind: brew.EventMark}})
		r := h.s.Replan(at(40 + late))
		sch, ok := r.Kept()
		if !ok {
			t.Fatalf("late by %d: not kept", late)
		}
		pl := r.Plan(sch)
		sound(t, r.Problem, pl)
		want := []int{30, 50 + late, 60 + late, 85 + late, 110 + late, 115 + late, 130 + late, 135 + late}
		if pl.Zeros[1] != 50+late || !slices.Equal(pl.Starts[1], want) {
			t.Errorf("late by %d: the other brew begins at %d, %v; want %v", late, pl.Zeros[1], pl.Starts[1], want)
		}
	}
}
