package routine_test

import (
	"reflect"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/routine"
)

// recorded is a run to which all that is given happened, and what
// its record makes of it.
func recorded(t *testing.T, p *routine.Plan, events ...brew.Event) (run, again routine.Run) {
	t.Helper()
	run = routine.NewRun(p, p.Whole())
	for _, e := range events {
		var out brew.Outcome
		if run, out = run.Apply(e); out.Effect == brew.Refused {
			t.Fatalf("%+v: %s", e, out.Why)
		}
	}
	for _, e := range run.Closing() {
		run, _ = run.Apply(e)
	}
	own, brews := run.Parted()
	again, err := new(routine.Reader).Run(routine.Take{Speed: 1, Events: routine.Merge(own, brews...)})
	if err != nil {
		t.Fatal(err)
	}
	return run, again
}

// A mark and the end of the run may come in one moment, as two keys that the
// terminal sends together: the record is followed in the order in which they came.
func TestARunThatEndsInTheMomentOfAMark(t *testing.T) {
	p := planned(t, two())
	calls, zero := p.CallsLane(), p.Cups[0].Zero
	at := zero + p.Cups[0].Plan.Beats[p.Cups[0].Plan.Cues[0].EndBeat].Due
	for name, end := range map[string][]brew.Event{
		"stopped":  {{Kind: brew.EventStop, Lane: calls, At: at, Source: brew.FromKey, Text: "the kettle was cold"}},
		"finished": {{Kind: brew.EventMark, Lane: calls, At: at, Source: brew.FromKey}},
		"finished, taken back and finished": {
			{Kind: brew.EventMark, Lane: calls, At: at, Source: brew.FromKey},
			{Kind: brew.EventUndo, Lane: calls, At: at, Source: brew.FromKey},
			{Kind: brew.EventMark, Lane: calls, At: at, Source: brew.FromKey},
		},
	} {
		run, again := recorded(t, p, append([]brew.Event{
			{Kind: brew.EventMark, Lane: calls, Source: brew.FromKey},
			{Kind: brew.EventStart, Lane: 0, At: zero, Source: brew.FromKey},
			{Kind: brew.EventMark, Lane: 0, At: at, Source: brew.FromKey},
		}, end...)...)
		take := routine.Take{Speed: 1}
		if was, is := routine.Of(take, run), routine.Of(take, again); !reflect.DeepEqual(was.Marks, is.Marks) || was.Ending != is.Ending || was.Ended != is.Ended {
			t.Errorf("%s: got\n%+v\nwant\n%+v", name, is, was)
		}
	}
}

// Each list keeps its order, also where a clock went back.
func TestMergeKeepsTheOrderOfEachList(t *testing.T) {
	event := func(kind brew.EventKind, lane int, at time.Duration) brew.Event {
		return brew.Event{Kind: kind, Lane: lane, At: at * time.Second}
	}
	own := []brew.Event{event(routine.EventBegin, 3, 0), event(brew.EventMark, 3, 0), event(brew.EventMark, 2, 10), event(brew.EventUndo, 2, 8), event(brew.EventMark, 2, 12), event(brew.EventStop, 3, 20)}
	cup := []brew.Event{event(brew.EventStart, 0, 0), event(brew.EventMark, 0, 9), event(brew.EventMark, 0, 12), event(brew.EventMark, 0, 20), event(brew.EventStop, 0, 20)}
	other := []brew.Event{event(brew.EventStart, 1, 0), event(brew.EventFinish, 1, 12), event(brew.EventStop, 1, 20)}
	want := []brew.Event{own[0], own[1], cup[0], other[0], cup[1], own[2], own[3], other[1], own[4], cup[2], cup[3], own[5], cup[4], other[2]}
	if got := routine.Merge(own, cup, other); !reflect.DeepEqual(got, want) {
		t.Errorf("got\n%+v\nwant\n%+v", got, want)
	}
	if got := routine.Merge(nil); len(got) != 0 {
		t.Errorf("%+v", got)
	}
}
