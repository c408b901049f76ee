package routine_test

import (
	"testing"
	"time"

	"barline/brew"
	"barline/brew/routine"
)

// A performance of the small routine to the second.
func TestARunThatGoesAsWritten(t *testing.T) {
	p := planned(t, small())
	run := play(t, p, p.Whole()).call(0).water(0, 30*s).press(40 * s).press(100 * s).press(130 * s).press(140 * s).press(152 * s)
	r := run.result()
	if how, at, _ := run.run.Ending(); how != routine.Finished || at != 152*s {
		t.Fatalf("ended %q at %s", how, at)
	}
	for _, m := range r.Marks {
		if m.Voice != routine.OfTalk && (!m.Known || m.Drift() != 0 || m.Slip() != 0) {
			t.Errorf("%+v", m)
		}
	}
	for _, m := range r.Marks { // what is written at a section's start belongs to it
		if want := map[string]int{"left: start": 0, "left: second pour, end": 1, "serving of left, end": 2, "time": 2}; want[m.Key] != m.Section && m.Voice != routine.OfTalk && m.Key != "left: first pour, end" && m.Key != "left: first drawdown, end" {
			t.Errorf("%s is in section %d", m.Key, m.Section)
		}
	}
	for i, want := range []time.Duration{70 * s, 70 * s, 12 * s} {
		if sec := r.Sections[i]; !sec.Known || sec.Took != want || sec.Written != want {
			t.Errorf("section %d: %+v, want %s", i, sec, want)
		}
	}
	if r.Penalty.Points != 0 || r.Length() != 152*s || !r.Whole() {
		t.Errorf("%+v", r.Penalty)
	}
}

func TestWhatIsShownAtAMoment(t *testing.T) {
	p := planned(t, small())
	run := play(t, p, p.Whole())
	if k := run.run.At(0); k.Next.What != "Call time" || k.Line != -1 || k.NextLine != 0 || k.Standing.Word() != "no mark yet" {
		t.Errorf("before the start: %+v", k)
	}
	run.call(0)
	for _, c := range []struct {
		at                   time.Duration
		line, next, section  int
		left, nextIn, cueIn  time.Duration
		what, whose          string
		lineLeft, limitsLeft time.Duration
	}{
		{0, 0, 1, 0, 180 * s, 10 * s, 10 * s, "left: Grind 15 g", "", 10 * s, 0},
		{9*s + 999*time.Millisecond, 0, 1, 0, 0, time.Millisecond, time.Millisecond, "left: Grind 15 g", "", time.Millisecond, 0},
		{10 * s, 1, 2, 0, 0, 60 * s, 12 * s, "left: Rinse the paper", "", 15 * s, 0},
		{26 * s, 1, 2, 0, 0, 44 * s, 4 * s, "Pour 45 g", "left", 0, 0},
	} {
		k := run.run.At(c.at)
		if k.Line != c.line || k.NextLine != c.next || k.Section != c.section || k.Left != 180*s-c.at || k.NextIn != c.nextIn ||
			k.Next.In != c.cueIn || k.Next.What != c.what || k.Next.Whose != c.whose || k.LineLeft != c.lineLeft {
			t.Errorf("%s: %+v", c.at, k)
		}
	}
	run.water(0, 30*s)
	if k := run.run.At(75 * s); k.Line != 2 || k.LineDone != 0.25 || k.Section != 1 || k.Ends != 140*s {
		t.Errorf("%+v", k)
	}
	for at, want := range map[time.Duration]bool{119 * s: false, 120 * s: true, 170 * s: true} {
		if k := run.run.At(at); k.Minute != want {
			t.Errorf("one minute left at %s: %v", at, k.Minute)
		}
	}
}

// A picture that sleeps until it changes misses nothing: between two changes
// what is said, what comes next and what is pending stay the same.
func TestNothingChangesBetweenChanges(t *testing.T) {
	p := planned(t, two())
	run := play(t, p, p.Whole()).call(0).water(0, 31*s)
	for at := 31 * s; at < p.End; {
		k := run.run.At(at)
		if !k.HasChange || k.Changes <= at {
			t.Fatalf("%s: changes at %s, %v", at, k.Changes, k.HasChange)
		}
		before := run.run.At(k.Changes - 1)
		if before.Line != k.Line || before.NextLine != k.NextLine || before.Section != k.Section || before.Next.What != k.Next.What ||
			before.Minute != k.Minute || len(before.Pending) != len(k.Pending) {
			t.Errorf("between %s and %s\n%+v\nbecame\n%+v", at, k.Changes, k, before)
		}
		at = k.Changes
	}
}

