package brew_test

import (
	"testing"

	"barline/brew"
)

// round is two lanes of a pour that ends at 20 s, the second begun 30 s later.
func round(t *testing.T, events ...brew.Event) brew.Timeline {
	t.Helper()
	p := planned(t, busy())
	tl := brew.NewTimeline(p, p)
	for _, e := range append([]brew.Event{happens(brew.EventStart, 0), in(1, happens(brew.EventStart, 30))}, events...) {
		next, out := tl.Apply(e)
		if out.Effect == brew.Refused {
			t.Fatalf("%s is refused: %s", e.Kind, out.Why)
		}
		tl = next
	}
	return tl
}

func in(lane int, e brew.Event) brew.Event {
	e.Lane = lane
	return e
}

func TestATimelineGivesEventsToTheirLanes(t *testing.T) {
	before := round(t)
	after, out := before.Apply(in(1, happens(brew.EventMark, 51)))
	same(t, "outcome", out.Beat, 1)
	same(t, "lanes", after.Lanes(), 2)
	same(t, "first lane", tally(after.Lane(0)), "20? 30? 50?")
	same(t, "second lane", tally(after.Lane(1)), "20=21 30? 50?")
	same(t, "the one before is left as it was", tally(before.Lane(1)), "20? 30? 50?")
	for _, lane := range []int{-1, 2} {
		next, out := before.Apply(in(lane, happens(brew.EventMark, 51)))
		same(t, "a lane that is not there", []any{out.Effect, out.Why}, []any{brew.Refused, "there is no such lane"})
		same(t, "no trace", next, before)
	}
}

func TestTheLaneNearestToAMark(t *testing.T) {
	mark := func(lane int, at float64) brew.Event { return in(lane, happens(brew.EventMark, at)) }
	for _, test := range []struct {
		name      string
		timeline  brew.Timeline
		at        float64
		preferred int
		want      int
	}{
		{"no lane has started", brew.NewTimeline(planned(t, busy())), 20, 0, -1},
		{"no lane at all", brew.NewTimeline(), 20, 0, -1},
		{"the nearer call", round(t), 29, 1, 0},
		{"the nearer call is the later", round(t), 57, 0, 1},
		{"as near, the preferred one", round(t), 50, 1, 1},
		{"as near, the other preferred one", round(t), 50, 0, 0},
		{"as near, none preferred, the first", round(t), 50, -1, 0},
		{"only what waits counts", round(t, mark(0, 20), mark(0, 30), mark(0, 50)), 51, 0, 1},
		{"nothing waits", round(t, mark(0, 20), mark(0, 30), mark(0, 50), mark(1, 80)), 81, 0, -1},
		{"an ended lane takes none", round(t, happens(brew.EventStop, 40)), 41, 0, 1},
	} {
		same(t, test.name, test.timeline.Nearest(sec(test.at), test.preferred), test.want)
	}
}

func TestTheLaneToTakeBackFrom(t *testing.T) {
	mark := func(lane int, at float64) brew.Event { return in(lane, happens(brew.EventMark, at)) }
	for _, test := range []struct {
		name   string
		events []brew.Event
		want   int
	}{
		{"nothing to take back", nil, -1},
		{"the lane with the latest mark", []brew.Event{mark(0, 30), mark(1, 51)}, 1},
		{"a skip counts as well", []brew.Event{mark(1, 51), happens(brew.EventSkip, 52)}, 0},
		{"what was taken back is gone", []brew.Event{mark(0, 30), mark(1, 51), in(1, happens(brew.EventUndo, 52))}, 0},
		{"not from a lane that was stopped", []brew.Event{mark(0, 30), mark(1, 51), in(1, happens(brew.EventStop, 52))}, 0},
	} {
		same(t, test.name, round(t, test.events...).Undoable(), test.want)
	}
}

func TestATimelineEndsWithItsLastLane(t *testing.T) {
	stop, finish := happens(brew.EventStop, 40), in(1, happens(brew.EventFinish, 41))
	for _, test := range []struct {
		name   string
		events []brew.Event
		want   bool
	}{
		{"while both go on", nil, false},
		{"while one goes on", []brew.Event{stop}, false},
		{"when both have ended", []brew.Event{stop, finish}, true},
	} {
		same(t, test.name, round(t, test.events...).Ended(), test.want)
	}
}
