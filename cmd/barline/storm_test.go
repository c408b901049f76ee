//go:build unix

package main

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"barline/brew"
)

// TestAStormOfEventsUpsetsNothing sends random keys, held keys, pastes, keys
// in pieces, sizes, signals and stops to running brews at a terminal: 300 in
// every run, 10,000 in a campaign. The program does not break, the terminal is
// left as it was, no mark is in the journal that no key gave, and the clock is
// right at the end.
func TestAStormOfEventsUpsetsNothing(t *testing.T) {
	t.Parallel()
	d, all := dice(t), 10*rounds(t, 30)
	const aBrew = 100 // events
	var seen weather
	var wait sync.WaitGroup
	for range 2 {
		wait.Go(func() {
			for n, seed := seen.claim(aBrew, all, d); n > 0; n, seed = seen.claim(aBrew, all, d) {
				t.Run(fmt.Sprint(seed), func(t *testing.T) { aStorm(t, n, seed, &seen) })
			}
		})
	}
	wait.Wait()
	if seen.marks == 0 || seen.clocks == 0 || seen.stops == 0 {
		t.Error("too little happened: the test does not test")
	}
	t.Logf("%d events in %d brews, among them %d stops; %d mark keys gave %d marks in the journals; at the end of %d brews the clock was looked at, and was within %s",
		seen.events, seen.brews, seen.stops, seen.markKeys, seen.marks, seen.clocks, seen.latest.Round(time.Millisecond))
}

// weather is what the storms have seen.
type weather struct {
	sync.Mutex
	events, brews, stops, markKeys, marks, clocks int
	latest                                        time.Duration // the clock, by the last mark
}

// claim returns how many events a brew is to get, no more than most and none
// when there have been all, and its seed.
func (w *weather) claim(most, all int, d *rand.Rand) (n int, seed uint64) {
	w.Lock()
	defer w.Unlock()
	n = min(most, all-w.events)
	w.events += n
	return n, d.Uint64()
}

// aStorm sends events to a brew, and looks at what came of it.
func aStorm(t *testing.T, events int, seed uint64, seen *weather) {
	s := &storm{terminal: inTheStorm(t), d: rand.New(rand.NewPCG(seed, 11)), seen: seen}
	defer func() {
		if t.Failed() {
			t.Log(strings.Join(s.told, "\n"))
		}
	}()
	s.blow(events)
	s.look(s.end())
}

// storm is a brew to which random events are sent.
type storm struct {
	*terminal
	d     *rand.Rand
	seen  *weather
	marks []sent   // in order
	told  []string // what was done, for a test that fails
}

// tell notes what is done.
func (s *storm) tell(format string, args ...any) {
	s.told = append(s.told, time.Now().Format("05.000 ")+fmt.Sprintf(format, args...))
}

// send types, and notes it.
func (s *storm) send(keys string) {
	s.tell("%.60q", keys)
	s.terminal.send(keys)
}

// sent is a mark key, and until when its mark can come.
type sent struct{ at, until time.Time }

// slack is how long a key may take to be read when the machine is busy.
const slack = 2 * time.Second

// inTheStorm returns the program in a brew of 30 pours in 22 s.
func inTheStorm(t *testing.T) *terminal {
	recipe := filepath.Join(t.TempDir(), "many.yaml")
	must(t, os.WriteFile(recipe, []byte(marked()), 0o644))
	s := start(t, theProgram(t), "brew", recipe, "--speed", fmt.Sprint(stormSpeed))
	s.await("water meets coffee")
	s.send("\r")
	s.await("p01: Pour 15 g")
	return s
}

const stormSpeed = 4

var (
	keysThatMark = []string{" ", "\r", "\x1b[6~"}
	wildKeys     = []string{
		"u", "s", "e", "z", "n", "f", "q", "y", "x", "\x7f", "\x1b", "\x03", "\t", "\x1b[A", "\x1b[B", "\x1b[5~", "\x1b[15~", "\x1bOP",
		"é", "注", "\x00", "\xff", "\x1b[M !!", "\x1b[<0;3;3M", "\x1b[?2026;2$y", "\x1b[1;5D", "note", "12.5",
	}
)

func pick[T any](d *rand.Rand, from []T) T { return from[d.IntN(len(from))] }

// blow sends so many events; those that come too late for a program that has
// ended are left to other brews.
func (s *storm) blow(n int) {
	for i := range n {
		if s.over() {
			s.seen.Lock()
			s.seen.events -= n - i
			s.seen.Unlock()
			return
		}
		switch p := s.d.IntN(100); {
		case p < 30:
			s.mark(pick(s.d, keysThatMark))
		case p < 60:
			s.send(pick(s.d, wildKeys))
		case p < 66:
			s.mark(strings.Repeat(pick(s.d, keysThatMark), 2+s.d.IntN(5)))
		case p < 74:
			s.send("\x1b[200~" + pick(s.d, keysThatMark) + pick(s.d, wildKeys[:8]) + strings.Repeat(" \r", s.d.IntN(200)) + "\x1b[201~")
		case p < 80:
			s.inPieces(pick(s.d, []string{"\x1b[6~", "\x1b[A", "\x1b[15~", "\x1b[200~ \r\x1b[201~", "注"}))
		case p < 90:
			s.resize(uint16(1+s.d.IntN(300)), uint16(1+s.d.IntN(100)))
		case p < 92:
			s.resize(uint16(s.d.IntN(4)), uint16(s.d.IntN(3)))
		case p < 94:
			s.cmd.Process.Signal(pick(s.d, []os.Signal{syscall.SIGCONT, syscall.SIGWINCH}))
		case p < 98:
			s.stop(func() { s.cmd.Process.Signal(pick(s.d, []os.Signal{syscall.SIGTSTP, syscall.SIGSTOP})) })
		default:
			s.stop(func() { s.send("\x1a") })
		}
		time.Sleep(time.Duration(s.d.IntN(40)) * time.Millisecond)
	}
}

