package bar_test

import (
	"testing"

	"barline/brew/bar"
)

// Every act that needs hands has somebody, and nobody does two at once.
func TestEveryActHasSomebody(t *testing.T) {
	for _, people := range []int{1, 2, 3} {
		p := rush(t, people)
		pl := planned(t, p, nil, 300)
		who := p.Deal(pl, bar.Hands)
		changes, busy := 0, map[[2]int]bool{}
		for j, o := range p.Orders {
			last := -1
			for a, act := range p.Patterns[o.Pattern].Acts {
				w := who[j][a]
				if len(act.Uses) > 0 && (w < 0 || w >= people) {
					t.Fatalf("%d people: act %d of order %d is done by %d", people, a, j, w)
				}
				for at := pl.Starts[j][a]; at < pl.Starts[j][a]+act.Length; at++ {
					if busy[[2]int{w, at}] {
						t.Fatalf("%d people: %d does two things in tick %d", people, w, at)
					}
					busy[[2]int{w, at}] = true
				}
				if last >= 0 && w != last {
					changes++
				}
				last = w
			}
		}
		if people == 2 && changes > 40 {
			t.Errorf("%d brews changed hands %d times", len(p.Orders), changes)
		}
	}
}
