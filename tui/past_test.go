package tui_test

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"barline/brew"
	"barline/brew/drift"
	"barline/tui"
	"barline/tui/live"
	"barline/tui/pages"

	tea "github.com/charmbracelet/bubbletea"
)

// The record in the whole program, in simulated time.

// ledger is a record in memory whose answers take a while.
type ledger struct {
	mu       sync.Mutex
	plan     *brew.Plan
	readings []brew.Correction
	asked    []pages.Filter
}

func (l *ledger) Brews(f pages.Filter, behind string, n int) ([]pages.Brewed, bool, error) {
	time.Sleep(40 * time.Millisecond)
	l.mu.Lock()
	defer l.mu.Unlock()
	l.asked = append(l.asked, f)
	var out []pages.Brewed
	for i := range 3 {
		out = append(out, l.brewed(i))
	}
	return out, false, nil
}

func (l *ledger) brewed(i int) pages.Brewed {
	return pages.Brewed{ID: fmt.Sprint("id", i), When: fmt.Sprintf("2026-11-30 08:%02d", 59-i), Recipe: l.plan.Name, Person: "Ada", Kind: "service", End: "finished at 2:20"}
}

func (l *ledger) Past(id string) (pages.Past, error) {
	time.Sleep(40 * time.Millisecond)
	l.mu.Lock()
	defer l.mu.Unlock()
	if id == "id2" {
		return pages.Past{}, errors.New("its plan is missing")
	}
	lane, _ := brew.NewLane(l.plan).Apply(brew.Event{Kind: brew.EventStart, Source: brew.FromKey})
	for _, at := range []time.Duration{8 * s, 52 * s, 112 * s, 140 * s} {
		lane, _ = lane.Apply(brew.Event{Kind: brew.EventMark, At: at, Source: brew.FromKey})
	}
	lane, _ = lane.Apply(brew.Event{Kind: brew.EventFinish, At: 140 * s, Source: brew.FromClock})
	past := pages.Past{Brewed: l.brewed(0), Lane: lane, Conditions: drift.Conditions{Kind: drift.Service, Speed: 1}, Said: []string{"lot twelve"}}
	past.ID = id
	for i, r := range l.readings {
		past.Reading = r.Of(past.Reading)
		if i > 0 {
			past.Said = append(past.Said, "strength before it was corrected: "+fmt.Sprint(*l.readings[i-1].Strength)+" %")
		}
	}
	return past, nil
}

func (l *ledger) Measure(_ string, r brew.Correction) error {
	time.Sleep(40 * time.Millisecond)
	l.mu.Lock()
	defer l.mu.Unlock()
	l.readings = append(l.readings, r)
	return nil
}

// looking runs the program on its shelf with a record.
func looking(t *testing.T, l *ledger, back func() ([]tui.CutOff, string)) *session {
	ses := &session{t: t, began: time.Now(), done: make(chan tui.Model, 1)}
	now := func() time.Duration { return time.Since(ses.began) }
	return ses.run(tui.Open(tui.Options{
		Now: now, Journal: l, LookBack: back,
		Recipes: []pages.Recipe{{Stem: "press", Name: "Quayside press", Line: "14 g to 210 g", Plan: l.plan}},
		Brew: func(r pages.Recipe) live.Options {
			return live.Options{Plans: []*brew.Plan{r.Plan}, Title: r.Name, Keys: live.DefaultKeys(), Ahead: live.DefaultAhead, Now: now}
		},
	}))
}

// all returns the frames so far.
func (s *screen) all() []frame {
	s.mu.Lock()
	defer s.mu.Unlock()
	return slices.Clone(s.frames)
}

// step presses a key and waits for what it brings.
func (s *session) step(keys, want string) {
	s.t.Helper()
	time.Sleep(time.Second)
	at := time.Since(s.began)
	s.press(keys)
	time.Sleep(500 * time.Millisecond)
	if _, ok := s.out.first(want, at); !ok {
		s.t.Errorf("%q does not bring %q", keys, want)
	}
}

// quit leaves the program.
func (s *session) quit() tui.Model {
	s.t.Helper()
	time.Sleep(time.Second)
	s.press("q")
	defer s.keys.Close()
	select {
	case m := <-s.done:
		time.Sleep(time.Minute) // until the alarm of a debrief that was left has run out
		return m
	case <-time.After(time.Minute):
		s.t.Fatal("the program does not end")
		return tui.Model{}
	}
}

