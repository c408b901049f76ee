package cup_test

import (
	"testing"

	"pgregory.net/rapid"

	"barline/brew/cup"
)

// What a figure does to another when it alone rises, all else given: + raises
// it, - lowers it. Physics says so for every cup.
func TestFiguresMoveTheWayPhysicsSays(t *testing.T) {
	const d, w, b, c, e, l = cup.Dose, cup.Water, cup.Beverage, cup.Strength, cup.Extraction, cup.Retained
	for _, rule := range []struct {
		what    string
		balance cup.Balance
		given   []cup.Name
		rises   cup.Name
		moves   cup.Name
		up      bool
	}{
		{"a stronger cup took more out", cup.Percolation, []cup.Name{d, b, c}, c, e, true},
		{"as strong from more coffee took less out of each gram", cup.Percolation, []cup.Name{d, b, c}, d, e, false},
		{"as much taken into more water is weaker", cup.Percolation, []cup.Name{d, w, l, e}, w, c, false},
		{"what the bed keeps is lost to the cup, which is stronger for it", cup.Percolation, []cup.Name{d, w, l, e}, l, c, true},
		{"a steep of more coffee is stronger", cup.Immersion, []cup.Name{d, w, e}, d, c, true},
		{"a stronger steep took more out", cup.Immersion, []cup.Name{d, w, c}, c, e, true},
		{"a steep that keeps more gives less", cup.Immersion, []cup.Name{d, w, e, l}, l, b, false},
		{"stronger last drops left more behind", cup.Drained, []cup.Name{d, w, b, c, cup.Last}, cup.Last, e, true},
	} {
		t.Run(rule.what, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				all := truth(t, rule.balance)
				known := map[cup.Name]float64{}
				for _, n := range rule.given {
					known[n] = all[n]
				}
				before, err := cup.Want(rule.moves, rule.balance, some(known))
				if err != nil {
					t.Fatal(err)
				}
				known[rule.rises] *= 1.01
				after, err := cup.Want(rule.moves, rule.balance, some(known))
				if err == nil && (after.Value > before.Value) != rule.up {
					t.Fatalf("%s goes from %g to %g", rule.moves, before.Value, after.Value)
				}
			})
		})
	}
}

// A bed that holds nothing back at the end takes the same liquor for a weaker
// bed: at the same strength, immersion means more was dissolved.
func TestImmersionCountsWhatTheGroundsHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		all := truth(t, cup.Immersion)
		known := some(map[cup.Name]float64{cup.Dose: all[cup.Dose], cup.Beverage: all[cup.Beverage], cup.Strength: all[cup.Strength]})
		bed, err := cup.Want(cup.Extraction, cup.Percolation, known)
		if err == nil && !(bed.Value < all[cup.Extraction]) {
			t.Fatalf("%g %% by percolation, %g %% by immersion", bed.Value, all[cup.Extraction])
		}
	})
}
