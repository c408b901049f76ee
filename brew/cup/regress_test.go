package cup_test

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"barline/brew/cup"
)

// NIST StRD, Norris, certified values to 15 digits; 1e-11 of each is asked.
func TestRegressionIsNISTsNorris(t *testing.T) {
	var y, x []float64
	for _, row := range rowsOf(t, "nist_strd_norris.csv") {
		y, x = append(y, number(t, row["y"])), append(x, number(t, row["x"]))
	}
	r, err := cup.Regress(y, x)
	if err != nil {
		t.Fatal(err)
	}
	for what, v := range map[string][2]float64{
		"intercept":      {r.Intercept, -0.262323073774029},
		"its error":      {r.InterceptSE, 0.232818234301152},
		"slope":          {r.Slopes[0], 1.00211681802045},
		"slope's error":  {r.SlopeSEs[0], 0.429796848199937e-03},
		"residual":       {r.Residual, 0.884796396144373},
		"R²":             {r.R2, 0.999993745883712},
		"sum of squares": {r.Squares, 26.6173985294224},
		"rows":           {float64(r.N), 36},
		"freedom":        {float64(r.Freedom), 34},
		"Cook's, in all": {float64(len(r.Cook)), 36},
	} {
		within(t, what, v[0], v[1], 1e-11*math.Abs(v[1]))
	}
	// 2.032245 standard errors to each side hold 95 % of Student's t with 34
	// degrees of freedom (tables)
	in := r.Interval(0, 0.95)
	within(t, "half an interval", (in.High-in.Low)/2, 2.032245*0.429796848199937e-03, 1e-9)
	within(t, "its middle", (in.High+in.Low)/2, 1.00211681802045, 1e-11)
}

// What a fit leaves is at right angles to every column, whatever the data:
// that, and nothing else, is least squares.
func TestWhatAFitLeavesIsAtRightAnglesToItsColumns(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		random := seeded(rapid.Uint64().Draw(t, "seed"))
		n, k := rapid.IntRange(8, 40).Draw(t, "rows"), rapid.IntRange(1, 4).Draw(t, "columns")
		y, x := make([]float64, n), make([][]float64, k)
		for j := range x {
			x[j] = make([]float64, n)
			for i := range x[j] {
				x[j][i] = 5 + 3*random.NormFloat64()
			}
		}
		for i := range y {
			y[i] = random.NormFloat64()
		}
		r, err := cup.Regress(y, x...)
		var together *cup.Collinear
		if errors.As(err, &together) {
			return
		} else if err != nil {
			t.Fatal(err)
		}
		left, squares := make([]float64, n), 0.0
		for i := range y {
			left[i] = y[i] - r.Intercept
			for j := range x {
				left[i] -= r.Slopes[j] * x[j][i]
			}
			squares += left[i] * left[i]
		}
		within(t, "squares", r.Squares, squares, 1e-9)
		for j := range x {
			sum, dot := 0.0, 0.0
			for i := range left {
				sum, dot = sum+left[i], dot+left[i]*x[j][i]
			}
			within(t, "sum", sum, 0, 1e-9)
			within(t, "product", dot, 0, 1e-8)
		}
		// Cook's distance by leaving the row out, from its definition
		out := rapid.IntRange(0, n-1).Draw(t, "left out")
		var shortY []float64
		short := make([][]float64, k)
		for i := range y {
			if i == out {
				continue
			}
			shortY = append(shortY, y[i])
			for j := range x {
				short[j] = append(short[j], x[j][i])
			}
		}
		s, err := cup.Regress(shortY, short...)
		if err != nil {
			return
		}
		moved := 0.0
		for i := range y {
			d := r.Intercept - s.Intercept
			for j := range x {
				d += (r.Slopes[j] - s.Slopes[j]) * x[j][i]
			}
			moved += d * d
		}
		want := moved / (float64(k+1) * r.Residual * r.Residual)
		within(t, "Cook's distance", r.Cook[out], want, 1e-8*(1+want))
	})
}

// With one other column the inflation is 1/(1-r²).
func TestInflationIsThatOfTheCorrelation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		random := seeded(rapid.Uint64().Draw(t, "seed"))
		like := rapid.Float64Range(0, 1).Draw(t, "likeness")
		a, b := make([]float64, 20), make([]float64, 20)
		var sa, sb, aa, bb, ab float64
		for i := range a {
			a[i] = random.NormFloat64()
			b[i] = like*a[i] + (1.001-like)*random.NormFloat64()
		}
		for i := range a {
			sa, sb = sa+a[i]/20, sb+b[i]/20
		}
		for i := range a {
			aa, bb, ab = aa+(a[i]-sa)*(a[i]-sa), bb+(b[i]-sb)*(b[i]-sb), ab+(a[i]-sa)*(b[i]-sb)
		}
		want := 1 / (1 - ab*ab/(aa*bb))
		for _, got := range cup.Inflation(a, b) {
			within(t, "inflation", got, want, 1e-6*want)
		}
		_, err := cup.Regress(make([]float64, 20), a, b)
		var together *cup.Collinear
		if errors.As(err, &together) != (want >= cup.MostInflation) {
			t.Fatalf("inflation %g: %v", want, err)
		}
	})
}

func TestColumnsThatSayOneThingAreRefused(t *testing.T) {
	a := []float64{1, 2, 3, 4, 5, 6, 8, 9}
	b := []float64{2, 1, 4, 3, 6, 5, 9, 7}
	sum, same := make([]float64, 8), []float64{7, 7, 7, 7, 7, 7, 7, 7}
	for i := range a {
		sum[i] = a[i] + b[i]
	}
	for what, columns := range map[string][][]float64{"a column twice": {a, a}, "a sum of others": {a, b, sum}, "one that never changes": {b, same}} {
		_, err := cup.Regress(a, columns...)
		var together *cup.Collinear
		if !errors.As(err, &together) || len(together.Inflation) != len(columns) || together.Error() == "" {
			t.Errorf("%s: %v", what, err)
		}
	}
	if in := cup.Inflation(b, same); !math.IsInf(in[1], 1) || in[0] > 1.001 {
		t.Errorf("only the column that never changes is at fault: %v", in)
	}
	only := []float64{0, 0, 1, 0, 0, 0, 0, 0}
	if r, err := cup.Regress(a, only); err != nil || r.Cook[2] != cup.Boundless {
		t.Errorf("the only row of a column: %v (%v)", r.Cook, err)
	}
	_, err := cup.Regress(a, a[:7])
	slipOf(t, "a short column", err, cup.OutOfRange)
	_, err = cup.Regress(a, []float64{1, 2, 3, 4, 5, 6, 7, math.NaN()})
	slipOf(t, "a gap in a column", err, cup.NoNumber)
	_, err = cup.Regress([]float64{1, 2, 3, 4, 5, 6, 7, math.Inf(1)}, b)
	slipOf(t, "no end of strength", err, cup.NoNumber)
	_, err = cup.Regress(a[:3], a[:3], b[:3])
	slipOf(t, "as many unknowns as rows", err, cup.TooFew)
	if r, err := cup.Regress(a[:4], []float64{1, 2, 3, 5}, b[:4]); err != nil || r.Freedom != 1 {
		t.Errorf("one row to spare: %v", err)
	}
}
