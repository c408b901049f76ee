package drift_test

import (
	"slices"
	"testing"
	"time"

	"barline/brew/drift"
)

// forget leaves brews of a trial out, given by their hours, and leaves the trace
// of each.
func forget(brews string, hours ...int) *drift.Record {
	r := &drift.Record{}
	for i, how := range brews {
		if slices.Contains(hours, i) {
			r.Forgot(drift.Forgotten{Person: "mo ", Version: "1", Start: monday.Add(time.Duration(i) * time.Hour)})
			continue
		}
		r.Add(tried(i, how).brew(r, "1", uint64(i)))
	}
	return r
}

// Deleting brews passes no attempt, and hides none that failed.
func TestForgettingPassesNoAttempt(t *testing.T) {
	for _, c := range []struct {
		name      string
		brews     string
		forgotten []int
		attempt   drift.Attempt
		want      drift.Fit
	}{
		{"the one that failed", "+l++", []int{1}, attempt(0, 3), drift.Fit{Standing: drift.Void, Done: 3, Failed: -1, Lost: 1, Why: "one brew of it was forgotten", OnTime: 3, Of: 4}},
		{"two of them", "+ll++", []int{1, 2}, attempt(0, 3), drift.Fit{Standing: drift.Void, Done: 3, Failed: -1, Lost: 2, Why: "two brews of it were forgotten", OnTime: 3, Of: 5}},
		{"the last one, so that it is not through", "++l", []int{2}, attempt(0, 3), drift.Fit{Standing: drift.Void, Done: 2, Failed: -1, Lost: 1, Why: "one brew of it was forgotten", OnTime: 2, Of: 3}},
		{"all of it", "lll", []int{0, 1, 2}, attempt(0, 3), drift.Fit{Standing: drift.Void, Failed: -1, Lost: 3, Why: "three brews of it were forgotten", Of: 3}},
		{"one behind what passed it", "+++l", []int{3}, attempt(0, 3), drift.Fit{Standing: drift.Passed, Done: 3, Failed: -1, OnTime: 3, Of: 4}},
		{"one from before it was opened", "l+++", []int{0}, attempt(1, 3), drift.Fit{Standing: drift.Passed, Done: 3, Failed: -1, OnTime: 3, Of: 3}},
		{"one of a failed one, which failed in any case", "++l", []int{0}, attempt(0, 3), drift.Fit{Standing: drift.Failed, Done: 1, Failed: 1, Lost: 1, Why: "second pour, end: late", OnTime: 1, Of: 3}},
		{"one of a failed one that might have been through by then", "++l", []int{0}, attempt(0, 2), drift.Fit{Standing: drift.Void, Done: 1, Failed: -1, Lost: 1, Why: "one brew of it was forgotten", OnTime: 1, Of: 3}},
		{"one after the failure", "+l+", []int{2}, attempt(0, 3), drift.Fit{Standing: drift.Failed, Done: 1, Failed: 1, Why: "second pour, end: late", OnTime: 1, Of: 3}},
	} {
		got := forget(c.brews, c.forgotten...).Fit([]drift.Attempt{c.attempt})[0]
		got.Attempt, got.AtLeast = drift.Attempt{}, 0
		if got != c.want {
			t.Errorf("forgetting %s: %+v, want %+v", c.name, got, c.want)
		}
	}
}

// Withdrawing hides as little as forgetting does, and what was forgotten after
// an attempt was withdrawn or given up is none of it.
func TestForgettingAndLeavingAnAttempt(t *testing.T) {
	a := attempt(0, 5)
	a.Withdrawn = monday.Add(3 * time.Hour)
	if got := forget("+l++", 1).Fit([]drift.Attempt{a})[0]; got.Standing != drift.Void || got.Lost != 1 {
		t.Errorf("%+v", got)
	}
	if got := forget("+++l", 3).Fit([]drift.Attempt{a})[0]; got.Standing != drift.TakenBack || got.Lost != 0 {
		t.Errorf("%+v", got)
	}
	r := forget("+++l++", 3)
	if got := r.Fit([]drift.Attempt{attempt(0, 5), attempt(3, 2)}); got[0].Standing != drift.GivenUp || got[0].Lost != 0 || got[0].Of != 6 || got[1].Standing != drift.Void || got[1].Lost != 1 || got[1].Of != 6 {
		t.Errorf("%+v", got)
	}
	r.Forgot(drift.Forgotten{Person: "Ada", Version: "1", Start: monday.Add(4 * time.Hour)})
	r.Forgot(drift.Forgotten{Person: "Mo", Version: "2", Start: monday.Add(4 * time.Hour)})
	if got := r.Fit([]drift.Attempt{attempt(3, 2)})[0]; got.Lost != 1 || got.Of != 3 {
		t.Errorf("others' brews were counted: %+v", got)
	}
}