// What the larger of the last drift and the waiting is, with its sign and word.
func TestAheadAndBehind(t *testing.T) {
	p := planned(t, small())
	run := play(t, p, p.Whole()).call(0)
	says := func(at time.Duration, want string, waiting bool) {
		t.Helper()
		if k := run.run.At(at).Standing; k.String() != want || k.Waiting != waiting {
			t.Errorf("at %s: %q, waiting %v; want %q", at, k, k.Waiting, want)
		}
	}
	says(20*s, "no mark yet", false)
	says(30*s, "on time", true) // water is due now
	says(33*s, "+3.0 s behind", true)
	run.water(0, 32*s)
	says(32*s, "+2.0 s behind", false)
	says(41*s, "+2.0 s behind", false)
	says(46*s, "+4.0 s behind", true) // the bloom was called at 0:42
	run.press(41 * s)
	says(50*s, "+1.0 s behind", false)
	run.press(97 * s) // the second pour ends 3 s early
	says(98*s, "-3.0 s ahead", false)
	says(127*s, "on time", true) // the bed is due now: 0 s is more than 3 s ahead
	says(129*s, "+2.0 s behind", true)
}

func TestAPressMeansWhatWasCalledNearest(t *testing.T) {
	p := planned(t, two())
	run := play(t, p, p.Whole())
	means := func(at time.Duration, kind brew.EventKind, lane int) {
		t.Helper()
		if e, ok := run.run.Meant(at, brew.FromKey); !ok || e.Kind != kind || e.Lane != lane || e.At != at {
			t.Errorf("at %s: %+v, %v; want %s in lane %d", at, e, ok, kind, lane)
		}
	}
	calls := p.CallsLane()
	means(0, brew.EventMark, calls)
	run.call(0)
	means(5*s, brew.EventStart, 0)
	run.water(0, 30*s)
	means(41*s, brew.EventMark, 0)
	right := p.Cups[1].Zero
	means(right, brew.EventStart, 1)
	run.press(40 * s)
	run.do(brew.EventStop, calls, 50*s)
	if e, ok := run.run.Meant(60*s, brew.FromKey); ok {
		t.Errorf("after the end a press means %+v", e)
	}
}

func TestLinesFollowTheBrewThatTheyAreTiedTo(t *testing.T) {
	p := planned(t, small())
	run := play(t, p, p.Whole()).call(0)
	if k := run.run.At(80 * s); k.Line != 1 || !k.Waits {
		t.Errorf("water is not on, but %+v", k)
	}
	run.water(0, 44*s) // 14 s late
	for at, want := range map[time.Duration]int{83*s + 999*time.Millisecond: 1, 84 * s: 2, 104 * s: 3} {
		if k := run.run.At(at); k.Line != want {
			t.Errorf("at %s line %d, want %d", at, k.Line, want)
		}
	}
	// The serving is called when the bed is due, at 2:24, and the last line
	// when the serving is over.
	run.press(54 * s).press(114 * s).press(148 * s)
	for at, want := range map[time.Duration]int{154*s - 1: 3, 154 * s: 4} {
		if k := run.run.At(at); k.Line != want {
			t.Errorf("at %s line %d, want %d", at, k.Line, want)
		}
	}
}

func TestALineMarkBeginsTheNextLine(t *testing.T) {
	p := planned(t, small())
	run := play(t, p, p.Whole()).call(0).say(7 * s) // 3 s ahead
	if k := run.run.At(7 * s); k.Line != 1 || k.Standing.String() != "-3.0 s ahead" {
		t.Errorf("%+v", k)
	}
	if k := run.run.At(21 * s); k.Line != 1 || k.LineLeft != s {
		t.Errorf("the marked line is not 15 s long: %+v", k)
	}
	run.do(brew.EventUndo, p.TalkLane(), 8*s)
	if k := run.run.At(8 * s); k.Line != 0 || k.NextIn != 2*s {
		t.Errorf("taken back: %+v", k)
	}
	run.say(11 * s) // the second line went on by itself a second ago
	if k := run.run.At(11 * s); k.Line != 1 || k.LineLeft != 15*s {
		t.Errorf("confirmed: %+v", k)
	}
	run.say(20 * s) // out of its grace, so the next
	if k := run.run.At(20 * s); k.Line != 2 {
		t.Errorf("%+v", k)
	}
	run.say(21 * s).say(22 * s)
	if out := run.try(brew.EventMark, p.TalkLane(), 35*s); out.Effect != brew.Refused {
		t.Errorf("a mark when all is said is %s", out.Effect)
	}
}

