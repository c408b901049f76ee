package tui_test

import (
	"fmt"
	"io/fs"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"barline/brew"
	"barline/brew/routine"
	"barline/recipes"
	"barline/tui"
	"barline/tui/live"
	"barline/tui/rehearsal"
)

// performed returns the plan of a shipped routine.
func performed(t *testing.T, name string) *routine.Plan {
	t.Helper()
	file := "routines/" + name + ".yaml"
	entries, err := recipes.Routines(nil)
	if err != nil {
		t.Fatal(err)
	}
	entry, err := recipes.FindRoutine(entries, name)
	if err != nil {
		t.Fatal(err)
	}
	resolved, faults := entry.Document.Resolve(func(name string) (brew.Recipe, error) {
		text, err := fs.ReadFile(recipes.Shipped(), name+".yaml")
		if err != nil {
			return brew.Recipe{}, err
		}
		document, faults := recipes.Parse(name+".yaml", text)
		return document.Recipe(), faults.Err()
	}, brew.Bar{})
	if errs := faults.Errors(); len(errs) > 0 {
		t.Fatal(file, errs.Text())
	}
	search := routine.Solve(resolved, routine.Usual)
	if !search.Found() {
		t.Fatal("no plan")
	}
	return search.Plan()
}

// rehearseIn runs the rehearsal page as a whole program. told is what the page
// said from one message to the next.
func rehearseIn(t *testing.T, opt rehearsal.Options) *session {
	t.Helper()
	s := &session{t: t, began: time.Now(), done: make(chan tui.Model, 1)}
	var mu sync.Mutex
	opt.Ahead, opt.Keys = live.DefaultAhead, rehearsal.DefaultKeys()
	opt.Now = func() time.Duration { return time.Since(s.began) }
	opt.Bell = func(strokes int) {
		mu.Lock()
		defer mu.Unlock()
		s.rings = append(s.rings, frame{at: time.Since(s.began), text: fmt.Sprint(strokes)})
	}
	return s.run(tui.OpenRehearsal(tui.Options{Now: opt.Now}, rehearsal.New(opt)))
}

// stops ends a program on the rehearsal page, whose take is over.
func (s *session) stops() rehearsal.Page {
	s.t.Helper()
	time.Sleep(time.Second)
	s.press("q")
	m := <-s.done
	s.keys.Close()
	return m.Rehearsal()
}

// Ten minutes, performed in time: every cue, every line and the call of the
// last minute come at their moments.
func TestAWholeRehearsalInSimulatedTime(t *testing.T) {
	for _, name := range []string{"lantern-three-cones", "lantern-cone-and-press"} {
		t.Run(name, func(t *testing.T) {
			plan := performed(t, name)
			synctest.Test(t, func(t *testing.T) {
				s := rehearseIn(t, rehearsal.Options{Plan: plan, Run: plan.Whole()})
				time.Sleep(time.Second)
				s.press(" ")
				zero := time.Since(s.began)
				s.perform(plan, zero)
				s.until(zero + plan.End)
				s.press("\r")
				run := s.stops().Run()
				if how, at, _ := run.Ending(); how != routine.Finished || at != plan.End {
					t.Errorf("%s at %s, want finished at %s", how, at, plan.End)
				}
				s.calledEach(plan, zero)
				s.said(plan, zero)
				for _, m := range routine.Of(routine.Take{}, run).Marks {
					if m.Voice != routine.OfTalk && (!m.Known || m.Drift().Abs() > hair) {
						t.Errorf("%s: marked %t, drift %s", m.Name, m.Known, m.Drift())
					}
				}
			})
		})
	}
}

