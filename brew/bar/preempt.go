package bar

import "slices"

// job is a brew as a single resource sees it: work that may begin at head,
// and a tail that follows when all of it is done.
type job struct {
	head, work, tail int
	left             int
}

// machine is a resource as one fast worker: free[t] is how many units of it
// are free ahead of tick t; behind the last tick of free there are rate more
// with every tick.
type machine struct {
	free []int32
	rate int
	jobs []job
}

// known returns the last tick of free, and how many units are free ahead of it.
func (m *machine) known() (tick, units int) {
	if len(m.free) == 0 {
		return 0, 0
	}
	tick = len(m.free) - 1
	return tick, int(m.free[tick])
}

// units returns how many units are free ahead of a tick.
func (m *machine) units(t int) int {
	tick, units := m.known()
	if t >= tick {
		return units + m.rate*(t-tick)
	}
	return int(m.free[t])
}

// at returns the first tick by which so many units were free.
func (m *machine) at(units int) int {
	if tick, free := m.known(); units > free {
		return tick + (units-free+m.rate-1)/m.rate
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
// among those whose head has come. They stand in order of their heads.
func (m *machine) run(prefer func(a, b *job) bool, finish func(done int, j *job)) {
	now, over, come := 0, 0, 0 // jobs[:over] are done, the heads of jobs[:come] have come
	for {
		for come < len(m.jobs) && m.jobs[come].head <= now {
			come++
		}
		for over < come && m.jobs[over].left == 0 {
			over++
		}
		var best *job
		for i := over; i < come; i++ {
			if j := &m.jobs[i]; j.left > 0 && (best == nil || prefer(j, best)) {
				best = j
			}
		}
		switch {
		case best == nil && come == len(m.jobs):
			return
		case best == nil:
			now = m.jobs[come].head
		default:
			step := best.left
			if come < len(m.jobs) {
				step = min(step, m.jobs[come].head-now)
			}
			best.left -= step
			if now += step; best.left == 0 {
				finish(now, best)
			}
		}
	}
}
