package brew_test

import (
	"fmt"
	"testing"
	"time"

	"barline/brew"
)

// seen writes what a moment shows: the cue that is on, for how long still, a
// free one beside it, the next one and in how long, the reading and what is to
// go, the beat that waits, and when the picture changes.
func seen(m brew.Moment) string {
	text := "on nothing"
	if m.On >= 0 {
		text = fmt.Sprintf("on %d for %s", m.On, brew.Spoken(m.Left))
	}
	if m.Beside >= 0 {
		text += fmt.Sprintf(" beside %d", m.Beside)
	}
	if m.Next >= 0 {
		text += fmt.Sprintf(", next %d in %s", m.Next, brew.Spoken(m.NextIn))
	}
	if m.HasReading {
		text += ", " + m.Reading.String()
	}
	if m.ToGo > 0 {
		text += ", to go " + m.ToGo.String()
	}
	if m.PendingCount > 0 {
		text += fmt.Sprintf(", %d pending, first %d", m.PendingCount, m.Pending)
	}
	if m.HasChange {
		text += ", changes " + brew.Exact(m.Changes)
	}
	return text
}

func TestMomentsOfAPlan(t *testing.T) {
	press, cone := planned(t, quayside()), planned(t, bed())
	slow := planned(t, method(brew.OtherMethod, pour(7.3, 2), pour(12.5, 10), pour(0.9, 2)))
	for _, test := range []struct {
		name string
		plan *brew.Plan
		at   float64
		want string
	}{
		{"before zero nothing is on", press, -2, "on nothing, next 0 in 2 s, changes 0:00"},
		{"at zero the first cue begins, with nothing poured", press, 0, "on 0 for 8 s, next 1 in 8 s, 0 g, to go 50 g, changes 0:00.2"},
		{"a fast pour is read five times a second", press, 0.2, "on 0 for 7.8 s, next 1 in 7.8 s, 1 g, to go 49 g, changes 0:00.4"},
		{"and between two readings not at all", press, 0.399, "on 0 for 7.601 s, next 1 in 7.601 s, 1 g, to go 49 g, changes 0:00.4"},
		{"halfway, half of it", press, 4, "on 0 for 4 s, next 1 in 4 s, 25 g, to go 25 g, changes 0:04.2"},
		{"the last reading before the end holds until the end", press, 7.9, "on 0 for 0.1 s, next 1 in 0.1 s, 48 g, to go 2 g, changes 0:08"},
		{"a boundary belongs to the next cue, and the reading is exact", press, 8, "on 1 for 4 s, next 2 in 28 s, 50 g, changes 0:12"},
		{"in a gap the next cue is awaited", press, 12, "on nothing, next 2 in 24 s, 50 g, changes 0:36"},
		{"a pour to a reading goes on from the one before", press, 36.6, "on 2 for 15.4 s, next 3 in 15.4 s, 56 g, to go 154 g, changes 0:36.8"},
		{"a lift takes the reading away", press, 56, "on 4 for 2 s, next 5 in 44 s, changes 0:58"},
		{"a press changes a hundredth at a time", press, 112, "on 8 for 28 s, changes 1:52.28"},
		{"the last hundredth ends with it", press, 139.8, "on 8 for 0.2 s, changes 2:20"},
		{"at the end nothing is on and nothing changes", press, 140, "on nothing"},
		{"a slow pour is read gram by gram", slow, 3.666, "on 1 for 8.334 s, next 2 in 8.334 s, 9.3 g, to go 10.5 g, changes 0:04.4"},
		{"less than a gram to pour does not move", slow, 12.5, "on 2 for 1.5 s, 19.8 g, to go 0.9 g, changes 0:14"},
		{"a free cue is on by itself", cone, 20, "on 1 for 1 min, next 2 in 50 s, 200 g, changes 1:10"},
		{"a busy cue is followed before the free one", cone, 70, "on 2 for 8 s beside 1, next 3 in 10 s, 200 g, changes 1:18"},
		{"behind it the free one is on again", cone, 78, "on 1 for 2 s, next 3 in 2 s, 200 g, changes 1:20"},
	} {
		same(t, test.name, seen(test.plan.At(sec(test.at))), test.want)
	}
}

