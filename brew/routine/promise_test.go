package routine_test

import (
	"cmp"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"barline/brew"
	"barline/brew/routine"
)

// takenUp is a stretch in which something is in use.
type takenUp struct {
	what     string
	from, to time.Duration
}

// overlap returns the first two stretches that overlap.
func overlap(all []takenUp) []takenUp {
	slices.SortFunc(all, func(a, b takenUp) int { return cmp.Compare(a.from, b.from) })
	for i := range all[min(1, len(all)):] {
		if all[i].to > all[i+1].from {
			return all[i : i+2]
		}
	}
	return nil
}

// Whatever the routine: a plan that is found gives nobody two things to do at
// once, lets one voice say one thing at a time, and keeps every tie, pin and
// bound, worked out here from the plan alone.
func TestAnyPlanKeepsItsPromises(t *testing.T) {
	found := 0
	rapid.Check(t, func(rt *rapid.T) {
		r := anyRoutine(rt)
		full, faults := routine.Resolve(r, find, brew.Bar{})
		if faults.Errors() != nil {
			return
		}
		search := routine.Solve(full, 300)
		if !search.Found() {
			return
		}
		found++
		p := search.Plan()
		parts, _ := r.Parts()
		var hands, kettle, voice []takenUp
		for _, e := range p.Sheet() {
			if e.Kind != routine.ACue {
				continue
			}
			plan := p.Hands
			if e.Lane < len(p.Cups) {
				plan = p.Cups[e.Lane].Plan
			}
			at := takenUp{e.Who + " " + e.What, e.Start, e.End}
			if c := plan.Cues[e.Number]; c.Hands == brew.Busy {
				hands = append(hands, at)
				if c.Action == brew.Pour {
					kettle = append(kettle, at)
				}
				if e.Lane < len(p.Cups) && slices.Contains(r.Brews[e.Lane].Quiet, c.Name) {
					voice = append(voice, at)
				}
			}
		}
		for i, l := range p.Lines {
			at := takenUp{l.Name(i), l.Start, l.End()}
			voice = append(voice, at)
			if parts[i].Hands {
				hands = append(hands, at)
			}
			if i > 0 && l.Start < p.Lines[i-1].End() {
				rt.Fatalf("%s begins at %s, before %s", at.what, l.Start, p.Lines[i-1].End())
			}
			if parts[i].At != nil && l.Start != *parts[i].At {
				rt.Fatalf("%s is pinned to %s, begins at %s", at.what, *parts[i].At, l.Start)
			}
			keepsTies(rt, p, parts[i], l)
		}
		for what, all := range map[string][]takenUp{"hands": hands, "kettle": kettle, "voice": voice} {
			if two := overlap(all); two != nil {
				rt.Fatalf("%s: %+v", what, two)
			}
		}
		var served []time.Duration
		for i, c := range p.Cups {
			if at := r.Brews[i].At; at != nil && c.Zero != *at {
				rt.Fatalf("%s is pinned to %s, starts at %s", c.ID, *at, c.Zero)
			}
			if c.Serving < 0 {
				continue
			}
			start := p.Hands.Cues[c.Serving].Start
			served = append(served, start)
			if wait := start - (c.Zero + c.Plan.End); wait < 0 || wait > c.Within {
				rt.Fatalf("%s waits %s to be served, at most %s", c.ID, wait, c.Within)
			}
		}
		if len(served) > 1 && r.Together > 0 && slices.Max(served)-slices.Min(served) > r.Together {
			rt.Fatalf("served at %v, wanted within %s", served, r.Together)
		}
	})
	if found == 0 {
		t.Errorf("a plan was found for %d routines", found)
	}
}

// keepsTies checks what a part is tied to.
func keepsTies(rt *rapid.T, p *routine.Plan, part routine.Part, l routine.Line) {
	span := func(r *routine.Ref) (start, end time.Duration) {
		for _, e := range p.Sheet() {
			if e.Kind != routine.ACue {
				continue
			}
			if r.Step == routine.Serving && e.What == "Serve "+r.Brew || r.Step != routine.Serving && e.Who == r.Brew && strings.HasPrefix(e.What, map[string]string{"bloom": "bloom", "second pour": "Pour to 240", "drawdown": "Drawdown"}[r.Step]) {
				return e.Start, e.End
			}
		}
		rt.Fatalf("%s is not on the sheet", r)
		return 0, 0
	}
	if r := part.During; r != nil {
		if start, end := span(r); l.Start < start || l.Length <= end-start && l.End() > end || l.Length > end-start && l.Start != start {
			rt.Fatalf("%s runs from %s to %s, what is said during it from %s to %s", r, start, end, l.Start, l.End())
		}
	}
	if r := part.After; r != nil {
		if _, end := span(r); l.Start < end {
			rt.Fatalf("%s ends at %s, what is said after it begins at %s", r, end, l.Start)
		}
	}
	if r := part.Before; r != nil {
		if start, _ := span(r); l.End() > start {
			rt.Fatalf("%s begins at %s, what is said before it ends at %s", r, start, l.End())
		}
	}
}

// anyRoutine draws a routine of one or two cups.
func anyRoutine(rt *rapid.T) routine.Routine {
	seconds := func(name string, low, high int) time.Duration {
		return time.Duration(rapid.IntRange(low, high).Draw(rt, name)) * s
	}
	r := routine.Routine{Name: "drawn", Limit: 8 * time.Minute, Pace: 120}
	for _, id := range []string{"left", "right"}[:rapid.IntRange(1, 2).Draw(rt, "cups")] {
		b := routine.Brew{ID: id, Recipe: "cone", Ready: rapid.Bool().Draw(rt, "ready"), Serve: seconds("serve", 5, 15), Within: seconds("within", 1, 60)}
		if rapid.Bool().Draw(rt, "pinned") {
			b.At = at(seconds("at", 20, 200))
		}
		if rapid.Bool().Draw(rt, "quiet") {
			b.Quiet = []string{"bloom"}
		}
		r.Brews = append(r.Brews, b)
	}
	if rapid.Bool().Draw(rt, "together") {
		r.Together = seconds("together", 10, 90)
	}
	section := routine.Section{Name: "all"}
	for range rapid.IntRange(1, 6).Draw(rt, "parts") {
		p := routine.Part{Say: "words", Over: seconds("over", 2, 40), Hands: rapid.IntRange(0, 5).Draw(rt, "hands") == 0}
		tie := ref(rapid.SampledFrom([]string{"bloom", "second pour", "drawdown", routine.Serving}).Draw(rt, "step"), rapid.SampledFrom(r.Brews).Draw(rt, "of").ID)
		switch rapid.IntRange(0, 5).Draw(rt, "tie") {
		case 0:
			p.During = tie
		case 1:
			p.After = tie
		case 2:
			p.Before = tie
		}
		section.Parts = append(section.Parts, p)
	}
	r.Sections = []routine.Section{section}
	return r
}
