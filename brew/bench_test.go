package brew_test

import (
	"testing"

	"barline/brew"
)

// twelve is a recipe of a dozen steps: the press of the documentation with a
// third pour, a wait and a serve.
func twelve() brew.Recipe {
	r := quayside()
	third := pinned(64, to(240, 10))
	r.Water, r.Capacity = 240*g, 300*g
	wait := act(brew.Wait, "", 10)
	r.Steps = append(r.Steps[:3:3], append([]brew.Step{third}, r.Steps[3:]...)...)
	r.Steps = append(r.Steps, wait, act(brew.Serve, "pour off", 5))
	return r
}

func BenchmarkPlanOfTwelveSteps(b *testing.B) {
	r := twelve()
	same(b, "steps", len(r.Steps), 12)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := brew.NewPlan(r, brew.Bar{}); err != nil {
			b.Fatal(err)
		}
	}
}

// midway is a lane of a dozen cues with its first beats marked.
func midway(tb testing.TB) brew.Lane {
	l := brew.NewLane(planned(tb, twelve()))
	for _, e := range []brew.Event{
		{Kind: brew.EventStart}, {Kind: brew.EventMark, At: 9 * s}, {Kind: brew.EventMark, At: 53 * s},
	} {
		l, _ = l.Apply(e)
	}
	return l
}

func BenchmarkQuestionAtAMoment(b *testing.B) {
	l := midway(b)
	b.ReportAllocs()
	for b.Loop() {
		l.At(70 * s) // two pours marked, the third on its way
	}
}

func BenchmarkQuestionOfThePlan(b *testing.B) {
	p := planned(b, twelve())
	b.ReportAllocs()
	for b.Loop() {
		p.At(70 * s)
	}
}

func BenchmarkMark(b *testing.B) {
	l := midway(b)
	b.ReportAllocs()
	for b.Loop() {
		l.Apply(brew.Event{Kind: brew.EventMark, At: 75 * s})
	}
}