func TestFromTheRecordToACorrectedReading(t *testing.T) {
	plan := shipped(t)["quayside-press.yaml"]
	synctest.Test(t, func(t *testing.T) {
		l := &ledger{plan: plan}
		ses := looking(t, l, nil)
		ses.step("r", "2026-11-30 08:59")
		ses.step("p", "by Ada")
		ses.step("\r", "finished at 2:20")
		ses.step(" ", "beverage in the server, g")
		ses.step("\r", "strength, %")
		ses.step("1.4\r", "taste")
		ses.step("\r", "saved: strength 1.4 %")
		ses.step("q", "what was brewed, by Ada") // the list is where it was
		ses.step("\r", "finished at 2:20")
		ses.step(" ", "beverage in the server, g")
		ses.step("\r", "(1.4 % so far, - takes it back)")
		ses.step("1.5\r", "taste")
		ses.step("\r", "strength before it was corrected: 1.4 %") // read again at once
		ses.step("q", "what was brewed")
		time.Sleep(time.Second)
		ses.press("\x1b[B")
		time.Sleep(time.Second)
		ses.press("\x1b[B")
		ses.step("\r", "! its plan is missing")
		ses.step("k", "service") // and the list goes on
		ses.step("q", "what shall it be?")
		m := ses.quit()
		if len(m.Brewed()) != 0 {
			t.Error("a brew of the record counts as brewed now")
		}
		if len(l.readings) != 2 || *l.readings[1].Strength != 1.5 {
			t.Errorf("readings %+v", l.readings)
		}
	})
}

// Whoever is taken away from a brew of the record has not brewed it.
func TestABrewOfTheRecordIsNotBrewedNow(t *testing.T) {
	plan := shipped(t)["quayside-press.yaml"]
	synctest.Test(t, func(t *testing.T) {
		ses := looking(t, &ledger{plan: plan}, nil)
		ses.step("r", "2026-11-30 08:59")
		ses.step("\r", "finished at 2:20")
		ses.send(tea.Quit())
		m := <-ses.done
		ses.keys.Close()
		if len(m.Brewed()) != 0 {
			t.Error("it counts as brewed")
		}
	})
}

// cut is a brew of the plan that was cut off so long after its start, whose
// clock has gone on since.
func cut(plan *brew.Plan, began time.Time, words string, started, marked time.Duration, k live.Recorder) tui.CutOff {
	now := func() time.Duration { return time.Since(began) }
	return tui.CutOff{Words: []string{words}, TakeUp: func() (live.Page, error) {
		time.Sleep(30 * time.Millisecond)
		lane, _ := brew.NewLane(plan).Apply(brew.Event{Kind: brew.EventStart, Source: brew.FromKey})
		lane, _ = lane.Apply(brew.Event{Kind: brew.EventMark, At: marked, Source: brew.FromKey})
		return live.Resume(live.Options{Plans: []*brew.Plan{plan}, Title: plan.Name, Keys: live.DefaultKeys(), Ahead: live.DefaultAhead, Now: now, Recorder: k},
			brew.TimelineOf(lane), started, 2), nil
	}}
}

func TestABrewIsTakenUpFromTheShelf(t *testing.T) {
	plan := shipped(t)["quayside-press.yaml"]
	synctest.Test(t, func(t *testing.T) {
		k := &keeper{}
		began := time.Now()
		zero := -30 * s // it was begun half a minute before this program
		ses := looking(t, &ledger{plan: plan}, func() ([]tui.CutOff, string) {
			return []tui.CutOff{cut(plan, began, "Quayside press by Ada", zero, 8*s, k)}, ""
		})
		time.Sleep(100 * time.Millisecond)
		if _, ok := ses.out.first("A brew was cut off.", 0); !ok {
			t.Error("the brew is not offered")
		}
		// A second and a half in, the second pour is near, and the clock right.
		ses.step("t", "pour")
		for _, f := range ses.out.all() {
			if strings.Contains(f.text, "READY") {
				t.Error("a frame is drawn as if the brew had not started")
			}
		}
		ses.until(zero + 40*s)
		ses.shows("Pour to 210 g, by 0:52", zero+36*s)
		for _, at := range []time.Duration{52 * s, 112 * s, 140 * s} {
			ses.until(zero + at)
			ses.press(" ")
		}
		ses.step("q", "what shall it be?")
		m := ses.quit()
		lane := m.Brewed()[0].Timeline().Lane(0)
		if how, at, _ := lane.Ending(); how != brew.Finished || at != 140*s || lane.Beat(lane.Last()).Marked != 140*s {
			t.Errorf("%s at %s", how, at)
		}
		// Events go on behind those that the record has.
		if len(k.kept) != len(lane.Events()) || k.kept[2].Kind != brew.EventMark || k.kept[0].Kind != "" {
			t.Errorf("kept are %+v", k.kept)
		}
	})
}

