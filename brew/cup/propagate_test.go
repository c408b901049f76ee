package cup_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"barline/brew/cup"
)

// means returns the means of columns of repeated readings, and the covariance
// matrix of these means (JCGM 100:2008, equation 17).
func means(columns ...[]float64) (mean []float64, covariance [][]float64) {
	n := float64(len(columns[0]))
	for _, c := range columns {
		sum := 0.0
		for _, x := range c {
			sum += x
		}
		mean = append(mean, sum/n)
	}
	for i := range columns {
		covariance = append(covariance, make([]float64, len(columns)))
		for j := range columns {
			for k := range columns[i] {
				covariance[i][j] += (columns[i][k] - mean[i]) * (columns[j][k] - mean[j]) / (n * (n - 1))
			}
		}
	}
	return mean, covariance
}

// JCGM 100:2008 (the GUM), example H.2: resistance, reactance and impedance
// from voltage, current and phase that were read together. Data as published;
// the results were worked out again from them, and agree with the published
// 127.732(71), 219.847(295), 254.260(236) and correlations -0.588, -0.485,
// 0.993 (these from memory) but for the published 0.295, which is 0.29558 cut
// off. Tolerances: half of the last digit recomputed.
func TestPropagationIsThatOfGUMExampleH2(t *testing.T) {
	var columns [3][]float64
	for _, row := range rowsOf(t, "gum_h2.csv") {
		columns[0] = append(columns[0], number(t, row["V"]))
		columns[1] = append(columns[1], number(t, row["I_mA"])/1000)
		columns[2] = append(columns[2], number(t, row["phi_rad"]))
	}
	x, covariance := means(columns[:]...)
	within(t, "u(V)", math.Sqrt(covariance[0][0]), 0.0032094, 5e-8)
	within(t, "r(V, φ)", covariance[0][2]/math.Sqrt(covariance[0][0]*covariance[2][2]), 0.8576, 5e-5)
	y, out := cup.Propagate(func(x []float64) []float64 {
		z := x[0] / x[1]
		return []float64{z * math.Cos(x[2]), z * math.Sin(x[2]), z}
	}, x, covariance)
	for i, want := range []struct{ value, u float64 }{{127.73217, 0.07107}, {219.84651, 0.29558}, {254.25970, 0.23634}} {
		within(t, "a mean", y[i], want.value, 5e-6)
		within(t, "a u", math.Sqrt(out[i][i]), want.u, 5e-6)
	}
	r := func(i, j int) float64 { return out[i][j] / math.Sqrt(out[i][i]*out[j][j]) }
	within(t, "r(R, X)", r(0, 1), -0.5884, 5e-5)
	within(t, "r(R, Z)", r(0, 2), -0.4853, 5e-5)
	within(t, "r(X, Z)", r(1, 2), 0.9925, 5e-5)
	within(t, "the matrix's other half", out[1][0], out[0][1], 1e-12)
}

// The extraction of a cone: 1.35 ± 0.03 %, 250.0 ± 0.5 g, 15.0 ± 0.1 g make
// 22.500 %, off by a share of 0.0232867, so ± 0.52395 points (recomputed by
// the rule for products, JCGM 100:2008, 5.1.6).
func TestExtractionHasItsUncertainty(t *testing.T) {
	got, err := cup.Want(cup.Extraction, cup.Percolation, cup.Figures{
		cup.Strength: {Value: 1.35, U: 0.03}, cup.Beverage: {Value: 250, U: 0.5}, cup.Dose: {Value: 15, U: 0.1},
	})
	if err != nil {
		t.Fatal(err)
	}
	within(t, "extraction", got.Value, 22.5, 1e-12)
	within(t, "its u", got.U, 0.52395, 5e-6)
}

// In full immersion E = C/(1-C)·W/D: the strength enters twice. With its own
// derivatives, dE/E = dC/(C(1-C)), dW/W, dD/D.
func TestAFigureThatEntersTwiceIsCountedRightly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		all := truth(t, cup.Immersion)
		u := func(n cup.Name) cup.Quantity {
			return cup.Quantity{Value: all[n], U: all[n] * rapid.Float64Range(0, 0.05).Draw(t, "u of "+string(n))}
		}
		c, w, d := u(cup.Strength), u(cup.Water), u(cup.Dose)
		r := rapid.Float64Range(-1, 1).Draw(t, "correlation of the weights")
		got, err := cup.Want(cup.Extraction, cup.Immersion, cup.Figures{cup.Strength: c, cup.Water: w, cup.Dose: d}, cup.Correlation{A: cup.Water, B: cup.Dose, R: r})
		if err != nil {
			t.Fatal(err)
		}
		byC, byW, byD := c.U/c.Value/(1-c.Value/100), w.U/w.Value, d.U/d.Value
		want := all[cup.Extraction] * math.Sqrt(max(0, byC*byC+byW*byW+byD*byD-2*r*byW*byD))
		within(t, "u", got.U, want, 1e-6*all[cup.Extraction])
	})
}

