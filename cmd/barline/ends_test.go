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

	"barline/tui"

	"github.com/charmbracelet/x/term"
	"github.com/creack/pty"
	"github.com/spf13/cobra"
)

// The ends and stops that come at an awkward moment.

// moments lead to a page on which a signal may come.
var moments = map[string]struct {
	args  []string
	steps []string // by turns what is awaited and what is typed
}{
	"on the shelf":                         {nil, []string{"> A fast cup"}},
	"on a recipe's sheet":                  {nil, []string{"> A fast cup", "\r", "3 g coffee, 40 g water"}},
	"in the record":                        {nil, []string{"> A fast cup", "r", "what was brewed"}},
	"while preparing":                      {[]string{"brew", "a-fast-cup"}, []string{"> [ ] Grind 3 g"}},
	"in the count-in":                      {[]string{"brew", "a-fast-cup", "--count-in", "40s"}, []string{"> [ ] Grind 3 g", "s", "counts in 40 s", " ", "water meets coffee at 0:00"}},
	"while a note is typed":                {[]string{"brew", "a-fast-cup", "--speed", "0.2"}, []string{"> [ ] Grind 3 g", "s", "water meets", " ", "by 0:02", "n", "note: ", "slow ket", "note: slow ket_"}},
	"while it is asked whether to stop":    {[]string{"brew", "a-fast-cup", "--speed", "0.2"}, []string{"> [ ] Grind 3 g", "s", "water meets", " ", "by 0:02", "q", "Stop the brew?"}},
	"while it is typed why it was stopped": {[]string{"brew", "a-fast-cup", "--speed", "0.2"}, []string{"> [ ] Grind 3 g", "s", "water meets", " ", "by 0:02", "q", "Stop the brew?", "y", "why stopped", "the c", "the c_"}},
	"in the debrief":                       {[]string{"brew", "a-fast-cup", "--speed", "50"}, []string{"> [ ] Grind 3 g", "s", "water meets", " ", "finished at"}},
	"in a reading":                         {[]string{"brew", "a-fast-cup", "--speed", "50"}, []string{"> [ ] Grind 3 g", "s", "water meets", " ", "finished at", "\r", "beverage in the server", "31", "31_"}},
}

// at returns the program at a named moment.
func at(t *testing.T, name string) *terminal {
	t.Helper()
	m := moments[name]
	s := start(t, theProgram(t), m.args...)
	for i, step := range m.steps {
		if i%2 == 0 {
			s.await(step)
		} else {
			s.press(step)
		}
	}
	return s
}

func TestASignalAtAnyMomentEndsTheProgram(t *testing.T) {
	signals := []syscall.Signal{syscall.SIGTERM, syscall.SIGINT, syscall.SIGHUP, syscall.SIGQUIT}
	n := 0
	for name := range moments {
		sig := signals[n%len(signals)]
		n++
		t.Run(name+", "+sig.String(), func(t *testing.T) {
			t.Parallel()
			s := at(t, name)
			must(t, s.cmd.Process.Signal(sig))
			if code := s.leaves(); code != exitSignal+int(sig) {
				t.Errorf("exit code %d, want %d", code, exitSignal+int(sig))
			}
			if out := s.written(); strings.Contains(out, "goroutine ") || strings.Contains(out, "panic") {
				t.Errorf("it breaks: %q", out)
			}
		})
	}
}

// A stop gives the terminal back at any moment, and all is as it was when the
// program goes on: what was being typed, too.
func TestAStopAtAnyMomentLosesNothing(t *testing.T) {
	for name, m := range moments {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := at(t, name)
			must(t, s.cmd.Process.Signal(syscall.SIGTSTP))
			s.stops()
			if after, err := term.GetState(s.theirs.Fd()); err != nil || *after != *s.before {
				t.Errorf("while it is stopped the terminal has the modes %+v, and had %+v", after, s.before)
			}
			if !s.becomesAsFound() {
				t.Error("while it is stopped the terminal is on the other screen, or without a cursor")
			}
			s.goesOn()
			s.await(m.steps[len(m.steps)-1])
			must(t, s.cmd.Process.Signal(syscall.SIGTERM))
			if code := s.leaves(); code != 143 {
				t.Errorf("exit code %d", code)
			}
		})
	}
}

