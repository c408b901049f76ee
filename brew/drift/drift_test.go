package drift_test

import (
	"encoding/json"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/drift"
)

// press is four asked beats: bloom's end 0:08, second pour's end 0:52, the
// press from 1:52 to 2:20. The open step is pinned to 1:40, so that lateness
// up to 42 s before it is taken up.
func press() brew.Recipe {
	return brew.Recipe{
		Name: "Quayside press", Method: brew.PressMethod, Dose: 14 * brew.Gram, Water: 210 * brew.Gram, Temperature: 93,
		Capacity: 250 * brew.Gram, Server: brew.Steel,
		Steps: []brew.Step{
			{Action: brew.Pour, Amount: 50 * brew.Gram, To: true, Over: sec(8), Label: "bloom"},
			{Action: brew.Swirl, Text: "gently", Over: sec(4)},
			{Action: brew.Pour, Amount: 210 * brew.Gram, To: true, Anchor: brew.At, Offset: sec(36), Over: sec(16)},
			{Action: brew.Seal, Text: "plunger set"},
			{Action: brew.Lift, Text: "off the scale"},
			{Action: brew.Open, Text: "plunger out", Anchor: brew.At, Offset: sec(100)},
			{Action: brew.Stir, Text: "4 turns", Over: sec(5)},
			{Action: brew.Seal, Text: "plunger back in"},
			{Action: brew.Press, Text: "to the hiss", Over: sec(28), End: &brew.Window{Early: sec(2), Late: sec(5)}},
		},
	}
}

// cone is four asked beats: bloom's end 0:10, second pour's end 1:00, third
// pour's end 1:30, and the bed's 2:30. The third pour hangs 15 s behind the
// second, so that lateness is carried on.
func cone() brew.Recipe {
	return brew.Recipe{
		Name: "Quayside cone", Method: brew.Cone, Dose: 15 * brew.Gram, Water: 250 * brew.Gram, Temperature: 94,
		Steps: []brew.Step{
			{Action: brew.Pour, Amount: 50 * brew.Gram, Over: sec(10), Label: "bloom"},
			{Action: brew.Pour, Amount: 100 * brew.Gram, Anchor: brew.At, Offset: sec(45), Over: sec(15)},
			{Action: brew.Pour, Amount: 100 * brew.Gram, Anchor: brew.After, Offset: sec(15), Over: sec(15)},
			{Action: brew.Drawdown, Over: sec(60)},
			{Action: brew.Serve},
		},
	}
}

// bowl is cupping: two asked beats, the fill's end and the break's start.
func bowl() brew.Recipe {
	return brew.Recipe{
		Name: "Quayside bowl", Method: brew.Cupping, Dose: 11 * brew.Gram, Water: 180 * brew.Gram, Temperature: 93,
		Steps: []brew.Step{
			{Action: brew.Pour, Amount: 180 * brew.Gram, Over: sec(15), Label: "the fill"},
			{Action: brew.Break, Anchor: brew.At, Offset: sec(240)},
			{Action: brew.Skim},
		},
	}
}

func sec(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }

func planOf(t testing.TB, r brew.Recipe) *brew.Plan {
	t.Helper()
	p, err := brew.NewPlan(r, brew.Bar{})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// The events of a test, at seconds of the clock.
func start() brew.Event           { return brew.Event{Kind: brew.EventStart} }
func from(s float64) brew.Event   { return brew.Event{Kind: brew.EventStart, From: sec(s)} }
func mark(s float64) brew.Event   { return event(brew.EventMark, s) }
func undo(s float64) brew.Event   { return event(brew.EventUndo, s) }
func skip(s float64) brew.Event   { return event(brew.EventSkip, s) }
func nudge(s float64) brew.Event  { return event(brew.EventNudge, s) }
func stop(s float64) brew.Event   { return event(brew.EventStop, s) }
func finish(s float64) brew.Event { return event(brew.EventFinish, s) }
func zero(s float64) brew.Event   { return event(brew.EventZero, s) }
func moved(s float64, cue int, to float64) brew.Event {
	return brew.Event{Kind: brew.EventMoved, At: sec(s), Cue: cue, To: sec(to)}
}
func weighed(s float64, grams float64) brew.Event {
	e, m := mark(s), brew.Mass(grams*float64(brew.Gram))
	e.Weight = &m
	return e
}
func event(k brew.EventKind, s float64) brew.Event { return brew.Event{Kind: k, At: sec(s)} }

// marks is a brew from 0:00 with marks at the given seconds, finished then.
func marks(at ...float64) []brew.Event {
	events, last := []brew.Event{start()}, 0.0
	for _, s := range at {
		events, last = append(events, mark(s)), s
	}
	return append(events, finish(max(last, 200)))
}

// play folds the events over the plan. Each must count, strays included.
func play(t testing.TB, p *brew.Plan, events ...brew.Event) brew.Lane {
	t.Helper()
	lane := brew.NewLane(p)
	for _, e := range events {
		next, outcome := lane.Apply(e)
		if outcome.Effect == brew.Refused {
			t.Fatalf("%s at %v refused: %s", e.Kind, e.At, outcome.Why)
		}
		lane = next
	}
	return lane
}

func debrief(t testing.TB, r brew.Recipe, events ...brew.Event) drift.Debrief {
	t.Helper()
	return drift.Of(play(t, planOf(t, r), events...))
}

func asJSON(t testing.TB, v any) string {
	t.Helper()
	text, err := json.MarshalIndent(v, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