func TestLinesByHandAlone(t *testing.T) {
	p := planned(t, small())
	opt := p.Whole()
	opt.Manual = true
	run := play(t, p, opt).call(0)
	if k := run.run.At(6 * s); k.Line != -1 || k.Standing.String() != "+6.0 s behind" || len(k.Pending) != 1 {
		t.Errorf("%+v", k)
	}
	run.say(1 * s)
	if k := run.run.At(15 * s); k.Line != 0 || k.LineLeft != 0 || k.LineDone != 1 || k.Standing.String() != "+4.0 s behind" {
		t.Errorf("%+v", k)
	}
}

func TestAPartOfARoutine(t *testing.T) {
	p := planned(t, small())
	run := play(t, p, routine.Options{From: 1, To: 1})
	if run.run.Begins() != 70*s || run.run.Due() != 140*s || !run.run.Partial() {
		t.Fatalf("from %s to %s", run.run.Begins(), run.run.Due())
	}
	run.call(70 * s)
	lane := run.run.Lanes().Lane(0)
	if !lane.Started() || lane.From() != 40*s || lane.Zero() != 30*s {
		t.Errorf("the brew under way: %v, from %s", lane.Started(), lane.From())
	}
	if k := run.run.At(70 * s); k.Line != 2 || k.Section != 1 || k.Standing.Known {
		t.Errorf("%+v", k)
	}
	run.press(101 * s).press(131 * s).press(141 * s)
	r := run.result()
	slow := play(t, p, routine.Options{From: 1, To: 1}).call(70 * s).call(270 * s).result()
	if slow.Length() != 200*s || slow.Penalty != (routine.Penalty{}) {
		t.Errorf("a part that takes longer than the limit of the whole costs %s", slow.Penalty)
	}
	if r.Ending != routine.Finished || !r.Partial || r.Penalty != (routine.Penalty{}) || r.Whole() {
		t.Errorf("%q, %+v", r.Ending, r.Penalty)
	}
	for i, s := range r.Sections {
		if s.Known != (i == 1) {
			t.Errorf("section %d known %v", i, s.Known)
		}
	}
	if r.Sections[1].Took != 71*s {
		t.Errorf("took %s", r.Sections[1].Took)
	}
}

func TestTheCallAtTheEndCanBeTakenBack(t *testing.T) {
	p := planned(t, small())
	run := play(t, p, p.Whole()).call(0).water(0, 30*s).call(90 * s)
	if got := run.run.Closing(); len(got) != 1 || got[0].Kind != brew.EventStop || got[0].At != 90*s {
		t.Errorf("closing: %+v", got)
	}
	run.do(brew.EventUndo, p.CallsLane(), 91*s)
	if how, _, _ := run.run.Ending(); how != routine.Running {
		t.Errorf("ended %q", how)
	}
	run.press(100 * s)
	if out := run.try(brew.EventUndo, p.CallsLane(), 101*s); out.Effect != brew.Refused {
		t.Errorf("the first call is taken back: %+v", out)
	}
	run.do(brew.EventStop, p.CallsLane(), 102*s)
	r := run.result()
	if r.Ending != routine.Stopped || r.Ended != 102*s || r.Whole() {
		t.Errorf("%q at %s", r.Ending, r.Ended)
	}
}

