package drift

import (
	"slices"

	"barline/brew/drift/stat"
)

// Brews hang on each other: who was late is still behind, a busy hour is busy
// for all. Tests that take values for independent then claim too much. So what
// is claimed goes by a p-value that allows for as much resemblance between
// neighbours as the brews do not rule out (stat.Echoing). Where resemblance is
// plain, trends and comparisons are refused outright.

// echo returns how far a brew may resemble the one before, given what is left of
// the latest values when so many levels were taken out: the one before in the
// bar's order or, if that is more, in the order of whoever brewed it.
func (s Series) echo(rest []float64, levels int) float64 {
	r := stat.Resemblance(rest, levels)
	if s.ofBed() {
		return r
	}
	persons := make([]int, len(rest))
	for i, n := range s.Brews[len(s.Brews)-len(rest):] {
		persons[i] = int(s.record.brews[n].person)
	}
	return max(r, byPerson(rest, persons, levels, len(s.record.persons.list)))
}

// byPerson is Resemblance with each person's values behind each other, less what
// is usual for that person.
func byPerson(rest []float64, persons []int, levels, n int) float64 {
	by := make([][]float64, n)
	for i, x := range centred(rest, persons, n) {
		by[persons[i]] = append(by[persons[i]], x)
	}
	for _, own := range by {
		if len(own) > 0 {
			levels++
		}
	}
	return stat.Resemblance(slices.Concat(by...), levels-1)
}

// steps returns how many equal stretches a curve of stat.Monotone has.
func steps(curve []float64) int {
	return len(slices.Compact(slices.Clone(curve)))
}
