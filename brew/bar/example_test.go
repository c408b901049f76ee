package bar_test

import (
	"fmt"

	"barline/brew/bar"
)

// Two brews that want the hands for five ticks at their start and again ten
// ticks on: the second fits into the first one's lull.
func Example() {
	pour := bar.Act{Name: "pour", Uses: []int{bar.Hands}, Length: 5}
	press := bar.Act{Name: "press", Uses: []int{bar.Hands}, Start: 10, Length: 5, Late: 2, Behind: []int{0}}
	p := &bar.Problem{
		Resources: bar.Kit{Brewers: 2}.Resources(),
		Patterns:  []bar.Pattern{{Name: "press", Acts: []bar.Act{pour, press}, Done: 1}},
		Orders:    []bar.Order{{Name: "Ada"}, {Name: "Bo"}},
		Horizon:   600, InTurn: true, Passing: 1,
	}
	s, err := bar.NewSearch(p, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	for s.Advance(100) {
	}
	best, _ := s.Best()
	for j, o := range p.Orders {
		fmt.Println(o.Name, best.Starts[j], "ready at", p.Ready(best, j))
	}
	fmt.Println(s.Claim())
	// Output:
	// Ada [0 10] ready at 15
	// Bo [5 15] ready at 20
	// proven best
}
