package bar

// Tolerance is what a round comes to if no step may begin more than Most
// ticks from its own time.
type Tolerance struct {
	Most  int // negative where the windows were left as they are
	Claim Claim
	Value Value
	Plan  Plan
	Found bool // whether there is a plan at all
}

// Within returns the problem with every step's window cut down to so many
// ticks to either side; a negative width leaves the windows as they are. What
// floats around the brew, the acts without a cue, keeps floating.
func (p *Problem) Within(most int) *Problem {
	return p.withActs(func(a *Act) {
		if most >= 0 && a.Cue >= 0 {
			a.Early, a.Late = min(a.Early, most), min(a.Late, most)
		}
	})
}

// Windows returns what the round comes to within each of the given widths: see
// Within. Each is searched for so many nodes.
func (p *Problem) Windows(most []int, nodes int) ([]Tolerance, error) {
	out := make([]Tolerance, len(most))
	for i, d := range most {
		q := p.Within(d)
		s, err := NewSearch(q, nil)
		if err != nil {
			return nil, err
		}
		s.Advance(nodes)
		out[i] = Tolerance{Most: d, Claim: s.Claim()}
		if out[i].Plan, out[i].Found = s.Best(); out[i].Found {
			out[i].Value = q.Value(out[i].Plan)
		}
	}
	return out, nil
}
