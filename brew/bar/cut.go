package bar

// endless is more than all that is weighed in a cut.
const endless = 1 << 40

// cutGraph picks the set of nodes whose weights, with the edges that lead out
// of it, sum up to the least; it does so by a greatest flow (Ford and
// Fulkerson 1956) along shortest paths.
type cutGraph struct {
	n      int
	weight []int
	edges  []cutEdge // each followed by its reverse
	out    [][]int32 // edges that leave a node
}

type cutEdge struct{ to, room int }

// newCut returns a graph of n nodes; two more are source and sink.
func newCut(n int) *cutGraph {
	return &cutGraph{n: n, weight: make([]int, n), out: make([][]int32, n+2)}
}

// weigh adds to what a node costs in the set.
func (g *cutGraph) weigh(node, by int) { g.weight[node] += by }

// edge adds what it costs to have a in the set and b not.
func (g *cutGraph) edge(a, b, cost int) {
	if cost <= 0 {
		return
	}
	g.out[a] = append(g.out[a], int32(len(g.edges)))
	g.out[b] = append(g.out[b], int32(len(g.edges)+1))
	g.edges = append(g.edges, cutEdge{b, cost}, cutEdge{a, 0})
}

// least returns the set and its sum, which is at most zero, that of the empty
// set.
func (g *cutGraph) least() (in []bool, sum int) {
	source, sink := g.n, g.n+1
	for v, w := range g.weight {
		if w < 0 {
			sum += w
			g.edge(source, v, -w)
		} else {
			g.edge(v, sink, w)
		}
	}
	for {
		by, reached := g.path(source, sink)
		if by == nil {
			return reached[:g.n], sum
		}
		sum += g.push(by, source, sink)
	}
}

// path returns the edge by which each node on a shortest way from source to
// sink is reached, nil where there is no way left, and what was reached.
func (g *cutGraph) path(source, sink int) (by []int32, reached []bool) {
	by, reached = make([]int32, g.n+2), make([]bool, g.n+2)
	queue := []int{source}
	reached[source] = true
	for len(queue) > 0 {
		v := queue[0]
		queue = queue[1:]
		for _, e := range g.out[v] {
			to := g.edges[e].to
			if g.edges[e].room == 0 || reached[to] {
				continue
			}
			reached[to], by[to] = true, e
			if to == sink {
				return by, reached
			}
			queue = append(queue, to)
		}
	}
	return nil, reached
}

// push sends as much as the way holds and returns how much that is.
func (g *cutGraph) push(by []int32, source, sink int) int {
	room := endless
	for v := sink; v != source; v = g.edges[by[v]^1].to {
		room = min(room, g.edges[by[v]].room)
	}
	for v := sink; v != source; v = g.edges[by[v]^1].to {
		g.edges[by[v]].room -= room
		g.edges[by[v]^1].room += room
	}
	return room
}
