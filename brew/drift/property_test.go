package drift_test

import (
	"fmt"
	"reflect"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"barline/brew"
	"barline/brew/drift"
)

func TestOfAnyBrew(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		plan := drawPlan(t)
		lane := fold(plan, drawEvents(t, plan))
		d := drawConditions(t).Of(lane)
		rowsFollowThePlan(t, plan, d)
		for _, r := range d.Rows {
			rowIsOfItsBeat(t, lane, r, d.Ending)
			rowAddsUp(t, lane, r)
		}
		latenessAddsUp(t, d)
		lengthsFollowTheMarks(t, lane, d)
		countsAddUp(t, lane, d)
		sentenceIsFair(t, d)
		encodes(t, d)
	})
}

func TestShiftOnTheTimelineChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		plan := drawPlan(t)
		events := drawEvents(t, plan)
		by := tenths(t, 0, 600, "by")
		shifted := slices.Clone(events)
		for i := range shifted {
			shifted[i].At += by
		}
		if a, b := drift.Of(fold(plan, events)), drift.Of(fold(plan, shifted)); !reflect.DeepEqual(a, b) {
			t.Fatalf("%+v\nshifted %+v", a, b)
		}
	})
}

// A plan and its marks that come later by the same time keep every drift.
func TestShiftOfPlanAndMarksKeepsEveryDrift(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		plan := drawPlan(t)
		by := tenths(t, 0, 60, "by")
		later := *plan
		later.Cues, later.Beats = slices.Clone(plan.Cues), slices.Clone(plan.Beats)
		for i := range later.Cues {
			later.Cues[i].Start += by
			later.Cues[i].End += by
		}
		for i := range later.Beats {
			later.Beats[i].Due += by
		}
		early, late := []brew.Event{{Kind: brew.EventStart}}, []brew.Event{{Kind: brew.EventStart}}
		at := time.Duration(0)
		for range rapid.IntRange(0, 10).Draw(t, "marks") {
			at += tenths(t, 0.1, 30, "later")
			early, late = append(early, brew.Event{Kind: brew.EventMark, At: at}), append(late, brew.Event{Kind: brew.EventMark, At: at + by})
		}
		a, b := drift.Of(fold(plan, early)), drift.Of(fold(&later, late))
		for i, r := range a.Rows {
			r.Written += by
			r.Called += by
			if r.IsMarked() {
				r.Marked += by
				r.Raw += by
			}
			if s := b.Rows[i]; r.Drift != s.Drift || r.Carried != s.Carried || r.Slip != s.Slip || r.Cup != s.Cup || r.Person != s.Person || r.Bed != s.Bed || r.Called != s.Called || r.Marked != s.Marked {
				t.Fatalf("%+v\nlater by %v: %+v", r, by, s)
			}
		}
		if a.Lateness.Total != b.Lateness.Total || a.Lateness.Person != b.Lateness.Person || a.Sentence != b.Sentence {
			t.Fatalf("%+v\nlater by %v: %+v", a.Lateness, by, b.Lateness)
		}
	})
}

// However slow or quick the bed, hands that mark each of their beats as it is
// called are on time and have made no lateness.
func TestBedNeverCountsAgainstThePerson(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		plan := drawPlan(t)
		lane, _ := brew.NewLane(plan).Apply(brew.Event{Kind: brew.EventStart})
		for n, b := range plan.Beats {
			if !b.Asked || b.Has(0, brew.StartEdge) {
				continue
			}
			at := lane.Beat(n).Called
			if b.Owner == brew.Bed {
				at = max(at+tenths(t, -30, 120, "bed"), 0)
			}
			next, outcome := lane.Apply(brew.Event{Kind: brew.EventMark, At: at})
			if outcome.Beat != n {
				t.Skip("the mark went to another beat")
			}
			lane = next
		}
		d := drift.Of(lane)
		for _, r := range d.Rows {
			if r.Owner == brew.Person && r.IsMarked() && (r.Slip != 0 || r.Person != drift.OnTime) {
				t.Fatalf("the hand is judged for the bed: %+v", r)
			}
			if r.Owner == brew.Bed && r.IsMarked() && r.Slip != d.Lateness.Bed {
				t.Fatalf("the bed's slip %v is not its lateness %v", r.Slip, d.Lateness.Bed)
			}
		}
		if d.Lateness.Person != 0 || d.Sentence.Says == drift.SaysHand || d.Sentence.Says == drift.SaysBoth {
			t.Fatalf("lateness %+v: %q", d.Lateness, d.Sentence.Text)
		}
	})
}

