package drift_test

import (
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"barline/brew"
	"barline/brew/drift"
)

// wait is a brew of the cone whose bed is followed by hands: the serve's end is
// asked, and a wipe at the clock. The bed is due at 150, the serve's end at 180,
// the wipe at 260 and 290.
func wait(bed brew.Marks) brew.Recipe {
	r := cone()
	r.Steps[3].Mark = bed
	r.Steps[4].Over, r.Steps[4].Mark = sec(30), brew.MarkEnd
	r.Steps = append(r.Steps, brew.Step{Action: brew.Do, Text: "wipe", Over: sec(30), Mark: brew.MarkBoth, Anchor: brew.At, Offset: sec(260)})
	return r
}

func TestWhatTheBedDidIsNotTheHands(t *testing.T) {
	type own struct {
		person drift.Verdict
		behind bool
	}
	onTime := own{drift.OnTime, false}
	for _, c := range []struct {
		name             string
		bed              brew.Marks
		events           []brew.Event
		serve, from, end own
		untold           float64
	}{
		{"a bed that is marked is known", brew.MarkEnd, marks(10, 60, 90, 162, 192, 260, 290), onTime, onTime, onTime, 0},
		{"a late hand behind it is late", brew.MarkEnd, marks(10, 60, 90, 150, 189, 260, 290), own{drift.Late, false}, onTime, onTime, 0},
		{"behind a bed that nobody marked nobody is late", brew.MarkEnd, marks(10, 60, 90, 192, 260, 290), own{"", true}, onTime, onTime, 12},
		{"nor behind one that is never asked", brew.MarkNone, marks(10, 60, 90, 192, 260, 290), own{"", true}, onTime, onTime, 12},
		{"nor early", brew.MarkNone, marks(10, 60, 90, 171, 260, 290), own{"", true}, onTime, onTime, -9},
		{"in time is in time, whoever made it so", brew.MarkNone, marks(10, 60, 90, 182, 260, 290), own{drift.OnTime, true}, onTime, onTime, 2},
		{"what is called before the serve that waited for the bed is done waits, too", brew.MarkNone, marks(10, 60, 90, 219, 265, 295), own{"", true}, own{drift.Late, false}, onTime, 39},
		{"a step that was skipped is known", brew.MarkEnd, []brew.Event{start(), mark(10), mark(60), mark(90), skip(120), mark(159), finish(300)}, own{drift.Late, false}, own{}, own{}, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := debrief(t, wait(c.bed), c.events...)
			for key, w := range map[string]own{"first serve, end": c.serve, "first do, start": c.from, "first do, end": c.end} {
				i := slices.IndexFunc(d.Rows, func(r drift.Row) bool { return r.Key == key })
				if r := d.Rows[i]; r.Person != w.person || r.BehindBed != w.behind {
					t.Errorf("%s is %q of the person's, behind the bed %t; want %q, %t: %+v", key, r.Person, r.BehindBed, w.person, w.behind, r)
				}
			}
			if d.Lateness.Untold != sec(c.untold) {
				t.Errorf("%v is untold, want %v s: %+v", d.Lateness.Untold, c.untold, d.Lateness)
			}
		})
	}
}

