package drift_test

import (
	"slices"
	"testing"

	"barline/brew"
	"barline/brew/drift"
)

func TestLateness(t *testing.T) {
	for _, c := range []struct {
		name                        string
		d                           drift.Debrief
		total, person, bed, between float64
		last                        int
		made                        []int
	}{
		{"a slip that is carried to the end is the brew's lateness", debrief(t, cone(), marks(10, 66, 96, 156)...), 6, 6, 0, 0, 3, []int{1}},
		{"a pause of the recipe takes lateness up", debrief(t, press(), marks(8, 58, 112, 140)...), 0, 6, 0, -6, 3, []int{1}},
		{"a pause takes earliness up as well", debrief(t, press(), marks(8, 46, 112, 140)...), 0, -6, 0, 6, 3, []int{1}},
		{"the bed's part is told from the person's", debrief(t, cone(), marks(10, 66, 96, 168)...), 18, 6, 12, 0, 3, []int{3, 1}},
		{"what was made is told the largest first", debrief(t, press(), marks(12, 58, 112, 148)...), 8, 18, 0, -10, 3, []int{3, 1, 0}},
		{"of slips that read the same the earlier comes first", debrief(t, press(), start(), mark(14), mark(58.02), finish(200)), 6.02, 12.02, 0, -6, 1, []int{0, 1}},
		{"one beat made good another's", debrief(t, cone(), marks(10, 66, 90, 150)...), 0, 0, 0, 0, 3, []int{1, 2}},
		{"a skip shows between the marks", debrief(t, press(), start(), mark(8), skip(50), mark(112), mark(140), finish(200)), 0, 0, 0, 0, 3, []int{}},
		{"small slips inside the window were made nowhere", debrief(t, cone(), marks(10, 62, 94, 156)...), 6, 4, 2, 0, 3, []int{}},
		{"without marks there is none", debrief(t, cone(), marks()...), 0, 0, 0, 0, -1, []int{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := c.d.Lateness
			if l.Total != sec(c.total) || l.Person != sec(c.person) || l.Bed != sec(c.bed) || l.Between != sec(c.between) || l.Last != c.last || !slices.Equal(l.Made, c.made) || l.Made == nil {
				t.Errorf("lateness %s", asJSON(t, l))
			}
		})
	}
}

func TestCounts(t *testing.T) {
	for _, c := range []struct {
		name string
		d    drift.Debrief
		want drift.Counts
	}{
		{"all marked", debrief(t, cone(), marks(10, 60, 90, 150)...), drift.Counts{Marked: 4}},
		{"jumped over", debrief(t, cone(), marks(10, 150)...), drift.Counts{Marked: 2, Unmarked: 2}},
		{"stopped", debrief(t, cone(), start(), mark(10), stop(70)), drift.Counts{Marked: 1, Unmarked: 1, NotReached: 2}},
		{"going on", debrief(t, cone(), start(), mark(10)), drift.Counts{Marked: 1, Pending: 3}},
		{"entered in the middle", debrief(t, cone(), from(40), mark(20), mark(50), mark(110), finish(120)), drift.Counts{Marked: 3}},
		{"a skip of an asked beat", debrief(t, bowl(), start(), skip(5), mark(240), finish(260)), drift.Counts{Marked: 1, Skipped: 1, Skips: 1}},
		{"a skip of a step without one", debrief(t, press(), start(), mark(8), skip(10), mark(52), mark(112), mark(140), finish(150)), drift.Counts{Marked: 4, Skips: 1}},
		{"an undone mark counts as undone alone", debrief(t, bowl(), start(), mark(14), undo(15), mark(16), mark(240), finish(260)), drift.Counts{Marked: 2, Undone: 1}},
		{"an undone skip counts as undone alone", debrief(t, bowl(), start(), skip(14), undo(15), mark(16), mark(240), finish(260)), drift.Counts{Marked: 2, Undone: 1}},
		{"a stray mark", debrief(t, press(), start(), mark(8), mark(20), mark(52), mark(112), mark(140), finish(150)), drift.Counts{Marked: 4, Strays: 1}},
		{"a stray mark that was taken back", debrief(t, press(), start(), mark(8), mark(20), undo(21), mark(52), mark(112), mark(140), finish(150)), drift.Counts{Marked: 4, Undone: 1}},
		{"undone twice, first the skip and then the mark", debrief(t, press(), start(), mark(8), skip(9), undo(9), undo(9), stop(10)), drift.Counts{Unmarked: 1, NotReached: 3, Undone: 2}},
		{"held up", debrief(t, bowl(), start(), mark(15), moved(200, 1, 250), mark(250), finish(260)), drift.Counts{Marked: 2, Moves: 1}},
		{"notes count for nothing", debrief(t, bowl(), start(), event(brew.EventNote, 3), mark(15), event(brew.EventNote, 20), mark(240), finish(260)), drift.Counts{Marked: 2}},
	} {
		t.Run(c.name, func(t *testing.T) {
			if c.d.Counts != c.want {
				t.Errorf("counts %+v, want %+v", c.d.Counts, c.want)
			}
		})
	}
}

