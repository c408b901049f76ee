package bar_test

import (
	"testing"

	"barline/brew/bar"
)

// However the nodes are sliced, after as many of them the search knows the
// same; the plan never gets worse, the bound never falls, and they never pass
// each other.
func TestASearchDependsOnItsNodesAlone(t *testing.T) {
	for _, how := range []string{"rigid", "tolerance"} {
		for _, name := range []string{"A1-sum-n08", "C2-sum-n06", "B1-cmax-n07"} {
			p := read(t, name, how)
			whole, sliced := bar.SearchWith(p, bar.Everything), bar.SearchWith(p, bar.Everything)
			last, low := 1<<40, 0
			for _, n := range []int{1, 2, 30, 67, 400, 1000} {
				sliced.Advance(n)
				pl, any := sliced.Best()
				if !any {
					continue
				}
				sound(t, p, pl)
				c := sliced.Claim()
				if c.Cost > last || c.Bound < low || c.Bound > c.Cost {
					t.Errorf("%s %s: cost %d after %d, bound %d after %d", name, how, c.Cost, last, c.Bound, low)
				}
				last, low = c.Cost, c.Bound
			}
			whole.Advance(1500)
			a, _ := whole.Best()
			b, _ := sliced.Best()
			if !a.Equal(b) || whole.Claim() != sliced.Claim() || whole.Nodes() != sliced.Nodes() {
				t.Errorf("%s %s: %+v in one go, %+v in slices", name, how, whole.Claim(), sliced.Claim())
			}
		}
	}
}

// The first node already has a plan: that of the orders as they came.
func TestThereIsAPlanAtOnce(t *testing.T) {
	p := read(t, "A1-sum-n12", "tolerance")
	p.Goal, p.Passing = bar.WaitThenEnd, 1
	s, err := bar.NewSearch(p, nil)
	if err != nil {
		t.Fatal(err)
	}
	s.Advance(1)
	pl, any := s.Best()
	if !any {
		t.Fatal("no plan after one node")
	}
	sound(t, p, pl)
}

func TestAClaimSaysNoMoreThanItKnows(t *testing.T) {
	for want, c := range map[string]bar.Claim{
		"proven best":                   {Proven: true, Cost: 7, Bound: 7},
		"at most 10 % above the bound":  {Cost: 110, Bound: 100},
		"at most 11 % above the bound":  {Cost: 1101, Bound: 1000},
		"at most 0 % above the bound":   {Cost: 100, Bound: 100},
		"at most 100 % above the bound": {Cost: 2, Bound: 1},
		"":                              {Cost: 12},
	} {
		if got := c.String(); got != want {
			t.Errorf("%+v: %q, want %q", c, got, want)
		}
	}
}

func TestAnImpossibleProblemHasNoPlan(t *testing.T) {
	p := load(t, "A1-sum-n03")
	p.Horizon = 300
	for _, p := range []*bar.Problem{p, p.Rigid()} {
		s := bar.SearchWith(p, bar.Everything)
		for s.Advance(100) {
		}
		if _, any := s.Best(); any || s.Claim() != (bar.Claim{}) {
			t.Errorf("a plan within 300 ticks: %+v", s.Claim())
		}
	}
}

func TestAFaultyProblemIsRefused(t *testing.T) {
	for want, spoil := range map[string]func(p *bar.Problem){
		"brewer: capacity 0, at least 1 is needed":                          func(p *bar.Problem) { p.Resources[1].Capacity = 0 },
		"horizon -1 is outside 0 to 100000":                                 func(p *bar.Problem) { p.Horizon = -1 },
		"order 2: pattern 9 of 4":                                           func(p *bar.Problem) { p.Orders[1].Pattern = 9 },
		"order 3: placed at 1, before zero or the one above it":             func(p *bar.Problem) { p.Orders[2].Placed = 1 },
		"cone: swirl: length 3, window -0 +-1: none may be negative":        func(p *bar.Problem) { p.Patterns[1].Acts[3].Late = -1 },
		"press: grind uses resource 3 of 3":                                 func(p *bar.Problem) { p.Patterns[0].Acts[0].Uses = []int{3} },
		"press: rinse stands behind act 1, which is not above it":           func(p *bar.Problem) { p.Patterns[0].Acts[1].Behind = []int{1} },
		"press: 10 acts of which number 10 makes it ready":                  func(p *bar.Problem) { p.Patterns[0].Done = 10 },
		"press: hold {Resource:1 From:3 To:2} names no resource or no acts": func(p *bar.Problem) { p.Patterns[0].Holds = []bar.Hold{{Resource: 1, From: 3, To: 2}} },
		"order 1: fixed act {Act:0 Start:5 End:4} cannot be":                func(p *bar.Problem) { p.Orders[0].Fixed = []bar.Fixed{{Act: 0, Start: 5, End: 4}} },
		"link {From:0 FromAct:0 To:0 ToAct:99 Least:0} names no act":        func(p *bar.Problem) { p.Links = []bar.Link{{ToAct: 99}} },
	} {
		p := load(t, "A1-sum-n03")
		spoil(p)
		if _, err := bar.NewSearch(p, nil); err == nil || err.Error() != want {
			t.Errorf("%v, want %s", err, want)
		}
	}
}

// Too many orders for a proof still get a good plan: after three thousand
// nodes at most an eighth above the best known.
func TestTwelveOrdersGetAGoodPlan(t *testing.T) {
	for name, known := range bestKnown {
		p := load(t, name)
		s := bar.SearchWith(p, bar.Everything)
		s.Advance(3000)
		pl, any := s.Best()
		if !any {
			t.Fatal(name, "has no plan")
		}
		sound(t, p, pl)
		if got := cost(p, pl); 8*got > 9*known {
			t.Errorf("%s: %d, the best known is %d", name, got, known)
		}
	}
}
