package brew_test

import (
	"reflect"
	"strings"
	"testing"
	"time"

	"barline/brew"
)

const (
	s = time.Second
	g = brew.Gram
)

// pour, to and act are steps as a writer thinks of them: how much, how long.
func pour(grams, seconds float64) brew.Step {
	return brew.Step{Action: brew.Pour, Amount: mass(grams), Over: sec(seconds)}
}

func to(grams, seconds float64) brew.Step {
	step := pour(grams, seconds)
	step.To = true
	return step
}

func act(a brew.Action, text string, seconds float64) brew.Step {
	return brew.Step{Action: a, Text: text, Over: sec(seconds)}
}

// pinned, after, marking and within change one thing of a step.
func pinned(seconds float64, step brew.Step) brew.Step {
	step.Anchor, step.Offset = brew.At, sec(seconds)
	return step
}

func after(seconds float64, step brew.Step) brew.Step {
	step.Anchor, step.Offset = brew.After, sec(seconds)
	return step
}

func marking(m brew.Marks, step brew.Step) brew.Step {
	step.Mark = m
	return step
}

func within(start, end *brew.Window, step brew.Step) brew.Step {
	step.Start, step.End = start, end
	return step
}

func window(early, late float64) *brew.Window {
	return &brew.Window{Early: sec(early), Late: sec(late)}
}

func mass(grams float64) brew.Mass      { return brew.Mass(grams*1000 + 0.5) }
func sec(seconds float64) time.Duration { return time.Duration(seconds * float64(time.Second)) }
func weight(grams float64) *brew.Mass   { m := mass(grams); return &m }

// method returns a recipe that is in order but for its steps, with as much
// water as they pour.
func method(m brew.Method, steps ...brew.Step) brew.Recipe {
	r := brew.Recipe{Name: "Quayside trial", Method: m, Dose: 14 * g, Temperature: 93, Grind: "medium", Steps: steps}
	var scale brew.Mass
	for _, step := range steps {
		switch {
		case step.Action == brew.Tare, step.Action == brew.Lift, step.Action == brew.Flip:
			scale = 0
		case step.Action == brew.Pour && step.To:
			r.Water += step.Amount - scale
			scale = step.Amount
		case step.Action == brew.Pour:
			r.Water += step.Amount
			scale += step.Amount
		}
	}
	return r
}

// quayside is the press recipe of the documentation.
func quayside() brew.Recipe {
	bloom := to(50, 8)
	bloom.Label = "bloom"
	main := pinned(36, to(210, 16))
	main.Why = "an even spiral keeps the bed level"
	return brew.Recipe{
		Name: "Quayside press", Method: brew.PressMethod, Coffee: "washed, medium-light",
		Dose: 14 * g, Water: 210 * g, Temperature: 93, Grind: "medium-fine, a little finer than for a cone",
		Capacity: 250 * g, Server: brew.Steel, Window: window(3, 3),
		Prepare: []brew.Chore{
			{Do: "Rinse one paper filter with 60 g, empty the server"},
			{Do: "Dose {dose}, level the bed, tare", Over: 20 * s},
		},
		Steps: []brew.Step{
			bloom,
			act(brew.Swirl, "gently", 4),
			main,
			act(brew.Seal, "plunger set, nothing drips", 0),
			act(brew.Lift, "off the scale", 0),
			pinned(100, act(brew.Open, "plunger out", 0)),
			act(brew.Stir, "4 turns", 5),
			act(brew.Seal, "plunger back in", 0),
			within(window(2, 5), window(2, 5), act(brew.Press, "to the hiss", 28)),
		},
		Afterwards: []brew.Chore{{Do: "Swirl, let it cool before tasting"}},
		Aim:        brew.Aim{Strength: 1.40, Extraction: 20},
	}
}

func planned(t testing.TB, r brew.Recipe) *brew.Plan {
	t.Helper()
	p, err := brew.NewPlan(r, brew.Bar{})
	if err != nil {
		t.Fatalf("no plan: %v", err)
	}
	return p
}

// tester is a test, or one run of a property.
type tester interface {
	Helper()
	Errorf(format string, args ...any)
	Fatal(args ...any)
}

// same fails the test where two values differ, naming what they are of.
func same(t tester, what string, got, want any) {
	t.Helper()
	if !reflect.DeepEqual(got, want) {
		t.Errorf("%s:\n got %+v\nwant %+v", what, got, want)
	}
}

// sameLines compares texts that show a whole picture, line by line.
func sameLines(t tester, got, want string) {
	t.Helper()
	if got, want = strings.TrimSpace(got), strings.TrimSpace(want); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// happens is an event at a moment of the timeline's clock, in seconds.
func happens(k brew.EventKind, seconds float64) brew.Event {
	return brew.Event{Kind: k, At: sec(seconds), Source: brew.FromKey}
}

// brewed folds the events into a lane of the plan; none may be refused.
func brewed(t testing.TB, p *brew.Plan, events ...brew.Event) brew.Lane {
	t.Helper()
	l := brew.NewLane(p)
	for _, e := range events {
		next, out := l.Apply(e)
		if out.Effect == brew.Refused {
			t.Fatalf("%s at %s is refused: %s", e.Kind, brew.Exact(e.At), out.Why)
		}
		l = next
	}
	return l
}

// with returns the step changed.
func with(step brew.Step, change func(*brew.Step)) brew.Step {
	change(&step)
	return step
}
