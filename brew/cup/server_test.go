package cup_test

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"barline/brew"
	"barline/brew/cup"
)

// 30 g and 300 g at 20 % of extraction make 246 g, and with 234 g of bypass
// 480 g at 1.25 % (recomputed, see the balances). Read backwards, the server's
// figures give the extraction that they came of.
func TestABypassChangesTheStrengthAndNotTheExtraction(t *testing.T) {
	bypass := cup.Exactly(234)
	back := some(map[cup.Name]float64{cup.Dose: 30, cup.Water: 300, cup.Beverage: 480, cup.Strength: 1.25})
	out, err := cup.SolveServer(cup.Percolation, back, bypass)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "the extraction", out[cup.Extraction].Value, 20, 1e-9)
	within(t, "what is kept", out[cup.Retained].Value, 2, 1e-9)
	within(t, "the water on the coffee", out[cup.Water].Value, 300, 0)

	// In full immersion 246 g before the bypass have 1.25 %·480/246 = 2.43902 %,
	// and so has what is held: 2.43902/97.56098 · 300/30.
	out, err = cup.SolveServer(cup.Immersion, back, bypass)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "the extraction of a steep", out[cup.Extraction].Value, 25.0, 1e-9)
	if _, err := cup.SolveServer(cup.Immersion, some(map[cup.Name]float64{cup.Dose: 30, cup.Water: 300, cup.Strength: 1.25}), bypass); err == nil {
		t.Error("a strength in the server says nothing without the beverage")
	}
	var s *cup.Slip
	_, err = cup.SolveServer(cup.Immersion, some(map[cup.Name]float64{cup.Dose: 30, cup.Water: 300, cup.Beverage: 200, cup.Strength: 1.25}), bypass)
	if !errors.As(err, &s) || s.What != cup.Beverage {
		t.Errorf("less beverage than bypass: %v", err)
	}
}

// Forward and back over what can be brewed, by both balances; a bypass only
// adds to how far the extraction may be off.
func TestServersGoThereAndBack(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		b := rapid.SampledFrom([]cup.Balance{cup.Percolation, cup.Immersion}).Draw(r, "balance")
		dose := rapid.Float64Range(10, 60).Draw(r, "dose")
		water := dose * rapid.Float64Range(5, 18).Draw(r, "ratio")
		bypass := rapid.Float64Range(1, 500).Draw(r, "bypass")
		extraction := rapid.Float64Range(10, 26).Draw(r, "extraction")
		there, err := cup.SolveServer(b, some(map[cup.Name]float64{cup.Dose: dose, cup.Water: water, cup.Extraction: extraction, cup.Retained: 2}), cup.Exactly(bypass))
		if err != nil {
			r.Fatal(err)
		}
		read := cup.Figures{
			cup.Dose: {Value: dose, U: 0.1}, cup.Water: {Value: water, U: 0.1},
			cup.Beverage: {Value: there[cup.Beverage].Value, U: 0.1}, cup.Strength: {Value: there[cup.Strength].Value, U: 0.03},
		}
		back, err := cup.SolveServer(b, read, cup.Exactly(bypass))
		if err != nil {
			r.Fatal(err)
		}
		if e := back[cup.Extraction]; math.Abs(e.Value-extraction) > 1e-6 || e.U <= 0 {
			r.Fatalf("%v came back as %v", extraction, e)
		}
		// To first order the strength's part is E·u/S, and the others add to it.
		least := extraction * 0.03 / there[cup.Strength].Value
		if e := back[cup.Extraction]; e.U < least*0.99 {
			r.Fatalf("± %v is less than the refractometer alone makes, %v", e.U, least)
		}
		unsure, err := cup.SolveServer(b, read, cup.Quantity{Value: bypass, U: 5})
		if err != nil || unsure[cup.Extraction].U < back[cup.Extraction].U-1e-9 {
			r.Fatalf("a bypass that is not known makes it surer: %v, %v", unsure[cup.Extraction], err)
		}
		// Through a bed it does not matter which water went through; where the
		// grounds hold liquor, it does.
		if more := unsure[cup.Extraction].U > back[cup.Extraction].U*(1+1e-6); more != (b == cup.Immersion) {
			r.Fatalf("by %s %v and %v with a bypass that is not known", b, back[cup.Extraction], unsure[cup.Extraction])
		}
	})
}

