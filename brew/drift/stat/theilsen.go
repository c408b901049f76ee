package stat

import (
	"math"
	"math/rand/v2"
)

// Line is a straight line through values against time that a few wild ones
// cannot bend.
type Line struct {
	Slope     float64  `json:"slope"` // unit of y per unit of x
	In        Interval `json:"in"`    // of the slope
	Intercept float64  `json:"intercept"`
	Pairs     int      `json:"pairs"` // of values that the slope is the median of
}

// TheilSen returns the line whose slope is the median of the slopes between
// all pairs of values (Theil 1950; Sen 1968, Journal of the American
// Statistical Association 63:1379), with an interval at the level from
// Kendall's variance, and which runs through the medians of x and y (Conover
// 1980). Pairs with the same x have no slope and are left out; NaN where none
// is left. An interval that the values are too few for is infinite. The order
// in which the pairs come does not matter.
//
// The work grows with the square of the number of values: 2,000 are two
// million slopes.
func TheilSen(x, y []float64, level float64) Line {
	pairs := pairsOf(x, y)
	k := countOrder(pairs)
	count := k.all - k.xTied
	nan := math.NaN()
	l := Line{nan, Interval{nan, nan}, nan, count}
	if count == 0 {
		return l
	}
	half := sigmas(level) * math.Sqrt(k.variance(float64(len(pairs))))
	low := int(math.Floor((float64(count)-half)/2)) - 1 // ranks count from 0 here
	want := slopesAt(pairs, count, max(low, 0), (count-1)/2, count/2, min(count-1-low, count-1))
	l.Slope, l.In = (want[1]+want[2])/2, Interval{want[0], want[3]}
	if low < 0 {
		l.In = Interval{math.Inf(-1), math.Inf(1)}
	}
	xs, ys := make([]float64, len(pairs)), make([]float64, len(pairs))
	for i, p := range pairs {
		xs[i], ys[i] = p.x, p.y
	}
	l.Intercept = Median(ys) - l.Slope*Median(xs)
	return l
}

// slopesAt returns the slopes of the four ascending ranks, counted from 0.
func slopesAt(pairs []pair, count int, ranks ...int) [4]float64 {
	from, to := bracket(pairs, count, ranks[0], ranks[3])
	below, kept := slopesWithin(pairs, from, to)
	if ranks[0] < below || ranks[3] >= below+len(kept) { // the bracket missed
		below, kept = slopesWithin(pairs, -math.MaxFloat64, math.MaxFloat64)
	}
	var out [4]float64
	for i, r := range ranks {
		out[i] = nth(kept, r-below)
	}
	return out
}

// sampled is how many slopes are drawn to guess where the wanted ones lie.
const sampled = 4096

// bracket returns two slopes between which those of the ranks almost surely
// lie, from a random sample of all, always drawn alike. It only saves work:
// what it misses is looked for everywhere. Few slopes need none.
func bracket(pairs []pair, count, low, high int) (from, to float64) {
	from, to = -math.MaxFloat64, math.MaxFloat64
	if count < 8*sampled {
		return from, to
	}
	draw := rand.New(rand.NewPCG(1, 2))
	slopes := make([]float64, 0, sampled)
	for range 2 * sampled { // where many share an x, fewer come together
		a, b := pairs[draw.IntN(len(pairs))], pairs[draw.IntN(len(pairs))]
		if a.x != b.x && len(slopes) < sampled {
			slopes = append(slopes, (b.y-a.y)/(b.x-a.x))
		}
	}
	size := float64(len(slopes))
	margin := int(2.5 * math.Sqrt(size)) // five sigma of a rank in the sample
	at := func(rank int) int { return int(size * float64(rank) / float64(count)) }
	if k := at(low) - margin; k >= 0 {
		from = nth(slopes, k)
	}
	if k := at(high) + margin; k < len(slopes) {
		to = nth(slopes, k)
	}
	return from, to
}

// slopesWithin returns how many slopes lie below from, and those from there
// up to and with to. Pairs with the same x have no slope.
//
// This is where the time goes, so few slopes are divided out, and the only
// branch is one that the processor mostly guesses right.
func slopesWithin(pairs []pair, from, to float64) (below int, kept []float64) {
	kept = make([]float64, 0, len(pairs)*len(pairs)/16)
	later := 0 // the first of those with a larger x
	for _, a := range pairs {
		for later < len(pairs) && pairs[later].x == a.x {
			later++
		}
		for _, b := range pairs[later:] {
			dx, dy := b.x-a.x, b.y-a.y
			under := one(dy < from*dx)
			below += under
			if under|one(dy > to*dx) == 0 {
				kept = append(kept, dy/dx)
			}
		}
	}
	return below, kept
}

// one is 1 for true; the compiler makes no branch of it.
func one(b bool) int {
	if b {
		return 1
	}
	return 0
}
