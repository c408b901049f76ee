package drift

import "barline/brew/drift/stat"

// Comparison sets the values of two series of the same column against each
// other: two persons, two weeks, two versions.
type Comparison struct {
	UsedA int `json:"used_a"` // the latest 2,000 of a at most
	UsedB int `json:"used_b"`
	// Ranks is Wilcoxon's rank test, exact up to 50 values in all; Shift is
	// Hodges and Lehmann's, how far a lies above b, in the series' unit.
	Ranks    stat.Ranks `json:"ranks"`
	Shift    stat.Shift `json:"shift"`
	Withheld Reason     `json:"withheld"`
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
	return Comparison{len(x), len(y), stat.RankTest(x, y), stat.ShiftOf(x, y, confidence), ""}
}