// Without a bypass it is Solve, to the last digit.
func TestNoBypassIsSolve(t *testing.T) {
	known := cup.Figures{cup.Dose: {Value: 15, U: 0.1}, cup.Beverage: {Value: 220, U: 0.1}, cup.Strength: {Value: 1.35, U: 0.03}}
	a, errA := cup.Solve(cup.Percolation, known)
	b, errB := cup.SolveServer(cup.Percolation, known, cup.Quantity{})
	if errA != nil || errB != nil || a[cup.Extraction] != b[cup.Extraction] {
		t.Errorf("%v, %v and %v, %v", a, errA, b, errB)
	}
}

// What the grounds keep is taken as usual only where it helps and nobody knows
// better.
func TestWhatTheGroundsKeepIsTakenAsUsual(t *testing.T) {
	for name, c := range map[string]struct {
		b     cup.Balance
		known map[cup.Name]float64
		usual bool
		e     float64
	}{
		"a cone without a beverage":       {cup.Percolation, map[cup.Name]float64{cup.Dose: 15, cup.Water: 250, cup.Strength: 1.35}, true, 19.7288},
		"a cone with one":                 {cup.Percolation, map[cup.Name]float64{cup.Dose: 15, cup.Water: 250, cup.Beverage: 220, cup.Strength: 1.35}, false, 19.8},
		"a cone of which it is known":     {cup.Percolation, map[cup.Name]float64{cup.Dose: 15, cup.Water: 250, cup.Retained: 2, cup.Strength: 1.35}, false, 20.0710},
		"a press, whose beverage follows": {cup.Immersion, map[cup.Name]float64{cup.Dose: 15, cup.Water: 250, cup.Strength: 1.35}, true, 22.8079},
		"a drained steep":                 {cup.Drained, map[cup.Name]float64{cup.Dose: 15, cup.Water: 250, cup.Strength: 1.35, cup.Last: 0.6}, false, 0},
	} {
		out, usual, err := cup.SolveUsual(c.b, some(c.known), cup.Quantity{})
		if err != nil || usual != c.usual {
			t.Errorf("%s: usual %t, %v", name, usual, err)
		}
		within(t, name, out[cup.Extraction].Value, c.e, 5e-5)
	}
}

// A brew's extraction follows from its plan and its reading, by the method's
// balance.
func TestExtractionOfABrew(t *testing.T) {
	beverage, strength := 220*brew.Gram, brew.Percent(1.35)
	whole := brew.Reading{Beverage: &beverage, Strength: &strength}
	plan := func(m brew.Method, bypass brew.Mass) *brew.Plan {
		return &brew.Plan{Method: m, Dose: 15 * brew.Gram, Water: 250 * brew.Gram, Bypass: bypass}
	}
	for name, c := range map[string]struct {
		plan  *brew.Plan
		read  brew.Reading
		e     float64
		usual bool
	}{
		"a cone":                    {plan(brew.Cone, 0), whole, 19.8, false},
		"a press":                   {plan(brew.PressMethod, 0), whole, 22.8079, false},
		"a cone without a beverage": {plan(brew.FlatBed, 0), brew.Reading{Strength: &strength}, 19.7288, true},
		// 1.35 %·220/150 = 1.98 % before 70 g of bypass: 1.98/98.02 · 250/15.
		"a press with a bypass": {plan(brew.PressMethod, 70*brew.Gram), whole, 33.6666, false},
	} {
		q, usual, err := cup.ExtractionOf(c.plan, c.read, cup.UsualInstruments)
		if c.e > float64(cup.HighestExtraction) {
			if err == nil {
				t.Errorf("%s: %v is more than coffee gives", name, q)
			}
			continue
		}
		if err != nil || usual != c.usual || q.U < 0.4 || q.U > 0.6 {
			t.Errorf("%s: %v, usual %t, %v", name, q, usual, err)
		}
		within(t, name, q.Value, c.e, 5e-5)
	}
	for name, c := range map[string]struct {
		m    brew.Method
		read brew.Reading
	}{"another method": {brew.OtherMethod, whole}, "no strength": {brew.Cone, brew.Reading{Beverage: &beverage}}} {
		if q, _, err := cup.ExtractionOf(plan(c.m, 0), c.read, cup.UsualInstruments); err == nil {
			t.Errorf("%s gives %v", name, q)
		}
	}
}

// The classic box has its edges (as quoted by Batali and others 2020).
func TestTheClassicBox(t *testing.T) {
	for _, c := range []struct {
		s, e   float64
		inside bool
	}{{1.25, 20, true}, {1.15, 18, true}, {1.35, 22, true}, {1.14, 20, false}, {1.36, 20, false}, {1.25, 17.9, false}, {1.25, 22.1, false}} {
		if cup.Inside(c.s, c.e) != c.inside {
			t.Errorf("%v %% at %v %% is inside: %t", c.s, c.e, !c.inside)
		}
	}
}

