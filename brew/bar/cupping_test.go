package bar_test

import (
	"testing"

	"barline/brew/bar"
)

// A cupping table is one bowl's recipe many times over; linked, every pass
// goes in the order of pouring, and for one person the table ends when the
// tasting of all bowls must: 540 + 12 n ticks.
func TestACuppingTableGoesInTheOrderOfPouring(t *testing.T) {
	for n, name := range map[int]string{3: "cup-n03", 5: "cup-n05", 8: "cup-n08"} {
		p := load(t, name)
		for j := 1; j < n; j++ {
			for a := range p.Patterns[0].Acts {
				p.Links = append(p.Links, bar.Link{From: j - 1, FromAct: a, To: j, ToAct: a})
			}
		}
		pl, any := best(p)
		if !any {
			t.Fatal(name, "has no plan")
		}
		sound(t, p, pl)
		if end := p.Value(pl).End; end != 540+12*n {
			t.Errorf("%s ends at %d, want %d", name, end, 540+12*n)
		}
		for j := 1; j < n; j++ {
			for a := range pl.Starts[j] {
				if pl.Starts[j][a] < pl.Starts[j-1][a] {
					t.Errorf("%s: act %d of bowl %d comes before that of bowl %d", name, a, j, j-1)
				}
			}
		}
	}
}
