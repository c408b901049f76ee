package bar

import "math"

// net holds what is known of the differences between moments: at(i, j) is the
// least that moment j lies behind moment i, as the longest path of what was
// required (a simple temporal network: Dechter, Meiri and Pearl 1991). Moment
// 0 is the service's zero. Row 0 is the soonest plan, in which every moment
// is as early as it can be.
type net struct {
	n int
	d []int32
}

// apartFrom is 'no known difference'; sums of two stay in range.
const unknown = math.MinInt32 / 4

func newNet(n int) net {
	w := net{n, make([]int32, n*n)}
	for i := range w.d {
		w.d[i] = unknown
	}
	for i := range n {
		w.d[i*n+i] = 0
	}
	return w
}

func (w *net) at(i, j int) int { return int(w.d[i*w.n+j]) }

// known reports whether j is known to lie behind i by anything.
func (w *net) known(i, j int) bool { return w.d[i*w.n+j] > unknown/2 }

// can reports whether j may lie at least so far behind i.
func (w *net) can(i, j, least int) bool { return w.at(j, i)+least <= 0 }

// has reports whether j is known to lie at least so far behind i.
func (w *net) has(i, j, least int) bool { return w.at(i, j) >= least }

// require asks that j lies at least so far behind i and reports whether that
// can be.
func (w *net) require(i, j, least int) bool {
	if !w.can(i, j, least) {
		return false
	}
	if w.has(i, j, least) {
		return true
	}
	n, row := w.n, w.d[j*w.n:j*w.n+w.n]
	for a := range n {
		to := w.d[a*n : a*n+n]
		if to[i] <= unknown/2 {
			continue
		}
		by := to[i] + int32(least)
		if by <= to[j] {
			continue
		}
		for b, behind := range row {
			if v := by + behind; v > to[b] && behind > unknown/2 {
				to[b] = v
			}
		}
	}
	return true
}
