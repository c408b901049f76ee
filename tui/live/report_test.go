package live_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/tui/live"

	"pgregory.net/rapid"
)

// read plays a press to its end, takes the readings that are typed, one a
// line, and returns what the record got.
func read(t *testing.T, typed ...string) (*player, *keeping) {
	k := &keeping{events: map[int]brew.Event{}}
	p := noted(k)(t, 80, 24).press(" ", 150)
	for i, text := range typed {
		p.write(text, 151+3*float64(i)).press("enter", 153+3*float64(i))
	}
	return p.settle(), k
}

func TestReadingsAreTakenOneAfterTheOther(t *testing.T) {
	for name, c := range map[string]struct {
		typed    []string
		beverage string
		strength float64
		taste    string
	}{
		"all of them":                  {[]string{"182.5 g", "1.35 %", "round"}, "182.5 g", 1.35, "round"},
		"without their units":          {[]string{"182.5", "1.35", " round "}, "182.5 g", 1.35, "round"},
		"the beverage is left out":     {[]string{"", "1.35", "round"}, "", 1.35, "round"},
		"the strength is left out":     {[]string{"182.5", "", "round"}, "182.5 g", 0, "round"},
		"the taste is left out":        {[]string{"182.5", "1.35", ""}, "182.5 g", 1.35, ""},
		"the taste alone":              {[]string{"", "", "thin"}, "", 0, "thin"},
		"a wrong one is asked again":   {[]string{"much", "", "1.35", "", ""}, "", 0, ""}, // what was typed stays, and is wrong again
		"a strength that is too much":  {[]string{"182.5", "135", "1"}, "182.5 g", 0, ""},
		"a weight in another unit":     {[]string{"182 ml"}, "", 0, ""},
		"a weight that is none":        {[]string{"-3"}, "", 0, ""},
		"a weight that is not a thing": {[]string{"NaN"}, "", 0, ""},
	} {
		p, k := read(t, c.typed...)
		got := p.page.Reading()
		beverage, strength := "", 0.0
		if got.Beverage != nil {
			beverage = got.Beverage.String()
		}
		if got.Strength != nil {
			strength = float64(*got.Strength)
		}
		if beverage != c.beverage || strength != c.strength || got.Taste != c.taste {
			t.Errorf("%s: %q, %g, %q; want %q, %g, %q", name, beverage, strength, got.Taste, c.beverage, c.strength, c.taste)
		}
		if len(c.typed) == 3 && c.typed[1] != "135" && len(k.readings) != 1 {
			t.Errorf("%s: %d readings in the record", name, len(k.readings))
		}
	}
}

func TestLeavingEveryReadingOutLeaves(t *testing.T) {
	k := &keeping{events: map[int]brew.Event{}}
	p := noted(k)(t, 80, 24).press(" ", 150).press("enter", 151).press("enter", 152)
	if p.left() {
		t.Fatal("the page is left before the last reading")
	}
	if p.press("enter", 153); !p.left() || len(k.readings) != 0 {
		t.Error("the page is not left, or an empty reading is kept")
	}
}

// A key held down takes one step: a barista leans on enter with wet hands.
func TestAHeldEnterLeavesOneReadingOut(t *testing.T) {
	p, _ := read(t)
	for at := 151.0; at < 160; at += 0.04 {
		if at == 151 || at > 151.5 {
			p.press("enter", at)
		}
	}
	if s := seen(t, p.page, 80, 24); !s.says("strength, %: _") {
		t.Error("more than one reading was left out")
	}
}

func TestReadingsCanBeLeftForTheRows(t *testing.T) {
	p, _ := read(t, "182.5")
	p.press("esc", 170)
	if s := seen(t, p.page, 80, 24); !s.says("space readings") {
		t.Error("esc does not go back to the rows")
	}
	if p.press("q", 171); !p.left() {
		t.Error("the page cannot be left")
	}
}

func TestTheLastMarkCanBeTakenBackInTheDebrief(t *testing.T) {
	p := pressed(t, 80, 24).press("u", 141)
	if !p.page.Busy() {
		t.Fatal("the brew does not go on")
	}
	if s := seen(t, p.page, 80, 24); !s.shows("2:21") || !s.says("taken back: press, end") {
		t.Error("the clock did not run on")
	}
	p.press(" ", 143)
	p.wantMarks(9.2, 57.5, 112.4, 143)
	p.wantEnding(brew.Finished, 143, "")
}

