package stat

import "math"

// Shift is how far one list lies above another.
type Shift struct {
	By    float64  `json:"by"` // a minus b
	In    Interval `json:"in"`
	Exact bool     `json:"exact"` // the interval's ranks were counted, not taken from the normal distribution
}

// ShiftOf returns the median of all differences a value of a makes to one of b
// (Hodges and Lehmann 1963, Annals of Mathematical Statistics 34:598), and the
// interval at the level that belongs to the rank test: exact up to 50 values
// in all without ties, else from the normal distribution. An interval that the
// values are too few for is infinite; NaN where a list is empty.
func ShiftOf(a, b []float64, level float64) Shift {
	if len(a) == 0 || len(b) == 0 {
		nan := math.NaN()
		return Shift{By: nan, In: Interval{nan, nan}}
	}
	d := differences{sorted(a), sorted(b)}
	pairs := len(a) * len(b)
	s := Shift{By: (d.nth((pairs-1)/2) + d.nth(pairs/2)) / 2, In: Interval{math.Inf(-1), math.Inf(1)}}
	var cut int
	if cut, s.Exact = rank(d.a, d.b).cutOff(level); cut > 0 {
		s.In = Interval{d.nth(cut - 1), d.nth(pairs - cut)}
	}
	return s
}

// cutOff returns which of the differences in rising order, counted from 1, is
// the interval's lower end, counting from the top its upper; below 1 there is
// none.
func (r ranking) cutOff(level float64) (cut int, exact bool) {
	if r.tied == 0 && r.few() {
		return exactCutOff(r.twice, r.na, (1-level)/2), true
	}
	return int(math.Floor(float64(r.na*r.nb)/2 - sigmas(level)*r.sigma())), false
}

// exactCutOff returns how many values U has from 0 on that are together no
// more likely than the tail.
func exactCutOff(twice []int, na int, tail float64) int {
	n := len(twice)
	ways := waysToSum(twice, na, n*(n+1))
	all, sum := 0.0, 0.0
	for _, w := range ways {
		all += w
	}
	least := na * (na + 1) // twice the smallest sum of ranks
	cut := 0
	for ; sum+ways[least+2*cut] <= tail*all; cut++ {
		sum += ways[least+2*cut]
	}
	return cut
}

// differences are those between all values of two sorted lists.
type differences struct{ a, b []float64 }

// nth returns the difference of the given rank, counted from 0 in rising
// order. It halves the range of all float64 until one is left, counting each
// time; so it needs no room for the differences, and is exact.
func (d differences) nth(k int) float64 {
	low := ordinal(d.a[0] - d.b[len(d.b)-1])
	high := ordinal(d.a[len(d.a)-1] - d.b[0])
	for low < high {
		middle := low + int64(uint64(high-low)/2)
		if d.upTo(fromOrdinal(middle)) > k {
			high = middle
		} else {
			low = middle + 1
		}
	}
	return fromOrdinal(low)
}

// upTo counts the differences up to x.
func (d differences) upTo(x float64) int {
	count, j := 0, 0
	for _, a := range d.a { // the larger a is, the larger b must be
		for j < len(d.b) && a-d.b[j] > x {
			j++
		}
		count += len(d.b) - j
	}
	return count
}

// ordinal numbers the float64 in rising order.
func ordinal(x float64) int64 {
	bits := int64(math.Float64bits(x))
	if bits < 0 {
		return math.MinInt64 - bits
	}
	return bits
}

func fromOrdinal(n int64) float64 {
	if n < 0 {
		n = math.MinInt64 - n
	}
	return math.Float64frombits(uint64(n))
}
