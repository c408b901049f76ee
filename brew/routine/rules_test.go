package routine_test

import (
	"testing"
	"time"

	"barline/brew/routine"
)

// Worked by hand: ten minutes, a point a second, at most 60, out past 11:00.
func TestPenaltiesAtTheEdges(t *testing.T) {
	const limit = 10 * time.Minute
	for _, c := range []struct {
		name             string
		length           time.Duration
		begun, completed int
		out              bool
	}{
		{"well within", 9 * time.Minute, 0, 0, false},
		{"a moment under", limit - 1, 0, 0, false},
		{"exactly on time", limit, 0, 0, false},
		{"a fraction over", limit + 1, 1, 0, false},
		{"half a second over", limit + 500*time.Millisecond, 1, 0, false},
		{"just short of a second over", limit + s - 1, 1, 0, false},
		{"a second over", limit + s, 1, 1, false},
		{"a fraction more than a second over", limit + s + 1, 2, 1, false},
		{"just short of the cap", limit + 59*s, 59, 59, false},
		{"the last fraction before the cap", limit + 59*s + 1, 60, 59, false},
		{"at the cap, and at the moment past which it is out", limit + 60*s, 60, 60, false},
		{"a moment past that", limit + 60*s + 1, 60, 60, true},
		{"long past", limit + 5*time.Minute, 60, 60, true},
	} {
		for count, want := range map[routine.Count]int{routine.Begun: c.begun, routine.Completed: c.completed} {
			rules, _ := routine.Rules{Count: count}.Filled(limit)
			p := rules.Penalty(limit, c.length)
			if p.Points != want || p.Out != c.out || p.Over != max(c.length-limit, 0) {
				t.Errorf("%s, %s: %+v, want %d points, out %v", c.name, count, p, want, c.out)
			}
		}
	}
}

func TestPointsForEachSecondAndTheirCap(t *testing.T) {
	rules := routine.Rules{Points: 3, Count: routine.Completed, Cap: 10, Out: 5 * time.Minute}
	for over, want := range map[time.Duration]int{0: 0, s: 3, 3 * s: 9, 4 * s: 10, 40 * s: 10} {
		if p := rules.Penalty(4*time.Minute, 4*time.Minute+over); p.Points != want || p.Out {
			t.Errorf("%s over: %+v, want %d points", over, p, want)
		}
	}
	for p, want := range map[routine.Penalty]string{{}: "0 points", {Points: 1}: "1 point", {Points: 60, Out: true}: "out"} {
		if got := p.String(); got != want {
			t.Errorf("%+v is %q, want %q", p, got, want)
		}
	}
}

func TestRulesLeftOutAreAtTheirUsualFigures(t *testing.T) {
	full, assumed := routine.Rules{}.Filled(10 * time.Minute)
	if full != (routine.Rules{Points: 1, Count: routine.Begun, Cap: 60, Out: 11 * time.Minute}) || len(assumed) != 4 {
		t.Errorf("%+v, assumed %v", full, assumed)
	}
	own := routine.Rules{Points: 2, Count: routine.Completed, Cap: 20, Out: 9 * time.Minute}
	if full, assumed := own.Filled(8 * time.Minute); full != own || assumed != nil {
		t.Errorf("%+v, assumed %v", full, assumed)
	}
	if got, want := routine.ToCheck([]string{"cap", "out"}), "cap, out: usual figures, to be checked against the current rules"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got, want := own.Say(8*time.Minute), "2 points for each completed second over 8:00, at most 20, out past 9:00"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
