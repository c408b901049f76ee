package stat

import "math"

// Smoothed is a point of an EWMA chart.
type Smoothed struct {
	Value float64 `json:"value"`
	Low   float64 `json:"low"` // its own limits: they widen over the first points
	High  float64 `json:"high"`
}

// Out reports whether the point lies beyond its limits.
func (s Smoothed) Out() bool { return s.Value < s.Low || s.Value > s.High }

// EWMA returns the exponentially weighted moving averages of xs: each is the
// share lambda of the new value and the rest of the average before, beginning
// at start. It shows a small lasting change that single points hide. The
// limits lie width sigma of the average to each side of start, exact for each
// point (Roberts 1959, Technometrics 1:239; NIST/SEMATECH 6.3.2.4). Usual are
// lambda 0.2 to 0.3 and width 3.
func EWMA(xs []float64, start, sigma, lambda, width float64) []Smoothed {
	out := make([]Smoothed, len(xs))
	average, forgotten := start, 1.0
	for i, x := range xs {
		average = lambda*x + (1-lambda)*average
		forgotten *= (1 - lambda) * (1 - lambda)
		half := width * sigma * math.Sqrt(lambda/(2-lambda)*(1-forgotten))
		out[i] = Smoothed{average, start - half, start + half}
	}
	return out
}

// Sums is a point of a CUSUM chart: how much lateness, and how much earliness,
// has piled up beyond what is let pass. Neither falls below 0.
type Sums struct {
	High float64 `json:"high"` // above the target
	Low  float64 `json:"low"`  // below it
	Out  bool    `json:"out"`  // one of them is beyond the decision interval
}

// CUSUM returns the tabular cumulative sums of xs about a target. From each
// deviation k is let pass, half of the shift that matters; a sum beyond h is a
// signal. Both are in the unit of xs; usual are 0.5 and 4 to 5 sigma (Page
// 1954, Biometrika 41:100; NIST/SEMATECH 6.3.2.3).
func CUSUM(xs []float64, target, k, h float64) []Sums {
	out := make([]Sums, len(xs))
	var s Sums
	for i, x := range xs {
		s.High = max(0, s.High+x-target-k)
		s.Low = max(0, s.Low+target-k-x)
		s.Out = s.High > h || s.Low > h
		out[i] = s
	}
	return out
}
