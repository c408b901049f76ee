//go:build unix

package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"
)

// looking returns the program on the page that looks at the terminal.
func looking(t *testing.T, args ...string) *terminal {
	t.Helper()
	program, err := exec.LookPath("barline") // this very test binary, as TestMain has it
	if err != nil {
		t.Fatal(err)
	}
	return start(t, program, append([]string{"terminal"}, args...)...)
}

// cursorAsked is a question for the cursor's place, and where the cursor was put.
var cursorAsked = regexp.MustCompile(`\x1b7\x1b\[(\d+);(\d+)H([^\x1b]*)\x1b\[6n`)

// answers answers every question of the program until it ends: in pieces of
// some bytes, and signs take as many cells as width says.
func (s *terminal) answers(piece, width int) {
	go func() {
		for done := 0; ; time.Sleep(time.Millisecond) {
			s.mu.Lock()
			all := cursorAsked.FindAllSubmatch(s.raw.Bytes(), -1)
			s.mu.Unlock()
			for ; done < len(all); done++ {
				var row, column int
				fmt.Sscan(string(all[done][1])+" "+string(all[done][2]), &row, &column)
				if len(all[done][3]) > 0 {
					column += width
				}
				answer := fmt.Sprintf("\x1b[%d;%dR", row, column)
				for ; len(answer) > 0; answer = answer[min(piece, len(answer)):] {
					if _, err := s.ours.WriteString(answer[:min(piece, len(answer))]); err != nil {
						return
					}
					time.Sleep(time.Duration(2-min(piece, 2)) * 2 * time.Millisecond)
				}
			}
			if s.cmd.ProcessState != nil {
				return
			}
		}
	}()
}

// reported returns the lines that were printed on the normal screen at the
// end, by their names.
func (s *terminal) reported() map[string]string {
	s.t.Helper()
	s.mu.Lock()
	_, text, ok := bytes.Cut(s.raw.Bytes(), []byte("report: barline terminal\r\n"))
	s.mu.Unlock()
	if !ok {
		s.t.Fatal("no report was printed")
	}
	lines := map[string]string{}
	for _, line := range strings.Split(strings.TrimSuffix(string(text), "\r\n"), "\r\n") {
		name, value, ok := strings.Cut(line, ": ")
		if !ok || strings.Trim(value, " -~") == "" && value == "" || strings.ContainsRune(line, '\x1b') {
			s.t.Errorf("%q is no line of a name and a value", line)
		}
		lines[name] = value
	}
	return lines
}

// says checks a line of the report against a pattern.
func says(t *testing.T, report map[string]string, name, pattern string) {
	t.Helper()
	if !regexp.MustCompile("^" + pattern + "$").MatchString(report[name]) {
		t.Errorf("%s: %q, want %s", name, report[name], pattern)
	}
}

func TestATerminalThatAnswersIsMeasured(t *testing.T) {
	for name, c := range map[string]struct {
		piece, width int
		widths       string
	}{
		"at once, one cell a sign":       {99, 1, `as they are drawn \(\d+ signs asked\)`},
		"byte by byte, two cells a sign": {1, 2, `not as they are drawn, in cells: U\+2588 2, .*`},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := looking(t)
			s.answers(c.piece, c.width)
			s.await("measured")
			for range 12 { // hold the key
				s.ours.WriteString(" ")
				time.Sleep(30 * time.Millisecond)
			}
			s.await("last key:                   space, a mark key")
			s.press("b")
			s.await("rung:                       once, with 2 strokes each")
			s.size(40, 12)
			s.press("b") // turns to the bell
			s.await("rung: 2 times, with 2 strokes each")
			s.strokes(4)
			s.press("q")
			if code := s.leaves(); code != exitOK {
				t.Errorf("exit code %d", code)
			}
			s.await("durable write:")
			r := s.reported()
			says(t, r, "terminal", "yes")
			says(t, r, "TERM", "xterm-256color")
			says(t, r, "size", "40x12")
			says(t, r, "colours used", "256")
			says(t, r, "width of signs", c.widths)
			says(t, r, "moment to answer", `p50 [0-9.]+ ms, max [0-9.]+ ms \(20 moments\)`)
			says(t, r, "last key", "space, a mark key")
			says(t, r, "marks pressed", "once")
			says(t, r, "key held down", `space repeats after \d+ ms, then every \d+ ms \(12 events\), taken as one mark, as it should be`)
			says(t, r, "durable write", `p50 [0-9.]+ ms, p99 [0-9.]+ ms, max [0-9.]+ ms \(50 events\)`)
			s.leftNothing()
		})
	}
}

