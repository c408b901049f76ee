//go:build unix

package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/routine"
	"barline/cmd/barline/internal/clock"
	"barline/cmd/barline/internal/journal"
)

// planOf returns the plan of a routine at hand.
func planOf(t testing.TB, name string) *routine.Plan {
	t.Helper()
	a := &app{env: env{stdout: io.Discard, stderr: io.Discard, getenv: func(string) string { return "" }, clock: clock.Machine{}}}
	document, err := a.findRoutine(name)
	if err != nil {
		t.Fatal(err)
	}
	plan, err := a.performed(document, false)
	if err != nil {
		t.Fatal(err)
	}
	return plan
}

// dueMarks returns what is asked for in a plan, but for lines and the call.
func dueMarks(plan *routine.Plan) (out []routine.Mark) {
	run, _ := routine.NewRun(plan, plan.Whole()).Apply(brew.Event{Kind: brew.EventMark, Lane: plan.CallsLane()})
	for _, m := range routine.Of(routine.Take{}, run).Marks {
		if m.Voice == routine.OfHands || m.Voice == routine.OfBed {
			out = append(out, m)
		}
	}
	return out
}

// takesIn returns the takes of a journal as runs.
func takesIn(t testing.TB, path, name string) (out []routine.Run) {
	t.Helper()
	j, err := journal.Open(path, journal.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer j.Close()
	taken, err := j.Taken(context.Background(), name)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range taken {
		run, err := (&routine.Reader{}).Run(routine.Take{Events: routine.Merge(r.Events, r.Brews...)})
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, run)
	}
	return out
}

// A whole rehearsal at a terminal, performed in time: fast in every run, in
// real time where BARLINE_CAMPAIGN is set. What is seen is said: how late cues
// and lines come, and how much memory is held. One that does not come, or
// comes early, is an error.
func TestAWholeRehearsalAtATerminal(t *testing.T) {
	speed := 1
	if os.Getenv("BARLINE_CAMPAIGN") == "" {
		speed = 25
		t.Log("SHORT: ten minutes at speed 25; BARLINE_CAMPAIGN=1 takes them in real time")
	}
	t.Parallel()
	const name = "lantern-three-cones"
	plan, home := planOf(t, name), t.TempDir()
	path := filepath.Join(home, "journal.db")
	s := sit(t, 80, 24, home, built(t, "."), "rehearse", name, "--journal", path, "--by", "Imre", fmt.Sprintf("--speed=%d", speed))
	s.await(t, "call time and begin", 0, 10*time.Second)
	zero, from := s.press(t, " ")
	until := func(at time.Duration) { time.Sleep(zero + at/time.Duration(speed) - elapsed()) }
	minute := time.Duration(0)
	var held []float64
	for _, m := range dueMarks(plan) {
		for ; minute <= m.Written; minute += time.Minute {
			until(minute + time.Second)
			held = append(held, s.resident(t))
		}
		until(m.Written)
		s.press(t, "x") // another key says that none is held down
		s.press(t, " ")
	}
	until(plan.End)
	s.callTime(t, from)
	held = append(held, s.resident(t))
	s.sayLate(t, plan, zero, from, speed)
	t.Logf("memory held, minute by minute: %.1f MB", held)
	s.leaveTake(t)
	if err := s.cmd.Wait(); err != nil {
		t.Errorf("it ended with %v", err)
	}
	takes := takesIn(t, path, plan.Name)
	if len(takes) != 1 {
		t.Fatalf("%d takes in the journal", len(takes))
	}
	result := routine.Of(routine.Take{}, takes[0])
	var unmarked []string
	for _, m := range result.Marks {
		if m.Voice != routine.OfTalk && !m.Known {
			unmarked = append(unmarked, m.Name)
		}
	}
	if len(unmarked) > tolerated(len(dueMarks(plan)), speed) {
		t.Errorf("not marked: %s", strings.Join(unmarked, "; "))
	}
	if !result.Whole() {
		t.Errorf("the take is %s", result.Ending)
	}
}

// callTime calls time at the end, and confirms it where that is asked, because
// a busy machine has put something off.
func (s *seated) callTime(t testing.TB, from int) {
	t.Helper()
	for range 10 {
		s.press(t, "x") // another key says that none is held down
		s.press(t, "\r")
		time.Sleep(300 * time.Millisecond)
		if _, _, over := s.find("the next take", from); over {
			return
		}
		s.press(t, "y")
		time.Sleep(700 * time.Millisecond)
	}
	s.await(t, "the next take", from, 10*time.Second)
}