func TestAStoppedBrewDoesNotGoOn(t *testing.T) {
	p := pressing(t, 80, 24).press(" ", 8).press("q", 10).press("y", 11).press("enter", 12).press("u", 13)
	p.wantEnding(brew.Stopped, 11, "")
	if s := seen(t, p.page, 80, 24); s.says("take back, go on") {
		t.Error("the help offers what does not work")
	}
}

func TestTabShowsTheNextLane(t *testing.T) {
	p := begun(t, 80, 24, round(t, 3)).wait(600)
	for i, want := range []string{"press: ", "cone: ", "quick: ", "press: "} {
		if i > 0 {
			p.press("tab", 600+0.3*float64(i))
		}
		if s := seen(t, p.page, 80, 24); !s.says(want + "Six for the window table") {
			t.Errorf("tab %d does not show %q", i, want)
		}
	}
}

// Scrolling past the end takes no more presses back than there are rows.
func TestScrollingStopsAtTheEnds(t *testing.T) {
	p := pressed(t, 40, 12)
	top := seen(t, p.page, 40, 12).lines
	for i := range 50 {
		p.press("down", 141+float64(i))
	}
	bottom := seen(t, p.page, 40, 12)
	if !bottom.says("are warm") || bottom.says("more below") {
		t.Error("the end is not in sight")
	}
	// Rows that a smaller screen was scrolled by do not count on a larger one.
	p.page = p.page.Resize(20, 5)
	for i := range 50 {
		p.press("down", 191+float64(i)/10)
	}
	p.page = p.page.Resize(40, 12)
	p.press("up", 200)
	if fmt.Sprint(seen(t, p.page, 40, 12).lines) == fmt.Sprint(bottom.lines) {
		t.Error("one press does not go back one row")
	}
	for i := range 50 {
		p.press("up", 201+float64(i))
	}
	if fmt.Sprint(seen(t, p.page, 40, 12).lines) != fmt.Sprint(top) {
		t.Error("the top is another one")
	}
}

func TestLeavingWaitsForTheRecord(t *testing.T) {
	k := &keeping{events: map[int]brew.Event{}}
	opt := live.Options{Plans: []*brew.Plan{recipe(t, "press")}, Recorder: k}
	p := begun(t, 80, 24, opt).wait(201)
	before := p.cmds
	p.cmds = nil
	if p.press("q", 202); p.left() {
		t.Error("the page is left while the record has not answered")
	}
	if s := seen(t, p.page, 80, 24); !s.says("waiting for the record; q leaves without it") {
		t.Error("nobody says what is waited for")
	}
	p.cmds = before
	if p.settle(); !p.left() {
		t.Error("the page is not left when it has")
	}
}

func TestLeavingASecondTimeDoesNotWait(t *testing.T) {
	opt := live.Options{Plans: []*brew.Plan{recipe(t, "press")}, Recorder: &keeping{events: map[int]brew.Event{}}}
	p := begun(t, 80, 24, opt).wait(201)
	p.cmds = nil // the disk never answers
	p.press("q", 202)
	for at := 202.4; at < 204; at += 0.05 {
		p.press("q", at) // held
	}
	if p.left() {
		t.Error("a held key does not wait")
	}
	if p.press("q", 205); !p.left() {
		t.Error("the page cannot be left")
	}
}

func TestABrewTakenUpWhileLeavingGoesOn(t *testing.T) {
	opt := live.Options{Plans: []*brew.Plan{recipe(t, "press")}, Recorder: &keeping{events: map[int]brew.Event{}}}
	p := begun(t, 80, 24, opt)
	for _, at := range []float64{8, 52, 112, 140} {
		p.press(" ", at)
	}
	p.press("q", 141).press("u", 142)
	if p.settle(); p.left() {
		t.Error("the page is left in the middle of the brew")
	}
}

func TestAnUnpluggedRecordStopsNothing(t *testing.T) {
	p := noted(unplugged{errDisk})(t, 80, 24)
	p.wantMarks(9.2, 57.5, 112.4, 139.8)
	p.wantEnding(brew.Finished, 139.8, "")
	if !errors.Is(p.page.Unsaved(), errDisk) {
		t.Errorf("unsaved: %v", p.page.Unsaved())
	}
	p.press(" ", 150).write("182", 151).press("enter", 152).press("enter", 153).press("enter", 154).settle()
	if s := seen(t, p.page, 80, 24); !s.says("! not saved: beverage 182 g") {
		t.Error("the reading is said to be saved")
	}
	if p.press("q", 156); !p.left() {
		t.Error("the page cannot be left")
	}
}

