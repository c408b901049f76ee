//go:build unix

package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
)

// How the program starts on whatever stands beside the kettle. Everywhere the
// terminal's modes are compared before and after.

// wrapped returns a program that a shell starts in a way of its own.
func wrapped(t *testing.T, line string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "wrapped")
	must(t, os.WriteFile(path, []byte("#!/bin/sh\n"+line+"\n"), 0o755))
	return path
}

// written returns all that was written to the terminal.
func (s *terminal) written() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.raw.String()
}

// A terminal of which nobody knows what it can do gets no code: the shelf says
// so with a hint, a brew is called as lines.
func TestATerminalWithoutAScreenGetsLines(t *testing.T) {
	for name, c := range map[string]struct{ env, says string }{
		"of no known kind": {"TERM=", "error: the shelf needs a terminal of a known kind, and TERM is not set"},
		"a dumb one":       {"TERM=dumb", "error: the shelf needs a terminal with a screen, and TERM is dumb"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := startAt(t, place{env: []string{c.env}}, theProgram(t))
			s.await(c.says)
			s.await("hint: barline recipes lists the recipes")
			if code := s.leaves(); code != exitInput || strings.Contains(s.written(), "\x1b") {
				t.Errorf("exit code %d, and it wrote %q", code, s.written())
			}
			s = startAt(t, place{env: []string{c.env}}, theProgram(t), "brew", "a-fast-cup", "--speed", "10")
			s.await("an empty line starts the clock")
			s.press("\r")
			s.await("Drawdown: let it drain")
			s.press("q\r")
			s.await("0:00 stopped")
			s.press("\x04") // the input ends, and with it the readings
			if code := s.leaves(); code != exitStopped || strings.Contains(s.written(), "\x1b") {
				t.Errorf("exit code %d, and it wrote %q", code, s.written())
			}
		})
	}
}

func TestOutputThatGoesIntoAFileHoldsNoCodes(t *testing.T) {
	t.Parallel()
	program := wrapped(t, `exec barline "$@" >"$HOME/out"`)
	s := startAt(t, place{}, program, "brew", "a-fast-cup", "--speed", "20", "--count-in", "1s")
	s.press("\r\x04") // the clock runs on when the input ends
	code := s.leaves()
	said, err := os.ReadFile(filepath.Join(s.folder, "out"))
	must(t, err)
	if code != exitOK || bytes.ContainsAny(said, "\x1b\r") || !bytes.Contains(said, []byte("finished")) {
		t.Errorf("exit code %d, and the file holds %q", code, said)
	}
	s = startAt(t, place{}, program)
	s.await("error: the shelf needs a terminal to draw on")
	s.await("hint: barline recipes lists the recipes")
	if code := s.leaves(); code != exitInput {
		t.Errorf("exit code %d", code)
	}
	if said, err := os.ReadFile(filepath.Join(s.folder, "out")); err != nil || len(said) > 0 {
		t.Errorf("the file holds %q, %v", said, err)
	}
}

// Keys come from the terminal that controls the program, whatever its standard
// input is.
func TestKeysComeFromTheTerminal(t *testing.T) {
	for name, line := range map[string]string{
		"with the input from a pipe":              `echo q | barline "$@"`,
		"with the input empty":                    `exec barline "$@" </dev/null`,
		"with the input closed":                   `exec barline "$@" <&-`,
		"with every stream closed but the output": `exec barline "$@" <&- 2>&-`,
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := startAt(t, place{}, wrapped(t, line))
			s.await("> A fast cup")
			s.press("\r")
			s.await("3 g coffee, 40 g water")
			s.press("q")
			s.await("what shall it be?")
			s.press("\x03")
			if code := s.leaves(); code != exitOK {
				t.Errorf("exit code %d", code)
			}
		})
	}
}

// A program that no terminal controls draws on none, even where its output is
// one.
func TestWithoutAControllingTerminal(t *testing.T) {
	t.Parallel()
	alone := func(cmd *exec.Cmd) {
		cmd.Stdin, cmd.SysProcAttr = nil, &syscall.SysProcAttr{Setsid: true}
	}
	for _, args := range [][]string{nil, {"brew", "a-fast-cup"}} {
		s := startAt(t, place{adapt: alone}, theProgram(t), args...)
		s.await("error: there is no terminal to read keys from")
		s.await("hint: barline brew RECIPE --plain needs none")
		if code := s.leaves(); code != exitInput || strings.Contains(s.written(), "\x1b") {
			t.Errorf("exit code %d, and it wrote %q", code, s.written())
		}
	}
	s := startAt(t, place{adapt: alone}, theProgram(t), "brew", "a-fast-cup", "--plain", "--speed", "20")
	s.await("finished")
	if code := s.leaves(); code != exitOK {
		t.Errorf("exit code %d", code)
	}
}