// leavesOrDies is leaves with the exit code that a shell has for a program
// that a signal killed: before the program answers signals, and again when it
// has given the terminal back, they do what they always do.
func (s *terminal) leavesOrDies() int {
	code := s.leaves()
	if status := s.cmd.ProcessState.Sys().(syscall.WaitStatus); status.Signaled() {
		return exitSignal + int(status.Signal())
	}
	return code
}

func TestTwoSignalsAtOnce(t *testing.T) {
	t.Parallel()
	s := brewing(t)
	for _, sig := range []syscall.Signal{syscall.SIGTERM, syscall.SIGINT, syscall.SIGHUP, syscall.SIGQUIT, syscall.SIGTSTP, syscall.SIGCONT} {
		s.cmd.Process.Signal(sig)
	}
	if code := s.leavesOrDies(); code != 143 && code != 130 && code != 129 && code != 131 {
		t.Errorf("exit code %d is of none of the signals", code)
	}
	if list := s.kept(); !strings.Contains(list, "cut off") {
		t.Errorf("the journal lists %q", list)
	}
}

// Signals that end the program while it is stopped, or is about to take the
// terminal again, end it and leave the terminal to the shell.
func TestAnEndAtTheEndOfAStop(t *testing.T) {
	for after := -3 * time.Millisecond; after < 30*time.Millisecond; after += 3 * time.Millisecond {
		t.Run(fmt.Sprint(after), func(t *testing.T) {
			t.Parallel()
			s := brewing(t)
			s.cmd.Process.Signal(syscall.SIGTSTP)
			s.stops()
			if after < 0 {
				s.cmd.Process.Signal(syscall.SIGTERM)
			}
			s.cmd.Process.Signal(syscall.SIGCONT)
			time.Sleep(after)
			s.cmd.Process.Signal(syscall.SIGTERM)
			if code := s.leavesOrDies(); code != 143 {
				t.Errorf("exit code %d", code)
			}
			time.Sleep(20 * time.Millisecond)
			if !s.asFound() {
				t.Error("the terminal is left on the other screen, or without a cursor")
			}
		})
	}
}

func TestATerminalThatIsClosedWhileTheProgramIsStopped(t *testing.T) {
	t.Parallel()
	s := brewing(t)
	s.cmd.Process.Signal(syscall.SIGTSTP)
	s.stops()
	s.theirs.Close()
	s.ours.Close()
	s.cmd.Process.Signal(syscall.SIGCONT) // as the kernel does for a group without a shell
	select {
	case <-s.ended:
	case <-time.After(5 * time.Second):
		t.Fatal("the program runs on without a terminal")
	}
	if code := s.cmd.ProcessState.ExitCode(); code != 129 {
		t.Errorf("exit code %d", code)
	}
	if list := s.kept(); !strings.Contains(list, "cut off") {
		t.Errorf("the journal lists %q", list)
	}
}

// However stops and their ends follow each other, the program goes on when
// the last was a SIGCONT, with its screen.
func TestStopsInARow(t *testing.T) {
	const stop, on = syscall.SIGTSTP, syscall.SIGCONT
	for name, signals := range map[string][]syscall.Signal{
		"two stops":                           {stop, stop},
		"three stops":                         {stop, stop, stop},
		"gone on before it has stopped":       {stop, on},
		"gone on twice":                       {stop, on, on},
		"gone on without a stop":              {on},
		"stopped, gone on, stopped":           {stop, on, stop},
		"by the one that cannot be caught":    {stop, syscall.SIGSTOP},
		"by both, the other way round":        {syscall.SIGSTOP, stop},
		"stopped and gone on again and again": {stop, on, stop, on, stop, on, stop, on},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := brewing(t)
			for _, sig := range signals {
				must(t, s.cmd.Process.Signal(sig))
				time.Sleep(3 * time.Millisecond)
			}
			time.Sleep(150 * time.Millisecond) // it takes ten to give the terminal back
			must(t, s.cmd.Process.Signal(on))
			s.awaitScreen()
			s.press("q")
			s.await("Stop the brew?")
			s.press("y")
			s.await("why stopped")
			s.press("\r")
			s.await("stopped at 0:0")
			s.press("q")
			if code := s.leaves(); code != exitStopped {
				t.Errorf("exit code %d", code)
			}
		})
	}
}