func TestOffersComeOneAfterTheOther(t *testing.T) {
	plan := shipped(t)["quayside-press.yaml"]
	synctest.Test(t, func(t *testing.T) {
		began := time.Now()
		late := tui.CutOff{Words: []string{"the late one"}, TakeUp: func() (live.Page, error) { return live.Page{}, errors.New("too late to be taken up") }}
		ses := looking(t, &ledger{plan: plan}, func() ([]tui.CutOff, string) {
			return []tui.CutOff{cut(plan, began, "the first one", 0, 8*s, nil), late, cut(plan, began, "the last one", 0, 8*s, nil)}, ""
		})
		time.Sleep(100 * time.Millisecond)
		if _, ok := ses.out.first("the first one", 0); !ok {
			t.Error("the first one is not offered")
		}
		ses.step("q", "the late one")
		ses.step("t", "! it cannot be taken up: too late to be taken up")
		if _, ok := ses.out.first("the last one", 0); !ok {
			t.Error("the last one is not offered")
		}
		ses.step("q", "what shall it be?")
		ses.quit()
	})
}

// Whoever asked for a recipe gets it when the brew that was cut off is over.
func TestARecipeWaitsForABrewThatIsTakenUp(t *testing.T) {
	plan, other := shipped(t)["quayside-press.yaml"], shipped(t)["quayside-cone.yaml"]
	synctest.Test(t, func(t *testing.T) {
		ses := &session{t: t, began: time.Now(), done: make(chan tui.Model, 1)}
		now := func() time.Duration { return time.Since(ses.began) }
		opt := live.Options{Plans: []*brew.Plan{other}, Title: other.Name, Keys: live.DefaultKeys(), Now: now}
		ses.run(tui.OpenLive(tui.Options{Now: now, LookBack: func() ([]tui.CutOff, string) {
			return []tui.CutOff{cut(plan, ses.began, "Quayside press by Ada", -30*s, 8*s, nil)}, ""
		}}, live.New(opt)))
		ses.step("t", "pour")
		for _, key := range []string{"q", "y", "\r"} {
			time.Sleep(s)
			ses.press(key)
		}
		ses.step("q", other.Prepare[0].Do)
		m := ses.quit()
		if brewed := m.Brewed(); len(brewed) != 2 || !brewed[0].Timeline().Lane(0).Started() || brewed[1].Timeline().Lane(0).Started() {
			t.Errorf("%d pages", len(brewed))
		}
	})
}

// What is told stands whole above the keys until a key is pressed, and does
// not cover a brew.
func TestWhatMustBeKnownIsToldWhole(t *testing.T) {
	plan := shipped(t)["quayside-press.yaml"]
	const told = "the journal is damaged, a new one is begun; the old one is kept as /home/ada/.local/share/barline/journal.db.damaged-2026-11-30T081412"
	for name, size := range map[string][2]int{"usual": {80, 24}, "narrow": {40, 12}, "wide": {200, 60}} {
		m := tui.Open(tui.Options{Journal: &ledger{plan: plan}, LookBack: func() ([]tui.CutOff, string) { return nil, told }})
		msg := m.Init()
		var looked any
		for _, cmd := range batch(msg()) {
			if cmd != nil {
				looked = cmd()
			}
		}
		next, _ := m.Update(looked)
		next, _ = next.Update(window(size))
		lines := next.(tui.Model).Draw().Lines()
		if got := strings.ReplaceAll(strings.ReplaceAll(strings.Join(lines, "\n"), "\n", ""), " ", ""); !strings.Contains(got, strings.ReplaceAll("! "+told, " ", "")) {
			t.Errorf("%s: it is not told whole:\n%s", name, strings.Join(lines, "\n"))
		}
		if len(lines) != size[1] {
			t.Errorf("%s: %d lines", name, len(lines))
		}
	}
	synctest.Test(t, func(t *testing.T) {
		ses := looking(t, &ledger{plan: plan}, func() ([]tui.CutOff, string) { return nil, "nothing will be saved: the disk is full: /x" })
		time.Sleep(100 * time.Millisecond)
		if _, ok := ses.out.first("! nothing will be saved: the disk is full: /x", 0); !ok {
			t.Error("it is not told")
		}
		ses.step("j", "barline: what shall it be?") // the title is back
		ses.quit()
	})
}

