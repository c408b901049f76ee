package tui_test

import (
	"bytes"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"barline/brew"
	"barline/recipes"
	"barline/tui"
	"barline/tui/live"

	tea "github.com/charmbracelet/bubbletea"
)

// frame is what the program wrote at one moment since the test began.
type frame struct {
	at   time.Duration
	text string
}

// screen records what a program writes, and when.
type screen struct {
	mu     sync.Mutex
	began  time.Time
	frames []frame
}

func (s *screen) Write(b []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.frames = append(s.frames, frame{time.Since(s.began), string(b)})
	return len(b), nil
}

// first returns when a text was first written at or after a moment.
func (s *screen) first(text string, from time.Duration) (time.Duration, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, f := range s.frames {
		if f.at >= from && strings.Contains(f.text, text) {
			return f.at, true
		}
	}
	return 0, false
}

// session is a whole program in simulated time.
type session struct {
	t     *testing.T
	began time.Time
	keys  *io.PipeWriter
	out   *screen
	rings []frame // of two strokes; the text is empty
	done  chan tui.Model
	send  func(tea.Msg)
}

// brewIn runs a live page of the plan as a whole program.
func brewIn(t *testing.T, plan *brew.Plan, opt live.Options) *session {
	t.Helper()
	s := &session{t: t, began: time.Now(), done: make(chan tui.Model, 1)}
	var mu sync.Mutex
	opt.Plans, opt.Title, opt.Keys = []*brew.Plan{plan}, plan.Name, live.DefaultKeys()
	opt.Ahead = live.DefaultAhead
	opt.Now = func() time.Duration { return time.Since(s.began) }
	opt.Bell = func(strokes int) {
		mu.Lock()
		defer mu.Unlock()
		if strokes == 2 {
			s.rings = append(s.rings, frame{at: time.Since(s.began)})
		}
	}
	return s.run(tui.OpenLive(tui.Options{Now: opt.Now}, live.New(opt)))
}

// run runs a program.
func (s *session) run(m tui.Model) *session {
	in, keys := io.Pipe()
	s.keys, s.out = keys, &screen{began: s.began}
	p := tui.NewProgram(m, tea.WithInput(in), tea.WithOutput(s.out), tea.WithoutSignalHandler())
	s.send = p.Send
	go func() {
		end, err := p.Run()
		if err != nil {
			s.t.Error(err)
		}
		s.done <- end.(tui.Model)
	}()
	p.Send(tea.WindowSizeMsg{Width: 80, Height: 24})
	synctest.Wait()
	return s
}

// press types a key.
func (s *session) press(key string) {
	s.t.Helper()
	if _, err := io.WriteString(s.keys, key); err != nil {
		s.t.Fatal(err)
	}
	synctest.Wait()
}

// until sleeps to a moment of the test's clock.
func (s *session) until(at time.Duration) { time.Sleep(at - time.Since(s.began)); synctest.Wait() }

// prepare ticks everything off and starts the clock; it returns the moment of
// the start.
func (s *session) prepare(plan *brew.Plan) time.Duration {
	for range len(plan.Prepare) + 1 {
		time.Sleep(time.Second)
		s.press(" ")
	}
	return time.Since(s.began)
}

// leave leaves the debrief and returns the page that was left.
func (s *session) leave() live.Page {
	s.t.Helper()
	time.Sleep(time.Second)
	s.press("q")
	m := <-s.done
	s.keys.Close()          // the library's reader cannot be cancelled on a pipe
	time.Sleep(time.Minute) // until the alarm of a debrief that was left has run out
	return m.Brewed()[0]
}

func shipped(t *testing.T) map[string]*brew.Plan {
	t.Helper()
	files, err := fs.Glob(recipes.Shipped(), "*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatal("no shipped recipes", err)
	}
	plans := map[string]*brew.Plan{}
	for _, file := range files {
		text, err := fs.ReadFile(recipes.Shipped(), file)
		if err != nil {
			t.Fatal(err)
		}
		document, faults := recipes.Parse(file, text)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		if plans[file], err = brew.NewPlan(document.Recipe(), brew.Bar{}); err != nil {
			t.Fatal(err)
		}
	}
	return plans
}

// frameTime is how long after a change the library draws it: sixty frames a
// second.
const frameTime = 17 * time.Millisecond