func TestUndoneMarkLeavesNoRow(t *testing.T) {
	d := debrief(t, press(), start(), mark(30), undo(31), finish(200))
	for _, r := range d.Rows {
		if r.IsMarked() || r.Marked != 0 || r.Raw != 0 || r.Cup != "" {
			t.Errorf("a mark that was taken back left %s", asJSON(t, r))
		}
	}
	if d.Lateness.Last != -1 {
		t.Errorf("a mark that was taken back left lateness %s", asJSON(t, d.Lateness))
	}
}

func TestBrewInTheMiddleOfARoundCountsFromItsOwnZero(t *testing.T) {
	plan := planOf(t, bowl())
	round := brew.NewTimeline(plan, plan)
	for _, e := range []brew.Event{
		{Kind: brew.EventStart}, {Kind: brew.EventStart, Lane: 1, At: sec(33)},
		{Kind: brew.EventMark, At: sec(16)}, {Kind: brew.EventMark, Lane: 1, At: sec(46)},
	} {
		var outcome brew.Outcome
		if round, outcome = round.Apply(e); outcome.Effect != brew.Taken {
			t.Fatalf("%s: %+v", e.Kind, outcome)
		}
	}
	first, second := drift.Of(round.Lane(0)).Rows[0], drift.Of(round.Lane(1)).Rows[0]
	if first.Drift != sec(1) || second.Drift != sec(-2) || second.Marked != sec(13) {
		t.Errorf("drifts %v and %v, want 1s and -2s", first.Drift, second.Drift)
	}
}

func TestWhatStatisticsTake(t *testing.T) {
	plan := planOf(t, bowl())
	done := play(t, plan, marks(15, 240)...)
	for _, c := range []struct {
		name  string
		under drift.Conditions
		lane  brew.Lane
		want  string
	}{
		{"a finished brew of service", drift.Conditions{}, done, ""},
		{"the same, said so", drift.Conditions{Kind: drift.Service, Speed: 1}, done, ""},
		{"an ended brew cannot be cut off", drift.Conditions{CutOff: true}, done, ""},
		{"no rehearsal", drift.Conditions{Kind: drift.Rehearsal}, done, "rehearsal"},
		{"no other speed", drift.Conditions{Speed: 1.5}, done, "at 1.5× speed"},
		{"none that was entered in the middle", drift.Conditions{}, play(t, plan, from(5), mark(10), mark(235), finish(260)), "started at 0:05"},
		{"none that was stopped", drift.Conditions{}, play(t, plan, start(), mark(15), stop(20)), "stopped"},
		{"none that was cut off", drift.Conditions{CutOff: true}, play(t, plan, start(), mark(15)), "cut off"},
		{"none that goes on", drift.Conditions{}, play(t, plan, start(), mark(15)), "not ended"},
		{"none that never started", drift.Conditions{}, play(t, plan), "not started"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := c.under.Of(c.lane).Excluded(); got != c.want {
				t.Errorf("excluded for %q, want %q", got, c.want)
			}
		})
	}
}

func TestCutOffBrewWaitsForNothing(t *testing.T) {
	lane := play(t, planOf(t, cone()), start(), mark(10), event(brew.EventNote, 70))
	d := drift.Conditions{CutOff: true}.Of(lane)
	if d.Ending != drift.CutOff || d.End != sec(70) || d.Counts != (drift.Counts{Marked: 1, Unmarked: 1, NotReached: 2}) {
		t.Errorf("ending %q at %v, counts %+v", d.Ending, d.End, d.Counts)
	}
}

func TestDebriefSaysWhatWasBrewedAndHow(t *testing.T) {
	plan := planOf(t, bowl())
	e := stop(70)
	e.Text = "the kettle ran dry"
	d := drift.Conditions{Kind: drift.Demo, Speed: 8}.Of(play(t, plan, from(5), e))
	if d.Recipe != "Quayside bowl" || d.Version != plan.Version || d.Conditions != (drift.Conditions{Kind: drift.Demo, Speed: 8}) {
		t.Errorf("recipe %q, version %q, conditions %+v", d.Recipe, d.Version, d.Conditions)
	}
	if !d.Started || d.From != sec(5) || d.Ending != brew.Stopped || d.End != sec(75) || d.Why != e.Text {
		t.Errorf("started %t from %v, ending %q at %v, why %q", d.Started, d.From, d.Ending, d.End, d.Why)
	}
	if d := debrief(t, bowl(), event(brew.EventNote, 5)); d.Started || d.End != 0 {
		t.Errorf("before the start: started %t, got to %v", d.Started, d.End)
	}
	if c := drift.Of(brew.NewLane(plan)).Conditions; c != (drift.Conditions{Kind: drift.Service, Speed: 1}) {
		t.Errorf("conditions left out are %+v", c)
	}
}
