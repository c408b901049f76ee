package bar

import "math/rand/v2"

// polish makes plans better by changing the order in which brews are put in,
// and then the soonest that its order of work allows. It draws from its own
// source, so that it does the same every time.
type polish struct {
	p       *Problem
	build   *insertion
	random  *rand.Rand
	order   []int // the best so far
	tried   []int
	cost    price
	started bool
	opening int // steps before the search takes turns with it
}

func newPolish(p *Problem) *polish {
	n := len(p.Orders)
	q := &polish{p: p, build: newInsertion(p), random: rand.New(rand.NewPCG(1, uint64(n))), cost: worst, opening: 1}
	for j := range n {
		q.order = append(q.order, j)
	}
	if n > 1 {
		q.opening = 20 * n
	}
	return q
}

// step tries one order and returns a plan where it is better than any before.
func (q *polish) step() (Plan, bool) {
	q.tried = append(q.tried[:0], q.order...)
	if q.started {
		q.shuffle()
	}
	q.started = true
	pl, can := q.build.build(q.tried)
	if !can {
		return Plan{}, false
	}
	cost := q.p.price(pl)
	if cost > q.cost {
		return Plan{}, false
	}
	better := cost < q.cost
	q.cost = cost
	q.order = append(q.order[:0], q.tried...)
	if !better {
		return Plan{}, false
	}
	return pl.Clone(), true
}

// shuffle takes one order out of the row and puts it in elsewhere, or lets
// two change places.
func (q *polish) shuffle() {
	n := len(q.tried)
	if n < 2 {
		return
	}
	i, k := q.random.IntN(n), q.random.IntN(n-1)
	if k >= i {
		k++
	}
	if q.random.IntN(2) == 0 {
		q.tried[i], q.tried[k] = q.tried[k], q.tried[i]
		return
	}
	j := q.tried[i]
	q.tried = append(q.tried[:i], q.tried[i+1:]...)
	q.tried = append(q.tried[:k], append([]int{j}, q.tried[k:]...)...)
}