func TestEveryCueOfEveryShippedRecipeIsCalledAtItsTime(t *testing.T) {
	for file, plan := range shipped(t) {
		t.Run(file, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				s := brewIn(t, plan, live.Options{})
				zero := s.prepare(plan)
				due, _ := lastDue(plan)
				s.until(zero + max(due+brew.FinishAfter, plan.End) + time.Second)
				lane := s.leave().Timeline().Lane(0)
				for i, cue := range plan.Cues {
					begin, end := lane.Span(i)
					if begin != cue.Start || end != cue.End {
						t.Errorf("%s: called from %s to %s without a mark, written from %s to %s", cue.Name, begin, end, cue.Start, cue.End)
					}
					s.shows(fmt.Sprintf("%s, by %s", cue.Prompt, brew.Clock(cue.End)), zero+cue.Start)
					s.rang(cue, zero+cue.Start)
				}
				s.rangFor(plan, zero)
				if how, at, _ := lane.Ending(); how != brew.Finished || at != due+brew.FinishAfter {
					t.Errorf("%s at %s, want finished at %s", how, at, due+brew.FinishAfter)
				}
			})
		})
	}
}

// shows checks that a text comes on the screen within a frame of a moment.
// Of an unlabelled cue the text begins the row.
func (s *session) shows(text string, want time.Duration) {
	s.t.Helper()
	if at, ok := s.out.first(text, want-time.Second); !ok || at < want || at > want+frameTime {
		s.t.Errorf("%q came at %s (%t), want %s", text, at, ok, want)
	}
}

func (s *session) rang(cue brew.Cue, want time.Duration) {
	s.t.Helper()
	if cue.Action == brew.Wait {
		return
	}
	for _, r := range s.rings {
		if r.at == want {
			return
		}
	}
	s.t.Errorf("%s: the bell did not ring at %s", cue.Name, want)
}

// rangFor checks that the bell rang for cues alone, and for no wait.
func (s *session) rangFor(plan *brew.Plan, zero time.Duration) {
	s.t.Helper()
	for _, r := range s.rings {
		if !slices.ContainsFunc(plan.Cues, func(c brew.Cue) bool { return c.Action != brew.Wait && zero+c.Start == r.at }) {
			s.t.Errorf("the bell rang at %s, where no cue begins", brew.Exact(r.at-zero))
		}
	}
}

// lastDue returns the last moment at which an asked beat is called, and how
// many beats are asked. Without any the last edge counts.
func lastDue(plan *brew.Plan) (time.Duration, int) {
	var due time.Duration
	asked := 0
	for _, b := range plan.Beats {
		due = max(due, b.Due)
		if b.Asked {
			asked++
		}
	}
	return due, asked
}

func TestMarksEarlyLateAndAbsentAreTakenAsPressed(t *testing.T) {
	offsets := []time.Duration{-1200 * time.Millisecond, 0, 1700 * time.Millisecond, absent, 800 * time.Millisecond}
	for file, plan := range shipped(t) {
		t.Run(file, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				s := brewIn(t, plan, live.Options{})
				zero := s.prepare(plan)
				// The page must agree with a fold of the same marks.
				want, _ := brew.NewLane(plan).Apply(brew.Event{Kind: brew.EventStart})
				n := 0
				for i, b := range plan.Beats {
					if !b.Asked {
						continue
					}
					offset := offsets[n%len(offsets)]
					n++
					at := want.Beat(i).Called + offset
					if offset == absent || at <= s.since(zero)+time.Second {
						continue
					}
					s.until(zero + at)
					s.press(" ")
					want, _ = want.Apply(brew.Event{Kind: brew.EventMark, At: at})
				}
				end, _ := want.EndsItself()
				s.until(zero + end + time.Second)
				got := s.leave().Timeline().Lane(0)
				marked := 0
				for i := range plan.Beats {
					if g, w := got.Beat(i), want.Beat(i); g.Status != w.Status && w.Status != brew.Waiting || g.Marked != w.Marked || g.Called != w.Called {
						t.Errorf("%s: %+v, want %+v", plan.Beats[i].Name, g, w)
					}
					if got.Beat(i).Status == brew.Marked {
						marked++
					}
				}
				if marked == 0 {
					t.Error("no mark was taken")
				}
			})
		})
	}
}

// absent is the offset of a mark that is not made.
const absent = time.Hour

func (s *session) since(zero time.Duration) time.Duration { return time.Since(s.began) - zero }

func TestTheClockRunsOnWhileANoteIsTyped(t *testing.T) {
	plan := shipped(t)["quayside-press.yaml"]
	synctest.Test(t, func(t *testing.T) {
		s := brewIn(t, plan, live.Options{})
		zero := s.prepare(plan)
		s.until(zero + 15*time.Second)
		s.press("n")
		s.press("kettle was slow")
		s.until(zero + 37*time.Second)
		s.shows("Pour to 210 g, by 0:52", zero+36*time.Second)
		s.press("\r")
		s.until(zero + 40*time.Second)
		s.press("q")
		time.Sleep(time.Second)
		s.press("x") // any other key goes on
		time.Sleep(time.Second)
		s.press("q")
		time.Sleep(time.Second)
		s.press("y")
		s.press("the cup fell\r")
		lane := s.leave().Timeline().Lane(0)
		how, at, why := lane.Ending()
		if how != brew.Stopped || why != "the cup fell" || at != 43*time.Second {
			t.Errorf("%s at %s because %q", how, at, why)
		}
		var notes []string
		for _, e := range lane.Events() {
			if e.Kind == brew.EventNote {
				notes = append(notes, e.Text)
			}
		}
		if len(notes) != 1 || notes[0] != "kettle was slow" {
			t.Errorf("notes %q", notes)
		}
	})
}

