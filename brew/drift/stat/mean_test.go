package stat_test

import (
	"math"
	"math/big"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"barline/brew/drift/stat"
)

// NIST's certified values (Statistical Reference Datasets, 1999, univariate).
// NumAcc2 to 4 are built as their files say; PiDigits is left out, for its
// file cannot be built from the digits of pi. The last digits of NumAcc3 and 4
// are lost before any arithmetic: 10000000.1 is no float64.
func TestMeanSDAndLag1AreTheCertified(t *testing.T) {
	numAcc := func(base float64) []float64 {
		xs := []float64{base + 0.2}
		for range 500 {
			xs = append(xs, base+0.1, base+0.3)
		}
		return xs
	}
	for _, c := range []struct {
		name           string
		xs             []float64
		mean, sd, lag1 float64
		digits         float64 // to which share of the value
	}{
		{"NumAcc1", column(t, "nist_strd_numacc1.csv", "x"), 10000002, 1, -0.5, 1e-15},
		{"NumAcc2", numAcc(1), 1.2, 0.1, -0.999, 1e-14},
		{"NumAcc3", numAcc(1000000), 1000000.2, 0.1, -0.999, 1e-9},
		{"NumAcc4", numAcc(10000000), 10000000.2, 0.1, -0.999, 1e-8},
		{"Michelso", column(t, "nist_strd_michelso.csv", "x"), 299.852400000000, 0.0790105478190518, 0.535199668621283, 1e-13},
		{"Mavro", column(t, "nist_strd_mavro.csv", "x"), 2.00185600000000, 0.000429123454003053, 0.937989183438248, 1e-12},
		{"Lew", column(t, "nist_strd_lew.csv", "x"), -177.435000000000, 277.332168044316, -0.307304800605679, 1e-14},
		{"Lottery", column(t, "nist_strd_lottery.csv", "x"), 518.958715596330, 291.699727470969, -0.120948622967393, 1e-14},
	} {
		mean, sd := stat.MeanSD(c.xs)
		near(t, c.name+" mean", mean, c.mean, 1e-14)
		near(t, c.name+" sd", sd, c.sd, c.digits)
		near(t, c.name+" lag 1", stat.Lag1(c.xs), c.lag1, 10*c.digits)
	}
}

func TestMeanSDAndLag1AreThoseOfR(t *testing.T) {
	ys, _ := samples(t)
	for _, f := range figures(t, "mean sd", 1) {
		mean, sd := stat.MeanSD(ys[f.of[0]])
		near(t, f.of[0]+" mean", mean, f.numbers[0], 1e-13)
		near(t, f.of[0]+" sd", sd, f.numbers[1], 1e-13)
	}
	for _, f := range figures(t, "lag1", 1) {
		near(t, f.of[0]+" lag 1", stat.Lag1(ys[f.of[0]]), f.numbers[0], 1e-12)
	}
}

// Whatever offset the values sit on, the deviation is the exact one of these
// very float64.
func TestSDKeepsItsDigitsOnAnyOffset(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		offset := rapid.SampledFrom([]float64{0, 1, 1e6, -1e9}).Draw(t, "offset")
		xs := rapid.SliceOfN(rapid.Float64Range(-5, 5), 2, 40).Draw(t, "xs")
		for i := range xs {
			xs[i] += offset
		}
		_, sd := stat.MeanSD(xs)
		if want := exactSD(xs); math.Abs(sd-want) > 1e-13*want+1e-150 {
			t.Fatalf("sd of %v is %v, exactly %v", xs, sd, want)
		}
	})
}

func exactSD(xs []float64) float64 {
	sum, squares, n := new(big.Rat), new(big.Rat), big.NewRat(int64(len(xs)), 1)
	for _, x := range xs {
		r := new(big.Rat).SetFloat64(x)
		sum.Add(sum, r)
		squares.Add(squares, r.Mul(r, r))
	}
	squares.Sub(squares, sum.Mul(sum, sum).Quo(sum, n))
	variance, _ := squares.Quo(squares, n.Sub(n, big.NewRat(1, 1))).Float64()
	return math.Sqrt(variance)
}

