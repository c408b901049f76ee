package tui_test

import (
	"errors"
	"fmt"
	"testing"
	"testing/synctest"
	"time"

	"barline/brew"
	"barline/tui"
	"barline/tui/live"
	"barline/tui/pages"

	tea "github.com/charmbracelet/bubbletea"
)

// The whole program in simulated time, where the shipped recipes by
// themselves do not lead.

const s = time.Second

func TestTheClockStartsBehindTheCountIn(t *testing.T) {
	plan := shipped(t)["quayside-press.yaml"]
	synctest.Test(t, func(t *testing.T) {
		ses := brewIn(t, plan, live.Options{CountIn: 3*s + 500*time.Millisecond})
		zero := ses.prepare(plan) + 3*s + 500*time.Millisecond
		ses.until(zero + 5*s)
		ses.shows("Pour to 50 g, by 0:08", zero)
		if len(ses.rings) == 0 || ses.rings[0].at != zero {
			t.Errorf("the bell rang at %v, want %s", ses.rings, zero)
		}
		ses.press(" ")
		ses.stop()
		if got := ses.leave().Timeline().Lane(0).Beat(1); got.Marked != 5*s {
			t.Errorf("the first mark is at %s", got.Marked)
		}
	})
}

// stop stops the brew without a reason.
func (s *session) stop() {
	for _, key := range []string{"q", "y", "\r"} {
		time.Sleep(time.Second)
		s.press(key)
	}
}

func TestAtSpeedTenAllComesTenTimesAsSoon(t *testing.T) {
	plan := shipped(t)["quayside-press.yaml"]
	synctest.Test(t, func(t *testing.T) {
		ses := brewIn(t, plan, live.Options{Speed: 10, Kind: "practice"})
		zero := ses.prepare(plan)
		ses.until(zero + 21*s)
		for _, cue := range plan.Cues {
			if cue.Action != brew.Wait {
				ses.rang(cue, zero+cue.Start/10)
			}
		}
		ses.shows("Press to the hiss, by 2:20", zero+plan.Cues[len(plan.Cues)-1].Start/10)
		lane := ses.leave().Timeline().Lane(0)
		if how, at, _ := lane.Ending(); how != brew.Finished || at != plan.End+brew.FinishAfter {
			t.Errorf("%s at %s", how, at)
		}
	})
}

func TestABrewBegunInTheMiddle(t *testing.T) {
	plan := shipped(t)["quayside-press.yaml"]
	synctest.Test(t, func(t *testing.T) {
		ses := brewIn(t, plan, live.Options{From: 45 * s, Kind: "practice"})
		zero := ses.prepare(plan)
		ses.until(zero + 8*s)
		ses.shows("Pour to 210 g, by 0:52", zero)
		ses.shows("Seal: plunger set, nothing drips, by 0:57", zero+7*s)
		ses.press(" ") // the second pour's end, and the first cannot be meant
		ses.stop()
		lane := ses.leave().Timeline().Lane(0)
		if lane.From() != 45*s || lane.Beat(lane.Last()).Marked != 53*s {
			t.Errorf("from %s, marked at %s", lane.From(), lane.Beat(lane.Last()).Marked)
		}
	})
}

// A start between two seconds of the clock is on time, too.
func TestAStartBetweenTwoSecondsOfTheClock(t *testing.T) {
	plan := shipped(t)["quayside-press.yaml"]
	synctest.Test(t, func(t *testing.T) {
		ses := brewIn(t, plan, live.Options{From: 45*s + 500*time.Millisecond, CountIn: 3 * s, Kind: "practice"})
		zero := ses.prepare(plan) + 3*s
		ses.until(zero + 2*s)
		ses.shows("Pour to 210 g, by 0:52", zero)
		ses.stop()
		ses.leave()
	})
}

