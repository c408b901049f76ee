package bar

// mayPass returns how many later orders may begin ahead of an order: as many
// as the problem says, less those that do so anyway, or as many as have already.
func (p *Problem) mayPass(j int) int {
	past := 0
	for i := j + 1; i < len(p.Orders); i++ {
		if p.Orders[i].Begun {
			past++
		}
	}
	return max(p.Passing-p.Orders[j].Passed, past, 0)
}

// keepPassing holds later orders back from an order that has been passed by
// as many as may.
func (s *elastic) keepPassing(f *elasticFrame) (changed, can bool) {
	if s.p.Passing < 0 {
		return false, true
	}
	w := &f.net
	for j, o := range s.p.Orders {
		may := s.p.mayPass(j)
		if o.Begun || may >= len(s.p.Orders)-1-j {
			continue
		}
		surely := 0
		for i := j + 1; i < len(s.m.zeros); i++ {
			if w.has(s.m.zeros[i], s.m.zeros[j], 1) {
				surely++
			}
		}
		if surely > may {
			return false, false
		}
		if surely < may {
			continue
		}
		for i := j + 1; i < len(s.m.zeros); i++ {
			if w.has(s.m.zeros[i], s.m.zeros[j], 1) || w.has(s.m.zeros[j], s.m.zeros[i], 0) {
				continue
			}
			if !w.require(s.m.zeros[j], s.m.zeros[i], 0) {
				return false, false
			}
			changed = true
		}
	}
	return changed, true
}

// branchPassing branches where an order is passed by more than may, though
// nothing is over-booked: some later one goes behind it or does not.
func (s *elastic) branchPassing(f *elasticFrame) {
	if s.p.Passing < 0 {
		return
	}
	w := &f.net
	for j, o := range s.p.Orders {
		if o.Begun {
			continue
		}
		passed, open := 0, -1
		for i := j + 1; i < len(s.m.zeros); i++ {
			if w.at(0, s.m.zeros[i]) >= w.at(0, s.m.zeros[j]) {
				continue
			}
			passed++
			if !w.has(s.m.zeros[i], s.m.zeros[j], 1) {
				open = i
			}
		}
		if passed > s.p.mayPass(j) && open >= 0 {
			behind := arc{s.m.zeros[j], s.m.zeros[open], 0}
			f.branches = append(f.branches, behind, behind.not())
			return
		}
	}
}
