package stat

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// Wilson returns the interval for a share of which k in n were seen, at the
// level, 0.95 for 95 %. It stays inside 0 to 1 and holds its level on average
// even for a handful (Wilson 1927, Journal of the American Statistical
// Association 22:209; no continuity correction). Nothing seen leaves 0 to 1.
func Wilson(k, n int, level float64) Interval {
	if n == 0 {
		return Interval{0, 1}
	}
	z, count := sigmas(level), float64(n)
	share := float64(k) / count
	centre := share + z*z/(2*count)
	half := z * math.Sqrt(share*(1-share)/count+z*z/(4*count*count))
	in := Interval{(centre - half) / (1 + z*z/count), (centre + half) / (1 + z*z/count)}
	if k == 0 { // what rounding left
		in.Low = 0
	}
	if k == n {
		in.High = 1
	}
	return in
}

// ClopperPearson returns the exact interval for a share of which k in n were
// seen: whatever the true share, it is missed no oftener than the level says
// (Clopper and Pearson 1934, Biometrika 26:404).
func ClopperPearson(k, n int, level float64) Interval {
	in := Interval{AtLeast(k, n, 1-(1-level)/2), 1}
	if k < n {
		in.High = mathext.InvRegIncBeta(float64(k+1), float64(n-k), 1-(1-level)/2)
	}
	return in
}

// AtLeast returns the exact one-sided lower bound for a share of which k in n
// were seen: with the confidence of the level the true share is no lower
// (Clopper and Pearson 1934). 0 where none was seen.
func AtLeast(k, n int, level float64) float64 {
	if k == 0 {
		return 0
	}
	return mathext.InvRegIncBeta(float64(k), float64(n-k+1), 1-level)
}

// ByChance returns how often k or more in n would come up if each came up with
// probability p: the upper tail of the binomial distribution.
func ByChance(k, n int, p float64) float64 {
	switch {
	case k <= 0:
		return 1
	case k > n:
		return 0
	}
	return mathext.RegIncBeta(float64(k), float64(n-k+1), p)
}