// What hangs behind a mark is counted down to in whole seconds of its own:
// the last figure stands for a second before the call.
func TestACountdownKeepsItsOwnSeconds(t *testing.T) {
	plan, err := brew.NewPlan(brew.Recipe{
		Name: "Hung", Method: brew.Cone, Dose: 12 * brew.Gram, Water: 60 * brew.Gram, Temperature: 92, Grind: "medium",
		Steps: []brew.Step{
			{Action: brew.Pour, Amount: 60 * brew.Gram, Over: 5 * s},
			{Action: brew.Swirl, Text: "gently", Anchor: brew.After, Offset: 10 * s, Over: 4 * s},
			{Action: brew.Drawdown, Over: 20 * s},
		},
	}, brew.Bar{})
	if err != nil {
		t.Fatal(err)
	}
	synctest.Test(t, func(t *testing.T) {
		ses := brewIn(t, plan, live.Options{})
		zero := ses.prepare(plan)
		ses.until(zero + 4700*time.Millisecond)
		ses.press(" ")
		swirl := 14700 * time.Millisecond
		ses.until(zero + 38*s)
		for left := 6 * s; left > 0; left -= s {
			ses.shows(fmt.Sprintf("in %s: Swirl gently", live.Countdown(left)), zero+swirl-left)
		}
		ses.shows("Swirl gently, by", zero+swirl)
		// The drawdown's seconds stand in figures: a frame must come for each.
		for left := 19 * s; left > 0; left -= s {
			ses.draws(zero + swirl + 24*s - left)
		}
		ses.stop()
		ses.leave()
	})
}

// draws checks that a frame comes at a moment.
func (s *session) draws(want time.Duration) {
	s.t.Helper()
	s.out.mu.Lock()
	defer s.out.mu.Unlock()
	for _, f := range s.out.frames {
		if f.at >= want && f.at <= want+frameTime && len(f.text) > 0 {
			return
		}
	}
	s.t.Errorf("no frame came at %s", want)
}

// The events of a brew as a person makes them, and what they make of it.
func TestKeysOfABrew(t *testing.T) {
	plan := shipped(t)["quayside-press.yaml"]
	for name, c := range map[string]struct {
		keys  map[int]string // by the second of the brew
		marks []time.Duration
		check func(t *testing.T, l brew.Lane)
	}{
		"a skip ends the cue that is on": {map[int]string{5: "s"}, nil, func(t *testing.T, l brew.Lane) {
			if _, end := l.Span(0); !l.Skipped(0) || end != 5*s {
				t.Errorf("the first pour ends at %s", end)
			}
		}},
		"zero again sets the clock back":    {map[int]string{5: "z", 14: " "}, []time.Duration{9 * s}, nil},
		"a nudge moves the mark":            {map[int]string{10: " ", 12: "e"}, []time.Duration{9 * s}, nil},
		"taking back twice takes two back":  {map[int]string{8: " ", 53: " ", 60: "u", 62: "u"}, nil, nil},
		"a paste is no key":                 {map[int]string{8: "\x1b[200~ \x1b[201~", 9: "\x1b[200~q\x1b[201~", 10: "\x1b[200~y\x1b[201~"}, nil, nil},
		"a foot switch marks":               {map[int]string{8: "\x1b[6~"}, []time.Duration{8 * s}, nil},
		"an escape by itself does nothing":  {map[int]string{8: "\x1b", 10: "\x1b"}, nil, nil},
		"leaving is thought better of":      {map[int]string{4: "q", 6: "x", 8: " "}, []time.Duration{8 * s}, nil},
		"control and c asks as well":        {map[int]string{4: "\x03", 6: "x", 8: " "}, []time.Duration{8 * s}, nil},
		"a key that means nothing is quiet": {map[int]string{4: "x", 5: "\t", 6: "\x1b[A"}, nil, nil},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				ses := brewIn(t, plan, live.Options{})
				zero := ses.prepare(plan)
				for second := range 70 {
					ses.until(zero + time.Duration(second)*s)
					if key, ok := c.keys[second]; ok {
						ses.press(key)
					}
				}
				ses.stop()
				lane := ses.leave().Timeline().Lane(0)
				var marks []time.Duration
				for i := range plan.Beats {
					if b := lane.Beat(i); b.Status == brew.Marked {
						marks = append(marks, b.Marked)
					}
				}
				if len(marks) != len(c.marks) || len(marks) > 0 && marks[0] != c.marks[0] {
					t.Errorf("marks at %v, want %v", marks, c.marks)
				}
				if c.check != nil {
					c.check(t, lane)
				}
			})
		})
	}
}

