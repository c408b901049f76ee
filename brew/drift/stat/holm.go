package stat

import (
	"cmp"
	"slices"
)

// Holm returns the p-values corrected for their number: of all that come out
// at or below a rate, one or more are false alarms no oftener than that rate,
// however they depend on each other (Holm 1979, Scandinavian Journal of
// Statistics 6:65). They come back in the order given.
func Holm(ps []float64) []float64 {
	order := make([]int, len(ps))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(ps[a], ps[b]) })
	out, least := make([]float64, len(ps)), 0.0
	for rank, i := range order {
		least = max(least, min(1, float64(len(ps)-rank)*ps[i]))
		out[i] = least
	}
	return out
}
