package stat_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"barline/brew/drift/stat"
)

// Helsel and Hirsch 2002 (the figures recomputed; the rows are not in the order
// of x), NIST's flowrates as a series in time, and NIST's Mavro, which has ties.
func TestKendallOfTheExamples(t *testing.T) {
	ys, xs := samples(t)
	flow := column(t, "nist_imr_flowrate.csv", "flowrate")
	for _, c := range []struct {
		name         string
		x, y         []float64
		s            int
		variance, z  float64
		p            float64
		exact, inTie bool
	}{
		{"Helsel and Hirsch", xs["helsel"], ys["helsel"], 23, 125, 1.967740, 0.046623, true, false},
		{"flowrate", upTo(10), flow, 27, 125, 2.325511, math.NaN(), true, false},
		{"Mavro", xs["mavro"], ys["mavro"], 448, 14125.3333, 3.761042, 1.6921e-4, false, true},
	} {
		k := stat.Kendall(c.x, c.y)
		if k.S != c.s || k.Exact != c.exact {
			t.Errorf("%s: %+v, want S %d, exact %v", c.name, k, c.s, c.exact)
		}
		within(t, c.name+" variance", k.Var, c.variance, 5e-5)
		within(t, c.name+" Z", k.Z, c.z, 5e-7)
		if !math.IsNaN(c.p) {
			within(t, c.name+" p", k.P, c.p, 5e-7)
		}
	}
	tau := stat.Kendall(xs["helsel"], ys["helsel"]).Tau
	within(t, "tau", tau, 0.511111, 5e-7)
}

func TestKendallIsThatOfR(t *testing.T) {
	ys, xs := samples(t)
	pick := func(f figure) (x, y []float64) {
		y = ys[f.of[1]]
		switch {
		case f.of[0] == "big_b":
			y = slices.Clone(y)
			slices.Reverse(y)
			return ys["big_b"], y
		case xs[f.of[0]] != nil:
			return xs[f.of[0]], y
		}
		return ys[f.of[0]], y
	}
	for _, exact := range []bool{true, false} {
		kind := map[bool]string{true: "kendall exact", false: "kendall normal"}[exact]
		for _, f := range figures(t, kind, 2) {
			k := stat.Kendall(pick(f))
			if k.Exact != exact {
				t.Errorf("%v is exact: %v", f.of, k.Exact)
			}
			near(t, f.of[1]+" tau", k.Tau, f.numbers[0], 1e-12)
			if !exact {
				near(t, f.of[1]+" Z", k.Z, f.numbers[1], 1e-12)
			}
			near(t, f.of[1]+" p", k.P, f.numbers[2], 1e-9)
		}
	}
}

// Theil's own picture: one wild value does not bend the line.
func TestTheilSenOfTheExamples(t *testing.T) {
	l := stat.TheilSen(upTo(7), []float64{1, 2, 3, 4, 5, 16, 7}, 0.95)
	within(t, "slope", l.Slope, 1, 1e-12)
	within(t, "intercept", l.Intercept, 0, 1e-12)
	l = stat.TheilSen(upTo(10), column(t, "nist_imr_flowrate.csv", "flowrate"), 0.95)
	within(t, "slope of the flowrates", l.Slope, 0.5, 1e-12)
	within(t, "intercept of the flowrates", l.Intercept, 48.5, 1e-12)
}

func TestTheilSenIsThatOfR(t *testing.T) {
	ys, _ := samples(t)
	for _, f := range figures(t, "theil sen", 2) {
		l := stat.TheilSen(ys[f.of[0]], ys[f.of[1]], 0.95)
		near(t, f.of[1]+" slope", l.Slope, f.numbers[0], 1e-12)
		near(t, f.of[1]+" low", l.In.Low, f.numbers[1], 1e-12)
		near(t, f.of[1]+" high", l.In.High, f.numbers[2], 1e-12)
		within(t, f.of[1]+" intercept", l.Intercept, f.numbers[3], 1e-12)
		within(t, f.of[1]+" pairs", float64(l.Pairs), f.numbers[4], 0)
	}
}

// isoreg in R.
func TestMonotoneIsThatOfR(t *testing.T) {
	ys, _ := samples(t)
	for kind, falling := range map[string]bool{"rising": false, "falling": true} {
		for _, f := range figures(t, kind, 1) {
			got := stat.Monotone(ys[f.of[0]], falling)
			if len(got) != len(f.numbers) {
				t.Fatalf("%s: %d values of %d", f.of[0], len(got), len(f.numbers))
			}
			for i, y := range got {
				within(t, f.of[0]+" "+kind, y, f.numbers[i], 1e-12)
			}
		}
	}
	if got := stat.Monotone(nil, false); len(got) != 0 {
		t.Errorf("of none: %v", got)
	}
}

