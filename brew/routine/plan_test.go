package routine_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/routine"
)

func TestTheSmallRoutineOnTheClock(t *testing.T) {
	p := planned(t, small())
	if p.End != 152*s || p.Cups[0].Zero != 30*s {
		t.Errorf("water at %s, end at %s", p.Cups[0].Zero, p.End)
	}
	var starts []time.Duration
	for _, l := range p.Lines {
		starts = append(starts, l.Start)
	}
	if want := []time.Duration{0, 10 * s, 70 * s, 90 * s, 140 * s}; !slices.Equal(starts, want) {
		t.Errorf("lines at %v, want %v", starts, want)
	}
	if got := p.Lines[2].Note + "; " + p.Lines[4].Note; got != "during second pour of left; after serving of left" {
		t.Errorf("notes %q", got)
	}
	var hands []string
	for i, c := range p.Hands.Cues {
		hands = append(hands, c.Name+" "+brew.Clock(c.Start)+"-"+brew.Clock(c.End))
		if p.Tasks[i].Serves != (i == 2) || p.Hands.Beats[c.EndBeat].Asked != (i == 2) {
			t.Errorf("%s: %+v", c.Name, p.Tasks[i])
		}
	}
	if want := []string{"left: Grind 15 g 0:10-0:22", "left: Rinse the paper 0:22-0:30", "serving of left 2:10-2:20"}; !slices.Equal(hands, want) {
		t.Errorf("hands %q, want %q", hands, want)
	}
	if p.Section("brewing") != 1 || p.Section(" CLOSE ") != 2 || p.Section("none") != -1 {
		t.Error("sections are not found by name")
	}
}

func TestTheSheetIsInOrderAndWhole(t *testing.T) {
	p := planned(t, two())
	sheet := p.Sheet()
	counts := map[routine.EntryKind]int{}
	for i, e := range sheet {
		counts[e.Kind]++
		if i > 0 && e.Start < sheet[i-1].Start || e.End < e.Start {
			t.Errorf("entry %d, %s, from %s to %s", i, e.What, e.Start, e.End)
		}
	}
	cues := len(p.Cups[0].Plan.Cues) + len(p.Cups[1].Plan.Cues) + len(p.Hands.Cues)
	if counts[routine.ACall] != 2 || counts[routine.ASection] != 3 || counts[routine.ACue] != cues || counts[routine.ALine] != len(p.Lines) {
		t.Errorf("%v", counts)
	}
	if sheet[0].What != "call time" || sheet[len(sheet)-1].Start != p.End {
		t.Error("the calls are not at the ends")
	}
}

// One thing that is said, or tied, or silent, where it must be.
func TestTies(t *testing.T) {
	quiet := two()
	quiet.Sections[0].Parts = append(quiet.Sections[0].Parts, routine.Part{Say: "just before", Over: 5 * s, Before: ref("bloom", "right")})
	p := planned(t, quiet)
	lines, right := p.Lines, p.Cups[1]
	bloom := right.Zero
	for _, l := range lines {
		if l.Start < bloom+10*s && bloom < l.End() {
			t.Errorf("%q is said from %s to %s, through the bloom at %s", l.Words, l.Start, l.End(), bloom)
		}
	}
	if before := lines[2]; before.End() > bloom {
		t.Errorf("what stands before the bloom ends at %s, the bloom begins at %s", before.End(), bloom)
	}
	pour := p.Cups[0].Zero + 40*s
	if during := lines[3]; during.Start < pour || during.End() > pour+30*s {
		t.Errorf("what is said during the pour runs from %s to %s", during.Start, during.End())
	}
}

// What must end before a step ends with its start at the latest.
func TestBeforeAStep(t *testing.T) {
	for length, can := range map[time.Duration]bool{5 * s: true, 6 * s: false} {
		r := small() // 25 s are said ahead of it, water is on at 0:30
		r.Sections[0].Parts = append(r.Sections[0].Parts, routine.Part{Say: "now", Over: length, Before: ref("bloom", "left")})
		if got := routine.Solve(resolved(t, r), routine.Usual).Found(); got != can {
			t.Errorf("%s: found %v", length, got)
		}
	}
}