func TestWithoutMarksThereIsNoJudgement(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		plan := drawPlan(t)
		events := slices.DeleteFunc(drawEvents(t, plan), func(e brew.Event) bool { return e.Kind == brew.EventMark })
		d := drift.Of(fold(plan, events))
		for _, r := range d.Rows {
			if r.Cup != "" || r.Person != "" || r.Bed != "" || r.Drift != 0 || r.Slip != 0 || r.Word().Figure != "" || r.Note() != "" {
				t.Fatalf("a judgement without a mark: %+v", r)
			}
		}
		if len(d.Lengths) > 0 || d.Contact != nil && (d.Contact.Measured || d.Contact.Verdict != "") {
			t.Fatalf("a length without a mark: %+v, contact %+v", d.Lengths, d.Contact)
		}
		if l := d.Lateness; l.Total != 0 || l.Person != 0 || l.Bed != 0 || l.Between != 0 || l.Last != -1 || len(l.Made) > 0 || d.Sentence.Says != drift.SaysNothing {
			t.Fatalf("lateness without a mark: %+v, %q", l, d.Sentence.Text)
		}
	})
}

// A mark that is taken back in the same moment leaves the debrief as a note
// in its place would, but for the count of it.
func TestUndoneMarkLeavesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		plan := drawPlan(t)
		lane := fold(plan, drawEvents(t, plan))
		at := drift.Of(lane).End + lane.Zero() + tenths(t, 0, 30, "later")
		marked, outcome := lane.Apply(brew.Event{Kind: brew.EventMark, At: at})
		if outcome.Effect == brew.Refused {
			t.Skip(outcome.Why)
		}
		undone, _ := marked.Apply(brew.Event{Kind: brew.EventUndo, At: at})
		noted, _ := lane.Apply(brew.Event{Kind: brew.EventNote, At: at})
		a, b := drift.Of(undone), drift.Of(noted)
		a.Counts.Undone--
		if !reflect.DeepEqual(a.Rows, b.Rows) || a.Counts != b.Counts || a.Sentence != b.Sentence {
			t.Fatalf("%+v\nnever marked: %+v", a, b)
		}
	})
}

func TestNudgedMarkMovesItsRowAlone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		plan := drawPlan(t)
		lane := fold(plan, drawEvents(t, plan))
		at := drift.Of(lane).End + lane.Zero()
		nudged, outcome := lane.Apply(brew.Event{Kind: brew.EventNudge, At: at})
		if outcome.Effect == brew.Refused {
			t.Skip(outcome.Why)
		}
		for i, r := range drift.Of(nudged).Rows {
			was := drift.Of(lane).Rows[i]
			if by := was.Marked - r.Marked; r.Raw != was.Raw || r.Called != was.Called && r.IsMarked() || by != 0 && (r.Beat != outcome.Beat || by != brew.Nudge) {
				t.Fatalf("%+v\nnudged: %+v", was, r)
			}
		}
	})
}

func TestJudgementFollowsFromTheFigure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := time.Duration(rapid.Int64Range(-2e11, 2e11).Draw(t, "d"))
		w := brew.Window{Early: time.Duration(rapid.Int64Range(0, 1e10).Draw(t, "early")), Late: time.Duration(rapid.Int64Range(0, 1e10).Draw(t, "late"))}
		if brew.Signed(d) != brew.Signed(drift.Tenths(d)) {
			t.Fatalf("%v is shown as %s, its tenths as %s", d, brew.Signed(d), brew.Signed(drift.Tenths(d)))
		}
		got := drift.Judge(d, w)
		if got != drift.Judge(drift.Tenths(d), w) || w.Holds(d) && got != drift.OnTime {
			t.Fatalf("%v in %v is %q", d, w, got)
		}
		if fmt.Sprint(got == drift.Early, got == drift.Late) == "true true" || got == drift.Early && d >= 0 || got == drift.Late && d <= 0 {
			t.Fatalf("%v is %q", d, got)
		}
	})
}
