package drift_test

import (
	"slices"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/drift"
)

// long is what a length must say, in seconds.
type long struct {
	key      string
	took     float64
	drift    float64
	measured bool
	verdict  drift.Verdict
	owner    brew.Owner
}

func (w long) of(l drift.Length) bool {
	return l.Key == w.key && l.Took == sec(w.took) && l.Drift == sec(w.drift) && l.Measured == w.measured && l.Verdict == w.verdict && l.Owner == w.owner
}

func TestLengths(t *testing.T) {
	all := func(r brew.Recipe, events ...brew.Event) drift.Debrief {
		return drift.Of(play(t, planOf(t, r).WithMarks(brew.MarksAll), events...))
	}
	stirred := bowl()
	stirred.Steps = slices.Insert(stirred.Steps, 1, brew.Step{Action: brew.Stir, Anchor: brew.At, Offset: sec(60), Over: sec(5), Mark: brew.MarkEnd})
	const as, shorter, longer = drift.AsWritten, drift.Shorter, drift.Longer
	const person, bed = brew.Person, brew.Bed
	for _, c := range []struct {
		name string
		d    drift.Debrief
		want []long
	}{
		{"the first pour is measured from the start, a pinned one by its call", debrief(t, press(), marks(12, 51)...), []long{
			{"first pour", 12, 4, true, longer, person},
			{"second pour", 15, -1, false, "", person},
		}},
		{"a press is measured from mark to mark", debrief(t, press(), start(), mark(8), mark(113), mark(138), finish(140)), []long{
			{"first pour", 8, 0, true, as, person},
			{"first press", 25, -3, true, shorter, person},
		}},
		{"a press without its start is by calls", debrief(t, press(), marks(8, 52, 141)...), []long{
			{"first pour", 8, 0, true, as, person},
			{"second pour", 16, 0, false, "", person},
			{"first press", 29, 1, false, "", person},
		}},
		{"a press without its end has no length", debrief(t, press(), marks(8, 52, 112)...), []long{
			{"first pour", 8, 0, true, as, person},
			{"second pour", 16, 0, false, "", person},
		}},
		{"a drawdown is the bed's, and measured from the pour it shares a beat with", debrief(t, cone(), marks(10, 60, 91, 160)...), []long{
			{"first pour", 10, 0, true, as, person},
			{"second pour", 15, 0, false, "", person},
			{"third pour", 16, 1, false, "", person},
			{"first drawdown", 69, 9, true, longer, bed},
		}},
		{"a nudge moves the start of what follows", debrief(t, cone(), start(), mark(10), mark(60), mark(92), nudge(93), mark(150), finish(160)), []long{
			{"first pour", 10, 0, true, as, person},
			{"second pour", 15, 0, false, "", person},
			{"third pour", 16, 1, false, "", person},
			{"first drawdown", 59, -1, true, as, bed},
		}},
		{"where every beat is marked, every cue is measured", all(bowl(), marks(15, 240, 249, 258)...), []long{
			{"first pour", 15, 0, true, as, person},
			{"first break", 9, 1, true, as, person},
			{"first skim", 9, -1, true, as, person},
		}},
		{"a stir that only its end tells of has no length", debrief(t, stirred, marks(15, 64, 240)...), []long{
			{"first pour", 15, 0, true, as, person},
		}},
		{"a stir of which both edges are marked has one", all(stirred, marks(15, 59, 66)...), []long{
			{"first pour", 15, 0, true, as, person},
			{"first stir", 7, 2, true, as, person},
		}},
		{"without marks there are none", debrief(t, cone(), marks()...), []long{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			if len(c.d.Lengths) != len(c.want) {
				t.Fatalf("lengths %s, want %+v", asJSON(t, c.d.Lengths), c.want)
			}
			for i, l := range c.d.Lengths {
				if !c.want[i].of(l) {
					t.Errorf("length %s, want %+v", asJSON(t, l), c.want[i])
				}
			}
		})
	}
}

func TestContact(t *testing.T) {
	for _, c := range []struct {
		name string
		d    drift.Debrief
		want *long
	}{
		{"a press ends it, in the window of its end", debrief(t, press(), marks(8, 52, 112, 145)...), &long{"contact time", 145, 5, true, drift.AsWritten, brew.Person}},
		{"a drained bed ends it", debrief(t, cone(), marks(10, 60, 90, 154)...), &long{"contact time", 154, 4, true, drift.Longer, brew.Bed}},
		{"the break ends it", debrief(t, bowl(), marks(15, 236)...), &long{"contact time", 236, -4, true, drift.Shorter, brew.Person}},
		{"without its end it is by calls and not judged", debrief(t, cone(), marks(10, 66, 96)...), &long{"contact time", 156, 6, false, "", brew.Bed}},
		{"without marks it is by calls and not judged", debrief(t, cone(), marks()...), &long{"contact time", 150, 0, false, "", brew.Bed}},
		{"a brew stopped before has none", debrief(t, cone(), start(), mark(10), stop(100)), nil},
		{"a brew that has not got there has none yet", debrief(t, cone(), start(), mark(10), mark(60)), nil},
		{"a brew entered in the middle has none", debrief(t, cone(), from(40), mark(20), mark(50), mark(110), finish(120)), nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			if (c.d.Contact == nil) != (c.want == nil) || c.want != nil && !c.want.of(*c.d.Contact) {
				t.Errorf("contact %s, want %+v", asJSON(t, c.d.Contact), c.want)
			}
		})
	}
}

func TestContactOfAnotherMethodEndsWithWhatItGotTo(t *testing.T) {
	r := cone()
	r.Method = brew.OtherMethod
	r.Steps = append(r.Steps, brew.Step{Action: brew.Press, Over: sec(20)})
	d := debrief(t, r, start(), mark(10), mark(60), mark(90), mark(150), stop(160))
	if want := (long{"contact time", 150, -25, true, drift.Shorter, brew.Bed}); d.Contact == nil || !want.of(*d.Contact) {
		t.Errorf("contact %s, want %+v", asJSON(t, d.Contact), want)
	}
}

func TestWordOfLength(t *testing.T) {
	for _, c := range []struct {
		name   string
		length drift.Length
		want   string
	}{
		{"longer", drift.Length{Took: sec(18.4), Drift: sec(4.4), Measured: true, Verdict: drift.Longer}, "18.4 s, +4.4 s longer"},
		{"as written", drift.Length{Took: sec(14.04), Drift: sec(0.04), Measured: true, Verdict: drift.AsWritten}, "14.0 s, 0.0 s as written"},
		{"by calls", drift.Length{Took: sec(12), Drift: sec(-2)}, "12.0 s, -2.0 s by calls"},
		{"past a minute", drift.Length{Took: 2*time.Minute + sec(1.25), Drift: sec(1.25), Measured: true, Verdict: drift.Longer}, "2 min 1.3 s, +1.3 s longer"},
		{"what rounds to a minute is one", drift.Length{Took: sec(59.97), Measured: true, Verdict: drift.AsWritten}, "1 min, 0.0 s as written"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := c.length.Word(); got != c.want {
				t.Errorf("%q, want %q", got, c.want)
			}
		})
	}
}