// A terminal that is not of UTF-8 is sent ASCII alone: bytes of one character
// would be several there, and some of them commands.
func TestALocaleThatIsNotUTF8GetsASCII(t *testing.T) {
	for _, env := range [][]string{{"LC_ALL=C"}, {"LC_ALL=", "LC_CTYPE=", "LANG=de_DE.ISO-8859-1"}} {
		t.Run(env[len(env)-1], func(t *testing.T) {
			t.Parallel()
			s := startAt(t, place{env: env}, theProgram(t), "brew", "a-fast-cup", "--by", "Zoë Œ 豆")
			s.await("3 g to 40 g at 93  C, medium")
			s.press("s")
			s.press(" ")
			s.await("by Zoe ? ??")
			s.await("####")
			s.press("\x03")
			s.await("Stop the brew?")
			screens := s.written()
			s.press("y")
			s.await("why stopped")
			s.press("\r")
			s.await("stopped at 0:0")
			s.press("q")
			s.leaves()
			if i := strings.IndexFunc(screens, func(r rune) bool { return r > 0x7e }); i >= 0 {
				t.Errorf("it draws %.20q", screens[i:])
			}
		})
	}
}

// A terminal that does not tell its size has 80 by 24, and nothing of one page
// stays behind the next.
func TestATerminalWithoutASize(t *testing.T) {
	t.Parallel()
	sized, unsized := start(t, theProgram(t)), startAt(t, place{unsized: true}, theProgram(t))
	for _, step := range []struct{ press, want string }{
		{"", "what shall it be?"}, {"j", "> "}, {"\r", "get ready to brew"}, {"\r", "PREPARE|next: "}, {"q", "what shall it be?"},
	} {
		for _, s := range []*terminal{sized, unsized} {
			if step.press != "" {
				s.press(step.press)
			}
		}
		want, _, _ := strings.Cut(step.want, "|")
		if want == "PREPARE" {
			want = "next: "
		}
		sized.await(want)
		unsized.await(want)
		if a, b := sized.settled(), unsized.settled(); a != b {
			t.Fatalf("behind %q the screens differ:\n%s\nwithout a size\n%s", step.press, a, b)
		}
	}
	for _, s := range []*terminal{sized, unsized} {
		s.press("\x03")
		if code := s.leaves(); code != exitOK {
			t.Errorf("exit code %d", code)
		}
	}
}

// settled returns what is on the screen once it stays so for a while.
func (s *terminal) settled() string {
	text := ""
	for stays := 0; stays < 20; stays++ {
		if now := s.text(); now != text {
			text, stays = now, 0
		}
		nap()
	}
	return text
}

// codes are all the codes that the program may send: colours, moving and
// erasing, the cursor, the other screen, bracketed pastes, the mouse off, and
// the one question that needs no answer.
var codes = regexp.MustCompile(`\x1b\[([0-9;]*[mHKJAD]|\?(25|1049|2004)[hl]|\?100[236]l|\?2026\$p)`)

func TestNoCodeIsSentThatMustBeAnswered(t *testing.T) {
	t.Parallel()
	s := start(t, theProgram(t))
	s.await("> A fast cup")
	s.press("\r")
	s.await("3 g coffee, 40 g water")
	s.press("\r")
	s.await("> [ ] Grind 3 g")
	s.press("s")
	s.press(" ")
	s.await("by 0:02")
	s.size(300, 100)
	s.size(1, 1)
	s.size(80, 24)
	s.await("by 0:04")
	s.press("q")
	s.await("Stop the brew?")
	s.press("y")
	s.press("\r")
	s.await("stopped at")
	s.press("q")
	s.await("what shall it be?")
	s.press("q")
	s.leaves()
	if rest := codes.ReplaceAllString(s.written(), ""); strings.ContainsAny(rest, "\x1b\x05\u009b\u0090") {
		i := strings.IndexAny(rest, "\x1b\x05\u009b\u0090")
		t.Errorf("it sends %.30q", rest[i:])
	}
	if n := strings.Count(s.written(), "\x1b[?2026$p"); n != 1 {
		t.Errorf("it asks for synchronised output %d times", n)
	}
}

