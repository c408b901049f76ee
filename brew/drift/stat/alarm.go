package stat

import "math"

// Alarms says how often a chart cries wolf when nothing has changed: the
// points judged come from the same distribution as the baseline did, each
// independent of the others. Limits estimated from few values are sometimes
// too narrow by chance, so the rates are higher than tables for known limits
// say.
type Alarms struct {
	Baseline int // values that the limits or the centre come from, at least 2
	Points   int // that are judged
}

// Outside returns how often one point or more of normal values lies more than
// the given number of sigma from the centre of LimitsOf, both sides together.
//
// The centre is off by a normal error of sigma/√n. The error of a sigma from
// moving ranges is taken as that of a chi distribution with the same mean and
// variance, as Patnaik did for ranges (1950, Biometrika 37:78); the variance is
// exact. The two errors are independent of each other (Basu 1955). The result
// is their mean over both.
func (a Alarms) Outside(sigmas float64) float64 {
	if a.Points < 1 || a.Baseline < 2 || math.IsNaN(sigmas) {
		return math.NaN()
	}
	spread := spreadOf(a.Baseline)
	centre := normalNodes(1 / math.Sqrt(float64(a.Baseline)))
	sum, all := 0.0, 0.0
	for _, s := range spread {
		for _, c := range centre {
			out := below(-(s.at*sigmas + c.at)) + below(-(s.at*sigmas - c.at))
			weight := s.weight * c.weight
			all += weight
			sum += weight * -math.Expm1(float64(a.Points)*math.Log1p(-out))
		}
	}
	return sum / all
}

// OneSide returns how often a run of the given length or more lies on one
// side of the baseline's median, whatever the distribution: the share that
// lies above that median is itself a chance, and beta distributed (David and
// Nagaraja 2003, Order Statistics, 2.3). For an even baseline it is very
// nearly so.
func (a Alarms) OneSide(length int) float64 {
	switch {
	case a.Points < 1 || a.Baseline < 2:
		return math.NaN()
	case length > a.Points:
		return 0
	case length <= 1:
		return 1
	}
	// Above and below are alike, so half of the shares will do; they reach ten
	// sigma from the middle.
	const steps = 128
	width := min(0.5, 5/math.Sqrt(float64(a.Baseline)))
	sum, all := 0.0, 0.0
	for i := range steps {
		share := 0.5 + width*(float64(i)+0.5)/steps
		weight := math.Pow(4*share*(1-share), float64(a.Baseline-1)/2)
		all += weight
		sum += weight * longRun(share, a.Points, length)
	}
	return sum / all
}

// longRun returns how often n tosses of a coin that shows heads with the given
// share hold a run of the length or more, of heads or of tails.
//
// h is the probability that tosses up to now hold no such run and end in
// heads. They end in a run of 1 to length-1 heads behind a toss of tails, so h
// is a sum over t of earlier tosses, kept up by adding one term and dropping
// one; likewise t.
func longRun(share float64, n, length int) float64 {
	p, q := share, 1-share
	pAll, qAll := math.Pow(p, float64(length)), math.Pow(q, float64(length))
	hs, ts := make([]float64, length), make([]float64, length) // of the latest tosses, in a ring
	hs[0], ts[0] = 1, 1                                        // before the first toss either may begin
	h, t, before := 0.0, 0.0, 1.0
	for toss := 1; toss <= n; toss++ {
		now, last := toss%length, (toss-1)%length
		h, t = p*(h+ts[last])-pAll*ts[now], q*(t+hs[last])-qAll*hs[now]
		hs[now], ts[now] = h, t
		if toss > 8*length { // by now every toss costs the same share
			return max(0, 1-(h+t)*math.Pow(min(1, (h+t)/before), float64(n-toss)))
		}
		before = h + t
	}
	return max(0, 1-(h+t))
}

// node is a place and its weight in a numerical integral.
type node struct{ at, weight float64 }

// normalNodes are those of a normal distribution about 0.
func normalNodes(sd float64) []node {
	var out [33]node
	for i := range out {
		z := float64(i-len(out)/2) * 0.375
		out[i] = node{z * sd, math.Exp(-z * z / 2)}
	}
	return out[:]
}

// spreadOf returns the nodes of a sigma that was estimated from the moving
// ranges of n values, over the true one. They reach eight sigma of its own.
func spreadOf(n int) []node {
	variance := rangeVariance(n)
	df, mean := chiLike(variance)
	from, to := max(0, 1-8*math.Sqrt(variance)), 1+8*math.Sqrt(variance)
	var out [64]node
	for i := range out {
		at := from + (to-from)*(float64(i)+0.5)/float64(len(out))
		out[i] = node{at, math.Exp((df-1)*math.Log(at) - mean*mean*(at*at-1)/2)}
	}
	return out[:]
}

// rangeVariance returns the variance of the mean of the n-1 moving ranges of n
// normal values, over the square of its mean. Neighbouring ranges share a
// value, so they vary together: for normal differences with correlation -1/2
// the mean product of their sizes is 4/π (√3/2 + π/12) (Nabeya 1951).
func rangeVariance(n int) float64 {
	one := 2 - 4/math.Pi
	shared := 4 / math.Pi * (math.Sqrt(3)/2 + math.Pi/12 - 1)
	ranges := float64(n - 1)
	return (ranges*one + 2*(ranges-1)*shared) / (ranges * ranges) / (d2 * d2)
}

// chiLike returns the degrees of freedom of the chi distribution whose
// variance over its squared mean is the given one, and its mean.
func chiLike(variance float64) (df, mean float64) {
	low, high := 0.1, 1e9
	for range 100 {
		df = math.Sqrt(low * high)
		mean = chiMean(df)
		if df/(mean*mean)-1 > variance {
			low = df
		} else {
			high = df
		}
	}
	return df, mean
}

func chiMean(df float64) float64 {
	a, _ := math.Lgamma((df + 1) / 2)
	b, _ := math.Lgamma(df / 2)
	return math.Sqrt2 * math.Exp(a-b)
}
