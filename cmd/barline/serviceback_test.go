package main

import (
	"testing"
	"time"

	"barline/brew"
)

// A kill may come between a plan and what it moved: what is recorded is brought
// to what is.
func TestMovesAreSettledWhenAServiceIsTakenUp(t *testing.T) {
	plan, err := brew.NewPlan(document(t, "quayside-press").Recipe(), brew.Bar{})
	must(t, err)
	lane := func(moves ...int) brew.Lane {
		l, _ := brew.NewLane(plan).Apply(brew.Event{Kind: brew.EventStart, Lane: 2, Source: brew.FromKey})
		for _, cue := range moves {
			l, _ = l.Apply(brew.Event{Kind: brew.EventMoved, Lane: 2, At: time.Second, Source: brew.FromClock, Cue: cue, To: plan.Cues[cue].Start + 5*time.Second})
		}
		return l
	}
	last := len(plan.Cues) - 1
	for name, c := range map[string]struct {
		recorded, is brew.Lane
		want         int
	}{
		"the same":            {lane(last), lane(last), 0},
		"one is not recorded": {lane(), lane(last), 1},
		"one is too many":     {lane(last), lane(), 1},
		"another":             {lane(last - 1), lane(last), 2},
	} {
		got := unsettled(c.recorded, c.is, 3*time.Second)
		if len(got) != c.want {
			t.Errorf("%s: %d moves, want %d", name, len(got), c.want)
		}
		for _, e := range got {
			c.recorded, _ = c.recorded.Apply(e)
		}
		for cue := range plan.Cues {
			was, _ := c.recorded.Span(cue)
			if is, _ := c.is.Span(cue); was != is {
				t.Errorf("%s: cue %d begins at %s, want %s", name, cue, was, is)
			}
		}
	}
	if got := unsettled(lane(), lane(last), plan.End); len(got) != 0 {
		t.Errorf("what has begun is moved: %+v", got)
	}
}
