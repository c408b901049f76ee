package brew_test

import (
	"regexp"
	"slices"
	"testing"

	"barline/brew"
)

// versioned has one of everything that a version might hang on.
func versioned() brew.Recipe {
	r := quayside()
	r.Method = brew.OtherMethod
	r.Steps = append(r.Steps, after(3, act(brew.Stir, "8 turns with {dose}", 6)), brew.Step{Action: brew.Bypass, Amount: 30 * g, Over: 5 * s})
	return r
}

func TestVersion(t *testing.T) {
	first := planned(t, versioned()).Version
	if !regexp.MustCompile(`^[0-9a-f]{12}$`).MatchString(first) {
		t.Fatalf("version %q is not 12 hexadecimal figures", first)
	}
	step := func(i int, change func(*brew.Step)) func(*brew.Recipe) {
		return func(r *brew.Recipe) { change(&r.Steps[i]) }
	}
	for _, test := range []struct {
		name   string
		change func(*brew.Recipe)
		stays  bool
	}{
		{"a name", func(r *brew.Recipe) { r.Name = "Quayside other" }, true},
		{"coffee, lot, roast and grinder", func(r *brew.Recipe) { r.Coffee, r.Lot, r.Roasted, r.Setting, r.Grind = "a", "b", "c", "d", "e" }, true},
		{"server, capacity, cups", func(r *brew.Recipe) { r.Server, r.Capacity, r.Cups = brew.Ceramic, 0, 2 }, true},
		{"aim", func(r *brew.Recipe) { r.Aim = brew.Aim{} }, true},
		{"what to prepare and what to do afterwards", func(r *brew.Recipe) { r.Prepare, r.Afterwards = nil, nil }, true},
		{"why", step(2, func(s *brew.Step) { s.Why = "because" }), true},
		{"caution", step(2, func(s *brew.Step) { s.Caution = "hot" }), true},
		{"label", step(0, func(s *brew.Step) { s.Label = "wetting" }), true},
		{"id", step(0, func(s *brew.Step) { s.ID = "wetting" }), true},
		{"a usual length said", step(3, func(s *brew.Step) { s.Over = 4e9 }), true},
		{"a usual window said", step(0, func(s *brew.Step) { s.Start = window(3, 3) }), true},
		{"the reading of a pour in place of its amount", step(2, func(s *brew.Step) { s.To, s.Amount = false, 160*g }), true},
		{"a text on a pour, which nobody is shown", step(2, func(s *brew.Step) { s.Text = "slowly" }), true},
		{"blanks around a text", step(9, func(s *brew.Step) { s.Text = " 8 turns with {dose} " }), true},
		{"dose and water in one ratio", func(r *brew.Recipe) {
			r.Dose, r.Water, r.Capacity = 2*r.Dose, 2*r.Water, 0
			for i := range r.Steps {
				r.Steps[i].Amount *= 2
			}
		}, true},

		{"method", func(r *brew.Recipe) { r.Method = brew.PressMethod }, false},
		{"temperature", func(r *brew.Recipe) { r.Temperature = 93.1 }, false},
		{"ratio", func(r *brew.Recipe) { r.Dose = mass(14.1) }, false},
		{"the water of a pour", func(r *brew.Recipe) { r.Steps[0].Amount += g / 10 }, false},
		{"the water of the bypass", func(r *brew.Recipe) { r.Steps[10].Amount += g / 10 }, false},
		{"a stir in place of a swirl", step(1, func(s *brew.Step) { s.Action = brew.Stir }), false},
		{"a step less", func(r *brew.Recipe) { r.Steps = r.Steps[:9] }, false},
		{"two steps in another order", func(r *brew.Recipe) { r.Steps[6], r.Steps[7] = r.Steps[7], r.Steps[6] }, false},
		{"what a step says of how it is done", step(9, func(s *brew.Step) { s.Text = "9 turns with {dose}" }), false},
		{"over", step(2, func(s *brew.Step) { s.Over++ }), false},
		{"at", step(2, func(s *brew.Step) { s.Offset++ }), false},
		{"after", step(9, func(s *brew.Step) { s.Offset++ }), false},
		{"a hung step pinned where it was", step(1, func(s *brew.Step) { s.Anchor, s.Offset = brew.At, 8e9 }), false},
		{"a step behind a gap pinned where it was", step(9, func(s *brew.Step) { s.Anchor, s.Offset = brew.At, 143e9 }), false},
		{"the start of a step asked in place of the end that it shares", func(r *brew.Recipe) { r.Steps[0].Mark, r.Steps[1].Mark = brew.MarkNone, brew.MarkStart }, false},
		{"hands", step(6, func(s *brew.Step) { s.Hands = brew.Free }), false},
		{"mark", step(6, func(s *brew.Step) { s.Mark = brew.MarkEnd }), false},
		{"a beat asked as both edges", step(1, func(s *brew.Step) { s.Mark = brew.MarkStart }), false},
		{"the recipe's window", func(r *brew.Recipe) { r.Window = window(3, 3.5) }, false},
		{"a window, early", step(0, func(s *brew.Step) { s.End = window(2, 3) }), false},
		{"a window, late", step(0, func(s *brew.Step) { s.End = window(3, 2) }), false},
	} {
		r := versioned()
		r.Steps = slices.Clone(r.Steps)
		test.change(&r)
		if r.Steps[0].Amount != 50*g && r.Dose == 14*g {
			r.Steps[2].Amount = 210 * g // so that the pours make up the water still
		}
		if got := planned(t, r).Version; (got == first) != test.stays {
			t.Errorf("%s: version %s, was %s, should stay: %t", test.name, got, first, test.stays)
		}
	}
}

func TestTheBarsWindowIsPartOfTheVersion(t *testing.T) {
	r := method(brew.OtherMethod, pour(200, 20))
	p, err := brew.NewPlan(r, brew.Bar{Window: 4 * s})
	if err != nil || p.Version == planned(t, r).Version {
		t.Errorf("version %s under another window, error %v", p.Version, err)
	}
}

func TestWordsThatRunTogetherAreOtherWords(t *testing.T) {
	stir := func(text string, at float64) string {
		return planned(t, method(brew.OtherMethod, pour(20, 5), pinned(at, act(brew.Stir, text, 30-at)))).Version
	}
	if stir("1", 8) == stir("", 18) {
		t.Error("two recipes have one version")
	}
}