// over reports whether the program has ended.
func (s *storm) over() bool { return len(s.ended) > 0 }

// mark sends keys that mark, each of which can.
func (s *storm) mark(keys string) {
	now := time.Now()
	s.marks = append(s.marks, slices.Repeat([]sent{{now, now.Add(slack)}}, strings.Count(keys, " ")+strings.Count(keys, "\r")+strings.Count(keys, "~"))...)
	s.send(keys)
}

// inPieces sends a key in two pieces, which may come far apart.
func (s *storm) inPieces(key string) {
	cut := 1 + s.d.IntN(len(key)-1)
	first, rest := key[:cut], key[cut:]
	if key == "\x1b[6~" {
		s.mark("~")
	}
	if strings.HasPrefix(key, "\x1b[200~") && cut < len("\x1b[200~") {
		time.Sleep(time.Duration(s.d.IntN(20)) * time.Millisecond)
		s.send(first + rest[:1]) // the beginning of a paste that comes late is typing, and may mark
		s.send(rest[1:])
		return
	}
	s.send(first)
	time.Sleep(time.Duration(s.d.IntN(80)) * time.Millisecond)
	s.send(rest)
}

// resize changes the window; what cannot be shown is not looked at.
func (s *storm) resize(width, height uint16) {
	s.mu.Lock()
	s.screen.Resize(max(int(width), 1), max(int(height), 1))
	s.mu.Unlock()
	s.tell("%d by %d", width, height)
	setSize(s.ours, width, height)
}

// stop stops the program for a moment; a key that was sent before may be read
// behind it.
func (s *storm) stop(how func()) {
	s.seen.Lock()
	s.seen.stops++
	s.seen.Unlock()
	began := time.Now()
	s.tell("stop")
	how()
	for wait := 0; wait < 60 && !s.over() && s.state() != 'T'; wait++ {
		time.Sleep(5 * time.Millisecond)
	}
	time.Sleep(time.Duration(s.d.IntN(60)) * time.Millisecond)
	s.tell("go on")
	s.runs()
	for i := range s.marks {
		if s.marks[i].until.After(began) {
			s.marks[i].until = s.marks[i].until.Add(time.Since(began))
		}
	}
}

// runs continues the program, and once more where the stop overtakes its end:
// which of two signals came first is not to be known when both are waiting.
func (s *terminal) runs() {
	s.cmd.Process.Signal(syscall.SIGCONT)
	for range 20 {
		time.Sleep(2 * time.Millisecond)
		if s.state() == 'T' {
			s.cmd.Process.Signal(syscall.SIGCONT)
		}
	}
}

// state returns the letter that the kernel has for the process's state.
func (s *terminal) state() byte {
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", s.cmd.Process.Pid))
	if err != nil {
		return 0
	}
	return text[strings.LastIndexByte(string(text), ')')+2]
}

// end looks at the clock with one last mark, some time behind the other
// events, and ends the program by a signal or by keys. It returns the last
// mark's moment.
func (s *storm) end() (last time.Time) {
	s.resize(80, 24)
	s.send("\x1b")
	time.Sleep(1100 * time.Millisecond)
	if last = time.Now(); !s.over() {
		s.mark("\x1b[6~")
		time.Sleep(200 * time.Millisecond)
	}
	sig := pick(s.d, []syscall.Signal{syscall.SIGTERM, syscall.SIGINT, syscall.SIGHUP, syscall.SIGQUIT})
	s.cmd.Process.Signal(sig)
	if code := s.leaves(); code != exitSignal+int(sig) && code != exitOK && code != exitStopped {
		s.t.Errorf("exit code %d", code)
	}
	return last
}

// look looks at what was written and at the journal.
func (s *storm) look(last time.Time) {
	for _, bad := range []string{"panic", "goroutine ", "barline broke", "error:"} {
		if out := s.written(); strings.Contains(out, bad) {
			s.t.Errorf("it says %q: %.3000q", bad, out[strings.Index(out, bad):])
		}
	}
	if code, out, err := plainly(s.t, s.cmd.Path, s.folder, "", "journal", "verify"); code != exitOK || out != "1 brew, nothing is wrong\n" {
		s.t.Errorf("verify: %d %s%s", code, out, err)
	}
	r := s.recorded()
	s.seen.Lock()
	defer s.seen.Unlock()
	s.seen.brews++
	s.seen.markKeys += len(s.marks)
	keys := slices.Clone(s.marks)
	for _, e := range r.Events {
		if e.Kind != brew.EventMark {
			continue
		}
		s.seen.marks++
		at := r.Start.Add(time.Duration(float64(e.At-r.StartAt) / stormSpeed))
		i := slices.IndexFunc(keys, func(k sent) bool { return at.After(k.at.Add(-early)) && at.Before(k.until) })
		if i < 0 {
			s.t.Errorf("no key gave the mark at %s, %s", brew.Exact(e.At), at.Format("05.000"))
			continue
		}
		keys = slices.Delete(keys, i, i+1)
		if at.After(last.Add(-early)) {
			s.seen.clocks++
			s.seen.latest = max(s.seen.latest, at.Sub(last).Abs())
		} else if at.After(last.Add(-time.Second)) {
			s.t.Errorf("by the clock the last mark came %s before its key", last.Sub(at))
		}
	}
}

// early is how exact the start of a record is: it is kept to the millisecond.
const early = 2 * time.Millisecond
