package drift

import (
	"math"

	"barline/brew/drift/stat"
)

// Against returns where two sets of brews are apart: two persons, two weeks,
// two versions. Each beat of a's newest version that b has too is compared by
// its slip, with a rank test, and what comes out is corrected for the number
// of beats as Findings does. By of a finding is how much later a is; Names are
// what the sentences call the two, 'Mo' and 'Ada', 'March' and 'April'.
func Against(a, b Set, names [2]string) Page {
	l := newLook()
	l.brews = a.Len() + b.Len()
	for _, n := range a.columns() {
		c := a.record.columns[n]
		if c.What != Beats {
			continue
		}
		x := a.series(n, BySlip)
		y, ok := b.Series(Beats, c.Key, BySlip)
		if !ok || !y.Column.Joins(c) {
			continue
		}
		set := Compare(x, y)
		if set.Withheld != "" || x.echoes() || y.echoes() {
			continue
		}
		l.ask(set.P, func() (Finding, bool) {
			f := x.about(ClaimApart, "")
			f.By, f.In, f.K, f.N, f.names = set.Shift.By, &set.Shift.In, set.UsedA, set.UsedA+set.UsedB, names
			f.Strength = math.Abs(f.By)
			return f, true
		})
	}
	return l.page()
}

// echoes reports whether neighbours in the series resemble each other so that
// a rank test would claim too much.
func (s Series) echoes() bool {
	weeks, values := s.latest()
	rest, _ := untrended(values, stat.Kendall(weeks, values).S < 0)
	return stat.Dependent(stat.Lag1(rest), len(values))
}