func TestAHeldKeyMarksOnce(t *testing.T) {
	plan := shipped(t)["quayside-press.yaml"]
	synctest.Test(t, func(t *testing.T) {
		ses := brewIn(t, plan, live.Options{})
		zero := ses.prepare(plan)
		ses.until(zero + 8*s)
		ses.press(" ")
		time.Sleep(500 * time.Millisecond) // then the terminal repeats it
		for time.Since(ses.began) < zero+54*s {
			ses.press(" ")
			time.Sleep(33 * time.Millisecond)
		}
		ses.stop()
		lane := ses.leave().Timeline().Lane(0)
		marks := 0
		for _, e := range lane.Events() {
			if e.Kind == brew.EventMark {
				marks++
			}
		}
		if marks != 1 {
			t.Errorf("a key held for 46 s made %d marks", marks)
		}
	})
}

func TestAResizeInTheMiddleOfAPour(t *testing.T) {
	plan := shipped(t)["quayside-press.yaml"]
	synctest.Test(t, func(t *testing.T) {
		ses := brewIn(t, plan, live.Options{})
		zero := ses.prepare(plan)
		ses.until(zero + 40*s)
		ses.send(tea.WindowSizeMsg{Width: 40, Height: 12})
		ses.until(zero + 41*s)
		ses.shows("by 0:52, 120 g to go", zero+40*s) // a row of its own
		ses.send(tea.WindowSizeMsg{})                // a terminal without a size
		ses.until(zero + 42*s)
		ses.shows("Pour to 210 g, by 0:52, 110 g to go", zero+41*s)
		ses.press(" ")
		ses.stop()
		lane := ses.leave().Timeline().Lane(0)
		if got := lane.Beat(lane.Last()).Marked; got != 42*s {
			t.Errorf("marked at %s", got)
		}
	})
}

// broken is a recorder whose disk was unplugged.
type broken struct{}

func (broken) Append(int, brew.Event, time.Duration) error { return errors.New("the disk is gone") }
func (broken) Measure(brew.Correction) error               { return errors.New("the disk is gone") }

func TestAnUnpluggedRecordIsToldAndStopsNothing(t *testing.T) {
	plan := shipped(t)["quayside-press.yaml"]
	synctest.Test(t, func(t *testing.T) {
		ses := brewIn(t, plan, live.Options{Recorder: broken{}})
		zero := ses.prepare(plan)
		ses.until(zero + 10*s)
		ses.shows("! not saved: the disk is gone", zero)
		for _, at := range []time.Duration{10 * s, 52 * s, 112 * s, 140 * s} {
			ses.until(zero + at)
			ses.press(" ")
		}
		page := ses.leave()
		if how, at, _ := page.Timeline().Lane(0).Ending(); how != brew.Finished || at != 140*s {
			t.Errorf("%s at %s", how, at)
		}
		if page.Unsaved() == nil {
			t.Error("nobody knows that it is not saved")
		}
	})
}

