//go:build unix

package main

import (
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"
)

// What is sent to the terminal: whole frames, in brackets where it knows
// them, figures that it can show, and the bell.

// Frames are put into the brackets of synchronised output where the terminal
// has said that it knows them, and nowhere else.
func TestBracketsWhereTheTerminalKnowsThem(t *testing.T) {
	const begin, end = "\x1b[?2026h", "\x1b[?2026l"
	for name, c := range map[string]struct {
		env, answer string
		asked, used bool
	}{
		"it knows them":                    {"TERM=xterm-256color", "\x1b[?2026;2$y", true, true},
		"it answers in pieces":             {"TERM=xterm-256color", "\x1b|[?20|26;2|$y", true, true},
		"it knows the question alone":      {"TERM=xterm-256color", "\x1b[?2026;0$y", true, false},
		"it can never have them":           {"TERM=xterm-256color", "\x1b[?2026;4$y", true, false},
		"it does not answer":               {"TERM=xterm-256color", "", true, false},
		"it is a console that prints them": {"TERM=linux", "", false, false},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := startAt(t, place{env: []string{c.env}}, theProgram(t), "brew", "a-fast-cup", "--speed", "0.5")
			s.await("> [ ] Grind 3 g")
			for _, piece := range strings.Split(c.answer, "|") {
				s.send(piece)
				time.Sleep(10 * time.Millisecond)
			}
			time.Sleep(100 * time.Millisecond)
			before := len(s.written())
			s.press("s")
			s.press(" ")
			s.await("by 0:02")
			s.press("\x1a") // is given back and taken again, and knows them still
			s.stops()
			s.goesOn()
			s.await("by 0:02")
			time.Sleep(700 * time.Millisecond)
			must(t, s.cmd.Process.Signal(syscall.SIGTERM))
			if code := s.leaves(); code != 143 {
				t.Errorf("exit code %d", code)
			}
			out := s.written()
			if asked := strings.Count(out, "\x1b[?2026$p"); asked > 1 || (asked == 1) != c.asked {
				t.Errorf("it asks %d times", asked)
			}
			if strings.Contains(out[:before], begin) {
				t.Error("it uses them before it knows")
			}
			frames := regexp.MustCompile(`(?s)\x1b\[H\r?\n?.*?\x1b\[24;?H`)
			bracketed := regexp.MustCompile(`(?s)` + regexp.QuoteMeta(begin) + `\x1b\[H[^\x1b].*?\x1b\[24;?H` + regexp.QuoteMeta(end))
			all, within := len(frames.FindAllString(out[before:], -1)), len(bracketed.FindAllString(out[before:], -1))
			if all < 3 || c.used && within < all-1 || !c.used && within > 0 {
				t.Errorf("%d of %d frames are in brackets", within, all)
			}
			if strings.Count(out, begin) != strings.Count(out, end) {
				t.Error("a bracket is left open")
			}
			if s.says("$y") || s.says("2026") {
				t.Errorf("the answer is on the screen:\n%s", s.text())
			}
		})
	}
}

// blocks are the figures' characters that not every terminal has in one cell.
const blocks = "░▁▂▃▄▅▆▇█▀▌▐▖▗▙▟●○◄►"

// Where characters of ambiguous width take two cells the figures are of ASCII,
// and the texts stay what they are.
func TestFiguresWhereBlocksAreWide(t *testing.T) {
	t.Parallel()
	for _, env := range [][]string{{"RUNEWIDTH_EASTASIAN=1"}, {"LC_ALL=ja_JP.UTF-8"}} {
		s := startAt(t, place{env: env}, theProgram(t), "brew", "a-fast-cup", "--by", "Zoë")
		s.await("> [ ] Grind 3 g")
		s.press("s")
		s.press(" ")
		s.await("####")
		s.await("by Zoë")
		if strings.ContainsAny(s.text(), blocks) {
			t.Errorf("%s: it draws blocks:\n%s", env, s.text())
		}
		must(t, s.cmd.Process.Signal(syscall.SIGTERM))
		s.leaves()
	}
}

// rung returns how often the bell has rung.
func (s *terminal) rung() int { return strings.Count(s.written(), "\a") }

func TestTheBellOnAndOff(t *testing.T) {
	for name, c := range map[string]struct {
		config string
		args   []string
		want   bool
	}{
		"nothing said":            {"", nil, true},
		"on":                      {"bell: on\n", nil, true},
		"off":                     {"bell: off\n", nil, false},
		"off by the flag":         {"", []string{"--bell", "off"}, false},
		"off above on":            {"bell: on\n", []string{"--bell", "off"}, false},
		"on above off":            {"bell: off\n", []string{"--bell", "on"}, true},
		"off, and from the shelf": {"bell: off\n", []string{"shelf"}, false},
		"on, and from the shelf":  {"", []string{"shelf"}, true},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			args := append([]string{"brew", "a-fast-cup"}, c.args...)
			shelf := len(c.args) == 1
			if shelf {
				args = nil
			}
			s := startAt(t, place{config: c.config}, theProgram(t), args...)
			if shelf {
				s.await("> A fast cup")
				s.press("\r")
				s.await("get ready")
				s.press("\r")
			}
			s.await("> [ ] Grind 3 g")
			s.press("s")
			s.press(" ")
			s.await("by 0:04")
			time.Sleep(400 * time.Millisecond)
			if n := s.rung(); (n > 0) != c.want || n > 4 {
				t.Errorf("it rang %d times", n)
			}
			must(t, s.cmd.Process.Signal(syscall.SIGTERM))
			s.leaves()
		})
	}
	s := startAt(t, place{}, theProgram(t), "--bell", "loud")
	s.await(`error: --bell "loud" is none of on, off`)
	if code := s.leaves(); code != exitUsage {
		t.Errorf("exit code %d", code)
	}
}

// While the program is stopped no bell rings, and when it goes on none rings
// for what has passed.
func TestNoBellForWhatPassedInAStop(t *testing.T) {
	t.Parallel()
	s := start(t, theProgram(t), "brew", "a-fast-cup")
	s.await("> [ ] Grind 3 g")
	s.press("s")
	s.press(" ")
	s.await("by 0:02")
	time.Sleep(600 * time.Millisecond)
	before := s.rung()
	if before == 0 {
		t.Error("it did not ring for the first cue")
	}
	must(t, s.cmd.Process.Signal(syscall.SIGTSTP))
	s.stops()
	time.Sleep(2200 * time.Millisecond)
	s.goesOn()
	s.await("by 0:04") // which was called while it was stopped
	time.Sleep(500 * time.Millisecond)
	if n := s.rung(); n != before {
		t.Errorf("it rang %d times more", n-before)
	}
	must(t, s.cmd.Process.Signal(syscall.SIGTERM))
	s.leaves()
}
