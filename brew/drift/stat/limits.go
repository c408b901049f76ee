package stat

import "math"

// The constants for ranges of two neighbours. The mean range of two normal
// values is d2 sigma, the standard deviation of that range d3 sigma; 3 sigma
// above the mean range is d4 times it. Printed tables round them to 1.128,
// 0.853 and 3.267 (ASTM STP 15D, 1976; derived by Tippett 1925).
var (
	d2 = 2 / math.Sqrt(math.Pi)
	d3 = math.Sqrt(2 - 4/math.Pi)
	d4 = 1 + 3*d3/d2
)

// Limits are those of a chart of individual values: between Low and High lies
// what a process does that goes on as it did in its baseline. They are drawn 3
// sigma from the centre (Shewhart 1931).
type Limits struct {
	N      int     `json:"n"`      // values in the baseline
	Centre float64 `json:"centre"` // their mean
	Sigma  float64 `json:"sigma"`  // the mean moving range over d2: from one brew to the next
	Low    float64 `json:"low"`    // Centre - 3 Sigma
	High   float64 `json:"high"`   // Centre + 3 Sigma
	// The chart of moving ranges has its own centre and upper limit; its
	// lower limit is 0.
	MeanRange float64 `json:"mean_range"`
	HighRange float64 `json:"high_range"`
}

// LimitsOf returns the limits that a baseline gives, in its order. They are
// NaN for fewer than two values. Points to be judged must not be among them:
// an outlier would widen the limits it is judged by.
//
// Sigma comes from moving ranges, so that a slow change in the baseline does
// not widen the limits as a standard deviation would (NIST/SEMATECH e-Handbook
// of Statistical Methods, 6.3.2.2).
func LimitsOf(baseline []float64) Limits {
	mean, _ := MeanSD(baseline)
	l := Limits{N: len(baseline), Centre: mean, MeanRange: math.NaN()}
	if l.N > 1 {
		sum := 0.0
		for _, r := range Ranges(baseline) {
			sum += r
		}
		l.MeanRange = sum / float64(l.N-1)
	}
	l.Sigma, l.HighRange = l.MeanRange/d2, d4*l.MeanRange
	l.Low, l.High = l.Centre-3*l.Sigma, l.Centre+3*l.Sigma
	return l
}

// Ranges returns how far each value lies from the one before it, in the values'
// unit: the moving ranges, one fewer than there are values.
func Ranges(values []float64) []float64 {
	out := make([]float64, 0, max(len(values)-1, 0))
	for i := 1; i < len(values); i++ {
		out = append(out, math.Abs(values[i]-values[i-1]))
	}
	return out
}

// Z returns how many sigma x lies from the centre; + is above. In a baseline
// without any spread every other value lies infinitely far.
func (l Limits) Z(x float64) float64 {
	if x == l.Centre {
		return 0
	}
	return (x - l.Centre) / l.Sigma
}

// Out reports whether x lies beyond the limits; a limit itself is within.
func (l Limits) Out(x float64) bool { return x < l.Low || x > l.High }
