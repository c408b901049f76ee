package stat

import (
	"math"
	"math/bits"
	"slices"
)

// Five are the five figures of a box plot.
type Five struct{ Min, Lower, Median, Upper, Max float64 }

// FiveOf returns the extremes, the quartiles and the median, all NaN for no
// values. It puts xs into another order; which one is left open.
func FiveOf(xs []float64) Five {
	if len(xs) == 0 {
		nan := math.NaN()
		return Five{nan, nan, nan, nan, nan}
	}
	return Five{
		Min: slices.Min(xs), Max: slices.Max(xs),
		Median: Quantile(xs, 0.5), Lower: Quantile(xs, 0.25), Upper: Quantile(xs, 0.75),
	}
}

// Median returns the middle value, or the mean of the two middle ones. It puts
// xs into another order.
func Median(xs []float64) float64 { return Quantile(xs, 0.5) }

// Quantile returns the value below which the share p of xs lies; NaN for no
// values. It is type 7 of Hyndman and Fan (1996, American Statistician 50:361):
// the values sit at equal steps from 0 to 1, and what falls between two is
// drawn straight. Spreadsheets and R do the same. It puts xs into another
// order.
func Quantile(xs []float64, p float64) float64 {
	if len(xs) == 0 {
		return math.NaN()
	}
	at := p * float64(len(xs)-1)
	k := int(at)
	low := nth(xs, k)
	if part := at - float64(k); part > 0 {
		return low + part*(slices.Min(xs[k+1:])-low)
	}
	return low
}

// nth returns the value that would stand at index k if xs were sorted. After
// it, none before k is larger than xs[k] and none behind it smaller. It is
// Hoare's quickselect (1961, Communications of the ACM 4:321) and sorts what
// is left where the values lie so unluckily that halving makes no headway.
func nth(xs []float64, k int) float64 {
	lo, hi := 0, len(xs)-1
	for tries := 4 * bits.Len(uint(len(xs))); lo < hi; tries-- {
		if tries == 0 {
			slices.Sort(xs[lo : hi+1])
			break
		}
		i, j := split(xs, lo, hi)
		switch {
		case k <= j:
			hi = j
		case k >= i:
			lo = i
		default:
			return xs[k]
		}
	}
	return xs[k]
}

// split puts the smaller values of xs[lo:hi+1] in front: up to j none is
// larger than the pivot, from i on none smaller, and between them lies the
// pivot itself.
func split(xs []float64, lo, hi int) (i, j int) {
	a, b, c := xs[lo], xs[lo+(hi-lo)/2], xs[hi]
	pivot := max(min(a, b), min(max(a, b), c))
	i, j = lo, hi
	for i <= j {
		for xs[i] < pivot {
			i++
		}
		for pivot < xs[j] {
			j--
		}
		if i <= j {
			xs[i], xs[j] = xs[j], xs[i]
			i++
			j--
		}
	}
	return i, j
}