func TestWhatIsRefused(t *testing.T) {
	p := planned(t, small())
	run := play(t, p, p.Whole())
	refused := func(kind brew.EventKind, lane int, at time.Duration) {
		t.Helper()
		before := len(run.run.Events())
		if out := run.try(kind, lane, at); out.Effect != brew.Refused || out.Why == "" || len(run.run.Events()) != before {
			t.Errorf("%s in lane %d at %s: %+v", kind, lane, at, out)
		}
	}
	refused(brew.EventStart, 0, s)
	refused(brew.EventMark, p.TalkLane(), s)
	refused(brew.EventStop, p.CallsLane(), s)
	run.call(0)
	refused(brew.EventMark, -1, s)
	refused(brew.EventMark, p.CallsLane()+1, s)
	refused(brew.EventSkip, p.CallsLane(), s)
	refused(brew.EventSkip, p.TalkLane(), s)
	refused(brew.EventUndo, p.TalkLane(), s)
	refused(brew.EventMark, 0, s)
	run.call(s)
	refused(brew.EventStart, 0, 2*s)
	refused(brew.EventMark, p.CallsLane(), 2*s)
	run.do(brew.EventNote, p.CallsLane(), 2*s)
}

// A brew that nobody marks to its end finishes by the clock, in order.
func TestTheClockEndsBrews(t *testing.T) {
	p := planned(t, two())
	run := play(t, p, p.Whole()).call(0).water(0, 30*s).water(1, p.Cups[1].Zero)
	events := run.run.Clock(time.Hour)
	if len(events) != 2 || events[0].Lane != 0 || events[1].Lane != 1 || events[0].At >= events[1].At || events[0].Kind != brew.EventFinish {
		t.Errorf("%+v", events)
	}
	if early := run.run.Clock(events[0].At - 1); len(early) != 0 {
		t.Errorf("too early: %+v", early)
	}
}

// A serving is put off for as long as its brew has not started, and is never
// called before.
func TestAServingWaitsForABrewThatHasNotStarted(t *testing.T) {
	p := planned(t, small())
	run := play(t, p, p.Whole()).call(0)
	for _, at := range []time.Duration{135 * s, 170 * s} { // served from 2:10 as written
		k := run.run.At(at)
		if k.Next.Lane != p.HandsLane() && k.Next.Lane != p.CallsLane() || len(k.Pending) != 1 || k.Pending[0].Lane != 0 {
			t.Errorf("at %s: %+v", at, k)
		}
		if k.Next.What != "Serve left" || k.Next.In != 100*s {
			t.Errorf("at %s the serving is %s away: %+v", at, k.Next.In, k.Next)
		}
	}
}

// A brew that is due in the very moment at which a part of the routine begins
// is started by the person, one that is due before is under way.
func TestABrewAtTheEdgeOfAPart(t *testing.T) {
	r := small()
	r.Sections[1].Parts[0].During = ref("bloom", "left")
	r.Sections[1].Parts[0].Over = 10 * s
	p := planned(t, r)
	if p.Sections[1].Start != p.Cups[0].Zero {
		t.Fatalf("the section begins at %s, the brew at %s", p.Sections[1].Start, p.Cups[0].Zero)
	}
	run := play(t, p, routine.Options{From: 1, To: 2}).call(30 * s)
	if run.run.Lanes().Lane(0).Started() {
		t.Error("it has started by itself")
	}
	if e, ok := run.run.Meant(30*s, brew.FromKey); !ok || e.Kind != brew.EventStart {
		t.Errorf("a press means %+v", e)
	}
}

func TestOfTwoAsNearThePressMeansTheEarlier(t *testing.T) {
	p := planned(t, two())
	right := p.Cups[1].Zero
	run := play(t, p, p.Whole()).call(0).water(0, right-120*s) // its bed is due 20 s before water on right
	run.press(right - 110*s).press(right - 50*s)
	if e, _ := run.run.Meant(right-10*s, brew.FromKey); e.Kind != brew.EventMark || e.Lane != 0 {
		t.Errorf("%+v", e)
	}
	if e, _ := run.run.Meant(right-10*s+1, brew.FromKey); e.Kind != brew.EventStart || e.Lane != 1 {
		t.Errorf("%+v", e)
	}
}

// What lies outside of the part that is run is not waited for.
func TestWhatIsOutsideOfAPartIsNotWanted(t *testing.T) {
	p := planned(t, two())
	run := play(t, p, routine.Options{From: 0, To: 0}).call(0)
	for _, w := range run.run.Wanted(20 * s) {
		if w.Lane == 1 || w.Lane == p.HandsLane() || w.Lane == 0 && w.Beat >= 0 {
			t.Errorf("%+v is wanted", w)
		}
	}
	if e, _ := run.run.Meant(p.Cups[1].Zero, brew.FromKey); e.Lane == 1 {
		t.Errorf("%+v", e)
	}
}
