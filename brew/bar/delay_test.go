package bar_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"barline/brew"
	"barline/brew/bar"
	"barline/recipes"
)

// Pour for five ticks, press for five more ten ticks on.
func pressing() bar.Pattern {
	return bar.Pattern{Name: "press", Done: 1, Holds: []bar.Hold{{Resource: bar.Brewer, From: 0, To: 1}}, Acts: []bar.Act{
		{Name: "pour", Uses: []int{bar.Hands}, Length: 5},
		{Name: "press", Uses: []int{bar.Hands}, Start: 10, Length: 5, Behind: []int{0}},
	}}
}

func TestADelayNamesWhatIsInTheWay(t *testing.T) {
	two := []bar.Order{{}, {}}
	for name, c := range map[string]struct {
		kit  bar.Kit
		want bar.Delay
	}{
		"hands":  {bar.Kit{Brewers: 2}, bar.Delay{Longer: 5, Act: 0, Resource: bar.Hands, For: bar.Need{Order: 0, Act: 0}, Until: 5}},
		"brewer": {bar.Kit{People: 2, Scales: 2}, bar.Delay{Longer: 15, Act: 0, Resource: bar.Brewer, For: bar.Need{Order: 0, Act: 0}, Until: 15}},
	} {
		p := c.kit.Round([]bar.Pattern{pressing()}, two)
		pl, _ := best(p)
		sound(t, p, pl)
		got := p.Delays(pl)
		if got[0].Longer != 0 || got[0].Act != -1 {
			t.Errorf("%s: the first order has a delay: %+v", name, got[0])
		}
		if got[1] != c.want {
			t.Errorf("%s: %+v, want %+v", name, got[1], c.want)
		}
	}
}

// Of two pairs of hands one is free: what begins together with the brew is not
// in its way.
func TestWhatBeginsTogetherIsNotInTheWay(t *testing.T) {
	p := bar.Kit{People: 2, Brewers: 3}.Round([]bar.Pattern{blocks(0, 10)}, []bar.Order{{}, {Placed: 3}, {Placed: 5}})
	pl := bar.Plan{Zeros: []int{0, 6, 6}, Starts: [][]int{{0}, {6}, {6}}}
	for j, d := range p.Delays(pl)[1:] {
		if d.Longer != pl.Zeros[j+1]-p.Orders[j+1].Placed || d.Act != -1 {
			t.Errorf("order %d: %+v, want nothing in its way", j+2, d)
		}
	}
}

// Of two that are in the way the one that is done first lets the brew begin.
func TestADelayEndsWithTheFirstThatIsFree(t *testing.T) {
	p := bar.Kit{People: 2, Brewers: 3}.Round([]bar.Pattern{blocks(0, 10), blocks(0, 30)}, []bar.Order{{Pattern: 1}, {}, {}})
	pl, _ := best(p)
	want := bar.Delay{Longer: 10, Act: 0, Resource: bar.Hands, For: bar.Need{Order: 1}, Until: 10}
	if got := p.Delays(pl)[2]; got != want {
		t.Errorf("%+v, want %+v", got, want)
	}
	p.Orders = []bar.Order{{}, {Pattern: 1}, {}}
	pl, _ = best(p)
	want.For.Order = 0
	if got := p.Delays(pl)[2]; got != want {
		t.Errorf("%+v, want %+v", got, want)
	}
}

// The delays of a round add up to what its waiting is above that of the
// orders by themselves, and what is named is in the way.
func TestDelaysAddUpToTheWaiting(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 7))
	delayed, named := 0, 0
	for range 2000 {
		p := small(r, true)
		p.Goal = bar.Wait
		pl, any := best(p)
		if !any {
			continue
		}
		sum := 0
		for j, d := range p.Delays(pl) {
			one := *p
			one.Orders = []bar.Order{{Pattern: p.Orders[j].Pattern}}
			one.Horizon = 100
			solo, _ := best(&one)
			sum += one.Value(solo).Wait + d.Longer
			if d.Longer > 0 {
				delayed++
			}
			if d.Act >= 0 {
				named++
				if d.For.Order == j || d.Until < pl.Starts[j][d.Act] {
					t.Errorf("order %d: %+v", j, d)
				}
			}
		}
		if w := p.Value(pl).Wait; w != sum {
			t.Errorf("waiting %d, by themselves and with delays %d", w, sum)
		}
	}
	if delayed < 500 || named < delayed/2 {
		t.Errorf("%d delays, %d of them named", delayed, named)
	}
}

// What is surely in the way leaves no plan, and where there is none, something
// is in the way.
func TestAConflictIsInTheWayOfEveryPlan(t *testing.T) {
	r := rand.New(rand.NewPCG(12, 7))
	sure, none := 0, 0
	for range 3000 {
		p := small(r, true)
		p.Passing = -1
		p.Horizon -= r.IntN(6)
		if r.IntN(2) == 0 { // tied to one another, so that they can clash
			d := r.IntN(4)
			p.Links = []bar.Link{{From: 0, FromAct: 0, To: 1, ToAct: 0, Least: d}, {From: 1, FromAct: 0, To: 0, ToAct: 0, Least: -d}}
		}
		_, any := bruteForce(p)
		c, found := p.Conflict()
		if !any {
			none++
		}
		switch {
		case found && c.Sure && any:
			t.Fatalf("%+v is in the way, but there is a plan\n%+v", c, p)
		case !any && !found:
			t.Fatalf("nothing is in the way, but there is no plan\n%+v", p)
		case found && c.Sure:
			sure++
		}
		if found && c.Resource >= 0 && len(c.Needs) <= p.Resources[c.Resource].Capacity {
			t.Errorf("%+v: there is enough", c)
		}
	}
	if sure < 200 || none < sure {
		t.Errorf("%d sure conflicts, %d problems without a plan", sure, none)
	}
}

