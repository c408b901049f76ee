package drift_test

import (
	"testing"
	"time"

	"barline/brew"
	"barline/brew/drift"
)

// want is what a row must say, times in seconds.
type want struct {
	key                    string
	status                 brew.Status
	drift, carried, slip   float64
	cup, person, bed       drift.Verdict
	startUnmarked, reached bool
}

func (w want) of(r drift.Row) bool {
	return r.Key == w.key && r.Status == w.status && r.Drift == sec(w.drift) && r.Carried == sec(w.carried) && r.Slip == sec(w.slip) &&
		r.Cup == w.cup && r.Person == w.person && r.Bed == w.bed && r.StartUnmarked == w.startUnmarked && r.Reached == w.reached
}

func TestRows(t *testing.T) {
	const on, early, late = drift.OnTime, drift.Early, drift.Late
	opened := bowl()
	opened.Steps[0].Mark = brew.MarkStart
	const marked, unmarked, skipped, passed, waiting = brew.Marked, brew.Unmarked, brew.Skipped, brew.Passed, brew.Waiting
	for _, c := range []struct {
		name   string
		recipe brew.Recipe
		events []brew.Event
		rows   []want
	}{
		{"a mark at its call has no drift", bowl(), marks(15, 240), []want{
			{"first pour, end", marked, 0, 0, 0, on, on, "", false, true},
			{"first break, start", marked, 0, 0, 0, on, on, "", false, true},
		}},
		{"both edges of the window are on time, a tenth outside is not", press(), marks(5, 55, 115.1, 138), []want{
			{"first pour, end", marked, -3, 0, -3, on, on, "", false, true},
			{"second pour, end", marked, 3, 0, 3, on, on, "", true, true},
			{"first press, start", marked, 3.1, 0, 3.1, late, late, "", true, true},
			{"first press, end", marked, -2, 3.1, -5.1, on, early, "", false, true},
		}},
		{"a step's own window is the one that judges", press(), marks(8, 52, 112, 145), []want{
			{"first pour, end", marked, 0, 0, 0, on, on, "", false, true},
			{"second pour, end", marked, 0, 0, 0, on, on, "", true, true},
			{"first press, start", marked, 0, 0, 0, on, on, "", true, true},
			{"first press, end", marked, 5, 0, 5, on, on, "", false, true},
		}},
		{"what hangs behind a late beat carries its lateness", cone(), marks(10, 66, 96, 156), []want{
			{"first pour, end", marked, 0, 0, 0, on, on, "", false, true},
			{"second pour, end", marked, 6, 0, 6, late, late, "", true, true},
			{"third pour, end", marked, 6, 6, 0, late, on, "", true, true},
			{"first drawdown, end", marked, 6, 6, 0, late, "", on, false, true},
		}},
		{"the bed's lateness is the bed's", cone(), marks(10, 60, 90, 162), []want{
			{"first pour, end", marked, 0, 0, 0, on, on, "", false, true},
			{"second pour, end", marked, 0, 0, 0, on, on, "", true, true},
			{"third pour, end", marked, 0, 0, 0, on, on, "", true, true},
			{"first drawdown, end", marked, 12, 0, 12, late, "", late, false, true},
		}},
		{"a beat jumped over is unmarked and not judged, and leaves the next start unmarked", cone(), marks(10, 60, 150), []want{
			{"first pour, end", marked, 0, 0, 0, on, on, "", false, true},
			{"second pour, end", marked, 0, 0, 0, on, on, "", true, true},
			{"third pour, end", unmarked, 0, 0, 0, "", "", "", false, true},
			{"first drawdown, end", marked, 0, 0, 0, on, "", on, true, true},
		}},
		{"an unmarked beat carries too", cone(), marks(10, 66, 156), []want{
			{"first pour, end", marked, 0, 0, 0, on, on, "", false, true},
			{"second pour, end", marked, 6, 0, 6, late, late, "", true, true},
			{"third pour, end", unmarked, 0, 6, 0, "", "", "", false, true},
			{"first drawdown, end", marked, 6, 6, 0, late, "", on, true, true},
		}},
		{"a skipped step's beat is skipped, and what hangs on it moves up", bowl(), []brew.Event{start(), skip(5), mark(238), finish(260)}, []want{
			{"first pour, end", skipped, 0, -10, 0, "", "", "", false, true},
			{"first break, start", marked, -2, 0, -2, on, on, "", false, true},
		}},
		{"beats from before the start of a brew entered in the middle are passed", cone(), []brew.Event{from(40), mark(20), mark(50), mark(110), finish(120)}, []want{
			{"first pour, end", passed, 0, 0, 0, "", "", "", false, false},
			{"second pour, end", marked, 0, 0, 0, on, on, "", true, true},
			{"third pour, end", marked, 0, 0, 0, on, on, "", true, true},
			{"first drawdown, end", marked, 0, 0, 0, on, "", on, false, true},
		}},
		{"a brew entered in the middle of its first cue has not seen it begin", bowl(), []brew.Event{from(5), mark(10), finish(20)}, []want{
			{"first pour, end", marked, 0, 0, 0, on, on, "", true, true},
			{"first break, start", unmarked, 0, 0, 0, "", "", "", false, false},
		}},
		{"beats due after a stop were not reached", bowl(), []brew.Event{start(), mark(15), stop(100)}, []want{
			{"first pour, end", marked, 0, 0, 0, on, on, "", false, true},
			{"first break, start", unmarked, 0, 0, 0, "", "", "", false, false},
		}},
		{"a beat called at the moment of the stop was reached", bowl(), []brew.Event{start(), stop(15)}, []want{
			{"first pour, end", unmarked, 0, 0, 0, "", "", "", false, true},
			{"first break, start", unmarked, 0, 0, 0, "", "", "", false, false},
		}},
		{"while a brew goes on its beats wait", bowl(), []brew.Event{start(), mark(16)}, []want{
			{"first pour, end", marked, 1, 0, 1, on, on, "", false, true},
			{"first break, start", waiting, 0, 0, 0, "", "", "", false, false},
		}},
		{"before the start everything waits and nothing was reached", bowl(), nil, []want{
			{"first pour, end", waiting, 0, 0, 0, "", "", "", false, false},
			{"first break, start", waiting, 0, 0, 0, "", "", "", false, false},
		}},
		{"before the start not even what is due at 0:00 was reached", opened, []brew.Event{event(brew.EventNote, 5)}, []want{
			{"first pour, start", waiting, 0, 0, 0, "", "", "", false, false},
			{"first break, start", waiting, 0, 0, 0, "", "", "", false, false},
		}},
		{"zero again counts the drifts from the new zero", bowl(), []brew.Event{start(), zero(4), mark(19), mark(244), finish(260)}, []want{
			{"first pour, end", marked, 0, 0, 0, on, on, "", false, true},
			{"first break, start", marked, 0, 0, 0, on, on, "", false, true},
		}},
		{"a cue that must wait for another brew is carried, not slipped", bowl(), []brew.Event{start(), mark(15), moved(200, 1, 250), mark(250), finish(260)}, []want{
			{"first pour, end", marked, 0, 0, 0, on, on, "", false, true},
			{"first break, start", marked, 10, 10, 0, late, on, "", false, true},
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := debrief(t, c.recipe, c.events...)
			if len(d.Rows) != len(c.rows) {
				t.Fatalf("%d rows, want %d", len(d.Rows), len(c.rows))
			}
			for i, r := range d.Rows {
				if !c.rows[i].of(r) {
					t.Errorf("row %d is\n%s\nwant %+v", i, asJSON(t, r), c.rows[i])
				}
			}
		})
	}
}

