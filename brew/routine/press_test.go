package routine_test

import (
	"testing"
	"time"

	"barline/brew"
	"barline/brew/routine"
)

// Whoever comes late to the water means the water, though another brew is
// nearer by the plan; shortly ahead of that one, it is meant.
func TestALateStartIsMeantUntilTheNextIsNear(t *testing.T) {
	p := planned(t, two())
	left, right := p.Cups[0].Zero, p.Cups[1].Zero
	if right-left < 60*s {
		t.Fatalf("the brews are due at %s and %s", left, right)
	}
	run := play(t, p, p.Whole()).call(0)
	for _, c := range []struct {
		at   time.Duration
		lane int
	}{
		{left - 20*s, 0},
		{left, 0},
		{right - 15*s - 1, 0}, // far more than halfway
		{right - 15*s, 1},     // as far as zero again reaches
		{right, 1},
	} {
		if e, ok := run.run.Meant(c.at, brew.FromKey); !ok || e.Kind != brew.EventStart || e.Lane != c.lane {
			t.Errorf("at %s, with water due at %s and %s, a press means %+v", c.at, left, right, e)
		}
	}
	// Where no start is pending, a press means what is nearest, however far.
	run.water(0, left).press(left + 10*s)
	if e, ok := run.run.Meant(left+15*s, brew.FromKey); !ok || e.Kind != brew.EventStart || e.Lane != 1 {
		t.Errorf("55 s ahead of the second brew a press means %+v", e)
	}
}

// A beat that was called meanwhile is meant all the same, where it is near.
func TestAMarkIsMeantWhileAnotherStartIsPending(t *testing.T) {
	p := planned(t, two())
	right := p.Cups[1].Zero
	run := play(t, p, routine.Options{To: p.Whole().To}).call(0).water(0, right-20*s)
	for after, want := range map[time.Duration]brew.EventKind{21 * s: brew.EventStart, 49 * s: brew.EventMark} { // its second pour ends 50 s after
		if e, _ := run.run.Meant(right+after, brew.FromKey); e.Kind != want {
			t.Errorf("%s after the second brew was due a press means %+v", after, e)
		}
	}
}