func TestMomentsOfALane(t *testing.T) {
	for _, test := range []struct {
		name   string
		recipe brew.Recipe
		script string
		at     float64
		want   string
	}{
		{"before the start it is the plan's", quayside(), "note 0", 4, "on 0 for 4 s, next 1 in 4 s, 25 g, to go 25 g, changes 0:04.2"},
		{"a beat that is called waits from that moment on", quayside(), "start 0", 8, "on 1 for 4 s, next 2 in 28 s, 50 g, 1 pending, first 1, changes 0:12"},
		{"a moment before, none waits", quayside(), "start 0", 7.999, "on 0 for 0.001 s, next 1 in 0.001 s, 48 g, to go 2 g, changes 0:08"},
		{"the first that waits is told, and how many", quayside(), "start 0", 60, "on nothing, next 5 in 40 s, 2 pending, first 1, changes 1:40"},
		{"marked, it waits no more", quayside(), "start 0, mark 8.5", 12.5, "on nothing, next 2 in 23.5 s, 50 g, changes 0:36"},
		{"the first that waits is the first called, not the first in the plan", drained(pinned(76, act(brew.Swirl, "", 8))), "start 0, mark 28", 89,
			"on nothing, 200 g, 2 pending, first 4, changes 2:29"},
		{"a pour that began late is read from there", quayside(), "start 0, moved 10 cue 2 to 40", 40.2, "on 2 for 15.8 s, next 3 in 15.8 s, 52 g, to go 158 g, 1 pending, first 1, changes 0:40.4"},
		{"a pour cut short counts as poured", quayside(), "start 0, skip 4", 4, "on 1 for 4 s, next 2 in 32 s, 50 g, changes 0:08"},
		{"when nothing else comes, it ends itself", quayside(), "start 0", 141, "on nothing, 4 pending, first 1, changes 3:20"},
		{"a cue marked as done once the next one is on", busy(), "start 0, mark 28, mark 57", 57, "on 3 for 1 s, 200 g, changes 0:58"},
		{"stopped, nothing is on", quayside(), "start 0, stop 4", 5, "on nothing"},
		{"finished, neither", quayside(), "start 0, finish 4", 5, "on nothing"},
	} {
		l := brewed(t, planned(t, test.recipe), script(t, test.script)...)
		same(t, test.name, seen(l.At(sec(test.at))), test.want)
	}
}

func TestHowFarACueShouldBe(t *testing.T) {
	p := planned(t, quayside())
	for _, test := range []struct {
		name string
		at   time.Duration
		want float64
	}{
		{"nothing at its start", 112 * s, 0},
		{"a quarter", 119 * s, 0.25},
		{"half", 126 * s, 0.5},
		{"nothing where none is on", 140 * s, 0},
	} {
		same(t, test.name, p.At(test.at).Done, test.want)
	}
	if done := p.At(140*s - 1).Done; done <= 0.999 || done >= 1 {
		t.Errorf("a moment before the end %v is done", done)
	}
}

func TestReadingsMoveAtMostFiveTimesASecond(t *testing.T) {
	for _, test := range []struct {
		name    string
		recipe  brew.Recipe
		changes int // of the reading, the start counted
	}{
		{"a slow pour moves once a gram", method(brew.OtherMethod, pour(30, 20)), 31},
		{"a pour of parts of a gram moves its whole ones", method(brew.OtherMethod, pour(30.9, 20)), 32},
		{"a fast one five times a second", method(brew.OtherMethod, pour(300, 20)), 101},
		{"a very slow and long one too", method(brew.OtherMethod, pour(1000, 86000)), 1001},
	} {
		p := planned(t, test.recipe)
		changes, last := 1, p.At(0)
		for m := last; m.HasChange; {
			m = p.At(m.Changes)
			if m.Reading == last.Reading {
				t.Fatalf("%s: nothing moves at %s", test.name, m.At)
			}
			if m.At-last.At < 200*time.Millisecond && m.At != p.End || m.Reading < last.Reading {
				t.Fatalf("%s: from %s at %s to %s at %s", test.name, last.Reading, last.At, m.Reading, m.At)
			}
			changes, last = changes+1, m
		}
		same(t, test.name, []any{changes, last.Reading}, []any{test.changes, p.Water})
	}
}

func TestAskingDoesNotAllocate(t *testing.T) {
	l := midway(t)
	p := l.Plan()
	if n := testing.AllocsPerRun(100, func() { l.At(60 * s); p.At(60 * s); l.EndsItself() }); n != 0 {
		t.Errorf("%v allocations", n)
	}
}