func TestTheLastMarkCanBeTakenBackAfterTheEnd(t *testing.T) {
	plan := shipped(t)["quayside-press.yaml"]
	synctest.Test(t, func(t *testing.T) {
		s := brewIn(t, plan, live.Options{})
		zero := s.prepare(plan)
		for _, at := range []int{8, 52, 112, 130} {
			s.until(zero + time.Duration(at)*time.Second)
			s.press(" ")
		}
		time.Sleep(time.Second)
		s.press("u") // the last mark came ten seconds too soon
		s.until(zero + 141*time.Second)
		s.press(" ")
		lane := s.leave().Timeline().Lane(0)
		last := lane.Beat(len(plan.Beats) - 1)
		if last.Marked != 141*time.Second {
			t.Errorf("the last beat is marked at %s, want 2:21", last.Marked)
		}
		if how, at, _ := lane.Ending(); how != brew.Finished || at != 141*time.Second {
			t.Errorf("%s at %s", how, at)
		}
	})
}

// keeper is a recorder that takes its time.
type keeper struct {
	mu    sync.Mutex
	delay time.Duration
	kept  []brew.Event
}

func (k *keeper) Append(n int, e brew.Event, _ time.Duration) error {
	time.Sleep(k.delay)
	k.mu.Lock()
	defer k.mu.Unlock()
	for len(k.kept) <= n {
		k.kept = append(k.kept, brew.Event{})
	}
	k.kept[n] = e
	return nil
}

func (k *keeper) Measure(brew.Correction) error { time.Sleep(k.delay); return nil }

func TestAMarkIsHollowUntilItIsSafeAndLeavingWaitsForIt(t *testing.T) {
	plan := shipped(t)["quayside-press.yaml"]
	synctest.Test(t, func(t *testing.T) {
		k := &keeper{delay: 500 * time.Millisecond}
		s := brewIn(t, plan, live.Options{Recorder: k})
		zero := s.prepare(plan)
		s.until(zero + 8*time.Second)
		s.press(" ")
		s.until(zero + 10*time.Second)
		s.shows("[ ] bloom, end", zero+8*time.Second)
		s.shows("[x] bloom, end", zero+8*time.Second+k.delay)
		s.shows("Swirl gently, by 0:12", zero+8*time.Second) // the slow disk holds up no frame
		s.press("q")
		time.Sleep(time.Second)
		s.press("y")
		s.press("\r")
		time.Sleep(time.Second)
		k.delay = 3 * time.Second
		s.press("u") // refused: it was stopped
		lane := s.leave().Timeline().Lane(0)
		k.mu.Lock()
		defer k.mu.Unlock()
		if len(k.kept) != len(lane.Events()) {
			t.Errorf("%d events kept, %d happened", len(k.kept), len(lane.Events()))
		}
	})
}

func TestNoQueryIsSentToTheTerminal(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := brewIn(t, shipped(t)["quayside-press.yaml"], live.Options{})
		s.leave()
		var all bytes.Buffer
		for _, f := range s.out.frames {
			all.WriteString(f.text)
		}
		for _, query := range []string{"\x1b]11;?", "\x1b]10;?", "\x1b[6n", "\x1b[c"} {
			if strings.Contains(all.String(), query) {
				t.Errorf("the program asks the terminal with %q", query)
			}
		}
	})
}

func TestNoBellRingsForAWait(t *testing.T) {
	plan, err := brew.NewPlan(brew.Recipe{
		Name: "A steep", Method: brew.Pot, Dose: 15 * brew.Gram, Water: 225 * brew.Gram, Temperature: 93, Grind: "coarse",
		Steps: []brew.Step{
			{Action: brew.Pour, Amount: 225 * brew.Gram, Over: 20 * time.Second},
			{Action: brew.Wait, Over: 30 * time.Second},
			{Action: brew.Serve, Over: 5 * time.Second},
		},
	}, brew.Bar{})
	if err != nil {
		t.Fatal(err)
	}
	synctest.Test(t, func(t *testing.T) {
		s := brewIn(t, plan, live.Options{})
		zero := s.prepare(plan)
		s.until(zero + plan.End + brew.FinishAfter + time.Second)
		s.leave()
		s.rangFor(plan, zero)
		s.rang(plan.Cues[2], zero+plan.Cues[2].Start)
	})
}