func TestWhatIsSafe(t *testing.T) {
	disk := errors.New("disk")
	type answer struct {
		n   int
		err error
	}
	for name, c := range map[string]struct {
		answers []answer
		safe    int // how many events
		fault   error
	}{
		"nothing is at the beginning":                {nil, 0, nil},
		"one answer is":                              {[]answer{{0, nil}}, 1, nil},
		"an answer holds all before":                 {[]answer{{3, nil}}, 4, nil},
		"a fault keeps what was safe":                {[]answer{{0, nil}, {1, disk}}, 1, disk},
		"a later success takes a fault back":         {[]answer{{1, disk}, {2, nil}}, 3, nil},
		"an earlier success does not":                {[]answer{{2, disk}, {1, nil}}, 2, disk},
		"a fault that is overtaken by success":       {[]answer{{2, nil}, {1, disk}}, 3, nil},
		"of two faults the later one is waited for":  {[]answer{{2, disk}, {1, disk}, {1, nil}}, 2, disk},
		"and is over when it is safe":                {[]answer{{2, disk}, {1, disk}, {2, nil}}, 3, nil},
		"a fault behind what is safe counts":         {[]answer{{2, nil}, {3, disk}}, 3, disk},
		"answers of one event, first wrong, then ok": {[]answer{{0, disk}, {0, nil}}, 1, nil},
	} {
		var k live.Kept
		for _, a := range c.answers {
			k = k.Answer(a.n, a.err)
		}
		safe := 0
		for k.Holds(safe) {
			safe++
		}
		if safe != c.safe || k.Fault() != c.fault {
			t.Errorf("%s: %d safe and %v, want %d and %v", name, safe, k.Fault(), c.safe, c.fault)
		}
	}
}

// An alarm is never early, and not late by more than it must be.
func TestAnAlarmIsNeverEarly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pace := live.Pace{
			Zero:  time.Duration(rapid.Int64Range(0, int64(100*time.Hour)).Draw(t, "zero")),
			Speed: rapid.SampledFrom([]float64{1, 10, 0.1, 3, 0.7, 100, 1.0 / 3}).Draw(t, "speed"),
		}
		at := time.Duration(rapid.Int64Range(1, int64(10*time.Hour)).Draw(t, "at"))
		when := pace.When(at)
		if got := pace.At(when); got < at {
			t.Fatalf("at %s it is %d, before %d", when, got, at)
		}
		if got := pace.At(when - 2); got >= at {
			t.Fatalf("two nanoseconds earlier it is %d already, want %d", got, at)
		}
	})
}

// A float64 holds no 0.7: rounding up is not enough then.
func TestAnAlarmAtASpeedThatIsNotExact(t *testing.T) {
	const at = time.Duration(16757336143023)
	pace := live.Pace{Speed: 0.7}
	if got := pace.At(pace.When(at)); got < at {
		t.Errorf("the alarm goes off at %d, want %d", got, at)
	}
}

func TestCountdowns(t *testing.T) {
	for d, want := range map[time.Duration]string{
		0: "0 s", 1: "1 s", s: "1 s", s + 1: "2 s", 59 * s: "59 s", 59*s + 1: "1:00", 60 * s: "1:00", 61*s - 1: "1:01", 3600 * s: "1:00:00",
	} {
		if got := live.Countdown(d); got != want {
			t.Errorf("%s to go is %q, want %q", d, got, want)
		}
	}
}

// Where a reading is not saved the person is told why, whole, on any screen that
// has the room, and still sees the keys.
func TestAReadingThatIsNotSavedSaysWhy(t *testing.T) {
	why := errors.New("the journal cannot be written: /srv/bar/of the/quayside/journal.db")
	for _, size := range []size{{80, 24}, {40, 12}, {200, 60}} {
		p := reviewed(t, ended(t, "finish", 9.2, 53.1, 112.4, 141), brew.Reading{}, live.Options{Recorder: unplugged{why}}, size.w, size.h).press(" ", 200)
		for i, text := range []string{"99", "", ""} {
			p.write(text, 201+3*float64(i)).press("enter", 203+3*float64(i))
		}
		p.settle()
		shown := strings.Join(strings.Fields(strings.Join(p.page.Draw().Lines(), " ")), " ")
		for _, want := range []string{"! not saved: beverage 99 g: the journal cannot be written: ", "journal.db", "space leave"} {
			if !strings.Contains(shown, want) {
				t.Errorf("at %v it does not say %q:\n%s", size, want, strings.Join(p.page.Draw().Lines(), "\n"))
			}
		}
		if n := strings.Count(shown, "! not saved"); n != 1 {
			t.Errorf("at %v it is said %d times", size, n)
		}
		if err := p.page.Unsaved(); !errors.Is(err, why) {
			t.Errorf("unsaved is %v", err)
		}
	}
}
