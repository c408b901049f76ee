package rehearsal_test

import (
	"testing"
	"time"

	"barline/brew"
	"barline/brew/routine"
	"barline/tui/rehearsal"

	"github.com/charmbracelet/bubbles/key"
)

// kinds returns the kinds of the events of a take in a lane, in order.
func (p *player) kinds(lane int) (out []brew.EventKind) {
	for _, e := range p.page.Run().Events() {
		if e.Lane == lane {
			out = append(out, e.Kind)
		}
	}
	return out
}

func (p *player) wantKinds(lane int, want ...brew.EventKind) {
	p.t.Helper()
	got := p.kinds(lane)
	if len(got) != len(want) {
		p.t.Fatalf("lane %d: %v, want %v", lane, got, want)
	}
	for i := range want {
		if got[i] != want[i] {
			p.t.Fatalf("lane %d: %v, want %v", lane, got, want)
		}
	}
}

func (p *player) ending() routine.Ending { how, _, _ := p.page.Run().Ending(); return how }

const (
	left  = 0 // the lanes of the short routine
	hands = 1
	talk  = 2
	calls = 3
)

func TestSpaceIsTheBrewsAndLTheVoices(t *testing.T) {
	p := short(t, 80, 24).press("l", 1).press(" ", 20).press(" ", 28.3)
	p.wantKinds(talk, brew.EventMark)
	p.wantKinds(left, brew.EventStart, brew.EventMark)
	p.wantKinds(calls, brew.EventMark)
	if b := p.page.Run().Lanes().Lane(left); b.Zero() != 20*s || b.Beat(b.Last()).Marked != sec(8.3) {
		t.Errorf("water at %s, mark at %s", b.Zero(), b.Beat(b.Last()).Marked)
	}
}

func TestAHeldKeyIsOneMark(t *testing.T) {
	p := short(t, 80, 24).press(" ", 20).press(" ", 20.5).press(" ", 20.53).press(" ", 20.56)
	p.wantKinds(left, brew.EventStart)
}

func TestAFootSwitchIsToldApart(t *testing.T) {
	p := short(t, 80, 24).press("pgdown", 20)
	if e := p.page.Run().Events(); e[len(e)-1].Source != brew.FromFootSwitch {
		t.Errorf("%+v", e[len(e)-1])
	}
}

// Nothing that ends a take is one key away; every other key goes on.
func TestNoSingleKeyEndsATake(t *testing.T) {
	k := rehearsal.DefaultKeys()
	for _, b := range append(k.Running(), k.Over()...) {
		for _, name := range b.Keys() {
			p := short(t, 80, 24).perform(40, 0.1).press(name, 41)
			if p.ending() != routine.Running || p.left {
				t.Errorf("%q ends the take", name)
			}
		}
	}
	p := short(t, 80, 24).perform(40, 0.1).press("q", 41).press("x", 42)
	p.wantKinds(calls, brew.EventMark)
	if s := seen(t, p.page); s.says("Stop the take?") {
		t.Error("it still asks")
	}
}

func TestAMarkIsTakenWhileThePageAsks(t *testing.T) {
	p := short(t, 80, 24).press("q", 19).press(" ", 20)
	p.wantKinds(left, brew.EventStart)
	if !seen(t, p.page).says("Stop the take?") {
		t.Error("the question is gone")
	}
	p.press("y", 21)
	if p.ending() != routine.Stopped {
		t.Error(p.ending())
	}
}

func TestTimeIsOnlyCalledEarlyAfterAQuestion(t *testing.T) {
	for name, press := range map[string]string{"with the brew's key": " ", "with its own": "t"} {
		t.Run(name, func(t *testing.T) {
			p := short(t, 80, 24).perform(100, 0.1)
			if due, any := p.due(); any {
				t.Fatal("something waits at", due)
			}
			early := short(t, 80, 24).perform(60, 0.1).press("t", 61)
			if early.ending() != routine.Running || !seen(t, early.page).says("Call time? Not all is said and done") {
				t.Error("it is called, or nothing is asked")
			}
			if early.press("y", 62).ending() != routine.Finished {
				t.Error("it is not called once it is meant")
			}
			if p.press(press, 101).ending() != routine.Finished {
				t.Error("it asks though all is over")
			}
			if _, at, _ := p.page.Run().Ending(); at != 101*s {
				t.Error("called at", at)
			}
		})
	}
}

