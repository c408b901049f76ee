package live_test

import (
	"testing"
	"time"

	"barline/brew"
	"barline/tui/draw"
	"barline/tui/keys"
	"barline/tui/live"

	tea "github.com/charmbracelet/bubbletea"
)

func TestTheCountIn(t *testing.T) {
	opt := live.Options{Plans: []*brew.Plan{recipe(t, "press")}, CountIn: 3 * s}
	p := open(t, 80, 24, opt).tick().press(" ", -3).press(" ", -2)
	if p.lane().Started() || !p.page.Busy() {
		t.Error("the clock starts before the count-in is over")
	}
	p.press("q", -1.5).press("y", -1)
	if p.page.Busy() {
		t.Error("the count-in cannot be left")
	}
	p.press(" ", 10).wait(13.7) // a start three seconds later
	if got := p.page.Timeline().Lane(0); !got.Started() || got.Events()[0].At != 0 {
		t.Error("the brew has not started at the end of the count-in")
	}
	p.press(" ", 21)
	p.wantMarks(8)
}

func TestTheClockBeginsWhereItIsAskedTo(t *testing.T) {
	opt := live.Options{Plans: []*brew.Plan{recipe(t, "press")}, From: 45 * s}
	p := begun(t, 80, 24, opt).wait(2)
	screen := seen(t, p.page, 80, 24)
	if !screen.shows("POUR") || !screen.says("by 0:52") {
		t.Error("the second pour is not on")
	}
	if large := draw.Figures("0:47", draw.Tall, draw.Strong, false); !screen.has(large) {
		t.Error("two seconds behind 0:45 the clock does not say 0:47")
	}
	if !screen.says(" 0:47") {
		t.Error("the playhead is on another clock")
	}
	p.press(" ", 7.2)
	p.wantMarks(52.2)
}

func TestTheClockRunsAtItsSpeed(t *testing.T) {
	opt := live.Options{Plans: []*brew.Plan{recipe(t, "press")}, Speed: 10}
	p := begun(t, 80, 24, opt).press(" ", 0.83).wait(2)
	p.wantMarks(8.3)
	if s := seen(t, p.page, 80, 24); !s.shows("0:20") || !s.says("at speed 10") {
		t.Error("after two seconds at speed 10 it is not 0:20")
	}
}

func TestBellsRing(t *testing.T) {
	var strokes []int
	opt := live.Options{Plans: []*brew.Plan{recipe(t, "press")}, Bell: func(n int) { strokes = append(strokes, n) }}
	p := begun(t, 80, 24, opt)
	ring := func(at float64, want ...int) {
		t.Helper()
		strokes = nil
		p.cmds = nil
		p.wait(at)
		results(p.cmds)
		if len(strokes) != len(want) || len(want) == 1 && strokes[0] != want[0] {
			t.Errorf("at %g s the bell rings %v, want %v", at, strokes, want)
		}
	}
	results(p.cmds)
	ring(2.9)
	ring(3, 1) // five seconds ahead of the swirl
	ring(3.1)
	ring(7.9)
	ring(8, 2)
	ring(30.99)
	ring(31.2, 1)
	ring(36.2, 2)
	ring(52, 2) // with the announcement of the lift, the cue has precedence
	p.press("s", 54)
	ring(54.5)
}

func TestAKeyPressCarriesItsInstant(t *testing.T) {
	p := pressing(t, 80, 24)
	p.wait(9) // a tick that overtook the key
	var cmd tea.Cmd
	p.page, cmd = p.page.Update(keys.Press{KeyMsg: message(" "), At: p.zero + 8900*time.Millisecond})
	p.cmds = append(p.cmds, cmd)
	p.wantMarks(9) // the clock of the page never runs back
}

func TestTheCallAheadBeginsWhenItIsAskedTo(t *testing.T) {
	p := pressing(t, 80, 24).wait(30.999)
	if s := seen(t, p.page, 80, 24); s.says(">>>>") || !s.says("next in 6 s") {
		t.Error("it has begun before its time")
	}
	if s := seen(t, p.wait(31).page, 80, 24); !s.says(">>>> in 5 s: Pour to 210 g") {
		t.Error("five seconds ahead it has not begun")
	}
}

func TestTheCountInReadsTheClockThatStarts(t *testing.T) {
	opt := live.Options{Plans: []*brew.Plan{recipe(t, "press")}, CountIn: 3 * s, From: 100 * s}
	p := open(t, 80, 24, opt).tick().press(" ", -3).wait(-2.4)
	s := seen(t, p.page, 80, 24)
	if large := draw.Figures("1:37", draw.Tall, draw.Strong, false); !s.has(large) {
		t.Error("2.4 s before 1:40 the clock does not say 1:37")
	}
	if !s.says("the clock starts at 1:40") || !s.says(">>>> in 3 s: Open: plunger out, at 1:40") {
		t.Error("what comes then is not said")
	}
}

func TestAnAlarmOfAnotherBrewIsStale(t *testing.T) {
	opt := live.Options{Plans: []*brew.Plan{recipe(t, "press")}}
	before, now := begun(t, 80, 24, opt), open(t, 80, 24, opt)
	now.zero += 20 * s
	now.tick().press(" ", 0).wait(0)
	for _, msg := range results(before.cmds) { // they say that a thousand hours have gone by
		now.page, _ = now.page.Update(msg)
	}
	if !now.page.Busy() {
		t.Error("the brew is over")
	}
	for _, msg := range results(now.cmds) {
		now.page, _ = now.page.Update(msg)
	}
	if now.page.Busy() {
		t.Error("its own alarm does not wake it")
	}
}