// The bound beside an attempt is no better for what was forgotten.
func TestForgettingRaisesNoBound(t *testing.T) {
	before := forget("+l+l++").Fit([]drift.Attempt{attempt(0, 9)})[0]
	after := forget("+l+l++", 1, 3).Fit([]drift.Attempt{attempt(0, 9)})[0]
	if before.AtLeast != after.AtLeast || before.Of != after.Of || before.AtLeast <= 0 {
		t.Errorf("%+v, with two forgotten %+v", before, after)
	}
}

// A beat behind the bed fails no attempt. It proves nothing either.
func TestAttemptDoesNotGoByTheBed(t *testing.T) {
	for _, c := range []struct {
		name     string
		untold   []int // beats that are the hand's or the bed's
		standing drift.Standing
		why      string
		beats    int
	}{
		{"one beat of three cannot be told", []int{third}, drift.Passed, "", 2},
		{"none can be told", []int{bloom, second, third}, drift.Failed, "no beat of the hand could be told from the bed's", 0},
	} {
		r := &drift.Record{}
		for i := range 2 {
			b := played{Start: monday.Add(time.Duration(i) * time.Hour), Person: "Mo"}.brew(r, "1", uint64(i))
			for _, n := range c.untold {
				b.Cells[n].BehindBed, b.Cells[n].Own, b.Cells[n].Slip = true, drift.NoVerdict, sec(40)
			}
			r.Add(b)
		}
		got := r.Fit([]drift.Attempt{attempt(0, 2)})[0]
		if got.Standing != c.standing || got.Why != c.why || got.Untold != c.beats {
			t.Errorf("%s: %+v", c.name, got)
		}
	}
}

// A baseline stays frozen whatever becomes of its brews: those left set the
// limits while there are 25, and then there are none.
func TestForgettingThawsNoBaseline(t *testing.T) {
	hour := func(n int) time.Time { return monday.Add(time.Duration(n) * time.Hour) }
	frozen := drift.Frozen{What: drift.Beats, Version: "1", Key: beatKeys[bloom], Since: hour(30), Until: hour(60), Brews: 30}
	for _, c := range []struct {
		name  string
		gone  []int
		want  drift.Reason
		lacks int
	}{
		{"none is forgotten", nil, "", 0},
		{"the first and the last are", []int{30, 59}, "", 2},
		{"five are", []int{30, 31, 40, 50, 59}, "", 5},
		{"six are", []int{30, 31, 40, 50, 58, 59}, drift.Lost, 6},
	} {
		bar := invented{brews: 100, persons: crew[:1], leave: func(i int) bool { return slices.Contains(c.gone, i) }, plant: func(i int, b *played) { b.Start = hour(i) }}
		s, _ := bar.record(1).Choose(drift.Choice{}).Series(drift.Beats, beatKeys[bloom], drift.BySlip)
		got := s.Control(drift.Baseline{Frozen: []drift.Frozen{frozen}})[0]
		if got.Withheld != c.want || got.Lacks != c.lacks || !got.Frozen {
			t.Errorf("%s: %q, lacks %d, frozen %t", c.name, got.Withheld, got.Lacks, got.Frozen)
		}
		if c.want == "" && (got.From != 30 || got.Judge-got.From != 30-c.lacks || !s.Start(got.Judge).Equal(hour(60))) {
			t.Errorf("%s: baseline %d to %d", c.name, got.From, got.Judge)
		}
	}
	// A choice without the baseline's brews has no limits either.
	s, _ := invented{brews: 100, persons: crew[:1], plant: func(i int, b *played) { b.Start = hour(i) }}.record(1).
		Choose(drift.Choice{Since: hour(50)}).Series(drift.Beats, beatKeys[bloom], drift.BySlip)
	if got := s.Control(drift.Baseline{Frozen: []drift.Frozen{frozen}})[0]; got.Withheld != drift.Lost || got.Lacks != 20 || got.Words(0.05) != "limits withheld: too few brews of its frozen baseline are left among these" {
		t.Errorf("%+v", got)
	}
	if got := s.Control(drift.Baseline{})[0]; got.Withheld != "" || got.Frozen || got.Lacks != 0 {
		t.Errorf("not frozen: %+v", got)
	}
}