func TestTheCallIsTakenBackFromTheEndPage(t *testing.T) {
	rec := &keeping{}
	p := begun(t, 80, 24, rehearsal.Options{Recorder: rec}).perform(60, 0.1).press("t", 61).press("y", 62).press("u", 66)
	if p.ending() != routine.Running || p.page.At() != 66*s {
		t.Fatal(p.ending(), p.page.At())
	}
	p.perform(100, 0.1).press(" ", 101)
	if how, at, _ := rec.run(t, 0).Ending(); how != routine.Finished || at != 101*s {
		t.Error("the record says", how, at)
	}
}

func TestUTakesBackWhatWasDoneLast(t *testing.T) {
	p := short(t, 80, 24).press(" ", 20).press(" ", 28).press("l", 29).press("l", 30).press("s", 31.2)
	p.press("u", 32)
	p.wantKinds(left, brew.EventStart, brew.EventMark, brew.EventSkip, brew.EventUndo)
	p.press("u", 33)
	p.wantKinds(talk, brew.EventMark, brew.EventUndo)
	p.press("u", 34)
	p.wantKinds(left, brew.EventStart, brew.EventMark, brew.EventSkip, brew.EventUndo, brew.EventUndo)
	if p.page.Run().Lanes().Lane(left).Last() >= 0 {
		t.Error("a mark stands")
	}
	events := len(p.page.Run().Events())
	p.press("u", 35)
	if len(p.page.Run().Events()) != events || !seen(t, p.page).says("there is nothing to take back") {
		t.Error("something is taken back")
	}
}

func TestNudgeZeroAndNotes(t *testing.T) {
	p := short(t, 80, 24).press(" ", 20).press("z", 22)
	if at := p.page.Run().Lanes().Lane(left).Zero(); at != 22*s {
		t.Error("0:00 stands at", at)
	}
	p.press(" ", 31).press("e", 32).press("e", 32.4)
	if lane := p.page.Run().Lanes().Lane(left); lane.Beat(lane.Last()).Marked != 7*s {
		t.Error("the mark stands at", lane.Beat(lane.Last()).Marked)
	}
	p.press("n", 33).write("lost my place q", 34).press("enter", 37)
	e := p.page.Run().Events()
	if last := e[len(e)-1]; last.Kind != brew.EventNote || last.Text != "lost my place q" || last.Lane != calls {
		t.Errorf("%+v", last)
	}
	p.press("n", 38).write("gone", 39).press("esc", 40)
	if len(p.page.Run().Events()) != len(e) {
		t.Error("a note that was left is kept")
	}
}

// A mark and what ends the take in the same instant: the record has them in
// the order in which they were pressed.
func TestTwoKeysOfOneInstantKeepTheirOrder(t *testing.T) {
	rec := &keeping{}
	p := begun(t, 80, 24, rehearsal.Options{Recorder: rec}).press(" ", 20).press("q", 27).press(" ", 28).press("y", 28)
	run := rec.run(t, 0)
	if how, _, _ := run.Ending(); how != routine.Stopped || p.ending() != routine.Stopped || run.Lanes().Lane(left).Last() < 0 {
		t.Errorf("the record says %q, its latest mark is %d", how, run.Lanes().Lane(left).Last())
	}
}

// Two keys from anywhere in a take to the next one, of which the record holds
// both.
func TestTwoKeysBeginTheNextTake(t *testing.T) {
	for name, c := range map[string]struct {
		keys []string
		want routine.Ending
	}{
		"stopped and again":              {[]string{"q", "r"}, routine.Stopped},
		"called early, then again":       {[]string{"t", "y", "r"}, routine.Finished},
		"stopped, then from its debrief": {[]string{"q", "y", "r"}, routine.Stopped},
	} {
		t.Run(name, func(t *testing.T) {
			rec := &keeping{}
			p := begun(t, 80, 24, rehearsal.Options{Recorder: rec}).perform(40, 0.5)
			for i, k := range c.keys {
				p.press(k, 41+float64(i))
			}
			p.zero += 40*s + time.Duration(len(c.keys))*s
			if !p.page.Run().Started() || p.page.At() != 0 || p.ending() != routine.Running {
				t.Fatalf("the next take stands at %s, %q", p.page.At(), p.ending())
			}
			p.press(" ", 20.2)
			takes := p.page.Takes()
			if len(takes) != 2 || takes[0].Ending != c.want || takes[1].Ending != routine.Running {
				t.Fatalf("%d takes, the first %q", len(takes), takes[0].Ending)
			}
			if how, _, _ := rec.run(t, 0).Ending(); how != c.want || len(rec.takes) != 2 {
				t.Errorf("the record has %d takes, the first %q", len(rec.takes), how)
			}
			if lane := rec.run(t, 0).Lanes().Lane(left); lane.Started() {
				if how, _, _ := lane.Ending(); how == brew.Running {
					t.Error("the cup of the first take goes on in the record")
				}
			}
			if lane := rec.run(t, 1).Lanes().Lane(left); lane.Zero() != sec(20.2) {
				t.Error("the second take has water at", lane.Zero())
			}
			if seen(t, p.page).says("finished") || !seen(t, p.page).says("take 2") {
				t.Error("the page does not say which take it is")
			}
		})
	}
}