// What needs the hands waits until they are free, and in a run too.
func TestWhatNeedsTheHands(t *testing.T) {
	r := small() // the hands are busy from 0:30 to 0:44
	r.Sections[0].Parts = append(r.Sections[0].Parts, routine.Part{Say: "a gesture", Over: 6 * s, Hands: true})
	p := planned(t, r)
	if l := p.Lines[2]; l.Start != 44*s || !l.Fixed {
		t.Errorf("%+v", l)
	}
	run := play(t, p, p.Whole()).call(0).water(0, 30*s)
	for at, want := range map[time.Duration]int{44*s - 1: 1, 44 * s: 2} {
		if k := run.run.At(at); k.Line != want {
			t.Errorf("at %s line %d, want %d", at, k.Line, want)
		}
	}
}

func TestServedTogether(t *testing.T) {
	apart := func(r routine.Routine) time.Duration {
		p := planned(t, r)
		a, b := p.Hands.Cues[p.Cups[0].Serving].Start, p.Hands.Cues[p.Cups[1].Serving].Start
		return (a - b).Abs()
	}
	r := two()
	r.Brews[0].At, r.Brews[0].Within, r.Brews[1].Within = nil, time.Minute, time.Minute
	far := apart(r)
	r.Together = 30 * s
	if near := apart(r); near > 30*s || far <= 30*s {
		t.Errorf("%s apart, without a bound %s", near, far)
	}
}

func TestPreparedInSetUpTime(t *testing.T) {
	r := small()
	r.Brews[0].Ready = true
	p := planned(t, r)
	if len(p.Hands.Cues) != 1 || !slices.Equal(p.Ready, []string{"left: Grind 15 g", "left: Rinse the paper"}) {
		t.Errorf("%d things on the clock, ready %q", len(p.Hands.Cues), p.Ready)
	}
}

// A pour through which nothing may be said, and a part that is pinned into its
// first second: the pour comes that second later, and a run follows.
func TestStepsMoveOnlyWhereTheyMust(t *testing.T) {
	r := small()
	r.Brews[0].Quiet = []string{"second pour"}
	r.Sections[1].Parts = []routine.Part{{Say: "Pinned", Over: 15 * s, At: at(55 * s)}}
	if p := planned(t, r); p.Cups[0].Moves != nil {
		t.Errorf("moved without need: %+v", p.Cups[0].Moves)
	}
	r.Sections[1].Parts[0].At = at(56 * s)
	search := routine.Solve(resolved(t, r), routine.Usual)
	if !search.Found() || !search.Moved() {
		t.Fatalf("found %v, moved %v", search.Found(), search.Moved())
	}
	sound(t, search)
	p := search.Plan()
	if want := (routine.Move{Cue: 2, To: 41 * s}); len(p.Cups[0].Moves) == 0 || p.Cups[0].Moves[0] != want {
		t.Errorf("moves %+v, want %+v first", p.Cups[0].Moves, want)
	}
	run := play(t, p, p.Whole()).call(0).water(0, 30*s)
	if start, _ := run.run.Lanes().Lane(0).Span(2); start != 41*s {
		t.Errorf("called at %s", start)
	}
	run.press(40 * s).press(101 * s)
	if r := run.result(); r.Marks[5].Key != "left: second pour, end" || r.Marks[5].Drift() != 0 {
		t.Errorf("%+v", r.Marks)
	}
	r.Sections[1].Parts[0].At = at(59 * s) // 4 s, more than its window
	if routine.Solve(resolved(t, r), routine.Usual).Found() {
		t.Error("a step was moved out of its window")
	}
}

