package bar

// sequence bounds what a set of brews still costs, from how closely one
// pattern's zero can follow another's: whatever the order, each begins at
// least that much behind the one before it. It is solved once for every
// multiset of patterns that can remain.
type sequence struct {
	least   [][]int // least[a][b]: ticks from a zero of a to one of b behind it
	ready   []int   // from zero to ready
	stride  []int   // of each pattern's count in the state number
	sums    []int   // best sum of ready times, counted from the last zero
	ends    []int   // best latest ready time, counted likewise
	types   int
	skipped bool // too many states
}

const mostStates = 1 << 17

func newSequence(least [][]int, ready, counts []int) *sequence {
	q := &sequence{least: least, ready: ready, types: len(counts), stride: make([]int, len(counts))}
	states := 1
	for t, n := range counts {
		q.stride[t] = states
		if states *= n + 1; states*len(counts) > mostStates {
			q.skipped = true
			return q
		}
	}
	q.sums, q.ends = make([]int, states*q.types), make([]int, states*q.types)
	left := make([]int, q.types)
	for state := range states {
		rest, total := state, 0
		for t := range counts {
			left[t] = rest % (counts[t] + 1)
			rest /= counts[t] + 1
			total += left[t]
		}
		for last := range q.types {
			q.solve(state, total, last, left)
		}
	}
	return q
}

// solve fills one state: what is left behind a brew of pattern last.
func (q *sequence) solve(state, total, last int, left []int) {
	if total == 0 {
		q.ends[state*q.types+last] = -MostHorizon // nothing comes after
		return
	}
	sum, end := worst, worst
	for t := range q.types {
		if left[t] == 0 {
			continue
		}
		behind := (state-q.stride[t])*q.types + t
		if s := q.least[last][t]*total + q.ready[t] + q.sums[behind]; s < sum {
			sum = s
		}
		if e := q.least[last][t] + max(q.ready[t], q.ends[behind]); e < end {
			end = e
		}
	}
	q.sums[state*q.types+last], q.ends[state*q.types+last] = sum, end
}

// bound returns a lower bound on the sum and on the latest of the ready times
// of what is left, where a pattern's first brew begins no sooner than
// earliest says.
func (q *sequence) bound(left, earliest []int) (sum, end int) {
	if q.skipped {
		return 0, 0
	}
	state, total := 0, 0
	for t, n := range left {
		state += n * q.stride[t]
		total += n
	}
	if total == 0 {
		return 0, 0
	}
	sum, end = worst, worst
	for t, n := range left {
		if n == 0 {
			continue
		}
		behind := (state-q.stride[t])*q.types + t
		if s := earliest[t]*total + q.ready[t] + q.sums[behind]; s < sum {
			sum = s
		}
		if e := earliest[t] + max(q.ready[t], q.ends[behind]); e < end {
			end = e
		}
	}
	return sum, end
}