// Of two brews eight ticks apart one presses while the other pours.
func TestAConflictNamesWhoNeedsTheSameWhen(t *testing.T) {
	p := bar.Kit{Brewers: 3}.Round([]bar.Pattern{pressing()}, make([]bar.Order, 2))
	p.Links = []bar.Link{{From: 0, FromAct: 0, To: 1, ToAct: 0, Least: 8}, {From: 1, FromAct: 0, To: 0, ToAct: 0, Least: -8}}
	want := bar.Conflict{Resource: bar.Hands, At: 10, Needs: []bar.Need{{Order: 0, Act: 1}, {Order: 1, Act: 0}}, Sure: true}
	got, any := p.Conflict()
	if !any || got.Resource != want.Resource || got.At != want.At || !slices.Equal(got.Needs, want.Needs) || !got.Sure {
		t.Errorf("%+v, want %+v", got, want)
	}
}

// All orders find room one after another, whatever the recipe.
func TestARoundHasTimeForAllOfItsOrders(t *testing.T) {
	for _, name := range []string{"quayside-cone", "quayside-press", "quayside-cupping"} {
		orders := []bar.Order{{}, {Placed: 10}, {Placed: 5000}, {Placed: 5001}}
		p := bar.Kit{}.Round([]bar.Pattern{bar.Read(shipped(t, name))}, orders)
		if pl, any := best(p); !any {
			t.Errorf("%s: no plan", name)
		} else {
			sound(t, p, pl)
		}
	}
}

// On this day an order comes for which none of the orders of insertion that
// are tried at once has room; behind all others there is some.
func TestAnOrderFindsRoomBehindAllOthers(t *testing.T) {
	d := bar.Day{
		Kit: bar.Kit{People: 2, Brewers: 2}, Patterns: []bar.Pattern{bar.Read(shipped(t, "quayside-cone")), bar.Read(shipped(t, "quayside-press"))},
		Mix: []float64{3, 1}, Rates: []float64{6, 12}, Seed: 13, Passing: 1,
	}
	if _, err := d.Run(); err != nil {
		t.Error(err)
	}
}

// What follows from who must go first is in the way, too: of three brews in a
// row the last two have no room for both, whichever way the row goes.
func TestAConflictFollowsFromWhoMustGoFirst(t *testing.T) {
	for name, row := range map[string][3]int{"in order of arrival": {0, 1, 2}, "the other way": {2, 1, 0}} {
		p := bar.Kit{Brewers: 3}.Round([]bar.Pattern{blocks(0, 10)}, make([]bar.Order, 3))
		p.InTurn, p.Passing, p.Horizon = false, -1, 29
		for i := range 2 {
			p.Links = append(p.Links, bar.Link{From: row[i], To: row[i+1]})
		}
		c, any := p.Conflict()
		if !any || !c.Sure || c.Resource != bar.Hands || len(c.Needs) != 2 {
			t.Errorf("%s: %+v, want two brews in need of the hands", name, c)
		}
		p.Horizon = 30
		if c, any := p.Conflict(); any && c.Sure {
			t.Errorf("%s: %+v is in the way, but there is room for all", name, c)
		}
	}
}

func TestTheEarliestConflictIsNamed(t *testing.T) {
	tied := func(at ...int) *bar.Problem {
		p := bar.Kit{Brewers: 3}.Round([]bar.Pattern{blocks(at...)}, make([]bar.Order, 2))
		p.Links = []bar.Link{{From: 0, To: 1}, {From: 1, To: 0}}
		return p
	}
	if c, _ := tied(0, 5, 20, 25).Conflict(); c.At != 0 || !c.Sure {
		t.Errorf("%+v, want the first of two", c)
	}
	loose := tied(0, 5, 20, 25) // both at once are too much at 0 and at 20, but one can wait
	loose.Links, loose.InTurn = nil, false
	if c, any := loose.Conflict(); !any || c.At != 0 || c.Sure {
		t.Errorf("%+v, want the first of two", c)
	}
}

// Acts that touch need nothing at once.
func TestActsThatTouchAreInNobodysWay(t *testing.T) {
	p := bar.Kit{}.Round([]bar.Pattern{blocks(0, 5, 5, 10)}, []bar.Order{{}, {Placed: 10}})
	if c, any := p.Conflict(); any {
		t.Errorf("%+v is in the way of two brews one behind the other", c)
	}
}

// shipped returns the plan of a shipped recipe.
func shipped(t testing.TB, stem string) *brew.Plan {
	t.Helper()
	shelf, err := recipes.NewShelf(nil, brew.Bar{})
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range shelf.Entries() {
		if e.Stem == stem {
			plan, err := brew.NewPlan(e.Document.Recipe(), brew.Bar{})
			if err != nil {
				t.Fatal(err)
			}
			return plan
		}
	}
	t.Fatal("there is no ", stem)
	return nil
}
