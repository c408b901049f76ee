package stat

import (
	"cmp"
	"math"
	"slices"
)

// Trend is what Mann and Kendall's test says of values against time.
type Trend struct {
	N     int     `json:"n"`
	S     int     `json:"s"`     // pairs that rise minus pairs that fall
	Tau   float64 `json:"tau"`   // from -1, falls throughout, to 1; tau-b where values are tied
	Var   float64 `json:"var"`   // of S where there is no trend
	Z     float64 `json:"z"`     // S in its own sigmas, brought one nearer to 0
	P     float64 `json:"p"`     // how often chance alone gives a trend as strong, either way
	Exact bool    `json:"exact"` // P was counted, not taken from the normal distribution
}

// Kendall tests whether y rises or falls with x, in whatever bends: Mann and
// Kendall's test for trend where x is time (Mann 1945, Econometrica 13:245;
// Kendall 1975, Rank Correlation Methods, with his variance for ties in x, in
// y or both). P is exact below 50 values without ties. The values must be
// independent of each other, see Dependent; the order in which the pairs come
// does not matter. NaN where all x or all y are the same.
func Kendall(x, y []float64) Trend {
	pairs := pairsOf(x, y)
	k := countOrder(pairs)
	t := Trend{N: len(x), S: k.s, Var: k.variance(float64(len(x)))}
	t.Tau = float64(k.s) / math.Sqrt(float64(k.all-k.xTied)*float64(k.all-k.yTied))
	t.Z = float64(t.S-sign(float64(t.S))) / math.Sqrt(t.Var)
	t.P = twoSided(t.Z)
	if t.N < 50 && k.xTied+k.yTied == 0 {
		t.Exact, t.P = true, exactKendall(t.N, (k.all-abs(k.s))/2)
	}
	return t
}

type pair struct{ x, y float64 }

// pairsOf returns the pairs in the order of x, then y.
func pairsOf(x, y []float64) []pair {
	pairs := make([]pair, len(x))
	for i := range x {
		pairs[i] = pair{x[i], y[i]}
	}
	slices.SortFunc(pairs, func(a, b pair) int {
		if c := cmp.Compare(a.x, b.x); c != 0 {
			return c
		}
		return cmp.Compare(a.y, b.y)
	})
	return pairs
}

// order is what the pairs of a sample come to.
type order struct {
	all, s, xTied, yTied int
	x, y                 ties
}

// countOrder counts in n log n steps how many pairs rise and fall: what a
// merge sort by y must swap is what falls (Knight 1966, Journal of the
// American Statistical Association 61:436).
func countOrder(pairs []pair) order {
	n := len(pairs)
	k := order{all: n * (n - 1) / 2}
	ys, both := make([]float64, n), 0
	for i, p := range pairs {
		ys[i] = p.y
	}
	k.x = tiesOf(n, func(i, j int) bool { return pairs[i].x == pairs[j].x })
	both = tiesOf(n, func(i, j int) bool { return pairs[i] == pairs[j] }).pairs()
	falls := sortCounting(ys, make([]float64, n))
	k.y = tiesOf(n, func(i, j int) bool { return ys[i] == ys[j] })
	k.xTied, k.yTied = k.x.pairs(), k.y.pairs()
	k.s = k.all - k.xTied - k.yTied + both - 2*falls
	return k
}

// variance is Kendall's of S, for n values with these ties.
func (k order) variance(n float64) float64 {
	v := (n*(n-1)*(2*n+5) - k.x.third - k.y.third) / 18
	v += k.x.first * k.y.first / (2 * n * (n - 1))
	if n > 2 {
		v += k.x.second * k.y.second / (9 * n * (n - 1) * (n - 2))
	}
	return v
}

// ties are sums over groups of t equal values.
type ties struct {
	first  float64 // of t(t-1)
	second float64 // of t(t-1)(t-2)
	third  float64 // of t(t-1)(2t+5)
}

func (t ties) pairs() int { return int(t.first) / 2 }

// tiesOf sums over the groups of neighbours, of n sorted values, that are the
// same.
func tiesOf(n int, same func(i, j int) bool) ties {
	var sum ties
	for i := 0; i < n; {
		j := i + 1
		for j < n && same(i, j) {
			j++
		}
		t := float64(j - i)
		sum.first += t * (t - 1)
		sum.second += t * (t - 1) * (t - 2)
		sum.third += t * (t - 1) * (2*t + 5)
		i = j
	}
	return sum
}

// sortCounting sorts xs and returns how many pairs stood in falling order.
func sortCounting(xs, spare []float64) int {
	if len(xs) < 2 {
		return 0
	}
	half := len(xs) / 2
	left, right := xs[:half], xs[half:]
	falls := sortCounting(left, spare) + sortCounting(right, spare)
	merged := spare[:0]
	for len(left) > 0 && len(right) > 0 {
		if right[0] < left[0] {
			falls += len(left)
			merged, right = append(merged, right[0]), right[1:]
		} else {
			merged, left = append(merged, left[0]), left[1:]
		}
	}
	merged = append(append(merged, left...), right...)
	copy(xs, merged)
	return falls
}

// exactKendall returns how often n values in random order have as few pairs in
// the rarer direction as fewer, either way. It builds up the shares of all
// orders by their number of falling pairs, one value at a time.
func exactKendall(n, fewer int) float64 {
	shares := []float64{1}
	for size := 2; size <= n; size++ {
		next, sum := make([]float64, size*(size-1)/2+1), 0.0
		for k := range next {
			if k < len(shares) {
				sum += shares[k]
			}
			if k >= size {
				sum -= shares[k-size]
			}
			next[k] = sum / float64(size)
		}
		shares = next
	}
	tail := 0.0
	for _, share := range shares[:fewer+1] {
		tail += share
	}
	return min(1, 2*tail)
}

func abs(n int) int { return max(n, -n) }