func TestVersionsOfARoutine(t *testing.T) {
	base := planned(t, small()).Version
	for name, c := range map[string]struct {
		change func(*routine.Routine)
		same   bool
	}{
		"other words of the same length": {func(r *routine.Routine) { r.Sections[0].Parts[0].Say = "Good evening" }, true},
		"other rules":                    {func(r *routine.Routine) { r.Rules.Cap = 10 }, true},
		"another length":                 {func(r *routine.Routine) { r.Sections[0].Parts[0].Over = 11 * s }, false},
		"another start":                  {func(r *routine.Routine) { r.Brews[0].At = at(31 * s) }, false},
		"another name of a section":      {func(r *routine.Routine) { r.Sections[0].Name = "Hello" }, false},
		"another limit":                  {func(r *routine.Routine) { r.Limit += s }, false},
	} {
		r := small()
		c.change(&r)
		if got := planned(t, r).Version; (got == base) != c.same {
			t.Errorf("%s: version %s, was %s", name, got, base)
		}
	}
}

// Without water drawdowns and waits take five seconds, and everything keeps
// its order.
func TestADryRoutine(t *testing.T) {
	wet := resolved(t, small())
	dry := routine.Solve(wet.Dry(), routine.Usual).Plan()
	plan := dry.Cups[0].Plan
	var got []string
	for _, c := range plan.Cues {
		got = append(got, brew.Exact(c.Start)+"-"+brew.Exact(c.End))
	}
	if want := []string{"0:00-0:10", "0:10-0:14", "0:19-0:49", "0:49-0:54"}; !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
	waits := cone()
	waits.Steps[2].Anchor, waits.Steps[2].Offset = brew.After, 4*s // as short as it is
	waits.Steps = append(waits.Steps[:3:3], brew.Step{Action: brew.Wait, Over: 7 * s}, brew.Step{Action: brew.Lift, Over: 2 * s})
	quick := routine.Resolved{Routine: small(), Recipes: []brew.Recipe{waits}}.Dry().Recipes[0]
	if got := quick.Steps; got[2].Offset != 4*s || got[2].Over != 30*s || got[3].Over != 5*s || got[4].Over != 2*s {
		t.Errorf("%+v", got)
	}
	if dry.Version == planned(t, small()).Version {
		t.Error("a dry routine has the version of the wet one")
	}
	if len(wet.Recipes[0].Steps) != 4 || wet.Recipes[0].Steps[3].Over != 30*s {
		t.Error("the recipe itself was changed")
	}
}

func TestRoomsAndGains(t *testing.T) {
	search := routine.Solve(resolved(t, small()), routine.Usual)
	rooms := search.Rooms()
	if len(rooms) == 0 || !slices.IsSortedFunc(rooms, func(a, b routine.Room) int { return int(a.Wait - b.Wait) }) {
		t.Fatalf("%+v", rooms)
	}
	for _, r := range rooms {
		if strings.HasPrefix(r.What, "bloom") {
			t.Errorf("the pinned brew has room: %+v", r)
		}
	}
	// By hand: what is said while the pour runs, 1:10 to 1:30, must end by
	// 1:40 (the pour does), so it may wait 10 s.
	n := slices.IndexFunc(rooms, func(r routine.Room) bool { return strings.Contains(r.What, "While it pours") })
	if n < 0 || rooms[n].Wait != 10*s {
		t.Errorf("%+v", rooms)
	}
	// The last part may wait from 2:20 until it ends with the limit, at 3:00.
	n = slices.IndexFunc(rooms, func(r routine.Room) bool { return strings.Contains(r.What, "Please enjoy") })
	if n < 0 || rooms[n].Wait != 28*s {
		t.Errorf("%+v", rooms)
	}
	gains := search.Gains(10*s, 1000)
	what := map[string]time.Duration{}
	for _, g := range gains {
		what[strings.Join(g.What, " + ")] = g.By
	}
	// Left to the planner, and prepared from 0:00 on, water is on at 0:20.
	if what["leave the start of left to the planner"] != 10*s || what[`make part 5, "Please enjoy", 10 s shorter`] != 10*s {
		t.Errorf("%v", what)
	}
	for name, by := range what {
		if by < 10*s {
			t.Errorf("%s gains %s", name, by)
		}
	}
}