// strokes waits until the bell has struck so often.
func (s *terminal) strokes(want int) {
	s.t.Helper()
	for range 400 {
		s.mu.Lock()
		n := bytes.Count(s.raw.Bytes(), []byte("\a"))
		s.mu.Unlock()
		if n == want {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
	s.t.Errorf("the bell does not strike %d times", want)
}

// leftNothing checks that what was measured left nothing in the home.
func (s *terminal) leftNothing() {
	s.t.Helper()
	filepath.WalkDir(s.folder, func(path string, d os.DirEntry, err error) error {
		if name := filepath.Base(path); err == nil && path != s.folder && name != "a-fast-cup.yaml" {
			s.t.Errorf("%s is left", path)
		}
		return err
	})
}

func TestATerminalThatAnswersNothingIsToldOf(t *testing.T) {
	t.Parallel()
	s := looking(t)
	s.awaitAll("measured", "measuring")
	s.ours.WriteString("\x1b[2;3") // an answer that comes too late, in two pieces
	time.Sleep(150 * time.Millisecond)
	s.ours.WriteString("R\x1b[23;2R")
	time.Sleep(150 * time.Millisecond)
	if strings.Contains(s.text(), "last key") { // the page turns to a key that comes
		t.Errorf("a late answer is a key:\n%s", s.text())
	}
	s.press("7")
	s.await("last key:                   7, which does not mark")
	s.ours.WriteString("\x1b[1;2R") // a key that looks like an answer
	s.await("last key:                   f15, which does not mark")
	s.press("q")
	if code := s.leaves(); code != exitOK {
		t.Errorf("exit code %d", code)
	}
	s.await("durable write:")
	r := s.reported()
	says(t, r, "moment to answer", "the terminal does not answer within 1 s")
	says(t, r, "width of signs", "the terminal does not answer")
	says(t, r, "synchronised output", "no answer that it is known")
	says(t, r, "marks pressed", "not yet")
	says(t, r, "size", "80x24")
}

// Leaving is possible at every moment, and tidies up.
func TestLeavingInTheMiddleOfMeasuring(t *testing.T) {
	for name, leave := range map[string]struct {
		do   func(s *terminal)
		code int
	}{
		"by the key":      {func(s *terminal) { s.press("q") }, exitOK},
		"by ctrl-c":       {func(s *terminal) { s.press("\x03") }, exitOK},
		"by a signal":     {func(s *terminal) { s.cmd.Process.Signal(syscall.SIGTERM) }, exitSignal + 15},
		"while it writes": {func(s *terminal) { s.answers(99, 1); s.await("measuring the disk"); s.press("q") }, exitOK},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := looking(t)
			s.await("measuring signs")
			leave.do(s)
			if code := s.leaves(); code != leave.code {
				t.Errorf("exit code %d, want %d", code, leave.code)
			}
			s.await("durable write:")
			says(t, s.reported(), "durable write", "not measured yet|p50 .*")
			s.leftNothing()
		})
	}
}

func TestPlainAtATerminalAsksNothing(t *testing.T) {
	s := looking(t, "--plain")
	s.await("durable write:")
	if code := s.leaves(); code != exitOK {
		t.Errorf("exit code %d", code)
	}
	r := s.reported()
	says(t, r, "terminal", "yes")
	says(t, r, "size", "80x24")
	says(t, r, "moment to answer", "not measured: there is no screen")
	s.mu.Lock()
	defer s.mu.Unlock()
	if bytes.ContainsRune(s.raw.Bytes(), '\x1b') {
		t.Errorf("codes were written: %q", s.raw.Bytes())
	}
}
