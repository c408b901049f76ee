package drift_test

import (
	"time"

	"pgregory.net/rapid"

	"barline/brew"
	"barline/brew/drift"
)

// tenths draws a time in whole tenths of a second.
func tenths(t *rapid.T, least, most float64, label string) time.Duration {
	return time.Duration(rapid.IntRange(int(least*10), int(most*10)).Draw(t, label)) * 100 * time.Millisecond
}

// drawPlan draws a brew of one to six pours with stirs between, in any mix of
// pinned, hung and direct steps, which a bed, a press or a serve ends.
func drawPlan(t *rapid.T) *brew.Plan {
	r := brew.Recipe{Name: "Quayside any", Method: brew.OtherMethod, Dose: 20 * brew.Gram, Temperature: 93}
	end := time.Duration(0)
	add := func(s brew.Step, over time.Duration) {
		s.Over = over
		gap := tenths(t, 0, 30, "gap")
		switch anchor := rapid.SampledFrom([]brew.Anchor{brew.Directly, brew.After, brew.At}).Draw(t, "anchor"); {
		case len(r.Steps) == 0 || gap == 0:
			gap = 0
		case anchor == brew.At:
			s.Anchor, s.Offset = anchor, end+gap
		case anchor == brew.After:
			s.Anchor, s.Offset = anchor, gap
		default:
			gap = 0
		}
		s.Mark = rapid.SampledFrom([]brew.Marks{"", "", brew.MarkBoth, brew.MarkStart, brew.MarkEnd}).Draw(t, "mark")
		w := brew.Window{Early: tenths(t, 0, 5, "early"), Late: tenths(t, 0, 5, "late")}
		s.Start, s.End = &w, &w
		r.Steps, end = append(r.Steps, s), end+gap+over
	}
	for range rapid.IntRange(1, 6).Draw(t, "pours") {
		add(brew.Step{Action: brew.Pour, Amount: 50 * brew.Gram}, tenths(t, 4, 20, "pour"))
		r.Water += 50 * brew.Gram
		if rapid.Bool().Draw(t, "stirred") {
			add(brew.Step{Action: brew.Stir}, tenths(t, 2, 6, "stir"))
		}
	}
	last := rapid.SampledFrom([]brew.Action{brew.Drawdown, brew.Press, brew.Serve}).Draw(t, "last")
	add(brew.Step{Action: last}, tenths(t, 10, 90, "last takes"))
	if last == brew.Drawdown && rapid.Bool().Draw(t, "served") {
		add(brew.Step{Action: brew.Serve}, tenths(t, 2, 8, "serve"))
	}
	plan, err := brew.NewPlan(r, brew.Bar{})
	if err != nil {
		t.Fatalf("the drawn recipe cannot be planned: %v", err)
	}
	return plan
}

var kinds = []brew.EventKind{
	brew.EventMark, brew.EventMark, brew.EventMark, brew.EventMark, brew.EventMark, brew.EventMark, brew.EventUndo, brew.EventSkip,
	brew.EventZero, brew.EventNudge, brew.EventMoved, brew.EventNote, brew.EventStop, brew.EventFinish,
}

// drawEvents draws what may happen to a brew of the plan, in order.
func drawEvents(t *rapid.T, plan *brew.Plan) []brew.Event {
	var from time.Duration
	if rapid.IntRange(0, 4).Draw(t, "entered") == 0 {
		from = tenths(t, 0, plan.End.Seconds(), "from")
	}
	lane, events := brew.NewLane(plan), []brew.Event{{Kind: brew.EventStart, From: from}}
	lane, _ = lane.Apply(events[0])
	for range rapid.IntRange(0, 16).Draw(t, "events") {
		e := brew.Event{Kind: rapid.SampledFrom(kinds).Draw(t, "kind"), At: events[len(events)-1].At}
		// Hundredths, so that figures round.
		later := time.Duration(rapid.IntRange(0, 3000).Draw(t, "later")) * 10 * time.Millisecond
		if call, ok := nextCall(lane); ok && rapid.IntRange(0, 3).Draw(t, "aimed") > 0 {
			later = call + later/5 - 3*time.Second - lane.Elapsed(e.At)
		}
		e.At += max(later, 0)
		switch e.Kind {
		case brew.EventMoved:
			e.Cue, e.To = rapid.IntRange(0, len(plan.Cues)-1).Draw(t, "cue"), lane.Elapsed(e.At)+tenths(t, 0, 60, "to")
		case brew.EventMark:
			if rapid.Bool().Draw(t, "weighed") {
				m := brew.Mass(rapid.IntRange(0, 400).Draw(t, "weight")) * brew.Gram
				e.Weight = &m
			}
		}
		lane, _ = lane.Apply(e)
		events = append(events, e)
	}
	return events
}

// nextCall returns when the first beat that waits for a mark is called.
func nextCall(lane brew.Lane) (at time.Duration, ok bool) {
	for n, b := range lane.Plan().Beats {
		s := lane.Beat(n)
		if b.Asked && s.Status == brew.Waiting && (!ok || s.Called < at) {
			at, ok = s.Called, true
		}
	}
	return at, ok
}

// drawConditions draws what a brew was brewed under.
func drawConditions(t *rapid.T) drift.Conditions {
	return drift.Conditions{
		Kind:   rapid.SampledFrom([]drift.Kind{"", drift.Service, drift.Rehearsal, drift.Practice, drift.Demo}).Draw(t, "kind of brew"),
		Speed:  rapid.SampledFrom([]float64{0, 1, 0.5, 2}).Draw(t, "speed"),
		CutOff: rapid.Bool().Draw(t, "cut off"),
	}
}

// fold folds what makes sense of the events.
func fold(plan *brew.Plan, events []brew.Event) brew.Lane {
	lane := brew.NewLane(plan)
	for _, e := range events {
		lane, _ = lane.Apply(e)
	}
	return lane
}
