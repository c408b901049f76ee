package cup_test

import (
	"math"
	"testing"

	"barline/brew/cup"
)

// drawn is a cup whose figures are drawn by lot, masses in grams and shares as
// fractions: dose, water, beverage, strength, that of the last drops, what a gram
// of grounds keeps, and the bypass.
type drawn struct{ d, w, b, c, h, kept, bypass float64 }

// Each ± is set against a Monte Carlo of its own (JCGM 101:2008): 400,000 draws
// of what was read, put into the formulas written out here, which share no code
// with what is tested. The spread of so many draws is known to within 0.5 % in
// all but four of a thousand cases (three of 1/√(2n) are 0.34 %; the rest is
// what first order leaves out).
func TestEveryUncertaintyIsThatOfManyDraws(t *testing.T) {
	const n = 400_000
	scale, meter := cup.UsualInstruments.Scale, cup.UsualInstruments.Refractometer
	read := func(pairs ...any) cup.Figures {
		f := cup.Figures{}
		for i := 0; i < len(pairs); i += 2 {
			name := pairs[i].(cup.Name)
			f[name] = cup.UsualInstruments.Read(name, pairs[i+1].(float64))
		}
		return f
	}
	solve := func(want cup.Name, b cup.Balance, f cup.Figures, r ...cup.Correlation) func() (cup.Quantity, error) {
		return func() (cup.Quantity, error) { return cup.Want(want, b, f, r...) }
	}
	usual := func(b cup.Balance, f cup.Figures, bypass float64) func() (cup.Quantity, error) {
		return func() (cup.Quantity, error) {
			all, _, err := cup.SolveUsual(b, f, cup.Quantity{Value: bypass, U: scale * math.Copysign(1, bypass)})
			return all[cup.Extraction], err
		}
	}
	full := read(cup.Dose, 15.0, cup.Water, 250.0, cup.Beverage, 220.0, cup.Strength, 1.4)
	drops := read(cup.Dose, 15.0, cup.Water, 250.0, cup.Beverage, 220.0, cup.Strength, 1.4, cup.Last, 0.6)
	washed := func(x drawn) float64 { return x.c * x.b / x.d }
	steeped := func(x drawn) float64 { return x.c / (1 - x.c) * x.w / x.d }
	ranOff := func(x drawn) float64 { return (x.c-x.h)/(1-x.h)*x.b/x.d + x.h/(1-x.h)*x.w/x.d }
	for what, test := range map[string]struct {
		of     func() (cup.Quantity, error)
		made   func(x drawn) float64
		shared float64 // correlation of the two strengths, or of dose and water
		evenly bool    // the last drops and what is kept are spread evenly
		bypass float64
	}{
		"percolation":                {of: solve(cup.Extraction, cup.Percolation, read(cup.Dose, 15.0, cup.Beverage, 220.0, cup.Strength, 1.4)), made: washed},
		"percolation, all given":     {of: solve(cup.Extraction, cup.Percolation, full), made: washed},
		"immersion":                  {of: solve(cup.Extraction, cup.Immersion, full), made: steeped},
		"immersion, one scale":       {of: solve(cup.Extraction, cup.Immersion, full, cup.Correlation{A: cup.Dose, B: cup.Water, R: 0.9}), made: steeped, shared: 0.9},
		"drained":                    {of: solve(cup.Extraction, cup.Drained, drops), made: ranOff},
		"drained, one refractometer": {of: solve(cup.Extraction, cup.Drained, drops, cup.Correlation{A: cup.Strength, B: cup.Last, R: 1}), made: ranOff, shared: 1},
		"drained, drops not read":    {of: usual(cup.Drained, full, 0), made: ranOff, evenly: true},
		"percolation, not weighed": {of: usual(cup.Percolation, read(cup.Dose, 15.0, cup.Water, 250.0, cup.Strength, 1.4), 0),
			made: func(x drawn) float64 { return x.c / (1 - x.c) * (x.w/x.d - x.kept) }, evenly: true},
		"immersion with a bypass": {of: usual(cup.Immersion, read(cup.Dose, 15.0, cup.Water, 250.0, cup.Beverage, 350.0, cup.Strength, 0.85), 150), bypass: 150,
			made: func(x drawn) float64 {
				server, strength := x.b+130, x.c-0.0055 // 350 g at 0.85 %
				c := strength * server / (server - x.bypass)
				return c / (1 - c) * x.w / x.d
			}},
		"the strength of an immersion":  {of: solve(cup.Strength, cup.Immersion, read(cup.Dose, 15.0, cup.Water, 250.0, cup.Extraction, 21.0)), made: func(x drawn) float64 { return 0.21 / (x.w/x.d + 0.21) }},
		"the strength of a percolation": {of: solve(cup.Strength, cup.Percolation, read(cup.Dose, 15.0, cup.Beverage, 220.0, cup.Extraction, 20.0)), made: func(x drawn) float64 { return 0.20 * x.d / x.b }},
	} {
		got, err := test.of()
		if err != nil {
			t.Errorf("%s: %v", what, err)
			continue
		}
		random := seeded(6)
		sum, squares := 0.0, 0.0
		for range n {
			a, b := random.NormFloat64(), random.NormFloat64()
			b = test.shared*a + math.Sqrt(1-test.shared*test.shared)*b
			x := drawn{d: 15 + scale*a, w: 250 + scale*b, b: 220 + scale*random.NormFloat64(), kept: 2 + 0.5*random.Float64()}
			x.c, x.h = 0.014+meter/100*random.NormFloat64(), 0.006+meter/100*random.NormFloat64()
			if test.shared == 1 {
				x.c, x.h = 0.014+meter/100*a, 0.006+meter/100*b
				x.d, x.w = 15+scale*random.NormFloat64(), 250+scale*random.NormFloat64()
			}
			if test.evenly {
				x.h = 0.014 * random.Float64()
			}
			if test.bypass > 0 {
				x.bypass = test.bypass + scale*random.NormFloat64()
			}
			y := 100 * test.made(x)
			sum, squares = sum+y, squares+y*y
		}
		mean := sum / n
		spread := math.Sqrt(squares/n - mean*mean)
		within(t, what+": the figure", got.Value, mean, 0.01*spread+0.002*mean)
		within(t, what+": its ±", got.U, spread, 0.006*spread)
	}
}
