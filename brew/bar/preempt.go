package bar

import "slices"

// job is a brew as a single resource sees it: work that may begin at head,
// and a tail that follows when all of it is done.
type job struct {
	head, work, tail int
	left             int
}

// machine is a resource as one fast worker: free[t] is how many units of it
// are free ahead of tick t, or rate times t where free is nil.
type machine struct {
	free []int32
	rate int
	jobs []job
}

// units returns how many units are free ahead of a tick.
func (m *machine) units(t int) int {
	if m.free == nil {
		return m.rate * t
	}
	return int(m.free[min(t, len(m.free)-1)])
}

// at returns the first tick by which so many units were free.
func (m *machine) at(units int) int {
	if m.free == nil {
		return (units + m.rate - 1) / m.rate
	}
	i, _ := slices.BinarySearch(m.free, int32(units))
	return i
}

// bound returns lower bounds on the sum and on the latest of the jobs' ends
// with their tails. The sum is that of shortest remaining work first, which
// finishes as many jobs by every moment as can be (Schrage 1968); the latest
// is that of the longest tail first (Jackson 1955). Both take work apart into
// ticks, which no plan may.
func (m *machine) bound() (sum, end int) {
	for i := range m.jobs {
		m.jobs[i].head = m.units(m.jobs[i].head)
		m.jobs[i].left = m.jobs[i].work
	}
	slices.SortFunc(m.jobs, func(a, b job) int { return a.head - b.head })
	m.run(func(a, b *job) bool { return a.left < b.left }, func(done int, j *job) { sum += m.at(done) + j.tail })
	for i := range m.jobs {
		m.jobs[i].left = m.jobs[i].work
	}
	m.run(func(a, b *job) bool { return a.tail > b.tail }, func(done int, j *job) { end = max(end, m.at(done)+j.tail) })
	return sum, end
}

// run works through the jobs, at every moment at the one that is preferred
// among those whose head has come.
func (m *machine) run(prefer func(a, b *job) bool, finish func(done int, j *job)) {
	now := 0
	for {
		var best *job
		next := -1
		for i := range m.jobs {
			switch j := &m.jobs[i]; {
			case j.left == 0:
			case j.head > now:
				if next < 0 || j.head < next {
					next = j.head
				}
			case best == nil || prefer(j, best):
				best = j
			}
		}
		switch {
		case best == nil && next < 0:
			return
		case best == nil:
			now = next
		default:
			step := best.left
			if next >= 0 {
				step = min(step, next-now)
			}
			best.left -= step
			if now += step; best.left == 0 {
				finish(now, best)
			}
		}
	}
}