// awaitScreen waits until the program draws on the other screen.
func (s *terminal) awaitScreen() {
	s.t.Helper()
	for range 400 {
		if !s.asFound() {
			return
		}
		nap()
	}
	s.t.Fatalf("the program does not take the screen again, and says\n%s", s.text())
}

// A stop that a stalled terminal holds up does not hold up the end.
func TestAStalledTerminalCannotHoldTheEndBehindAStop(t *testing.T) {
	t.Parallel()
	ours, theirs, err := pty.Open()
	if err != nil {
		t.Skip("SKIPPED: no pseudo-terminal to be had:", err)
	}
	defer ours.Close()
	defer theirs.Close()
	before, err := term.GetState(theirs.Fd())
	must(t, err)
	folder := t.TempDir()
	cmd := exec.Command(theProgram(t), "brew", "quayside-press", "--journal", filepath.Join(folder, "j.db"))
	cmd.Env = append(os.Environ(), "HOME="+folder, "XDG_CONFIG_HOME="+folder, "TERM=xterm-256color")
	cmd.Stdin, cmd.Stdout, cmd.Stderr = theirs, theirs, nil
	cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
	must(t, cmd.Start())
	defer cmd.Process.Kill()
	ended := make(chan error, 1)
	go func() { ended <- cmd.Wait() }()
	time.Sleep(300 * time.Millisecond)
	for i := range 40 { // nobody reads
		pty.Setsize(ours, &pty.Winsize{Cols: 300 - uint16(i), Rows: 100})
		time.Sleep(20 * time.Millisecond)
	}
	must(t, cmd.Process.Signal(syscall.SIGTSTP))
	time.Sleep(100 * time.Millisecond)
	must(t, cmd.Process.Signal(syscall.SIGTERM))
	select {
	case <-ended:
	case <-time.After(6 * time.Second):
		t.Fatal("a stalled terminal holds the program behind a stop")
	}
	after, err := term.GetState(theirs.Fd())
	must(t, err)
	if code := cmd.ProcessState.ExitCode(); code != 143 || *after != *before {
		t.Errorf("exit code %d, modes %+v, had %+v", code, after, before)
	}
}

// The job control of a real shell: into the background, where the program
// must not touch the terminal, and back.
func TestAShellStopsAndContinuesTheProgram(t *testing.T) {
	t.Parallel()
	shell, err := exec.LookPath("bash")
	if err != nil {
		t.Skip("SKIPPED: no shell with job control to be had:", err)
	}
	job := wrapped(t, `barline "$@"; exit $?`) // the job is the shell's child and its own
	s := startAt(t, place{adapt: func(cmd *exec.Cmd) {
		args := cmd.Args[1:]
		cmd.Path, cmd.Args = shell, []string{"bash", "--norc", "--noprofile", "-i"}
		cmd.Env = append(cmd.Env, "PS1=ready: ", "BREW="+job+" "+strings.Join(args, " "))
	}}, theProgram(t), "brew", "a-fast-cup", "--speed", "0.5")
	s.await("ready:")
	s.press("$BREW\r")
	s.await("> [ ] Grind 3 g")
	s.press("s")
	s.press(" ")
	s.await("by 0:02")
	s.press("\x1a")
	s.await("Stopped")
	s.press("bg\r")
	time.Sleep(300 * time.Millisecond)
	s.press("echo still $((40+2))\r")
	s.await("still 42") // and not drawn over
	s.press("fg; echo it was $?\r")
	s.await("by 0:0")
	s.press("q")
	s.await("Stop the brew?")
	s.press("y")
	s.await("why stopped")
	s.press("\r")
	s.await("stopped at 0:0")
	s.press("q")
	s.await("it was 3")
	s.press("exit\r")
	s.leaves()
}

// becomesAsFound waits until the normal screen is shown, with its cursor.
func (s *terminal) becomesAsFound() bool {
	for range 200 {
		if s.asFound() {
			return true
		}
		nap()
	}
	return false
}

