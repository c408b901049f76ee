package bar

// Slack is how long an act may wait beyond its planned start, all else keeping
// its order of work, in ticks.
type Slack struct {
	May  int // until some window is left, or the horizon reached
	Free int // until some cup is ready later than planned
}

// Slacks returns the slack of every act of a plan, by order and act; zero for
// what is fixed. A plan that is not sound has none.
func (p *Problem) Slacks(pl Plan) [][]Slack {
	out := make([][]Slack, len(p.Orders))
	for j := range out {
		out[j] = make([]Slack, len(p.pattern(j).Acts))
	}
	m := newMoments(p)
	w, can := m.lay()
	if !can || len(p.Check(pl)) > 0 || !m.keepOrder(&w, pl) {
		return out
	}
	m.each(func(j, a int, at spot) { out[j][a].May = -w.at(at.at, 0) + at.off - pl.Starts[j][a] })
	if m.keepReady(&w, pl) {
		m.each(func(j, a int, at spot) { out[j][a].Free = -w.at(at.at, 0) + at.off - pl.Starts[j][a] })
	}
	return out
}

// each visits the acts that are not fixed.
func (m *moments) each(do func(j, a int, at spot)) {
	for j, acts := range m.acts {
		for a, at := range acts {
			if _, is := m.p.Orders[j].fixed(a); !is {
				do(j, a, at)
			}
		}
	}
}

// A plan takes another's place only for a gain that people notice, and only
// where it leaves what comes next alone; common practice, no source.
const (
	Gain = 5  // ticks of waiting, summed
	Calm = 20 // ticks from now
)

// Worth reports whether a new plan should take an old one's place at a tick:
// it has the orders wait at least Gain less, or everything ends so much
// earlier with no more waiting, and nothing changes for Calm ticks.
func (p *Problem) Worth(old, new Plan, now int) bool {
	a, b := p.Value(old), p.Value(new)
	if a.Wait-b.Wait < Gain && (b.Wait > a.Wait || a.End-b.End < Gain) {
		return false
	}
	for j := range old.Starts {
		for k, at := range old.Starts[j] {
			if to := new.Starts[j][k]; at != to && min(at, to) < now+Calm {
				return false
			}
		}
	}
	return true
}
