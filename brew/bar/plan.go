package bar

// Plan says when every act of every order begins.
type Plan struct {
	Zeros  []int   // of each order, in ticks from the service's zero
	Starts [][]int // of each order's acts
}

// Clone returns a copy that shares nothing.
func (pl Plan) Clone() Plan {
	out := Plan{Zeros: append([]int(nil), pl.Zeros...), Starts: make([][]int, len(pl.Starts))}
	for i, s := range pl.Starts {
		out.Starts[i] = append([]int(nil), s...)
	}
	return out
}

// Equal reports whether two plans time everything alike.
func (pl Plan) Equal(o Plan) bool {
	if len(pl.Starts) != len(o.Starts) {
		return false
	}
	for j := range pl.Starts {
		if pl.Zeros[j] != o.Zeros[j] || len(pl.Starts[j]) != len(o.Starts[j]) {
			return false
		}
		for a := range pl.Starts[j] {
			if pl.Starts[j][a] != o.Starts[j][a] {
				return false
			}
		}
	}
	return true
}

// Ready returns when the order's cup is ready.
func (p *Problem) Ready(pl Plan, order int) int {
	done := p.pattern(order).Done
	return pl.Starts[order][done] + p.length(order, done)
}

// Value is how good a plan is; less is better.
type Value struct {
	Wait int // ticks from order to cup, summed over the orders
	End  int // when the last cup is ready
}

// Value returns how good a plan is.
func (p *Problem) Value(pl Plan) Value {
	var v Value
	for j, o := range p.Orders {
		ready := p.Ready(pl, j)
		v.Wait += ready - o.Placed
		v.End = max(v.End, ready)
	}
	return v
}

// Shift returns how far a plan's acts stand from the recipes' own times, in
// ticks, summed; what is fixed does not count.
func (p *Problem) Shift(pl Plan) int {
	sum := 0
	for j := range p.Orders {
		for a, act := range p.pattern(j).Acts {
			if _, is := p.Orders[j].fixed(a); !is {
				sum += distance(pl.Starts[j][a], pl.Zeros[j]+act.Start)
			}
		}
	}
	return sum
}

func distance(a, b int) int {
	if a < b {
		return b - a
	}
	return a - b
}

// price is a plan's worth to a goal as one number: what counts first stands
// above what counts second.
type price = int

const secondBits = 20 // more than MostHorizon needs

func (g Goal) price(sum, end int) price {
	switch g {
	case Wait:
		return sum
	case End:
		return end
	}
	return sum<<secondBits + end
}

// price returns what a plan costs: the moments its cups are ready stand for
// the waiting, from which they differ by what no plan can change.
func (p *Problem) price(pl Plan) price {
	sum, end := 0, 0
	for j := range p.Orders {
		ready := p.Ready(pl, j)
		sum += ready
		end = max(end, ready)
	}
	return p.Goal.price(sum, end)
}

// placed returns the sum of the moments of order.
func (p *Problem) placed() int {
	sum := 0
	for _, o := range p.Orders {
		sum += o.Placed
	}
	return sum
}