func TestRowNamesItsBeat(t *testing.T) {
	r := debrief(t, press(), marks(8, 52, 112, 140)...).Rows[3]
	plan := planOf(t, press())
	beat := plan.Beats[r.Beat]
	if r.Key != beat.Key || r.Name != beat.Name || r.Edge != beat.Edge || r.Window != beat.Window || r.Owner != beat.Owner {
		t.Errorf("row %s is not beat %+v", asJSON(t, r), beat)
	}
	if cue := plan.Cues[r.Cue]; r.Step != cue.Name || r.Action != brew.Press || r.Length != 28*time.Second {
		t.Errorf("row %s is not of cue %+v", asJSON(t, r), cue)
	}
}

func TestNudgedMarkCountsWhereItWasMovedAndKeepsItsRawTime(t *testing.T) {
	d := debrief(t, press(), start(), mark(12), nudge(13), nudge(14), finish(200))
	r := d.Rows[0]
	if r.Marked != sec(10) || r.Raw != sec(12) || r.Drift != sec(2) || r.Slip != sec(2) || r.Person != drift.OnTime {
		t.Errorf("row of a mark nudged twice is %s", asJSON(t, r))
	}
	if d.Counts.Nudged != 1 {
		t.Errorf("%d marks nudged, want 1", d.Counts.Nudged)
	}
}

func TestWeight(t *testing.T) {
	grams := func(g float64) brew.Mass { return brew.Mass(g * float64(brew.Gram)) }
	lifted := press()
	lifted.Steps[8].Mark = brew.MarkEnd
	for _, c := range []struct {
		name   string
		recipe brew.Recipe
		events []brew.Event
		row    int
		want   *drift.Weight
	}{
		{"too much is positive", press(), []brew.Event{start(), weighed(8, 52.4)}, 0, &drift.Weight{Read: grams(52.4), Target: grams(50), Off: grams(2.4), HasTarget: true}},
		{"too little is negative", press(), []brew.Event{start(), mark(8), weighed(52, 209.5)}, 1, &drift.Weight{Read: grams(209.5), Target: grams(210), Off: grams(-0.5), HasTarget: true}},
		{"nobody weighed", press(), []brew.Event{start(), mark(8)}, 0, nil},
		{"off the scale there is no target", lifted, []brew.Event{start(), weighed(140, 300)}, 2, &drift.Weight{Read: grams(300)}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := debrief(t, c.recipe, c.events...).Rows[c.row]
			if (got.Weight == nil) != (c.want == nil) || got.Weight != nil && *got.Weight != *c.want {
				t.Errorf("weight of %s is %+v, want %+v", got.Key, got.Weight, c.want)
			}
		})
	}
}

func TestStartEdgeIsWeighedAgainstTheStart(t *testing.T) {
	r := bowl()
	r.Steps = []brew.Step{
		{Action: brew.Pour, Amount: 80 * brew.Gram, Over: sec(15)},
		{Action: brew.Pour, Amount: 100 * brew.Gram, Anchor: brew.At, Offset: sec(30), Over: sec(15), Mark: brew.MarkStart},
		{Action: brew.Break, Anchor: brew.At, Offset: sec(240)},
	}
	w := debrief(t, r, start(), mark(15), weighed(30, 81)).Rows[1].Weight
	if w == nil || w.Target != 80*brew.Gram || w.Off != brew.Gram {
		t.Errorf("weight at the start of the second pour is %+v, want 1 g above 80 g", w)
	}
}
