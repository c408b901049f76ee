package routine_test

import (
	"fmt"
	"testing"
	"time"

	"pgregory.net/rapid"

	"barline/brew"
	"barline/brew/routine"
)

// At every moment a run says the larger of the last drift and how long what
// was called first has been pending, worked out here from the lanes and the
// marks of the record alone.
func TestAheadOrBehindAtEveryMoment(t *testing.T) {
	plans := []*routine.Plan{planned(t, small()), planned(t, two()), planned(t, shifted())}
	rapid.Check(t, func(rt *rapid.T) {
		run := drawn(rt, rapid.SampledFrom(plans).Draw(rt, "plan"))
		if how, _, _ := run.Ending(); how != routine.Running {
			return
		}
		at := run.Begins()
		for _, e := range run.Events() {
			at = max(at, e.At)
		}
		for range 40 {
			at += time.Duration(rapid.IntRange(1, 9000).Draw(rt, "ms")) * time.Millisecond
			look, want := run.At(at), standingOf(rt, run, at)
			if look.Standing != want {
				rt.Fatalf("at %s it is %+v, want %+v", at, look.Standing, want)
			}
			if !matches(want, look.Standing.String()) {
				rt.Fatalf("at %s %+v is %q", at, want, look.Standing)
			}
		}
	})
}

// standingOf works out what a run says at a moment.
func standingOf(rt *rapid.T, run routine.Run, at time.Duration) (out routine.Standing) {
	there, outcome := run.Apply(brew.Event{Kind: brew.EventNote, Lane: run.Plan().CallsLane(), At: at})
	if outcome.Effect == brew.Refused {
		rt.Fatal(outcome.Why)
	}
	latest := time.Duration(-1)
	for _, m := range routine.Of(routine.Take{}, there).Marks {
		if m.Known && m.Marked > latest {
			latest, out = m.Marked, routine.Standing{Known: true, By: m.Marked - m.Written}
		}
	}
	for _, called := range calledOf(there, at) {
		if wait := at - called; wait >= 0 && (!out.Known || wait > out.By) {
			out = routine.Standing{Known: true, By: wait, Waiting: true}
		}
	}
	return out
}

// calledOf returns when each thing that waits for a mark was called, or will
// be.
func calledOf(run routine.Run, at time.Duration) (out []time.Duration) {
	plan := run.Plan()
	within := func(written time.Duration) bool {
		return run.Begins() <= written && (written < run.Due() || run.Options().To+1 == len(plan.Sections))
	}
	for i, cup := range plan.Cups {
		lane := run.Lanes().Lane(i)
		if !lane.Started() && within(cup.Zero) {
			out = append(out, cup.Zero)
		}
		out = append(out, beatsOf(lane, func(n int) bool { return within(cup.Zero + cup.AsPlanned().Beat(n).Called) })...)
	}
	hands := run.Lanes().Lane(plan.HandsLane())
	out = append(out, beatsOf(hands, func(n int) bool { return within(plan.Hands.Beats[n].Due) })...)
	for _, m := range routine.Of(routine.Take{}, run).Marks {
		if m.Voice == routine.OfCall {
			out = append(out, m.Called)
		}
	}
	if run.Options().Manual { // the next line is pending from the end of the one before
		if k := run.At(at); k.NextLine >= 0 && !k.Waits && k.NextIn == 0 {
			out = append(out, at-forOf(k, plan.TalkLane()))
		}
	}
	return out
}

func beatsOf(lane brew.Lane, within func(int) bool) (out []time.Duration) {
	if how, _, _ := lane.Ending(); !lane.Started() || how != brew.Running {
		return nil
	}
	for n, b := range lane.Plan().Beats {
		if s := lane.Beat(n); b.Asked && s.Status == brew.Waiting && within(n) {
			out = append(out, lane.Zero()+s.Called)
		}
	}
	return out
}

func forOf(k routine.Look, lane int) time.Duration {
	for _, p := range k.Pending {
		if p.Lane == lane {
			return p.For
		}
	}
	return -1
}

// matches reports whether a standing is told with its own sign and word.
func matches(s routine.Standing, text string) bool {
	tenths := int64(s.By.Round(100*time.Millisecond) / (100 * time.Millisecond))
	switch {
	case !s.Known:
		return text == "no mark yet"
	case tenths == 0:
		return text == "on time"
	case tenths < 0:
		return text == "-"+decimal(-tenths)+" s ahead"
	}
	return text == "+"+decimal(tenths)+" s behind"
}

func decimal(tenths int64) string { return fmt.Sprintf("%d.%d", tenths/10, tenths%10) }

// Worked by hand, on the routine of one cup: water is written at 0:30, the
// bloom's end at 0:40, the second pour's at 1:40.
func TestTheLargerOfDriftAndWaiting(t *testing.T) {
	p := planned(t, small())
	for name, c := range map[string]struct {
		play func(*player) *player
		at   time.Duration
		want string
	}{
		"nothing is marked and nothing waits":          {func(p *player) *player { return p }, 29 * s, "no mark yet"},
		"lines that went on by themselves say nothing": {func(p *player) *player { return p }, 25 * s, "no mark yet"},
		"a line with its key is a mark":                {func(p *player) *player { return p.say(8 * s) }, 29 * s, "-2.0 s ahead"},
		"the first thing called waits":                 {func(p *player) *player { return p }, 34500 * time.Millisecond, "+4.5 s behind"},
		"early is ahead":                               {func(p *player) *player { return p.water(0, 27*s) }, 36 * s, "-3.0 s ahead"},
		"late is behind":                               {func(p *player) *player { return p.water(0, 33*s) }, 36 * s, "+3.0 s behind"},
		"a shorter wait leaves the drift":              {func(p *player) *player { return p.water(0, 35*s) }, 49900 * time.Millisecond, "+5.0 s behind"},
		"a longer one takes its place":                 {func(p *player) *player { return p.water(0, 35*s) }, 50100 * time.Millisecond, "+5.1 s behind"},
		"whoever keeps a beat waiting is not ahead":    {func(p *player) *player { return p.water(0, 20*s) }, 31 * s, "+1.0 s behind"},
		"not even in the moment in which it is called": {func(p *player) *player { return p.water(0, 20*s) }, 30 * s, "on time"},
		"a tenth early is ahead":                       {func(p *player) *player { return p.water(0, 29900*time.Millisecond) }, 32 * s, "-0.1 s ahead"},
		"a tenth late is behind":                       {func(p *player) *player { return p.water(0, 30100*time.Millisecond) }, 32 * s, "+0.1 s behind"},
		"less than half a tenth is on time":            {func(p *player) *player { return p.water(0, 30*s+49*time.Millisecond) }, 32 * s, "on time"},
		"the call of time that was forgotten is a beat": {func(p *player) *player {
			return p.water(0, 30*s).press(40 * s).press(100 * s).press(130 * s).press(140 * s)
		}, 155 * s, "+3.0 s behind"},
	} {
		t.Run(name, func(t *testing.T) {
			if got := c.play(play(t, p, p.Whole()).call(0)).run.At(c.at).Standing.String(); got != c.want {
				t.Errorf("%q, want %q", got, c.want)
			}
		})
	}
}