// What was brewed is kept when lines are called and a signal ends them.
func TestASignalWhileLinesAreCalled(t *testing.T) {
	t.Parallel()
	s := start(t, theProgram(t), "brew", "a-fast-cup", "--plain", "--speed", "0.5")
	s.await("an empty line starts the clock")
	s.press("\r")
	s.await("0:00 Pour to 40 g")
	time.Sleep(100 * time.Millisecond)
	must(t, s.cmd.Process.Signal(syscall.SIGTERM))
	s.leaves()
	if list := s.kept(); !strings.Contains(list, "cut off") {
		t.Errorf("the journal lists %q", list)
	}
}

// ctrl-c asks, and ctrl-\ is a key like any other.
func TestControlKeysEndNothingByThemselves(t *testing.T) {
	t.Parallel()
	s := brewing(t)
	s.press("\x1c")
	s.press("\x03")
	s.await("Stop the brew?")
	s.press("\x1c") // goes on
	s.awaitAll("by 0:0", "Stop the brew?")
	s.press("\x03")
	s.await("Stop the brew?")
	s.press("y")
	s.await("why stopped")
	s.press("\x03")
	s.await("stopped at 0:0")
	s.press("q")
	if code := s.leaves(); code != exitStopped {
		t.Errorf("exit code %d", code)
	}
	s.await("stopped at 0:0") // the debrief, on the normal screen
}

// The README's table of exit codes is what the program does.
func TestTheExitCodesOfTheREADME(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	must(t, err)
	var quiet bytes.Buffer
	for code, err := range map[int]error{
		exitOK: nil, exitInput: errTold, exitUsage: fmt.Errorf("any"), exitStopped: errStopped, exitUnsaved: errUnsaved,
		143: &tui.Ended{Signal: syscall.SIGTERM}, 134: tui.ErrPanic,
	} {
		if got := exitCode(&cobra.Command{}, err, &quiet); got != code {
			t.Errorf("%v ends with %d, want %d", err, got, code)
		}
		row := regexp.MustCompile(fmt.Sprintf(`(?m)^\| %d \|`, code))
		if code < exitSignal && !row.Match(text) {
			t.Errorf("the README has no row for exit code %d", code)
		}
	}
	if !bytes.Contains(text, []byte("| 128 + n | ended by signal n; 134: barline itself broke |")) {
		t.Error("the README does not tell the codes of signals")
	}
	if got := exitCode(&cobra.Command{}, fmt.Errorf("%w", errUnsaved), &quiet); got != exitUnsaved {
		t.Errorf("a wrapped error ends with %d", got)
	}
}

// Where no SIGHUP comes, for it goes to the shell, which ignores it, the closed
// terminal itself ends the program.
func TestAClosedTerminalEndsAProgramThatIsNotTold(t *testing.T) {
	t.Parallel()
	s := startAt(t, place{}, wrapped(t, `trap "" HUP; barline "$@"; echo $? >"$HOME/code"`), "brew", "a-fast-cup", "--speed", "0.5")
	s.await("> [ ] Grind 3 g")
	s.press("s")
	s.press(" ")
	s.await("by 0:02")
	s.theirs.Close()
	s.ours.Close()
	select {
	case <-s.ended:
	case <-time.After(5 * time.Second):
		t.Fatal("the program runs on without a terminal")
	}
	if code, err := os.ReadFile(filepath.Join(s.folder, "code")); err != nil || string(code) != "129\n" {
		t.Errorf("exit code %q, %v", code, err)
	}
	if _, list, _ := plainly(t, theProgram(t), s.folder, "", "journal"); !strings.Contains(list, "cut off") {
		t.Errorf("the journal lists %q", list)
	}
}

// Signals that come while the program is on its way up.
func TestSignalsOnTheWayUp(t *testing.T) {
	for _, signals := range [][]syscall.Signal{{syscall.SIGTERM}, {syscall.SIGTSTP, syscall.SIGCONT, syscall.SIGTERM}} {
		for after := time.Duration(0); after < 60*time.Millisecond; after += 4 * time.Millisecond {
			t.Run(fmt.Sprint(signals, after), func(t *testing.T) {
				t.Parallel()
				s := start(t, theProgram(t), "brew", "a-fast-cup")
				time.Sleep(after)
				for _, sig := range signals {
					s.cmd.Process.Signal(sig)
					time.Sleep(10 * time.Millisecond)
				}
				s.runs()
				if code := s.leavesOrDies(); code != 143 {
					t.Errorf("exit code %d; it wrote %q", code, s.written())
				}
			})
		}
	}
}
