package brew_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"barline/brew"
)

func TestEveryPlanIsInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRecipe(t)
		if faults := brew.Check(r, brew.Bar{}).Errors(); len(faults) > 0 {
			t.Fatalf("a valid recipe is refused: %v", faults)
		}
		p, err := brew.NewPlan(r, brew.Bar{})
		if err != nil {
			t.Fatal(err)
		}
		var keys []string
		for i, c := range p.Cues {
			orderly(t, p, i)
			placed(t, p, r, i)
			if !p.Beats[c.StartBeat].Has(i, brew.StartEdge) || !p.Beats[c.EndBeat].Has(i, brew.EndEdge) {
				t.Fatalf("cue %d does not know its beats", i)
			}
		}
		if last := p.Cues[len(p.Cues)-1]; last.Water != r.Water || last.Bypass != p.Bypass || p.Bypass != r.BypassWater() {
			t.Fatalf("%s on the coffee and %s beside it, want %s and %s", last.Water, last.Bypass, r.Water, p.Bypass)
		}
		for _, b := range p.Beats {
			keys = append(keys, b.Key)
		}
		slices.Sort(keys)
		if len(slices.Compact(keys)) != len(p.Beats) {
			t.Fatal("two beats have one key")
		}
		if !slices.IsSortedFunc(p.Beats, func(a, b brew.Beat) int { return int(a.Due - b.Due) }) {
			t.Fatal("beats are out of order")
		}
		for n, at := range edgesOf(p) {
			if want := (brew.Point{Cue: n / 2, Edge: []brew.Edge{brew.StartEdge, brew.EndEdge}[n%2]}); at != want {
				t.Fatalf("edge %v where %v should be: one is missing or twice there", at, want)
			}
		}
	})
}

// orderly checks a cue against those before it.
func orderly(t *rapid.T, p *brew.Plan, i int) {
	c := p.Cues[i]
	if c.Length() <= 0 || c.End > p.End {
		t.Fatalf("cue %d ends at %s", i, c.End)
	}
	for j, before := range p.Cues[:i] {
		if before.Start > c.Start {
			t.Fatalf("cue %d starts before cue %d", i, j)
		}
		if before.Hands == brew.Busy && c.Hands == brew.Busy && overlaps(before, c) {
			t.Fatalf("cues %d and %d need the hands at once", j, i)
		}
	}
	if i > 0 {
		before := p.Cues[i-1]
		if c.From != before.Scale || c.FromOn != before.OnScale || c.Water < before.Water {
			t.Fatalf("cue %d does not go on from the weights of the one before", i)
		}
	}
	if c.Action == brew.Pour && c.Scale <= c.From {
		t.Fatalf("cue %d pours nothing", i)
	}
}

// placed checks a cue against its step and its beats.
func placed(t *rapid.T, p *brew.Plan, r brew.Recipe, i int) {
	c, step := p.Cues[i], r.Steps[i]
	start, end := p.Beats[c.StartBeat], p.Beats[c.EndBeat]
	if start.Due != c.Start || end.Due != c.End {
		t.Fatalf("cue %d and its beats are not of one moment", i)
	}
	switch step.Anchor {
	case brew.At:
		if c.Start != step.Offset || c.Before != -1 || c.Pinned != brew.PinClock {
			t.Fatalf("cue %d is not pinned at %s", i, step.Offset)
		}
	default:
		if i > 0 && (c.Start != p.Cues[c.Before].End+c.After || c.After != step.Offset || c.Pinned != brew.PinHand) {
			t.Fatalf("cue %d does not hang %s behind another", i, step.Offset)
		}
		for _, before := range p.Cues[:i] {
			if before.End > c.Start-c.After {
				t.Fatalf("cue %d does not hang behind what ends last", i)
			}
		}
	}
	if alone := start.Also == nil; i > 0 && alone != (c.Pinned == brew.PinClock || c.After > 0) {
		t.Fatalf("cue %d and the one it hangs behind have beats of their own: %t", i, alone)
	}
}

func drawPlan(t *rapid.T) *brew.Plan {
	p, err := brew.NewPlan(drawRecipe(t), brew.Bar{})
	if err != nil {
		t.Fatal(err)
	}
	return p
}