// A slow look back that finds a brew under way does not get in its way; it is
// told when that is over.
func TestALateLookBackWaits(t *testing.T) {
	plan := shipped(t)["quayside-press.yaml"]
	synctest.Test(t, func(t *testing.T) {
		ses := &session{t: t, began: time.Now(), done: make(chan tui.Model, 1)}
		now := func() time.Duration { return time.Since(ses.began) }
		ses.run(tui.OpenLive(tui.Options{Now: now, LookBack: func() ([]tui.CutOff, string) {
			time.Sleep(20 * s)
			return []tui.CutOff{cut(plan, ses.began, "another by Bo", 0, 8*s, nil)}, ""
		}}, live.New(live.Options{Plans: []*brew.Plan{plan}, Title: plan.Name, Keys: live.DefaultKeys(), Now: now})))
		zero := ses.prepare(plan)
		ses.until(zero + 40*s)
		if at, ok := ses.out.first("another by Bo", 0); ok {
			t.Errorf("it is told at %s, in the middle of a brew", at)
		}
		ses.press("x")
		for _, key := range []string{"q", "y"} {
			time.Sleep(s)
			ses.press(key)
		}
		ses.step("\r", "! another brew was cut off: another by Bo")
		ses.leave()
	})
}

// A machine that slept in mid-brew: it is told within a second of the next
// alarm, is in the record, and the clock is right.
func TestASleepInMidBrew(t *testing.T) {
	plan := shipped(t)["quayside-press.yaml"]
	synctest.Test(t, func(t *testing.T) {
		k := &keeper{}
		var mu sync.Mutex
		var slept time.Duration // so far
		told := time.Duration(0)
		ses := &session{t: t, began: time.Now(), done: make(chan tui.Model, 1)}
		now := func() time.Duration {
			mu.Lock()
			defer mu.Unlock()
			return time.Since(ses.began) + slept
		}
		sleep := func(d time.Duration) {
			mu.Lock()
			defer mu.Unlock()
			slept += d
		}
		opt := live.Options{Plans: []*brew.Plan{plan}, Title: plan.Name, Keys: live.DefaultKeys(), Now: now, Recorder: k, Slept: func() string {
			mu.Lock()
			defer mu.Unlock()
			d := slept - told
			told = slept
			if d == 0 {
				return ""
			}
			return "the machine slept for " + brew.Spoken(d)
		}}
		sleep(time.Hour) // before the start: it is of no matter
		ses.run(tui.OpenLive(tui.Options{Now: now}, live.New(opt)))
		zero := ses.prepare(plan)
		ses.until(zero + 14*s)
		sleep(31 * s)
		ses.until(zero + 15*s + 100*time.Millisecond)
		ses.shows("! the machine slept for 31 s", zero+15*s)
		ses.shows("Pour to 210 g, by 0:52", zero+15*s)
		ses.stop()
		lane := ses.leave().Timeline().Lane(0)
		k.mu.Lock()
		defer k.mu.Unlock()
		var notes []string
		for _, e := range k.kept {
			if e.Kind == brew.EventNote {
				notes = append(notes, fmt.Sprintf("%s at %s", e.Text, brew.Exact(e.At.Truncate(s))))
			}
		}
		if got := strings.Join(notes, ", "); got != "the machine slept for 31 s at 0:46" {
			t.Errorf("the record says %q", got)
		}
		if len(k.kept) != len(lane.Events()) {
			t.Errorf("%d events are kept of %d", len(k.kept), len(lane.Events()))
		}
	})
}

// batch returns the commands of a message that holds several.
func batch(msg tea.Msg) []tea.Cmd {
	if all, ok := msg.(tea.BatchMsg); ok {
		return all
	}
	return []tea.Cmd{func() tea.Msg { return msg }}
}

func window(size [2]int) tea.Msg { return tea.WindowSizeMsg{Width: size[0], Height: size[1]} }

// A disk that takes half a second for each write holds up no frame: those of
// the same brew without it all come, at the same moments.
func TestASlowDiskDelaysNoFrame(t *testing.T) {
	plan := shipped(t)["quayside-press.yaml"]
	marks := []time.Duration{8100 * time.Millisecond, 52300 * time.Millisecond, 112200 * time.Millisecond, 140100 * time.Millisecond}
	brewed := func(delay time.Duration) (frames []frame) {
		synctest.Test(t, func(t *testing.T) {
			ses := brewIn(t, plan, live.Options{Recorder: &keeper{delay: delay}})
			zero := ses.prepare(plan)
			for _, at := range marks {
				ses.until(zero + at)
				ses.press(" ")
			}
			time.Sleep(2 * s)
			frames = ses.out.all()
			ses.leave()
		})
		return frames
	}
	fast, slow := brewed(0), brewed(500*time.Millisecond)
	came := map[time.Duration]bool{}
	for _, f := range slow {
		came[f.at] = true
	}
	for _, f := range fast {
		if !came[f.at] {
			t.Errorf("a frame of %s does not come then with a slow disk: %q", f.at, f.text)
		}
	}
	if len(fast) < 140 || len(slow) <= len(fast) {
		t.Errorf("%d frames, and %d with a slow disk: the test does not test", len(fast), len(slow))
	}
	t.Logf("%d frames; with writes of 500 ms the same and %d more, for marks that fill later", len(fast), len(slow)-len(fast))
}
