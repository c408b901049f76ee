package bar

// squeeze bounds the branch by its open pairs: whichever goes first, one of
// the two orders is ready later than it would be alone. What two orders lose
// by the worst of their pairs they lose whatever else happens, so the losses
// of couples of orders that share none add up.
func (s *elastic) squeeze(f *elasticFrame) bool {
	n := len(s.terms)
	clear(s.loss)
	for _, i := range f.open {
		p := s.pairs[i]
		if p.a.order == p.b.order {
			continue
		}
		if lost := min(s.lost(f, p.a, p.b), s.lost(f, p.b, p.a)); lost > s.loss[p.a.order*n+p.b.order] {
			s.loss[p.a.order*n+p.b.order] = lost
		}
	}
	sum, end := s.due(&f.net)
	sum += s.couples(n)
	f.bound = max(f.bound, s.price(sum, end))
	return f.bound < s.limit
}

// lost returns how much later the order of b is ready if a goes first; where
// the terms are not the orders' cups, how much later b begins.
func (s *elastic) lost(f *elasticFrame, a, b span) int {
	begins := f.to(a) - b.from.off
	if !s.ends {
		return max(begins-f.net.at(0, b.from.at), 0)
	}
	t, w := s.terms[b.order], &f.net
	if !w.known(b.from.at, t.at.at) {
		return 0
	}
	return max(begins+w.at(b.from.at, t.at.at)-w.at(0, t.at.at), 0)
}

// couples sums up the losses of couples, the greatest first.
func (s *elastic) couples(n int) int {
	sum := 0
	for {
		best := 0
		for k, lost := range s.loss {
			if lost > s.loss[best] {
				best = k
			}
		}
		lost := s.loss[best]
		if lost == 0 {
			return sum
		}
		sum += lost
		a, b := best/n, best%n
		for k := range s.loss {
			if i, j := k/n, k%n; i == a || i == b || j == a || j == b {
				s.loss[k] = 0
			}
		}
	}
}
