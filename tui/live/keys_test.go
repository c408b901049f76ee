package live_test

import (
	"testing"
	"time"

	"barline/brew"
	"barline/tui/live"

	tea "github.com/charmbracelet/bubbletea"
)

// lane returns the lane of a page with but one.
func (p *player) lane() brew.Lane { return p.page.Timeline().Lane(0) }

// marks returns when the beats of the first lane were marked, in seconds.
func (p *player) marks() []float64 {
	var out []float64
	l := p.lane()
	for i := range l.Plan().Beats {
		if b := l.Beat(i); b.Status == brew.Marked {
			out = append(out, b.Marked.Seconds())
		}
	}
	return out
}

// kinds counts the events of the first lane by their kind.
func (p *player) kinds() map[brew.EventKind]int {
	out := map[brew.EventKind]int{}
	for _, e := range p.lane().Events() {
		out[e.Kind]++
	}
	return out
}

func (p *player) wantMarks(want ...float64) {
	p.t.Helper()
	got := p.marks()
	if len(got) != len(want) {
		p.t.Fatalf("marks at %v, want %v", got, want)
	}
	for i := range want {
		if got[i] != want[i] {
			p.t.Errorf("marks at %v, want %v", got, want)
		}
	}
}

func (p *player) wantEnding(how brew.Ending, at float64, why string) {
	p.t.Helper()
	gotHow, gotAt, gotWhy := p.lane().Ending()
	if gotHow != how || gotAt != sec(at) || gotWhy != why {
		p.t.Errorf("%q at %s because %q, want %q at %g s because %q", gotHow, gotAt, gotWhy, how, at, why)
	}
}

func TestKeysThatMark(t *testing.T) {
	for _, key := range []string{" ", "enter", "pgdown"} {
		p := pressing(t, 80, 24).press(key, 8.4)
		p.wantMarks(8.4)
		want := brew.FromKey
		if key == "pgdown" {
			want = brew.FromFootSwitch
		}
		if e := p.lane().Events(); e[len(e)-1].Source != want {
			t.Errorf("%q comes from a %s, want a %s", key, e[len(e)-1].Source, want)
		}
	}
}

func TestAHeldKeyIsOneMark(t *testing.T) {
	p := coning(t, 80, 24)
	for at := 9.0; at < 66; at += 0.033 { // held over the next beat, too
		if at == 9 || at > 9.4 {
			p.press(" ", at)
		}
	}
	p.wantMarks(9)
}

func TestAPasteIsNoKey(t *testing.T) {
	p := pressing(t, 80, 24)
	for i, text := range []string{" ", "u", "s", "q", "z"} {
		p.give(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(text), Paste: true}, 8+float64(i))
	}
	if k := p.kinds(); len(k) != 1 || k[brew.EventStart] != 1 {
		t.Errorf("a paste made %v", k)
	}
}

func TestTakingBackGoesOnAndOn(t *testing.T) {
	p := pressing(t, 80, 24).press(" ", 8.2).press(" ", 52.3).press("s", 70).press("u", 71).press("u", 72)
	p.wantMarks(8.2)
	if p.lane().Skipped(5) {
		t.Error("the skip stands")
	}
	p.press("u", 73).press("u", 74)
	p.wantMarks()
	if s := seen(t, p.page, 80, 24); !s.says("there is nothing to take back") {
		t.Error("a refusal is not told")
	}
}

func TestNudgesComeOneAfterTheOther(t *testing.T) {
	p := pressing(t, 80, 24).press(" ", 12).press("e", 12.8).press("e", 13).press("e", 13.2)
	p.wantMarks(9)
	p.press("e", 13.25).press("e", 13.3) // held
	p.wantMarks(9)
}

func TestANudgeMovesTheLatestMarkInWhateverLane(t *testing.T) {
	p := rounding(2)(t, 80, 24).press(" ", 8).press(" ", 9.5).press("s", 20).press("e", 21)
	cone := p.page.Timeline().Lane(1)
	if got := cone.Beat(cone.Last()).Marked; got != 8500*time.Millisecond {
		t.Errorf("the cone's mark is at %s, want 8.5 s", got)
	}
	p.wantMarks(8)
}

func TestSkipZeroAndNote(t *testing.T) {
	p := pressing(t, 80, 24).press("z", 4)
	if got := p.lane().Zero(); got != 4*s {
		t.Errorf("zero is at %s, want 4 s", got)
	}
	if s := seen(t, p.page, 80, 24); !s.shows("0:00") || !s.says("0:00 is now") {
		t.Error("the clock does not begin again")
	}
	p.press("s", 6)
	if !p.lane().Skipped(0) {
		t.Error("the first pour is not skipped")
	}
	p.press("n", 10).write("slow kettle", 11).press("enter", 13)
	if k := p.kinds(); k[brew.EventNote] != 1 || k[brew.EventZero] != 1 || k[brew.EventSkip] != 1 {
		t.Errorf("%v", k)
	}
	if s := seen(t, p.page, 80, 24); !s.says("noted") {
		t.Error("the note is not answered")
	}
	p.press("n", 20).press("enter", 21).press("n", 22).write("no", 23).press("esc", 24)
	if k := p.kinds(); k[brew.EventNote] != 1 {
		t.Error("an empty note or one that was left is kept")
	}
}

