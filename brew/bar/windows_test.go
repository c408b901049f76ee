package bar_test

import (
	"testing"

	"barline/brew/bar"
)

// The table of what tolerance buys, as it was worked out beforehand with
// other code; see testdata/README.md. The last width is 'as written'.
func TestWhatWiderWindowsBuy(t *testing.T) {
	for name, want := range map[string][]int{
		"A1-sum-n04":  {1569, 1522, 1518, 1501, 1473, 1473, 1447, 1447},
		"A1-sum-n05":  {2160, 2153, 2087, 2083, 2072, 2072, 2072, 2022},
		"B1-cmax-n05": {623, 577, 565, 563, 546, 545, 544, 503},
	} {
		p := load(t, name)
		around := map[string]bool{"grind": true, "rinse": true, "warm": true, "clean": true}
		for i := range p.Patterns {
			for a := range p.Patterns[i].Acts {
				if act := &p.Patterns[i].Acts[a]; !around[act.Name] {
					act.Cue = a
				}
			}
		}
		table, err := p.Windows([]int{0, 1, 2, 3, 4, 5, 6, -1}, 100_000)
		if err != nil {
			t.Fatal(err)
		}
		for i, row := range table {
			if !row.Found {
				t.Fatalf("%s: no plan with windows of %d", name, row.Most)
			}
			sound(t, p, row.Plan)
			if got := cost(p, row.Plan); got != want[i] || !row.Claim.Proven || p.Value(row.Plan) != row.Value {
				t.Errorf("%s, windows of %d: %d, proven %v; want %d", name, row.Most, got, row.Claim.Proven, want[i])
			}
		}
	}
}

// With windows of nothing every step stands at its own time.
func TestWindowsOfNothingKeepEveryStepAtItsTime(t *testing.T) {
	p := &bar.Problem{Resources: bar.Kit{Brewers: 2}.Resources(), Patterns: []bar.Pattern{bar.Read(cone(t))}, Orders: []bar.Order{{}, {}}, Horizon: 2000, Passing: 1}
	table, err := p.Windows([]int{0}, 1000)
	if err != nil || !table[0].Found {
		t.Fatal(err)
	}
	pl := table[0].Plan
	sound(t, p, pl)
	for j, starts := range pl.Starts {
		for a, act := range p.Patterns[0].Acts {
			if act.Cue >= 0 && starts[a] != pl.Zeros[j]+act.Start {
				t.Errorf("order %d: %s at %d, its own time is %d", j, act.Name, starts[a], pl.Zeros[j]+act.Start)
			}
		}
	}
}
