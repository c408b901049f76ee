package routine_test

import (
	"reflect"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/routine"
)

// thanked is two with something to say when both cups are served.
func thanked() routine.Routine {
	r := two()
	r.Sections[2].Parts = append(r.Sections[2].Parts, routine.Part{Over: 5 * s})
	r.Sections = append(r.Sections, routine.Section{Name: "Thanks", Parts: []routine.Part{
		{Say: "Thank you all", Over: 10 * s, After: ref("serving", "right")}, {Say: "And good bye", Over: 10 * s, After: ref("second pour", "left")},
	}})
	return r
}

// A cup that is over where a part begins is no brew of the run: what was not
// made leaves no trace in a record, and nothing waits for it.
func TestACupThatIsOverIsNoBrewOfAPart(t *testing.T) {
	p := planned(t, thanked())
	last := len(p.Sections) - 1
	for name, c := range map[string]struct {
		from  int
		begun []bool
	}{
		"neither is under way":  {0, []bool{false, false}},
		"both are over":         {last, []bool{false, false}},
		"one is over, one goes": {2, []bool{p.Sections[2].Start < p.Cups[0].Zero+p.Cups[0].Plan.End, true}},
	} {
		t.Run(name, func(t *testing.T) {
			run := play(t, p, routine.Options{From: c.from, To: last})
			run.call(run.run.Begins())
			own, brews := run.run.Parted()
			for i, want := range c.begun {
				if got := len(brews[i]) > 0; got != want || run.run.Lanes().Lane(i).Started() != want {
					t.Errorf("from %s cup %d, planned to end at %s, is a brew: %v", run.run.Begins(), i, p.Cups[i].Zero+p.Cups[i].Plan.End, got)
				}
			}
			end := run.run.Due()
			if c.from < last {
				return
			}
			for at := run.run.Begins(); at < end; at += s {
				k := run.run.At(at)
				if k.Waits || len(k.Pending) > 0 || k.Next.What != "Call time" || k.Next.In != end-at {
					t.Fatalf("at %s, of %s: %+v", at, end, k)
				}
			}
			if k := run.run.At(end - s); k.NextLine != -1 || k.Line != len(p.Lines)-1 {
				t.Errorf("not all is said: %+v", k)
			}
			run.call(end)
			r := run.result()
			for _, m := range r.Marks {
				if m.Known != (m.Voice == routine.OfCall) || m.Called != m.Written {
					t.Errorf("%+v", m)
				}
			}
			if len(run.run.Closing()) != 0 || r.Sections[last].Took != end-p.Sections[last].Start {
				t.Errorf("%+v", r.Sections)
			}
			again := again(t, own, brews)
			if how, _, _ := again.Ending(); how != routine.Running || again.Lanes().Lane(0).Started() {
				t.Error("the record tells another take")
			}
		})
	}
}

// again is a run as its record tells it.
func again(t *testing.T, own []brew.Event, brews [][]brew.Event) routine.Run {
	t.Helper()
	run, err := new(routine.Reader).Run(routine.Take{Events: routine.Merge(own, brews...)})
	if err != nil {
		t.Fatal(err)
	}
	return run
}

// The very moment at which a cup is over is too late to enter it; a moment
// before is not.
func TestACupIsEnteredUntilItsEnd(t *testing.T) {
	for before, want := range map[time.Duration]bool{0: false, s: true} {
		r := small()
		r.Sections[1].Parts[1].Over = 0
		r.Sections = append(r.Sections[:1:1], routine.Section{Name: "Edge", Parts: []routine.Part{{Say: "Now", Over: 5 * s, At: at(130*s - before)}}}, r.Sections[2])
		p := planned(t, r)
		run := play(t, p, routine.Options{From: 1, To: 2}).call(130*s - before)
		if got := run.run.Lanes().Lane(0).Started(); got != want {
			t.Errorf("%s ahead of its end it is entered: %v", before, got)
		}
	}
}

// A record of a part that entered a cup which was over can still be followed.
func TestAnOlderRecordThatEnteredACupThatWasOver(t *testing.T) {
	p := planned(t, thanked())
	last := len(p.Sections) - 1
	run := play(t, p, routine.Options{From: last, To: last})
	from := run.run.Begins()
	run.call(from).call(from + 20*s)
	own, brews := run.run.Parted()
	brews[0] = []brew.Event{
		{Kind: brew.EventStart, At: from, From: from - p.Cups[0].Zero, Source: brew.FromClock},
		{Kind: brew.EventFinish, At: from + s, Source: brew.FromClock},
	}
	older := again(t, own, brews)
	a, b := routine.Of(routine.Take{}, run.run), routine.Of(routine.Take{}, older)
	if !reflect.DeepEqual(a.Sections, b.Sections) || a.Penalty != b.Penalty || a.Talk != b.Talk || a.Hands != b.Hands || a.Ended != b.Ended {
		t.Errorf("was\n%+v\nis\n%+v", a, b)
	}
}

// A cup that was under way when a part began puts off the call of time where
// it comes late.
func TestACupThatWasEnteredPutsOffTheCall(t *testing.T) {
	r := small()
	r.Brews[0].Serve, r.Sections[2].Parts[0].After = 0, ref("drawdown", "left")
	p := planned(t, r)
	run := play(t, p, routine.Options{From: 1, To: 1}).call(70 * s)
	for _, c := range []struct{ marked, called, want time.Duration }{{0, 75 * s, 130 * s}, {114 * s, 115 * s, 144 * s}} {
		if c.marked > 0 {
			run.press(c.marked) // the second pour, 14 s late
		}
		for _, w := range run.run.Wanted(c.called) {
			if w.Lane == p.CallsLane() && w.Called != c.want {
				t.Errorf("at %s time is to be called at %s, want %s", c.called, w.Called, c.want)
			}
		}
	}
}

// A cup that is due in the moment at which a part begins is awaited, and what
// is said while it is poured waits with it.
func TestWhatIsSaidWaitsForACupAtTheEdge(t *testing.T) {
	r := small()
	r.Sections[1].Parts[0].During, r.Sections[1].Parts[0].Over = ref("bloom", "left"), 10*s
	p := planned(t, r)
	run := play(t, p, routine.Options{From: 1, To: 2}).call(30 * s)
	if k := run.run.At(35 * s); k.Line != -1 || !k.Waits || len(k.Pending) != 1 || k.Standing.String() != "+5.0 s behind" {
		t.Errorf("%+v", k)
	}
	run.water(0, 36*s)
	if k := run.run.At(37 * s); k.Line < 0 || k.Waits {
		t.Errorf("with water on: %+v", k)
	}
}