// leaveTake leaves the page, on which a busy machine may still be about to turn to
// the end of the take.
func (s *seated) leaveTake(t testing.TB) {
	t.Helper()
	for range 4 {
		time.Sleep(500 * time.Millisecond)
		_, behind := s.press(t, "q")
		for range 40 {
			time.Sleep(100 * time.Millisecond)
			if _, _, left := s.find("finished at", behind); left {
				return
			}
		}
	}
	t.Fatal("q does not leave the end of the take")
}

// tolerated is how many of so many things may be missed: none in real time. At
// speed 25 a line may stand for a fifth of a second, which a busy machine may
// pass over.
func tolerated(all, speed int) int {
	if speed == 1 {
		return 0
	}
	return all / 2
}

// sayLate says how late the lines came on the screen.
func (s *seated) sayLate(t testing.TB, plan *routine.Plan, zero time.Duration, from, speed int) {
	t.Helper()
	var late []time.Duration
	var missing []int
	for k, line := range plan.Lines {
		if k == 0 || line.Words == "" {
			continue // the first stands there before
		}
		text := strings.Fields(line.Words)
		due := zero + line.Start/time.Duration(speed)
		at, ok := s.shown("| "+strings.Join(text[:min(len(text), 3)], " "), due)
		if !ok {
			missing = append(missing, k+1)
			continue
		}
		late = append(late, at-due)
	}
	if len(missing) > tolerated(len(plan.Lines), speed) {
		t.Errorf("lines that do not come: %d", missing)
	}
	t.Logf("%d lines, late by %s; load average %s", len(late), spreadOf(late), loadAverage())
}

// shown returns when a text was first written at or after a moment.
func (s *seated) shown(text string, due time.Duration) (time.Duration, bool) {
	for from := 0; ; {
		at, behind, ok := s.find(text, from)
		if !ok || at >= due {
			return at, ok
		}
		from = behind
	}
}

// A rehearsal that is killed leaves what was shown as kept, as a take that was
// cut off; its cup is not offered to go on without it.
func TestAKilledRehearsalLeavesWhatWasMarked(t *testing.T) {
	t.Parallel()
	const name = "lantern-three-cones"
	home := t.TempDir()
	path := filepath.Join(home, "journal.db")
	s := sit(t, 80, 24, home, built(t, "."), "rehearse", name, "--journal", path)
	s.await(t, "call time and begin", 0, 10*time.Second)
	s.press(t, " ")
	time.Sleep(300 * time.Millisecond)
	s.press(t, "x")
	_, from := s.press(t, " ")
	s.await(t, "again starts left", from, 10*time.Second) // it is due much later
	s.press(t, "x")
	s.press(t, " ")
	s.await(t, "[x] left has begun", from, 10*time.Second)
	s.press(t, "l")
	s.await(t, "[x] part 1", from, 10*time.Second)
	s.cmd.Process.Signal(syscall.SIGKILL)
	s.cmd.Wait()
	takes := takesIn(t, path, planOf(t, name).Name)
	if len(takes) != 1 {
		t.Fatalf("%d takes in the journal", len(takes))
	}
	run := takes[0]
	if how, _, _ := run.Ending(); how != routine.Running || !run.Started() || !run.Lanes().Lane(0).Started() {
		t.Errorf("the take is %q, started %t, its cup %t", how, run.Started(), run.Lanes().Lane(0).Started())
	}
	lines := 0
	for _, m := range routine.Of(routine.Take{}, run).Marks {
		if m.Voice == routine.OfTalk && m.Known {
			lines++
		}
	}
	if lines != 1 {
		t.Errorf("%d lines are marked", lines)
	}
	var told bytes.Buffer
	a := &app{env: env{stdout: io.Discard, stderr: io.Discard, getenv: func(string) string { return "" }, clock: clock.Machine{}}}
	a.flags.journal = path
	b := a.book()
	b.tellBack(&told)
	b.close()
	if told.Len() > 0 {
		t.Errorf("the cup is offered: %s", &told)
	}
}