// One figure of a thinned cup, both ways, and what it lacks.
func TestWantOfAThinnedCup(t *testing.T) {
	known := cup.Figures{cup.Dose: cup.Exactly(30), cup.Water: cup.Exactly(300), cup.Beverage: cup.Exactly(480), cup.Strength: cup.Exactly(1.25)}
	for _, b := range []cup.Balance{cup.Percolation, cup.Immersion} {
		e, usual, err := cup.WantServer(cup.Extraction, b, known, cup.Exactly(234))
		if err != nil || usual {
			t.Fatal(usual, err)
		}
		back := cup.Figures{cup.Dose: cup.Exactly(30), cup.Water: cup.Exactly(300), cup.Beverage: cup.Exactly(480), cup.Extraction: e}
		c, _, err := cup.WantServer(cup.Strength, b, back, cup.Exactly(234))
		if err != nil {
			t.Fatal(err)
		}
		within(t, "the strength, back again", c.Value, 1.25, 1e-9)
	}
	_, _, err := cup.WantServer(cup.Extraction, cup.Percolation, cup.Figures{cup.Dose: cup.Exactly(30), cup.Water: cup.Exactly(300)}, cup.Exactly(234))
	if s := slipOf(t, "nothing read", err, cup.TooFew); s.What != cup.Extraction {
		t.Errorf("it is about %q", s.What)
	}
}

// What grounds usually keep is not taken where nothing follows from it.
func TestNothingIsTakenAsUsualForNothing(t *testing.T) {
	for _, b := range cup.Balances() {
		out, usual, err := cup.SolveUsual(b, cup.Figures{cup.Dose: cup.Exactly(15)}, cup.Quantity{})
		if usual || err != nil || len(out) != 1 {
			t.Errorf("%s: %v, %t (%v)", b, out, usual, err)
		}
	}
}

// What one refractometer read errs together, with a bypass and without, and
// only where it was read: last drops that are taken as usual were not. Through
// the drained balance E = (C-h)/(1-h)·B/D + h/(1-h)·W/D, whose derivatives in C
// and h add before they are squared; of a bypass, C·B is what went in before it.
func TestOneRefractometerReadsBothStrengths(t *testing.T) {
	const c, h, b, w, d, u = 0.012, 0.006, 220.0, 250.0, 15.0, 0.03
	for _, bypass := range []float64{0, 40} {
		known := cup.Figures{
			cup.Dose: cup.Exactly(d), cup.Water: cup.Exactly(w), cup.Beverage: cup.Exactly(b + bypass),
			cup.Strength: {Value: 100 * c, U: u}, cup.Last: {Value: 100 * h, U: u},
		}
		before := b + bypass // what of the strength's weight goes through the bed
		byC := before / d / (1 - h)
		byH := (c*before - b + w) / d / ((1 - h) * (1 - h))
		q, usual, err := cup.WantServer(cup.Extraction, cup.Drained, known, cup.Exactly(bypass))
		if err != nil || usual {
			t.Fatal(usual, err)
		}
		within(t, "u", q.U, u*(byC+byH), 1e-6)
		apart, err := cup.SolveServer(cup.Drained, known, cup.Exactly(bypass))
		if err != nil {
			t.Fatal(err)
		}
		within(t, "u of two refractometers", apart[cup.Extraction].U, u*math.Hypot(byC, byH), 1e-6)
	}
	if _, err := cup.SolveServer(cup.Drained, some(map[cup.Name]float64{cup.Dose: 15, cup.Beverage: 220, cup.Strength: 1.2, cup.Last: 0.6, cup.Water: 250}), cup.Exactly(40), cup.Correlation{A: cup.Strength, B: cup.Last, R: 2}); err == nil {
		t.Error("a correlation of 2 is taken")
	}
	read := cup.Figures{cup.Strength: cup.Exactly(1.2), cup.Last: cup.Exactly(0.6), cup.Dose: cup.Exactly(15)}
	if got := read.ReadTogether(); len(got) != 1 || got[0] != (cup.Correlation{A: cup.Strength, B: cup.Last, R: 1}) {
		t.Errorf("%v err together", got)
	}
	for _, n := range []cup.Name{cup.Strength, cup.Last} {
		if got := (cup.Figures{n: cup.Exactly(1), cup.Dose: cup.Exactly(15)}).ReadTogether(); got != nil {
			t.Errorf("%s alone errs with %v", n, got)
		}
	}
}
