package stat

import "math"

// Capability sets a window against the spread of what is done.
type Capability struct {
	// Cp is the window's width over 6 sigma: 1 is just wide enough for a
	// process in its middle. NaN for a window with one side.
	Cp    float64
	CpIn  Interval
	Lower float64 // Cpl: from the mean to the lower edge, in 3 sigma; +Inf for no such edge
	Upper float64 // Cpu: the same to the upper edge
	// Cpk is the smaller of the two: as Cp, but for the process where it is.
	// Negative where the mean itself is outside the window.
	Cpk   float64
	CpkIn Interval
	// Off is k: how far the mean is from the window's middle, in halves of
	// the window. NaN for a window with one side.
	Off float64
}

// CapabilityOf returns the capability of n values with the given mean and
// standard deviation against a window from low to high; an infinite edge means
// that the window has no such side. The intervals are at the level: Cp's is
// exact for normal values, by the chi-squared distribution of the standard
// deviation, Cpk's is Bissell's approximation (1990, Applied Statistics
// 39:331). The indices are those of NIST/SEMATECH 6.1.6; they say nothing of a
// process that is not under control.
func CapabilityOf(mean, sd float64, n int, low, high, level float64) Capability {
	c := Capability{
		Cp: (high - low) / (6 * sd), Lower: (mean - low) / (3 * sd), Upper: (high - mean) / (3 * sd),
		Off: math.Abs((low+high)/2-mean) / ((high - low) / 2),
	}
	if math.IsInf(high-low, 1) {
		c.Cp, c.Off = math.NaN(), math.NaN()
	}
	c.Cpk = min(c.Lower, c.Upper)
	df := float64(n - 1)
	c.CpIn = Interval{c.Cp * math.Sqrt(chiSquared((1-level)/2, df)/df), c.Cp * math.Sqrt(chiSquared((1+level)/2, df)/df)}
	half := sigmas(level) * math.Sqrt(1/(9*float64(n))+c.Cpk*c.Cpk/(2*df))
	c.CpkIn = Interval{c.Cpk - half, c.Cpk + half}
	return c
}