func TestACountInCanBeLeft(t *testing.T) {
	p := opened(t, 80, 24, rehearsal.Options{CountIn: 3 * s}).press(" ", 0).press("q", 1)
	if p.page.Run().Started() || p.left {
		t.Error("it has begun, or the page is left")
	}
	p.press(" ", 10).wait(13.5)
	if !p.page.Run().Started() || p.page.At() != sec(0.5) {
		t.Error("the count-in ends at", p.page.At())
	}
}

func TestAPartBeginsWhereItsSectionDoes(t *testing.T) {
	rec := &keeping{}
	p := begun(t, 80, 24, rehearsal.Options{Run: routine.Options{From: 1, To: 1}, Recorder: rec})
	from := p.page.Run().Plan().Sections[1].Start
	if p.page.At() != from || !p.page.Run().Lanes().Lane(left).Started() {
		t.Fatal("the clock reads", p.page.At())
	}
	p.perform(from.Seconds()+30, 0.3)
	if lane := rec.run(t, 0).Lanes().Lane(left); lane.Zero() != 20*s || lane.From() != from-20*s {
		t.Errorf("the cup has its water at %s, entered at %s", lane.Zero(), lane.From())
	}
	if !seen(t, p.page).says("section 2") {
		t.Error("the page does not say which part it is")
	}
}

func TestWithTheSpeedEverythingIsFaster(t *testing.T) {
	p := opened(t, 80, 24, rehearsal.Options{Speed: 10, Run: routine.Options{From: 1, To: 2}}).press(" ", 0)
	p.press("f20", 2)
	if want := p.page.Run().Begins() + 20*s; p.page.At() != want {
		t.Errorf("after two seconds the clock reads %s, want %s", p.page.At(), want)
	}
}

func TestNothingIsLostWhenThePageIsLeft(t *testing.T) {
	rec := &keeping{}
	p := begun(t, 80, 24, rehearsal.Options{Recorder: rec})
	p.slow = true
	p.press(" ", 20.3).press("q", 22).press("y", 23)
	before := p.cmds
	p.cmds = nil
	p.press("q", 25)
	after := p.cmds
	p.cmds = before
	p.settle()
	p.cmds = after
	if p.left {
		t.Fatal("the page is left before it was asked to be")
	}
	p.settle()
	if !p.left {
		t.Error("the page stays though all is kept")
	}
	if how, at, _ := rec.run(t, 0).Ending(); how != routine.Stopped || at != 23*s {
		t.Error("the record says", how, at)
	}
}

// idle is a recorder that has nothing to say.
type idle struct{}

func (idle) Append(int, int, rehearsal.Happening, time.Duration) error { return nil }

func TestThePageWaitsForTheRecord(t *testing.T) {
	p := begun(t, 80, 24, rehearsal.Options{Recorder: idle{}})
	p.slow = true
	p.press(" ", 20.3).press("q", 22).press("y", 23)
	waiting := p.cmds
	p.cmds = nil
	p.press("q", 25).settle()
	if p.left {
		t.Fatal("it went before the record had answered")
	}
	p.cmds = waiting
	if p.settle(); !p.left {
		t.Error("it stays though all is kept")
	}
}

func TestACallThatIsNotDueYetIsAskedAbout(t *testing.T) {
	if p := short(t, 80, 24).perform(90.8, 0.1).press("t", 91.5); p.ending() != routine.Running {
		t.Error("called 6 s early without a question")
	}
	if p := short(t, 80, 24).perform(93, 0.1).press("t", 94); p.ending() != routine.Finished {
		t.Error("it asks 4 s ahead")
	}
}

func TestEachKeyHasHelpAndNoneIsBoundTwice(t *testing.T) {
	k := rehearsal.DefaultKeys()
	for name, keys := range map[string][]key.Binding{
		"ready": k.Ready(), "counting": k.Counting(), "running": k.Running(), "stopping": k.Stopping(), "calling": k.Calling(), "typing": k.Typing(), "over": k.Over(),
	} {
		bound := map[string]bool{}
		for _, b := range keys {
			if b.Help().Key == "" || b.Help().Desc == "" {
				t.Errorf("%s: %v has no help", name, b.Keys())
			}
			for _, one := range b.Keys() {
				if bound[one] {
					t.Errorf("%s: %q is bound twice", name, one)
				}
				bound[one] = true
			}
		}
	}
}