// A step that is pinned to the very moment at which the bed is due is called
// then, however long the bed takes.
func TestBeatAtTheClockThatTheBedHeldUpIsNobodys(t *testing.T) {
	r := cone()
	r.Steps[4] = brew.Step{Action: brew.Serve, Over: sec(30), Mark: brew.MarkBoth, Anchor: brew.At, Offset: sec(150)}
	d := debrief(t, r, marks(10, 60, 90, 161, 161, 191)...)
	if b, from, end := d.Rows[3], d.Rows[4], d.Rows[5]; b.Slip != sec(11) || from.Slip != sec(11) || from.Person != drift.NoVerdict || !from.BehindBed || end.BehindBed || end.Person != drift.OnTime {
		t.Errorf("the bed %+v, the serve from %+v to %+v", b, from, end)
	}
	if got, want := d.Sentence.Text, "The bed drained 11.0 s late; the hands were on time where that can be told."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// What is pinned to the moment at which a beat that waits for the bed is due
// waits with it.
func TestBeatAtTheClockBehindOneThatWaitedIsNobodys(t *testing.T) {
	r := wait(brew.MarkNone)
	r.Steps[5].Offset = sec(180)
	d := debrief(t, r, marks(10, 60, 90, 191, 191, 221)...)
	if serve, from, end := d.Rows[3], d.Rows[4], d.Rows[5]; !serve.BehindBed || serve.Slip != sec(11) || !from.BehindBed || from.Slip != sec(11) || from.Person != drift.NoVerdict || end.BehindBed || end.Person != drift.OnTime {
		t.Errorf("the serve %+v, the wipe from %+v to %+v", serve, from, end)
	}
}

// The record takes over what is behind the bed, either way.
func TestRecordTakesWhatIsBehindTheBed(t *testing.T) {
	plan := planOf(t, wait(brew.MarkNone))
	lane := play(t, plan, marks(10, 60, 90, 211, 260, 290)...)
	r := &drift.Record{}
	r.Take([16]byte{1}, monday, "Mo", plan, drift.Of(lane))
	r.TakeLane([16]byte{2}, monday, "Mo", lane, nil)
	s, _ := r.Choose(drift.Choice{}).Series(drift.Beats, "first serve, end", drift.BySlip)
	if want := (drift.Tally{Brews: 2, BehindBed: 2}); s.Tally != want {
		t.Errorf("%+v, want %+v", s.Tally, want)
	}
	if w := r.Choose(drift.Choice{}).Where(); w.Untold != 62 || w.Person != 0 || w.Bed != 0 {
		t.Errorf("%+v", w)
	}
}

func TestWordsBehindTheBedNameNobody(t *testing.T) {
	const why = "the bed before it was not marked, or not done when this was called"
	d := debrief(t, wait(brew.MarkNone), marks(10, 60, 90, 211, 260, 290)...)
	r := d.Rows[3]
	if got, want := r.Word().String(), "+31.0 s late, by the bed or the hand"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got, want := r.Note(), why+", so what the bed did and what the hand did count together"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got, want := d.Sentence, "The serve ended 31.0 s late, by the bed or the hand: "+why+"."; got.Text != want || got.Says != drift.SaysUntold || got.Row != 3 || got.Off != sec(31) {
		t.Errorf("%+v, want %q", got, want)
	}
	early := debrief(t, wait(brew.MarkNone), marks(10, 56, 86, 180, 260, 290)...).Rows[3] // called 4 early, 4 late by itself
	if got, want := early.Word().String(), "0.0 s on time, the bed or the hand +4.0 s"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	both := debrief(t, wait(brew.MarkNone), marks(10, 66, 96, 211, 260, 290)...)
	if got, want := both.Sentence.Text, "The second pour ended 6.0 s late; what followed was late by what it inherited."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// bedPlan draws a brew of pours, stirs and drawdowns in any order, hung and
// pinned, asked or not.
func bedPlan(t *rapid.T) *brew.Plan {
	r := brew.Recipe{Name: "Quayside bed", Method: brew.OtherMethod, Dose: 20 * brew.Gram, Water: 50 * brew.Gram, Temperature: 93}
	end := time.Duration(0)
	for i := range rapid.IntRange(2, 7).Draw(t, "steps") {
		s := brew.Step{Action: rapid.SampledFrom([]brew.Action{brew.Drawdown, brew.Stir, brew.Serve}).Draw(t, "action"), Over: tenths(t, 3, 40, "over")}
		if i == 0 {
			s = brew.Step{Action: brew.Pour, Amount: 50 * brew.Gram, Over: sec(10)}
		}
		gap := time.Duration(0)
		if i > 0 && rapid.Bool().Draw(t, "apart") {
			gap = max(0, tenths(t, -10, 20, "gap"))
			switch {
			case rapid.Bool().Draw(t, "pinned"):
				s.Anchor, s.Offset = brew.At, end+gap
			case gap > 0:
				s.Anchor, s.Offset = brew.After, gap
			}
		}
		s.Mark = rapid.SampledFrom([]brew.Marks{brew.MarkBoth, brew.MarkStart, brew.MarkEnd, brew.MarkNone}).Draw(t, "mark")
		w := brew.Window{Early: tenths(t, 0, 3, "early"), Late: tenths(t, 0, 3, "late")}
		s.Start, s.End = &w, &w
		r.Steps, end = append(r.Steps, s), end+gap+s.Over
	}
	plan, err := brew.NewPlan(r, brew.Bar{})
	if err != nil {
		t.Fatalf("the drawn recipe cannot be planned: %v", err)
	}
	return plan
}

// Hands that do each thing the moment it is called and the bed lets them are
// never early or late, however late or early the bed, and whether it was marked,
// left unmarked or never asked.
func TestBedNeverCountsAgainstThePersonThoughNobodyMarksIt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		plan := bedPlan(t)
		all := plan.WithMarks(brew.MarksAll) // what really happened
		truth, _ := brew.NewLane(all).Apply(brew.Event{Kind: brew.EventStart})
		seen, _ := brew.NewLane(plan).Apply(brew.Event{Kind: brew.EventStart})
		done := time.Duration(0) // when the bed let the hands go on
		for n, b := range plan.Beats {
			if b.Has(0, brew.StartEdge) {
				continue
			}
			at := max(truth.Beat(n).Called, done)
			if b.Owner == brew.Bed {
				at = max(at+tenths(t, -30, 120, "bed"), done)
			}
			next, outcome := truth.Apply(brew.Event{Kind: brew.EventMark, At: at})
			if outcome.Beat != n {
				t.Skip("the mark went to another beat")
			}
			truth = next
			done = max(done, at)
			if !b.Asked || b.Owner == brew.Bed && rapid.Bool().Draw(t, "left unmarked") {
				continue
			}
			next, outcome = seen.Apply(brew.Event{Kind: brew.EventMark, At: at})
			if outcome.Beat != n {
				t.Skip("the mark went to another beat")
			}
			seen = next
		}
		d := drift.Of(seen)
		for _, r := range d.Rows {
			if r.Person.Off() {
				t.Fatalf("the hand is judged for the bed: %+v", r)
			}
		}
		if d.Lateness.Person != 0 || d.Sentence.Says == drift.SaysHand || d.Sentence.Says == drift.SaysBoth {
			t.Fatalf("lateness %+v: %q", d.Lateness, d.Sentence.Text)
		}
	})
}