// Where no change is enough by itself, two together are told.
func TestAPairOfChanges(t *testing.T) {
	r := small()
	r.Brews[0].Ready, r.Brews[0].At = true, nil
	r.Sections[2].Parts[0].Over = 9 * s
	r.Sections[2].Parts = append(r.Sections[2].Parts, routine.Part{Say: "one", Over: 8 * s})
	search := routine.Solve(resolved(t, r), routine.Usual)
	gains := search.Gains(60*s, 1000)
	if len(gains) != 1 {
		t.Fatalf("%+v", gains)
	}
}

// The routine that is impossible: its two pinned blooms want the same hands
// and kettle, and it says at which second.
func TestWhyARoutineIsImpossible(t *testing.T) {
	r := two()
	r.Brews[0].Ready, r.Brews[1].Ready = true, true
	r.Brews[1].Quiet = nil
	r.Brews[1].At = at(75 * s) // its bloom runs from 1:15 to 1:25, left's second pour from 1:10 to 1:40
	search := routine.Solve(resolved(t, r), routine.Usual)
	if !search.Impossible() {
		t.Fatal("not proven impossible")
	}
	clashes := routine.Why(resolved(t, r))
	if len(clashes) != 1 {
		t.Fatalf("%+v", clashes)
	}
	c := clashes[0]
	if c.At != 75*s || c.Until != 85*s || !slices.Contains([]string{"the same pair of hands", "the same kettle"}, c.Needs) ||
		!slices.Equal(c.What, []string{"second pour of left", "bloom of right"}) {
		t.Errorf("%s", c)
	}
	faults := search.Verdict()
	if len(faults) != 1 || faults[0].Severity != brew.Error || faults[0].Place != (brew.Place{Part: routine.InBrews, Index: 1}) || !strings.Contains(faults[0].Message, "from 1:15 to 1:25") {
		t.Errorf("%+v", faults)
	}
	r.Brews[1].At = at(95 * s) // until the pour ends, at 1:40
	if later := routine.Why(resolved(t, r)); len(later) != 1 || later[0].At != 95*s || later[0].Until != 100*s {
		t.Errorf("%v", later)
	}
}

func TestTwoPartsThatWantTheSameVoice(t *testing.T) {
	r := small()
	r.Sections[0].Parts[1].At = at(5 * s) // the part before it lasts until 0:10
	search := routine.Solve(resolved(t, r), routine.Usual)
	if !search.Impossible() {
		t.Fatal("not proven impossible")
	}
	// The order of the parts alone forbids it, whatever the voice.
	if faults := search.Verdict(); len(faults) != 1 || faults[0].Severity != brew.Error {
		t.Errorf("%+v", faults)
	}
	r = small()
	r.Brews[0].Quiet = []string{"second pour"}
	search = routine.Solve(resolved(t, r), routine.Usual)
	clashes := routine.Why(resolved(t, r))
	if !search.Impossible() || len(clashes) != 1 || clashes[0].Needs != "the same voice" || clashes[0].At != 70*s {
		t.Errorf("impossible %v: %v", search.Impossible(), clashes)
	}
}

func TestARoutineThatIsTooLong(t *testing.T) {
	r := small()
	r.Limit = 150 * s
	faults := routine.Solve(resolved(t, r), routine.Usual).Verdict()
	if len(faults) != 1 || faults[0].Severity != brew.Warning || faults[0].Message != "it cannot end before 2:32, 2 s over the limit: 2 points" {
		t.Errorf("%+v", faults)
	}
	r.Limit = 152 * s
	if faults := routine.Solve(resolved(t, r), routine.Usual).Verdict(); len(faults) != 0 {
		t.Errorf("%+v", faults)
	}
}
