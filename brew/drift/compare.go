package drift

import "barline/brew/drift/stat"

// Comparison sets the values of two series of the same column against each
// other: two persons, two weeks, two versions.
type Comparison struct {
	UsedA int `json:"used_a"` // the latest 2,000 of a at most
	UsedB int `json:"used_b"`
	// Ranks is Wilcoxon's rank test, exact up to 50 values in all; Shift is
	// Hodges and Lehmann's, how far a lies above b, in the series' unit.
	Ranks stat.Ranks `json:"ranks"`
	Shift stat.Shift `json:"shift"`
	// P is how often chance alone sets them as far apart: that of the ranks, but
	// allowing for as much resemblance between neighbours as neither rules out.
	P        float64 `json:"p"`
	Withheld Reason  `json:"withheld"`
}

// Compare compares a with b. It is for the caller to see that both measure the
// same; Joins says whether two columns do.
func Compare(a, b Series) Comparison {
	for _, t := range []Tally{a.Tally, b.Tally} {
		if why := leastCompare.withheld(t); why != "" {
			return Comparison{Withheld: why}
		}
	}
	x, y := a.Values[max(0, len(a.Values)-Latest):], b.Values[max(0, len(b.Values)-Latest):]
	c := Comparison{UsedA: len(x), UsedB: len(y), Ranks: stat.RankTest(x, y), Shift: stat.ShiftOf(x, y, confidence)}
	c.P = stat.Echoing(c.Ranks.P, max(a.echo(x, 1), b.echo(y, 1)))
	return c
}