// Keys of a line are letters, and its end is not yet another key.
func TestTypingDoesNotBrew(t *testing.T) {
	p := pressing(t, 80, 24).press("n", 2).write("sun zeq y", 3).press("enter", 8)
	for at := 8.4; at < 9.5; at += 0.03 {
		p.press("enter", at) // held
	}
	p.wantMarks()
	if k := p.kinds(); k[brew.EventNote] != 1 || len(k) != 2 {
		t.Errorf("%v", k)
	}
}

func TestStoppingIsAskedTwice(t *testing.T) {
	p := pressing(t, 80, 24).press("q", 5)
	for at := 5.4; at < 7; at += 0.03 {
		p.press("q", at) // held
	}
	p.press(" ", 8) // any other key goes on
	p.wantEnding(brew.Running, 0, "")
	p.wantMarks()
	p.press("q", 20).press("y", 22).write("the cup fell", 25).press("enter", 30)
	p.wantEnding(brew.Stopped, 22, "the cup fell")
	if p.left() {
		t.Error("the page is left before the debrief is read")
	}
}

func TestStoppingCanBeThoughtBetterOf(t *testing.T) {
	p := pressing(t, 80, 24).press("q", 5).press("y", 6).write("no", 7).press("esc", 8).press(" ", 9)
	p.wantEnding(brew.Running, 0, "")
	p.wantMarks(9)
}

func TestControlCThreeTimesStops(t *testing.T) {
	p := pressing(t, 80, 24).press("ctrl+c", 5).press("ctrl+c", 6).press("ctrl+c", 7)
	p.wantEnding(brew.Stopped, 6, "")
	if p.press("ctrl+c", 8); !p.left() {
		t.Error("the fourth does not leave")
	}
}

// Who stops a brew has stopped it, even if it would end while they type why.
func TestABrewThatIsStoppedDoesNotFinish(t *testing.T) {
	p := pressing(t, 80, 24).press("q", 198).press("y", 199).write("no marks", 200).wait(220).press("enter", 221)
	p.wantEnding(brew.Stopped, 199, "no marks")
	p = pressing(t, 80, 24).press("q", 198).press("y", 199).wait(220).press("esc", 221).wait(222)
	p.wantEnding(brew.Finished, 200, "")
}

func TestStoppingStopsEveryLane(t *testing.T) {
	p := rounding(3)(t, 80, 24).press("q", 5).press("y", 6).press("enter", 8)
	for i := range 3 {
		if how, at, _ := p.page.Timeline().Lane(i).Ending(); how != brew.Stopped || at != 6*s {
			t.Errorf("lane %d is %q at %s", i, how, at)
		}
	}
}

// A note that is being typed when the brew ends is neither lost nor taken for
// keys of the debrief.
func TestANoteOutlivesTheBrew(t *testing.T) {
	p := pressing(t, 80, 24).press("n", 195).write("quick", 199.93)
	p.wantEnding(brew.Finished, 200, "")
	if p.left() {
		t.Fatal("a letter of the note left the page")
	}
	p.write("ly", 201).press("enter", 203)
	if k := p.kinds(); k[brew.EventNote] != 1 {
		t.Errorf("%v", k)
	}
	if s := seen(t, p.page, 80, 24); !s.says("space readings") {
		t.Error("the debrief does not go on")
	}
}

func TestPreparing(t *testing.T) {
	p := open(t, 80, 24, live.Options{Plans: []*brew.Plan{recipe(t, "press")}})
	box := func(want string) {
		t.Helper()
		if s := seen(t, p.page, 80, 24); !s.says(want) {
			t.Errorf("%q is not on the screen", want)
		}
	}
	box("> [ ] ")
	p.press(" ", -20).press("enter", -19).press("u", -18)
	box("> [ ] Grind 14 g")
	p.press("u", -17).press("u", -16).press("s", -15)
	box("space as water meets coffee: Pour to 50 g")
	if p.page.Busy() || p.lane().Started() {
		t.Error("the clock has started by itself")
	}
	p.press("z", -14).press("n", -13).press("e", -12)
	if p.press("q", -11); !p.left() {
		t.Error("leaving is asked though nothing would be lost")
	}
}

// The call ahead comes with the stroke of its bell.
// An alarm of the brew before wakes nobody in the next one.
// The seconds are as large as a long word lets them, and never the smaller.
// A clock of ten minutes and more leaves small figures no room for the unit.
// What is good to know gives way to what must be known, on a row of its width.