// The quick ways are the slow ways: all pairs counted, all slopes sorted.
func TestTrendIsWhatAllPairsSay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 60).Draw(t, "n")
		coarse := rapid.Float64Range(1, 30).Draw(t, "coarse")
		draw := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
		x, y := make([]float64, n), make([]float64, n)
		for i := range x {
			x[i], y[i] = math.Floor(coarse*draw.Float64()), math.Floor(coarse*draw.NormFloat64())
		}
		s, slopes := 0, []float64{}
		for i := range x {
			for j := range i {
				if dx := x[i] - x[j]; dx != 0 {
					slopes = append(slopes, (y[i]-y[j])/dx)
					s += int(math.Copysign(1, slopes[len(slopes)-1])) * one(y[i] != y[j])
				}
			}
		}
		k, l := stat.Kendall(x, y), stat.TheilSen(x, y, 0.95)
		if k.S != s || l.Pairs != len(slopes) {
			t.Fatalf("S %d of %d pairs, want %d of %d", k.S, l.Pairs, s, len(slopes))
		}
		slices.Sort(slopes)
		if m := len(slopes); m > 0 {
			if want := (slopes[(m-1)/2] + slopes[m/2]) / 2; l.Slope != want {
				t.Fatalf("slope %v, want %v", l.Slope, want)
			}
			if !l.In.Holds(l.Slope) {
				t.Fatalf("slope %v outside of its interval %v", l.Slope, l.In)
			}
		}
		flat := k.Tau != k.Tau
		if k.P < 0 || k.P > 1 || flat != (k.Var == 0 || slices.Max(x) == slices.Min(x) || slices.Max(y) == slices.Min(y)) {
			t.Fatalf("%+v", k)
		}
	})
}

func one(b bool) int {
	if b {
		return 1
	}
	return 0
}

// With many values the wanted slopes are looked for between two guesses; they
// are still the ones that sorting finds. Coarse values put whole shares of the
// slopes onto one number.
func TestTheilSenOfManyIsThatOfAllPairs(t *testing.T) {
	draw := rand.New(rand.NewPCG(3, 4))
	for _, coarse := range []float64{1e9, 5, 1} {
		for _, trend := range []float64{0, 0.01, -3} {
			x, y, slopes := make([]float64, 500), make([]float64, 500), []float64{}
			for i := range x {
				x[i] = math.Floor(float64(i)/2) / 3
				y[i] = math.Round(coarse*(draw.NormFloat64()+trend*x[i])) / coarse
				for j := range i {
					if x[j] != x[i] {
						slopes = append(slopes, (y[i]-y[j])/(x[i]-x[j]))
					}
				}
			}
			slices.Sort(slopes)
			l := stat.TheilSen(x, y, 0.95)
			m := len(slopes)
			within(t, "slope", l.Slope, (slopes[(m-1)/2]+slopes[m/2])/2, 1e-12)
			k := stat.Kendall(x, y)
			low := int((float64(m) - 1.959963984540054*math.Sqrt(k.Var)) / 2)
			within(t, "low", l.In.Low, slopes[low-1], 1e-12)
			within(t, "high", l.In.High, slopes[m-low], 1e-12)
		}
	}
}

func TestTrendOfTooFewIsNotKnown(t *testing.T) {
	l := stat.TheilSen([]float64{1, 1}, []float64{2, 3}, 0.95)
	nan(t, "the slope of one moment", l.Slope, l.In.Low, l.In.High, l.Intercept)
	l = stat.TheilSen([]float64{1, 2, 3}, []float64{2, 3, 5}, 0.95)
	if !math.IsInf(l.In.Low, -1) || !math.IsInf(l.In.High, 1) {
		t.Errorf("three values bound the slope by %v", l.In)
	}
	within(t, "the slope of three", l.Slope, 1.5, 0)
}

func TestOrderOfPairsDoesNotMatterToTrend(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(5, 300).Draw(t, "n")
		draw := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
		x, y := make([]float64, n), make([]float64, n)
		for i := range x {
			x[i], y[i] = math.Floor(60*draw.Float64()), math.Round(10*draw.NormFloat64())/10
		}
		k, l := stat.Kendall(x, y), stat.TheilSen(x, y, 0.9)
		draw.Shuffle(n, func(i, j int) {
			x[i], x[j] = x[j], x[i]
			y[i], y[j] = y[j], y[i]
		})
		if k2, l2 := stat.Kendall(x, y), stat.TheilSen(x, y, 0.9); k2 != k || l2 != l {
			t.Fatalf("%+v %+v, in another order %+v %+v", k, l, k2, l2)
		}
	})
}
