package bar_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/bar"
	"barline/recipes"
)

// cone is a recipe with everything that the bar has to read.
func cone(t testing.TB) *brew.Plan {
	t.Helper()
	r := brew.Recipe{
		Name: "Cone", Method: brew.Cone, Dose: 20 * brew.Gram, Water: 300 * brew.Gram, Temperature: 93, Grind: "medium",
		Window:  &brew.Window{Early: 2 * time.Second, Late: 4 * time.Second},
		Prepare: []brew.Chore{{Do: "Grind", Over: 30 * time.Second, Float: 45 * time.Second}, {Do: "Rinse", Uses: brew.UsesKettle}},
		Steps: []brew.Step{
			{Action: brew.Pour, Amount: 60 * brew.Gram, To: true, Over: 10 * time.Second},
			{Action: brew.Wait, Over: 20 * time.Second},
			{Action: brew.Pour, Amount: 300 * brew.Gram, To: true, Over: 40 * time.Second},
			{Action: brew.Drawdown, Over: 60 * time.Second},
			{Action: brew.Swirl, Anchor: brew.At, Offset: 80 * time.Second, Over: 4 * time.Second},
			{Action: brew.Lift, Over: 3 * time.Second},
			{Action: brew.Serve, Over: 6 * time.Second},
		},
		Afterwards: []brew.Chore{{Do: "Taste it"}, {Do: "Rinse the cone", Over: 15 * time.Second, Float: time.Minute, Uses: brew.UsesBoth}, {Do: "Let it drip", Over: time.Minute, Uses: brew.UsesNothing}},
	}
	p, err := brew.NewPlan(r, brew.Bar{})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestAPlanAsTheBarSeesIt(t *testing.T) {
	got := bar.Read(cone(t))
	want := []bar.Act{
		{Name: "Grind", Uses: []int{bar.Hands}, Start: -40, Length: 30, Early: 45, Cue: -1},
		{Name: "Rinse", Uses: []int{bar.Kettle}, Start: -10, Length: 10, Early: 120, Behind: []int{0}, Cue: -1},
		{Name: "first pour", Uses: []int{bar.Hands, bar.Kettle}, Start: 0, Length: 10, Behind: []int{1}, Cue: 0},
		{Name: "second pour", Uses: []int{bar.Hands, bar.Kettle}, Start: 30, Length: 40, Early: 2, Late: 4, Behind: []int{2}, Cue: 2},
		{Name: "drawdown", Start: 70, Length: 60, Early: 2, Late: 4, Behind: []int{3}, Cue: 3},
		{Name: "swirl", Uses: []int{bar.Hands}, Start: 80, Length: 4, Early: 2, Late: 4, Behind: []int{3}, Cue: 4},
		{Name: "lift", Uses: []int{bar.Hands}, Start: 130, Length: 3, Early: 2, Late: 4, Behind: []int{5, 4}, Cue: 5},
		{Name: "serve", Uses: []int{bar.Hands}, Start: 133, Length: 6, Early: 2, Late: 4, Behind: []int{6}, Cue: 6},
		{Name: "Rinse the cone", Uses: []int{bar.Hands, bar.Kettle}, Start: 139, Length: 15, Late: 60, Behind: []int{7}, Cue: -1},
		{Name: "Let it drip", Start: 154, Length: 60, Late: 120, Behind: []int{8}, Cue: -1},
	}
	for i := range max(len(got.Acts), len(want)) {
		if i >= len(got.Acts) || i >= len(want) || !equalActs(got.Acts[i], want[i]) {
			t.Errorf("act %d:\n%+v, want\n%+v", i, got.Acts[min(i, len(got.Acts)-1)], want[min(i, len(want)-1)])
		}
	}
	if holds := []bar.Hold{{Resource: bar.Brewer, From: 1, To: 9}, {Resource: bar.Scale, From: 2, To: 5}}; !slices.Equal(got.Holds, holds) {
		t.Errorf("holds %+v, want %+v", got.Holds, holds)
	}
	if got.Done != 7 {
		t.Errorf("ready with act %d, want the serving", got.Done)
	}
}

// Water that goes past the coffee comes out of the same kettle.
func TestABypassNeedsTheKettle(t *testing.T) {
	r := brew.Recipe{
		Name: "Strong", Method: brew.Cone, Dose: 20 * brew.Gram, Water: 200 * brew.Gram, Temperature: 93, Grind: "medium",
		Steps: []brew.Step{
			{Action: brew.Pour, Amount: 200 * brew.Gram, Over: 30 * time.Second},
			{Action: brew.Drawdown, Over: 60 * time.Second},
			{Action: brew.Bypass, Amount: 100 * brew.Gram, Over: 10 * time.Second},
		},
	}
	p, err := brew.NewPlan(r, brew.Bar{})
	if err != nil {
		t.Fatal(err)
	}
	acts := bar.Read(p).Acts
	i := slices.IndexFunc(acts, func(a bar.Act) bool { return a.Cue == 2 })
	if want := []int{bar.Hands, bar.Kettle}; i < 0 || !slices.Equal(acts[i].Uses, want) {
		t.Errorf("the bypass is act %d of %+v, want it to use %v", i, acts, want)
	}
}

func equalActs(a, b bar.Act) bool {
	return a.Name == b.Name && slices.Equal(a.Uses, b.Uses) && a.Start == b.Start && a.Length == b.Length &&
		a.Early == b.Early && a.Late == b.Late && slices.Equal(a.Behind, b.Behind) && a.Cue == b.Cue
}

// Two of every shipped recipe fit on a bar for one, with a cup no later than
// one after the other, and two people are no slower than one.
func TestEveryShippedRecipeCanBePlanned(t *testing.T) {
	shelf, err := recipes.NewShelf(nil, brew.Bar{})
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, e := range shelf.Entries() {
		plan, err := brew.NewPlan(e.Document.Recipe(), brew.Bar{})
		if err != nil {
			t.Fatal(e.Name, err)
		}
		n++
		last := 1 << 30
		for people := 1; people <= 2; people++ {
			p := &bar.Problem{
				Resources: bar.Kit{People: people, Brewers: 2}.Resources(), Patterns: []bar.Pattern{bar.Read(plan)},
				Orders: []bar.Order{{}, {Placed: 30}}, Horizon: 3600, InTurn: true, Passing: 1,
			}
			s, err := bar.NewSearch(p, nil)
			if err != nil {
				t.Fatal(e.Name, err)
			}
			for i := 0; i < 20 && s.Advance(1000); i++ {
			}
			pl, any := s.Best()
			if !any {
				t.Fatalf("%s: no plan for %d", e.Name, people)
			}
			sound(t, p, pl)
			sound(t, p, p.Ease(pl))
			wait := p.Value(pl).Wait
			if alone := alone(p); wait < 2*alone || wait > 3*alone || s.Over() && wait > last {
				t.Errorf("%s: %d people wait %d, one brew alone takes %d, with one person %d", e.Name, people, wait, alone, last)
			}
			last = wait
		}
	}
	if n < 9 {
		t.Errorf("%d recipes were planned", n)
	}
}

// alone returns how long one order of the problem takes by itself.
func alone(p *bar.Problem) int {
	one := *p
	one.Orders = p.Orders[:1]
	pl, _ := best(&one)
	return one.Value(pl).Wait
}

func TestAKitLeftOutIsOneOfEach(t *testing.T) {
	var got []string
	for _, r := range (bar.Kit{Brewers: 3}).Resources() {
		got = append(got, r.Name+" "+string(rune('0'+r.Capacity)))
	}
	if want := "hands 1, brewer 3, kettle 1, scale 3, voice 1"; strings.Join(got, ", ") != want {
		t.Errorf("%v, want %s", got, want)
	}
}