// perform marks everything in the moment that it is written for: the starts of
// the brews and the asked beats.
func (s *session) perform(plan *routine.Plan, zero time.Duration) {
	run, _ := routine.NewRun(plan, plan.Whole()).Apply(brew.Event{Kind: brew.EventMark, Lane: plan.CallsLane()})
	for _, m := range routine.Of(routine.Take{}, run).Marks {
		if m.Voice != routine.OfTalk && m.Voice != routine.OfCall {
			s.until(zero + m.Written)
			s.press("x") // another key lets the next mark count
			s.press(" ")
		}
	}
}

// called is a cue of the hands on the routine's clock.
type called struct {
	start  time.Duration
	prompt string
}

// calledEach checks that each cue of the hands is on the screen within a frame
// of its start, and rung for, and that it was announced where nothing else was
// to be done between.
func (s *session) calledEach(plan *routine.Plan, zero time.Duration) {
	s.t.Helper()
	var cues []called
	add := func(c brew.Cue, start time.Duration) {
		if c.Hands == brew.Busy {
			cues = append(cues, called{start, c.Prompt})
		}
	}
	for i, cup := range plan.Cups {
		for c := range cup.Plan.Cues {
			start, _ := spanOf(plan, i, c)
			add(cup.Plan.Cues[c], start)
		}
	}
	for _, c := range plan.Hands.Cues {
		add(c, c.Start)
	}
	slices.SortFunc(cues, func(a, b called) int { return int(a.start - b.start) })
	for i, c := range cues {
		s.shows(c.prompt+", by", zero+c.start)
		s.rung(zero+c.start, "2")
		if ahead := c.start - live.DefaultAhead; i > 0 && cues[i-1].start < ahead {
			s.shows(">>>> in 5 s", zero+ahead)
			s.rung(zero+ahead, "1")
		}
	}
	s.rung(zero+plan.Limit-routine.Minute, "3")
	s.shows("ONE MINUTE LEFT", zero+plan.Limit-routine.Minute)
	s.t.Logf("%d cues of the hands, %d lines in %s", len(cues), len(plan.Lines), plan.End)
}

// spanOf returns when a cue of a cup is written on the routine's clock, with
// what the plan moves.
func spanOf(plan *routine.Plan, cup, cue int) (start, end time.Duration) {
	c := plan.Cups[cup]
	lane, _ := brew.NewLane(c.Plan).Apply(brew.Event{Kind: brew.EventStart})
	for _, m := range c.Moves {
		lane, _ = lane.Apply(brew.Event{Kind: brew.EventMoved, Cue: m.Cue, To: m.To})
	}
	start, end = lane.Span(cue)
	return c.Zero + start, c.Zero + end
}

// hair is what the page puts between two keys of the same instant, and more.
const hair = time.Microsecond

func (s *session) rung(at time.Duration, strokes string) {
	s.t.Helper()
	for _, r := range s.rings {
		if at <= r.at && r.at < at+hair && (r.text == strokes || r.text == "3") {
			return
		}
	}
	s.t.Errorf("the bell did not ring %s at %s", strokes, at)
}

// escapes are what a terminal is told between texts.
var escapes = regexp.MustCompile("\x1b\\[[0-9;?]*[a-zA-Z]")

// said checks that each line is begun on the screen within a frame of its
// moment: its row leads what is said, and the one before has gone.
func (s *session) said(plan *routine.Plan, zero time.Duration) {
	s.t.Helper()
	for k, line := range plan.Lines {
		first, _, _ := strings.Cut(line.Words, " ")
		want := "| " + first
		if line.Words == "" {
			want = "| silence for " + fmt.Sprint(int(line.Length/time.Second)) + " s"
		}
		if k == 0 {
			continue // it stands there before the take begins
		}
		s.spoken(want, zero+line.Start, k)
	}
}

func (s *session) spoken(want string, at time.Duration, line int) {
	s.t.Helper()
	for _, f := range s.out.frames {
		if f.at >= at && f.at <= at+frameTime && strings.Contains(escapes.ReplaceAllString(f.text, ""), want) {
			return
		}
	}
	s.t.Errorf("line %d, %q, is not on the screen at %s", line+1, want, at)
}
