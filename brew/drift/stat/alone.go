package stat

import (
	"cmp"
	"math"
	"slices"
)

// Alone returns how often, in values whose large ones grow rare as a power of
// their size or faster, one would stand as far above the next as value i does:
// 1 where others are as large. Values are positive, such as distances.
//
// Limits from sigma take values for normal, and hands are not: now and then
// they are far too late. In tails that fall as a power of size, the heaviest
// that are usual, i times the logarithm of the ratio of the i-th largest to the
// next is the same exponential chance for every i (Rényi 1953; Hill 1975,
// Annals of Statistics 3:1163). So the first is set against the mean of the
// following ones, a fifth of all and 20 at most. Lighter tails, such as the
// normal, make a lone point rarer still than is returned. 1 for fewer than 10
// values, too.
func Alone(xs []float64, i int) float64 {
	k := min(20, len(xs)/5)
	if k < 2 {
		return 1
	}
	largest := slices.Clone(xs)
	nth(largest, len(xs)-k-2)
	largest = largest[len(xs)-k-2:]
	slices.SortFunc(largest, func(a, b float64) int { return cmp.Compare(b, a) })
	if largest[0] != xs[i] || largest[k+1] <= 0 {
		return 1
	}
	sum := 0.0
	for j := 1; j <= k; j++ { // the j+1-th largest against the next
		sum += float64(j+1) * math.Log(largest[j]/largest[j+1])
	}
	first := math.Log(largest[0] / largest[1])
	return math.Pow(1+first/sum, -float64(k))
}
