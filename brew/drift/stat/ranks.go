package stat

import (
	"math"
	"slices"
)

// Ranks is what a rank test says of two lists.
type Ranks struct {
	NA    int     `json:"na"`
	NB    int     `json:"nb"`
	U     float64 `json:"u"`     // pairs in which a is above b; the same counts half
	Z     float64 `json:"z"`     // U in its sigmas from the middle, half a pair nearer to it
	P     float64 `json:"p"`     // how often chance alone sets them as far apart, either way
	Exact bool    `json:"exact"` // P was counted, not taken from the normal distribution
}

// exactUpTo is how many values in all are still counted exactly: the number of
// ways to choose half of them is a whole number that a float64 holds.
const exactUpTo = 50

// RankTest asks whether one of two independent lists lies above the other:
// Wilcoxon's rank-sum test (1945, Biometrics Bulletin 1:80), also known as
// Mann and Whitney's U. Up to 50 values in all P is exact, ties or not: of all
// ways to deal the same values to the two lists, the share that sets the sum
// of ranks as far from the middle (Streitberg and Röhmel 1986). Above, it is
// normal, with the variance that ties leave and a continuity correction. NaN
// where a list is empty; 1 where all values are the same.
func RankTest(a, b []float64) Ranks {
	return rank(sorted(a), sorted(b)).test()
}

func sorted(xs []float64) []float64 {
	out := slices.Clone(xs)
	slices.Sort(out)
	return out
}

// ranking is what the ranks of two lists among each other come to. Ranks are
// doubled, so that ties, which share the mean of theirs, have whole ones too.
type ranking struct {
	na, nb int
	sum    int     // of a's doubled ranks
	tied   float64 // of t³ - t over groups of t ties
	twice  []int   // all doubled ranks in rising order, where they are few
}

// rank ranks two sorted lists.
func rank(a, b []float64) ranking {
	r := ranking{na: len(a), nb: len(b)}
	for i, j := 0, 0; i < len(a) || j < len(b); {
		x := math.Inf(1)
		if i < len(a) {
			x = a[i]
		}
		if j < len(b) {
			x = min(x, b[j])
		}
		before, inA := i+j, i
		for i < len(a) && a[i] == x {
			i++
		}
		for j < len(b) && b[j] == x {
			j++
		}
		twice := before + 1 + i + j
		r.sum += (i - inA) * twice
		t := float64(i + j - before)
		r.tied += t*t*t - t
		if r.few() {
			for range i + j - before {
				r.twice = append(r.twice, twice)
			}
		}
	}
	return r
}

// few reports whether there are few enough values to count exactly.
func (r ranking) few() bool { return r.na+r.nb <= exactUpTo }

func (r ranking) test() Ranks {
	t := Ranks{NA: r.na, NB: r.nb}
	if t.NA == 0 || t.NB == 0 {
		t.U, t.Z, t.P = math.NaN(), math.NaN(), math.NaN()
		return t
	}
	na, nb := float64(r.na), float64(r.nb)
	t.U = float64(r.sum)/2 - na*(na+1)/2
	off := t.U - na*nb/2
	if off = math.Copysign(max(0, math.Abs(off)-0.5), off); off != 0 {
		t.Z = off / r.sigma()
	}
	if t.P = twoSided(t.Z); r.few() {
		t.Exact, t.P = true, exactRanks(r.twice, r.na, r.sum)
	}
	return t
}

// sigma is the standard deviation of U, with what ties leave of it.
func (r ranking) sigma() float64 {
	na, nb := float64(r.na), float64(r.nb)
	n := na + nb
	return math.Sqrt(na * nb / 12 * (n + 1 - r.tied/(n*(n-1))))
}

// exactRanks returns in which share of all ways to choose some of the ranks
// their sum is as far from the middle as the given one.
func exactRanks(twice []int, some, sum int) float64 {
	total := 0
	for _, r := range twice {
		total += r
	}
	ways := waysToSum(twice, some, total)
	middle := some * total // over len(twice), the mean sum
	far := abs(sum*len(twice) - middle)
	var as, all float64
	for s, w := range ways {
		all += w
		if abs(s*len(twice)-middle) >= far {
			as += w
		}
	}
	return as / all
}

// waysToSum returns for each sum up to the total in how many ways some of the
// ranks make it.
func waysToSum(ranks []int, some, total int) []float64 {
	ways := make([][]float64, some+1)
	for k := range ways {
		ways[k] = make([]float64, total+1)
	}
	ways[0][0] = 1
	reached := 0
	for i, r := range ranks {
		reached += r
		for k := min(some, i+1); k > 0; k-- {
			for s := r; s <= reached; s++ {
				ways[k][s] += ways[k-1][s-r]
			}
		}
	}
	return ways[some]
}