// The theme is what the flag says, or the configuration, or what COLORFGBG
// says of the ground; where that says nothing sensible the ground is dark.
func TestTheThemeOfTheGround(t *testing.T) {
	const dark, light = "\x1b[1;38;5;231m", "\x1b[1;38;5;16m"
	for name, c := range map[string]struct {
		env, config string
		args        []string
		want        string
	}{
		"nothing said":               {"COLORFGBG=", "", nil, dark},
		"a light ground":             {"COLORFGBG=0;15", "", nil, light},
		"a dark ground":              {"COLORFGBG=15;0", "", nil, dark},
		"a ground behind a third":    {"COLORFGBG=0;default;7", "", nil, light},
		"the ground is the default":  {"COLORFGBG=0;default", "", nil, dark},
		"a number that there is not": {"COLORFGBG=0;99", "", nil, dark},
		"no number":                  {"COLORFGBG=;;x;", "", nil, dark},
		"the configuration":          {"COLORFGBG=15;0", "theme: light\n", nil, light},
		"the flag above it":          {"COLORFGBG=0;15", "theme: light\n", []string{"--theme", "dark"}, dark},
		"the flag says auto":         {"COLORFGBG=0;15", "theme: dark\n", []string{"--theme", "auto"}, light},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := startAt(t, place{env: []string{c.env}, config: c.config}, theProgram(t), c.args...)
			s.await("> A fast cup")
			s.press("\r")
			s.await("3 g coffee, 40 g water")
			s.press("q")
			s.await("what shall it be?")
			s.press("\x03")
			s.leaves()
			other := map[string]string{dark: light, light: dark}[c.want]
			if out := s.written(); !strings.Contains(out, c.want) || strings.Contains(out, other) {
				t.Errorf("%q is not among the codes, or %q is", c.want, other)
			}
		})
	}
	s := startAt(t, place{}, theProgram(t), "--theme", "pink")
	s.await(`error: --theme "pink" is none of auto, dark, light`)
	if code := s.leaves(); code != exitUsage {
		t.Errorf("exit code %d", code)
	}
	s = startAt(t, place{config: "by: Ada\ntheme: pink\n"}, theProgram(t))
	s.await("config.yaml:2:8: error: theme")
	s.await("hint: write auto")
	if code := s.leaves(); code != exitInput {
		t.Errorf("exit code %d", code)
	}
}

// The colours are those that the terminal's kind has; without any, no code of
// a look is sent at all, bold and reverse neither.
func TestTheColoursOfTheTerminal(t *testing.T) {
	look := regexp.MustCompile(`\x1b\[[0-9;]*m`)
	for name, c := range map[string]struct {
		env        []string
		has, hasNo string // expressions
	}{
		"of 24 bits":    {[]string{"COLORTERM=truecolor"}, `;38;2;\d`, `38;5;`},
		"256":           {[]string{"COLORTERM="}, `38;5;`, `38;2;`},
		"16":            {[]string{"COLORTERM=", "TERM=xterm"}, `\x1b\[1;9\dm`, `[34]8;`},
		"of a console":  {[]string{"COLORTERM=", "TERM=linux"}, `\x1b\[1;9\dm`, `[34]8;`},
		"no colours":    {[]string{"NO_COLOR=1"}, `what shall it be`, `\x1b\[[0-9;]*m`},
		"of a vt100":    {[]string{"COLORTERM=", "TERM=vt100"}, `what shall it be`, `\x1b\[[0-9;]*m`},
		"unknown kinds": {[]string{"COLORTERM=", "TERM=teletype"}, `what shall it be`, `\x1b\[[0-9;]*m`},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := startAt(t, place{env: c.env}, theProgram(t))
			s.await("what shall it be")
			s.await("> A fast cup")
			s.press("\x03")
			s.leaves()
			out := s.written()
			if !regexp.MustCompile(c.has).MatchString(out) || regexp.MustCompile(c.hasNo).MatchString(out) {
				t.Errorf("the codes are %q", look.FindAllString(out, -1))
			}
		})
	}
}
