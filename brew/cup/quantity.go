package cup

import "math"

// Quantity is a figure and its standard uncertainty, in the same unit.
type Quantity struct {
	Value float64
	U     float64 // 0 for a figure taken as exact
}

// Exactly returns a figure that is taken as exact.
func Exactly(x float64) Quantity { return Quantity{Value: x} }

// Resolved returns a reading of an instrument that shows steps of the given
// size and has no other error: the truth is anywhere in the step, so its
// standard uncertainty is step/√12 (JCGM 100:2008, F.2.2.1).
func Resolved(x, step float64) Quantity { return Quantity{x, step / math.Sqrt(12)} }

// Range is what a figure lies between; its ends belong to it.
type Range struct {
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

// Holds reports whether x lies in the range.
func (r Range) Holds(x float64) bool { return r.Low <= x && x <= r.High }

// rangeOf returns the range of at least one figure.
func rangeOf(xs ...float64) Range {
	r := Range{xs[0], xs[0]}
	for _, x := range xs[1:] {
		r.Low, r.High = math.Min(r.Low, x), math.Max(r.High, x)
	}
	return r
}