func TestTooFewValuesHaveNoFigures(t *testing.T) {
	mean, sd := stat.MeanSD(nil)
	nan(t, "mean and sd of none", mean, sd)
	mean, sd = stat.MeanSD([]float64{4})
	within(t, "the mean of one", mean, 4, 0)
	nan(t, "the sd of one", sd)
	nan(t, "lag 1 of two, of no spread", stat.Lag1([]float64{1, 2}), stat.Lag1([]float64{3, 3, 3, 3}))
	f := stat.FiveOf(nil)
	nan(t, "five of none", f.Min, f.Lower, f.Median, f.Upper, f.Max)
	nan(t, "quantile of none", stat.Quantile(nil, 0.3))
}

func TestDependentIsBeyondTheNoiseOfN(t *testing.T) {
	for _, c := range []struct {
		r    float64
		n    int
		want bool
	}{
		{0.19, 100, false}, {0.20, 100, true}, {-0.9, 100, false},
		{0.39, 25, false}, {0.40, 25, true}, {math.NaN(), 25, false},
	} {
		if got := stat.Dependent(c.r, c.n); got != c.want {
			t.Errorf("a lag-1 autocorrelation of %v in %d is dependent: %v", c.r, c.n, got)
		}
	}
}

func TestFiveAreThoseOfR(t *testing.T) {
	ys, _ := samples(t)
	for _, f := range figures(t, "five", 1) {
		got := stat.FiveOf(slices.Clone(ys[f.of[0]]))
		for i, x := range []float64{got.Min, got.Lower, got.Median, got.Upper, got.Max} {
			near(t, f.of[0]+" five", x, f.numbers[i], 1e-14)
		}
	}
	for _, f := range figures(t, "quantile", 1) {
		near(t, f.of[0]+" quantile", stat.Quantile(slices.Clone(ys[f.of[0]]), f.numbers[0]), f.numbers[1], 1e-14)
	}
}

// What is found without sorting is what sorting finds, ties and all; and no
// value is lost.
func TestQuantileIsThatOfTheSortedList(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		xs := rapid.OneOf(
			rapid.SliceOfN(rapid.Float64Range(-9, 9), 1, 200),
			rapid.SliceOfN(rapid.Map(rapid.IntRange(0, 3), func(i int) float64 { return float64(i) }), 1, 200),
		).Draw(t, "xs")
		p := rapid.Float64Range(0, 1).Draw(t, "p")
		sorted := slices.Clone(xs)
		slices.Sort(sorted)
		at := p * float64(len(xs)-1)
		low, high := sorted[int(math.Floor(at))], sorted[int(math.Ceil(at))]
		want := low + (at-math.Floor(at))*(high-low)
		if got := stat.Quantile(xs, p); got != want {
			t.Fatalf("%v of %v is %v, want %v", p, sorted, got, want)
		}
		slices.Sort(xs)
		if !slices.Equal(xs, sorted) {
			t.Fatalf("%v became %v", sorted, xs)
		}
	})
}

// A list made so that the middle of three is always the second smallest of what
// is left (after Musser 1997): halving gets nowhere, and without a way out it
// would take minutes.
func TestMedianOfAnUnluckyListIsQuick(t *testing.T) {
	const n = 1 << 20
	xs, at := make([]float64, n), make([]int, n)
	for i := range at {
		at[i] = i
	}
	for lo := 0; lo+2 < n; lo += 2 {
		middle := lo + (n-1-lo)/2
		xs[at[lo]], xs[at[middle]] = float64(lo), float64(lo+1)
		at[lo+1], at[middle] = at[middle], at[lo+1] // as the halving will swap them
	}
	xs[at[n-2]], xs[at[n-1]] = n-2, n-1
	before := time.Now()
	if got := stat.Quantile(xs, 0.5); got != (n-1)/2.0 {
		t.Errorf("median is %v, want %v", got, (n-1)/2.0)
	}
	if took := time.Since(before); took > 20*time.Second {
		t.Errorf("it took %v", took)
	}
}

// A million times 0.1, added up plainly, are 100000.0000013.
func TestMeanOfManyKeepsItsDigits(t *testing.T) {
	xs := make([]float64, 1_000_000)
	for i := range xs {
		xs[i] = 0.1
	}
	mean, sd := stat.MeanSD(xs)
	near(t, "mean", mean, 0.1, 3e-16)
	within(t, "sd", sd, 0, 1e-16)
}
