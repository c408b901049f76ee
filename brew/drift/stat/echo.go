package stat

import "math"

// Resemblance returns how far neighbours in a list may resemble each other: the
// upper bound, at 97.5 %, of the lag-1 autocorrelation of what made the values, 0
// to 0.99. What is given is what is left of them when the given number of levels
// was taken out, of groups or of stretches; each level makes neighbours look
// less alike than they are, by (1 + 3r)/n (Kendall 1954, Biometrika 41:403;
// Marriott and Pope 1954, Biometrika 41:390). The error of r is √((1 - r²)/n)
// (Bartlett 1946).
func Resemblance(rest []float64, levels int) float64 {
	n, r := float64(max(1, len(rest))), Lag1(rest)
	if math.IsNaN(r) { // too few or all the same: nothing says that they do
		r = 0
	}
	r = max(-1, min(r+(1+3*r)*float64(levels)/n, 1))
	return max(0, min(r+sigmas(0.95)*math.Sqrt((1-r*r)/n), 0.99))
}

// Echoing returns a p-value that was worked out for independent values as it is
// for values whose neighbours resemble each other by r. A sum of such values
// varies (1 + r)/(1 - r) times as much where each hangs on the one before alone
// (Bartlett 1935, Journal of the Royal Statistical Society 98:536), so the sigmas
// that p stands for count for so many fewer. For ranks, whose resemblance is a
// little less, that errs on the side of silence.
func Echoing(p, r float64) float64 { return inflated(p, (1+r)/(1-r), r) }

// EchoingSigns is Echoing for a test that counts on which side of their middle
// values lie. Two normal values that resemble each other by r lie on the same
// side so often that their signs do by 2/π arcsin r (Sheppard 1899,
// Philosophical Transactions A 192:101), and values k apart resemble each other
// by r to the power of k.
func EchoingSigns(p, r float64) float64 {
	variance, far := 1.0, r
	for far > 1e-9 {
		variance += 4 / math.Pi * math.Asin(far)
		far *= r
	}
	return inflated(p, variance, r)
}

// inflated returns p where what was tested varies so many times as much.
func inflated(p, variance, r float64) float64 {
	if p <= 0 || p >= 1 || r <= 0 {
		return p
	}
	return twoSided(upper(p/2) / math.Sqrt(variance))
}
