package stat

// Rule is a pattern of points on a chart that chance seldom makes.
type Rule struct {
	ID     string `json:"id"`     // N1 to N8 are Nelson's, W1 to W4 the older four
	Points int    `json:"points"` // how many make the pattern
	Words  string `json:"words"`
}

// rules are Nelson's eight (1984, Journal of Quality Technology 16:237) and
// the four of the Statistical Quality Control Handbook of 1956, whose run on
// one side is of eight points, not nine. Nelson gives each of his fewer than 5
// false alarms in 1000 points; that is with limits known exactly.
var rules = [...]Rule{
	{"N1", 1, "one point beyond three sigma"},
	{"N2", 9, "nine points in a row on one side of the centre"},
	{"N3", 6, "six points in a row steadily rising or falling"},
	{"N4", 14, "fourteen points in a row going up and down by turns"},
	{"N5", 3, "two of three points in a row beyond two sigma on the same side"},
	{"N6", 5, "four of five points in a row beyond one sigma on the same side"},
	{"N7", 15, "fifteen points in a row within one sigma of the centre"},
	{"N8", 8, "eight points in a row on both sides of the centre, none within one sigma"},
	{"W1", 1, "one point beyond three sigma"},
	{"W2", 3, "two of three points in a row beyond two sigma on the same side"},
	{"W3", 5, "four of five points in a row beyond one sigma on the same side"},
	{"W4", 8, "eight points in a row on one side of the centre"},
}

// Rules returns the rules in the order of their numbers in a RuleSet.
func Rules() []Rule { return rules[:] }

// RuleSet says which rules a point completes: bit i is rule i of Rules.
type RuleSet uint16

// Has reports whether rule i of Rules is in the set.
func (s RuleSet) Has(i int) bool { return s>>i&1 == 1 }

// Marks returns for each point the rules it completes. Points are given in
// sigma from the centre, in order. 'Beyond' and 'within' are strict, and a
// point on the centre is on neither side. A point completes a pattern only if
// it belongs to it: of two in three beyond two sigma the later one does, and a
// run goes on completing its rule as long as it lasts.
func Marks(z []float64) []RuleSet {
	out := make([]RuleSet, len(z))
	w := watch{}
	for i := range z {
		out[i] = w.next(z, i)
	}
	return out
}

// RuleCounts returns how many points complete each rule of Rules.
func RuleCounts(sets []RuleSet) []int {
	counts := make([]int, len(rules))
	for _, s := range sets {
		for i := range counts {
			counts[i] += int(s >> i & 1)
		}
	}
	return counts
}

// watch keeps how many points in a row, up to the latest, have been what.
type watch struct {
	side   int // on its side of the centre
	steady int // rising, or falling
	turns  int // going up and down by turns
	within int // within one sigma
	beyond int // not within one sigma
	single int // of these, on the same side as the latest
}

// next takes in point i and returns what it completes.
func (w *watch) next(z []float64, i int) RuleSet {
	x := z[i]
	same := i > 0 && sign(x) != 0 && sign(x) == sign(z[i-1])
	w.side = run(w.side, same, sign(x) != 0)
	step, before := direction(z, i), direction(z, i-1)
	w.steady = run(w.steady, step == before && step != 0, true)
	w.turns = run(w.turns, step == -before && step != 0, true)
	if i > 0 && step != 0 { // a step joins two points
		w.steady, w.turns = max(w.steady, 2), max(w.turns, 2)
	}
	w.within = run(w.within, true, -1 < x && x < 1)
	w.beyond = run(w.beyond, true, x < -1 || x > 1)
	w.single = run(w.single, same, w.beyond > 0)
	var s RuleSet
	for bit, done := range [...]bool{
		0: x < -3 || x > 3,
		1: w.side >= 9,
		2: w.steady >= 6,
		3: w.turns >= 14,
		4: most(z, i, 3, 2, 2),
		5: most(z, i, 5, 4, 1),
		6: w.within >= 15,
		7: w.beyond >= 8 && w.single < 8,
	} {
		if done {
			s |= 1 << bit
		}
	}
	s |= s&1<<8 | s>>4&3<<9 // three of the older four are Nelson's
	if w.side >= 8 {
		s |= 1 << 11
	}
	return s
}

// run returns how many in a row there are with this one: one more where it
// goes on, 1 where it starts anew, 0 where it does not count.
func run(before int, goesOn, counts bool) int {
	switch {
	case !counts:
		return 0
	case goesOn:
		return before + 1
	}
	return 1
}

// most reports whether point i and enough of the points before it, all in a
// row of the given number, lie beyond the sigma on its side.
func most(z []float64, i, row, enough int, sigma float64) bool {
	side, found := float64(sign(z[i])), 0
	if z[i]*side <= sigma {
		return false
	}
	for j := max(0, i-row+1); j <= i; j++ {
		if z[j]*side > sigma {
			found++
		}
	}
	return found >= enough
}

// direction is whether point i rose (1), fell (-1) or neither.
func direction(z []float64, i int) int {
	if i < 1 {
		return 0
	}
	return sign(z[i] - z[i-1])
}

func sign(x float64) int {
	switch {
	case x > 0:
		return 1
	case x < 0:
		return -1
	}
	return 0
}
