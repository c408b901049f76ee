package cup

import (
	"math"
	"slices"
	"time"
)

// curve is how a grind gives up what it gives in the end: a part quickly, off
// broken cells, the rest slowly, from within.
type curve struct {
	grind      string
	quick      float64 // part that leaves quickly, 0 to 1
	fast, slow float64 // time constants, s
}

// curves are least squares fits of ours to published readings, not published
// constants: concentration against time in a stirred pot, 60 g in half a litre
// at 80 °C to 90 °C (Moroney, Lee, O'Brien, Suijver and Marra 2015, Chemical
// Engineering Science 137:216, figure 10, digitised by others). All five are
// taken to end where the finest does, at 36.42 kg/m³, since it was the same
// coffee.
var curves = []curve{
	{"fine drip", 0.603, 11.25, 42.36},
	{"standard drip", 0.577, 9.71, 57.56},
	{"coarse drip", 0.666, 14.83, 274.0},
	{"coarse", 0.644, 23.63, 669.1},
	{"very coarse", 0.445, 45.43, 710.9},
}

// unstirred is a steep that nobody touches: all but a hundredth of the way in
// 20 minutes (Liang, Chan and Ristenpart 2021 for ratios of 12 and more; the
// hundredth and the single exponential are ours).
var unstirred = curve{"unstirred", 1, 1200 / math.Ln10 / 2, 1}

// at returns how far the steep is, 0 to 1.
func (c curve) at(t time.Duration) float64 {
	s := max(t.Seconds(), 0)
	return 1 - c.quick*math.Exp(-s/c.fast) - (1-c.quick)*math.Exp(-s/c.slow)
}

// Way is how far a steep is on its way to equilibrium, 0 to 1: Middle is the
// middle of five published grinds, the range all of them and an unstirred one.
type Way struct {
	Middle, Low, High float64
}

// HowFar returns how far a steep of some length is on its way. It is an
// estimate: by published kinetics at 80 °C to 90 °C, whatever the grind.
func HowFar(t time.Duration) Way {
	far := make([]float64, len(curves))
	for i, c := range curves {
		far[i] = c.at(t)
	}
	slices.Sort(far)
	return Way{far[len(far)/2], min(far[0], unstirred.at(t)), far[len(far)-1]}
}
