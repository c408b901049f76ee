package stat

import "math"

// MeanSD returns the arithmetic mean and the standard deviation, which divides
// by n - 1. The mean of no values and the deviation of fewer than two are NaN.
//
// It goes twice over the values and corrects for what the first pass lost
// (Chan, Golub and LeVeque 1983, American Statistician 37:242, the corrected
// two-pass algorithm), so that drifts of tenths on top of a large number keep
// their digits.
func MeanSD(xs []float64) (mean, sd float64) {
	n := float64(len(xs))
	if n == 0 {
		return math.NaN(), math.NaN()
	}
	for _, x := range xs {
		mean += x
	}
	mean /= n
	var sum, squares float64
	for _, x := range xs {
		d := x - mean
		sum += d
		squares += d * d
	}
	mean += sum / n
	if n < 2 {
		return mean, math.NaN()
	}
	return mean, math.Sqrt(max(0, squares-sum*sum/n) / (n - 1))
}

// Lag1 returns the lag-1 autocorrelation: how far a value resembles the one
// before it. 0 is not at all, as when every brew is a fresh try; near 1, one
// late brew follows another. NaN for fewer than three values or where all are
// the same. The definition is that of NIST's reference data sets (StRD, 1999):
// the sum of products of neighbours' deviations over the sum of squares.
func Lag1(xs []float64) float64 {
	if len(xs) < 3 {
		return math.NaN()
	}
	mean, _ := MeanSD(xs)
	before := xs[0] - mean
	squares, products := before*before, 0.0
	for _, x := range xs[1:] {
		d := x - mean
		squares += d * d
		products += d * before
		before = d
	}
	if squares == 0 {
		return math.NaN()
	}
	return products / squares
}

// Dependent reports whether a lag-1 autocorrelation r of n values is too large
// to be chance: above 1.96/√n, which one honest list in forty exceeds
// (Bartlett 1946, Supplement to the Journal of the Royal Statistical Society 8:27). Tests that
// take values for independent then claim too much. A negative r makes them
// claim too little, which is no harm.
func Dependent(r float64, n int) bool { return r > sigmas(0.95)/math.Sqrt(float64(n)) }
