package cup

import "math"

// Propagate returns what f makes of the figures x, and the covariance matrix
// of that, given the covariance matrix of x: the law of propagation of
// uncertainty to first order (JCGM 100:2008, equations 13 and H.9; their
// numbers from memory). A figure that enters f twice, or two figures that went
// through the same instrument, are so counted rightly. The sensitivities are
// taken by central differences; f must be smooth around x, and is called twice
// for each figure that has a variance.
//
// A standard uncertainty is the square root of a variance on the diagonal.
func Propagate(f func(x []float64) []float64, x []float64, covariance [][]float64) (y []float64, out [][]float64) {
	y = f(x)
	slopes := make([][]float64, len(x)) // nil where the figure is exact
	for i := range x {
		if covariance[i][i] > 0 {
			slopes[i] = slope(f, x, i)
		}
	}
	out = square(len(y))
	for a := range y {
		for b := range y {
			for i, si := range slopes {
				for j, sj := range slopes {
					if si != nil && sj != nil {
						out[a][b] += si[a] * covariance[i][j] * sj[b]
					}
				}
			}
		}
	}
	return y, out
}

// slope returns how f changes with its ith figure. The step, the cube root of
// the precision, balances rounding against curvature.
func slope(f func([]float64) []float64, x []float64, i int) []float64 {
	step := 6e-6 * math.Max(math.Abs(x[i]), 1e-3)
	at := append([]float64(nil), x...)
	at[i] = x[i] + step
	above := f(at)
	at[i] = x[i] - step
	below := f(at)
	out := make([]float64, len(above))
	for k := range out {
		out[k] = (above[k] - below[k]) / (2 * step)
	}
	return out
}

// square returns a matrix of zeros.
func square(n int) [][]float64 {
	out := make([][]float64, n)
	for i := range out {
		out[i] = make([]float64, n)
	}
	return out
}