func TestReadingsAreLeftOutWithOneKeyEach(t *testing.T) {
	plan := shipped(t)["quayside-press.yaml"]
	synctest.Test(t, func(t *testing.T) {
		ses := brewIn(t, plan, live.Options{})
		zero := ses.prepare(plan)
		for _, at := range []time.Duration{8 * s, 52 * s, 112 * s, 140 * s} {
			ses.until(zero + at)
			ses.press(" ")
		}
		for _, keys := range []string{" ", "\r", "1.35\r", "\r"} {
			time.Sleep(2 * s)
			ses.press(keys)
		}
		ses.until(zero + 150*s)
		ses.shows("not recorded: strength 1.35 %", zero+148*s)
		reading := ses.leave().Reading()
		if reading.Beverage != nil || reading.Strength == nil || reading.Taste != "" {
			t.Errorf("%+v", reading)
		}
	})
}

// onShelf runs the program on a shelf of two recipes, of which the second one
// is faulty.
func onShelf(t *testing.T) *session {
	plan := shipped(t)["quayside-press.yaml"]
	ses := &session{t: t, began: time.Now(), done: make(chan tui.Model, 1)}
	now := func() time.Duration { return time.Since(ses.began) }
	ses.run(tui.Open(tui.Options{
		Now: now,
		Recipes: []pages.Recipe{
			{Stem: "press", Name: "Quayside press", Line: "14 g to 210 g", Plan: plan},
			{Stem: "torn", Name: "Torn", Line: "1 error", Own: true, Faults: "torn.yaml:3:1: error: pour without an amount\n"},
		},
		Brew: func(r pages.Recipe) live.Options {
			return live.Options{Plans: []*brew.Plan{r.Plan}, Title: r.Name, Keys: live.DefaultKeys(), Ahead: live.DefaultAhead, Now: now}
		},
	}))
	return ses
}

func TestFromTheShelfToABrewAndBack(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		ses := onShelf(t)
		var at time.Duration
		step := func(key, want string) {
			t.Helper()
			time.Sleep(s)
			at = time.Since(ses.began)
			ses.press(key)
			time.Sleep(100 * time.Millisecond)
			if _, ok := ses.out.first(want, at); !ok && want != "" {
				t.Errorf("%q does not bring %q", key, want)
			}
		}
		step("j", "Torn")
		step("\r", "torn.yaml:3:1: error: pour without an amount")
		step("\r", "") // it cannot be brewed
		step("q", "what shall it be?")
		step("k", "Quayside press")
		step("\r", "get ready to brew")
		step("q", "what shall it be?")
		step(" ", "get ready to brew")
		step("\r", "all done")
		step("s", "space as water meets coffee: Pour to 50 g")
		step(" ", "Pour to 50 g, by 0:08")
		step("q", "Stop the brew? y stops it")
		step("y", "why stopped")
		step("\r", "stopped at 0:02")
		step("q", "what shall it be?")
		time.Sleep(s)
		ses.press("q")
		m := <-ses.done
		ses.keys.Close()
		if brewed := m.Brewed(); len(brewed) != 1 || !brewed[0].Timeline().Lane(0).Started() {
			t.Errorf("%d brews are left behind", len(brewed))
		}
	})
}

// A key held down turns one page: nobody starts a brew, or leaves the program,
// by leaning on a key.
func TestAHeldKeyTurnsOnePage(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		ses := onShelf(t)
		hold := func(key string) {
			ses.press(key)
			for time.Sleep(400 * time.Millisecond); time.Since(ses.began)%(5*s) < 4*s; time.Sleep(40 * time.Millisecond) {
				ses.press(key)
			}
			time.Sleep(s)
		}
		ses.until(5 * s)
		hold("\r")
		if _, ok := ses.out.first("get ready to brew", 5*s); !ok {
			t.Error("the sheet is not shown")
		}
		if _, ok := ses.out.first("PREPARE", 5*s); ok {
			t.Error("a held key went past the sheet")
		}
		ses.until(10 * s)
		hold("q")
		if _, ok := ses.out.first("what shall it be?", 10*s); !ok {
			t.Error("the shelf is not shown")
		}
		select {
		case <-ses.done:
			t.Error("a held key left the program")
		default:
			ses.press("q")
			<-ses.done
		}
		ses.keys.Close()
	})
}
