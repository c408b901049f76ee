package cup_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"barline/brew/cup"
)

// 246.0 g at 2.4390 % with 234.0 g of water are 1.2500 % (recomputed by the
// balance of solids; strength of the first to four decimals, so 5e-5).
func TestBypassThinsByTheBalanceOfSolids(t *testing.T) {
	got, err := cup.Thin(246, 2.4390, 234)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "strength", got.Strength, 1.25, 5e-5)
	within(t, "beverage", got.Beverage, 480, 1e-9)
	back, err := cup.Dilute(246, 2.4390, 1.25)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "water", back.Water, 234, 0.01)
}

func TestThinningAndDilutingAreInverse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		beverage := rapid.Float64Range(1, 5000).Draw(t, "g")
		strength := rapid.Float64Range(0.3, 20).Draw(t, "%")
		to := strength * rapid.Float64Range(0.2, 1).Draw(t, "share")
		d, err := cup.Dilute(beverage, strength, to)
		if err != nil {
			t.Fatal(err)
		}
		thin, err := cup.Thin(beverage, strength, d.Water)
		if err != nil {
			t.Fatal(err)
		}
		within(t, "strength", thin.Strength, to, 1e-9*to)
		within(t, "solids", d.Beverage*d.Strength, beverage*strength, 1e-9*beverage*strength)
		within(t, "weight", d.Beverage, beverage+d.Water, 1e-9*d.Beverage)
		if d.Water < 0 {
			t.Fatalf("%g g of water", d.Water)
		}
	})
}

func TestADilutionThatCannotBeIsRefused(t *testing.T) {
	for what, test := range map[string]struct {
		g, from, to float64
		kind        cup.SlipKind
	}{
		"made stronger":        {200, 1.3, 1.4, cup.OutOfRange},
		"to a fraction":        {200, 1.3, 0.012, cup.Fraction},
		"from a fraction":      {200, 0.03, 0.02, cup.Fraction},
		"of nothing":           {0, 3, 1.3, cup.OutOfRange},
		"of a weight not told": {math.NaN(), 3, 1.3, cup.NoNumber},
	} {
		_, err := cup.Dilute(test.g, test.from, test.to)
		slipOf(t, what, err, test.kind)
	}
	_, err := cup.Thin(200, 1.3, -1)
	slipOf(t, "water taken out", err, cup.OutOfRange)
	_, err = cup.Thin(200, 0.013, 10)
	slipOf(t, "a fraction", err, cup.Fraction)
}

func TestABeverageFillsCups(t *testing.T) {
	for _, test := range []struct {
		g, size, cups float64
		full          int
		rest          float64
	}{
		{480, 150, 3.2, 3, 30},
		{3.3, 1.1, 3, 3, 0}, // three cups, whatever rounding says
		{100, 150, 2.0 / 3, 0, 100},
	} {
		s, err := cup.ShareOut(test.g, test.size)
		if err != nil {
			t.Fatal(err)
		}
		within(t, "cups", s.Cups, test.cups, 1e-9)
		within(t, "rest", s.Rest, test.rest, 1e-9)
		if s.Full != test.full {
			t.Errorf("%g g into %g g: %d full", test.g, test.size, s.Full)
		}
	}
	_, err := cup.ShareOut(480, 0)
	slipOf(t, "a cup of nothing", err, cup.OutOfRange)
	_, err = cup.ShareOut(0, 150)
	slipOf(t, "nothing in the server", err, cup.OutOfRange)
}

// What would fill no server is a slip in a figure.
func TestNobodyThinsATon(t *testing.T) {
	_, err := cup.Dilute(30000, 20, 0.1)
	if s := slipOf(t, "six tons", err, cup.OutOfRange); s.What != cup.Beverage {
		t.Errorf("it is about %q", s.What)
	}
}
