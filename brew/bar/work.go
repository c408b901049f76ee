package bar

// worked bounds the branch by the work of each resource and reports whether
// it may still hold something better.
func (s *elastic) worked(f *elasticFrame) bool {
	for r, res := range s.p.Resources {
		sum, end := s.workedByOrder(f, r, res.Capacity)
		if s.p.Goal == End && s.ends {
			end = max(end, s.workedByAct(f, r, res.Capacity))
		}
		f.bound = max(f.bound, s.price(sum, end))
		if f.bound >= s.limit {
			return false
		}
	}
	return true
}

// workedByOrder takes each order for a job: its uses of the resource that
// must end before its term does.
func (s *elastic) workedByOrder(f *elasticFrame, resource, capacity int) (sum, end int) {
	m, w := &s.mach, &f.net
	m.jobs, m.rate = m.jobs[:0], capacity
	at := 0
	for j, t := range s.terms {
		soon := w.at(0, t.at.at) + t.at.off
		head, work, tail := worst, 0, worst
		for ; at < len(s.m.spans) && s.m.spans[at].order == j; at++ {
			sp := s.m.spans[at]
			behind := w.at(sp.to.at, t.at.at) + t.at.off - sp.to.off
			if sp.resource != resource || behind < 0 {
				continue
			}
			head, tail = min(head, f.from(sp)), min(tail, behind)
			work += w.at(sp.from.at, sp.to.at) + sp.to.off - sp.from.off
		}
		if work == 0 {
			sum, end = sum+soon, max(end, soon)
			continue
		}
		m.jobs = append(m.jobs, job{head: head, work: work, tail: tail})
	}
	if len(m.jobs) < 2 {
		return 0, 0
	}
	moreSum, moreEnd := m.bound()
	return sum + moreSum, max(end, moreEnd)
}

// workedByAct takes each use for a job of its own, with the least that must
// follow it before the last cup is ready.
func (s *elastic) workedByAct(f *elasticFrame, resource, capacity int) int {
	m, w := &s.mach, &f.net
	m.jobs, m.rate = m.jobs[:0], capacity
	for _, sp := range s.m.spans {
		if sp.resource != resource {
			continue
		}
		tail := -1
		for _, t := range s.terms {
			if w.known(sp.to.at, t.at.at) {
				tail = max(tail, w.at(sp.to.at, t.at.at)+t.at.off-sp.to.off)
			}
		}
		if tail >= 0 {
			m.jobs = append(m.jobs, job{head: f.from(sp), work: w.at(sp.from.at, sp.to.at) + sp.to.off - sp.from.off, tail: tail})
		}
	}
	if len(m.jobs) < 2 {
		return 0
	}
	_, end := m.bound()
	return end
}