// Two strengths off one refractometer whose own error is all: in a steep that
// drained, E = (C-h)/(1-h)·B/D + h/(1-h)·W/D, its derivatives in C and h add
// before they are squared.
func TestOneInstrumentsErrorAddsUp(t *testing.T) {
	f := cup.Figures{
		cup.Strength: {Value: 1.4, U: 0.03}, cup.Last: {Value: 0.6, U: 0.03},
		cup.Beverage: cup.Exactly(220), cup.Water: cup.Exactly(250), cup.Dose: cup.Exactly(15),
	}
	c, h, b, w := 0.014, 0.006, 220.0/15, 250.0/15
	byC := b / (1 - h)
	byH := (-b*(1-c) + w) / ((1 - h) * (1 - h))
	alone, err := cup.Want(cup.Extraction, cup.Drained, f)
	if err != nil {
		t.Fatal(err)
	}
	together, _ := cup.Want(cup.Extraction, cup.Drained, f, cup.Correlation{A: cup.Strength, B: cup.Last, R: 1})
	within(t, "apart", alone.U, 0.03*math.Hypot(byC, byH), 1e-7)
	within(t, "together", together.U, 0.03*math.Abs(byC+byH), 1e-7)
}

func TestWhatIsGivenComesBackAsGiven(t *testing.T) {
	given := cup.Figures{cup.Dose: {Value: 15.1, U: 0.1}, cup.Water: {Value: 250.3, U: 0.3}, cup.Strength: {Value: 1.37, U: 0.02}}
	all, err := cup.Solve(cup.Immersion, given)
	if err != nil {
		t.Fatal(err)
	}
	for n, q := range given {
		if all[n] != q {
			t.Errorf("%s comes back as %v", n, all[n])
		}
	}
	if len(all) != 4 {
		t.Errorf("%v follow", all)
	}
	if q := cup.Resolved(15, 0.1); math.Abs(q.U-0.0288675) > 1e-7 || q.Value != 15 {
		t.Errorf("a scale of 0.1 g is off by %v", q)
	}
}

func TestFiguresCarryTheirInstrumentsDoubt(t *testing.T) {
	i := cup.Instruments{Scale: 0.2, Refractometer: 0.05}
	want := map[cup.Name]float64{cup.Dose: 0.2, cup.Water: 0.2, cup.Beverage: 0.2, cup.Strength: 0.05, cup.Last: 0.05, cup.Extraction: 0, cup.Retained: 0}
	for _, n := range cup.Names() {
		if q := i.Read(n, 1.5); q != (cup.Quantity{Value: 1.5, U: want[n]}) {
			t.Errorf("%s: %v", n, q)
		}
	}
	if cup.UsualInstruments.Scale != 0.1 || cup.UsualInstruments.Refractometer != 0.03 {
		t.Error("the usual instruments are others than the doc says")
	}
}

// More doubt going in never comes out as less.
func TestDoubtOnlyGrows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		all := truth(t, cup.Percolation)
		f := cup.Figures{}
		for _, n := range []cup.Name{cup.Dose, cup.Water, cup.Retained, cup.Extraction} {
			f[n] = cup.Quantity{Value: all[n], U: all[n] * rapid.Float64Range(0.001, 0.02).Draw(t, "u")}
		}
		before := must[cup.Quantity](t)(cup.Want(cup.Strength, cup.Percolation, f))
		n := rapid.SampledFrom([]cup.Name{cup.Dose, cup.Water, cup.Retained, cup.Extraction}).Draw(t, "which")
		f[n] = cup.Quantity{Value: all[n], U: 2 * f[n].U}
		after := must[cup.Quantity](t)(cup.Want(cup.Strength, cup.Percolation, f))
		if after.U <= before.U {
			t.Fatalf("± %g, then ± %g", before.U, after.U)
		}
	})
}
