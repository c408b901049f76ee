//go:build unix

package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"github.com/charmbracelet/x/term"
	"github.com/creack/pty"
)

// Whatever ends the program, the terminal is left as it was found and what
// was brewed is in the record.

// brewing returns the program in the middle of a brew.
func brewing(t *testing.T) *terminal {
	t.Helper()
	program, err := exec.LookPath("barline") // this very test binary, as TestMain has it
	if err != nil {
		t.Fatal(err)
	}
	s := start(t, program, "brew", "a-fast-cup", "--speed", "0.5", "--by", "Ada")
	s.await("> [ ] Grind 3 g")
	s.press("s")
	s.press(" ")
	s.await("by 0:02")
	return s
}

// kept returns what the journal lists.
func (s *terminal) kept() string {
	s.t.Helper()
	cmd := exec.Command(s.cmd.Path, "journal")
	cmd.Env = s.cmd.Env
	out, err := cmd.CombinedOutput()
	if err != nil {
		s.t.Fatalf("%v: %s", err, out)
	}
	return string(out)
}

func TestASignalEndsTheProgramWithTheTerminalRestored(t *testing.T) {
	for _, sig := range []syscall.Signal{syscall.SIGTERM, syscall.SIGINT, syscall.SIGHUP, syscall.SIGQUIT} {
		t.Run(sig.String(), func(t *testing.T) {
			t.Parallel()
			s := brewing(t)
			if err := s.cmd.Process.Signal(sig); err != nil {
				t.Fatal(err)
			}
			if code := s.leaves(); code != 128+int(sig) {
				t.Errorf("exit code %d, want %d", code, 128+int(sig))
			}
			s.await("cut off at 0:0") // the debrief, on the normal screen
			if list := s.kept(); !strings.Contains(list, "A fast cup") || !strings.Contains(list, "cut off") {
				t.Errorf("the journal lists %q", list)
			}
		})
	}
}

func TestAClosedTerminalEndsTheProgramAndKeepsTheRecord(t *testing.T) {
	s := brewing(t)
	s.theirs.Close()
	s.ours.Close()
	select {
	case <-s.ended:
	case <-time.After(5 * time.Second):
		t.Fatal("the program runs on without a terminal")
	}
	if code := s.cmd.ProcessState.ExitCode(); code != 129 {
		t.Errorf("exit code %d, want 129", code)
	}
	if list := s.kept(); !strings.Contains(list, "cut off") {
		t.Errorf("the journal lists %q", list)
	}
}

// A terminal that takes no more output holds the end up for two seconds at
// the most.
func TestAStalledTerminalCannotHoldTheEnd(t *testing.T) {
	program, err := exec.LookPath("barline") // this very test binary, as TestMain has it
	if err != nil {
		t.Fatal(err)
	}
	ours, theirs, err := pty.Open()
	if err != nil {
		t.Skip("SKIPPED: no pseudo-terminal to be had:", err)
	}
	defer ours.Close()
	defer theirs.Close()
	if err := pty.Setsize(ours, &pty.Winsize{Cols: 300, Rows: 100}); err != nil {
		t.Fatal(err)
	}
	before, err := term.GetState(theirs.Fd())
	if err != nil {
		t.Fatal(err)
	}
	folder := t.TempDir()
	cmd := exec.Command(program, "brew", "quayside-press", "--journal", filepath.Join(folder, "j.db"))
	cmd.Env = append(os.Environ(), "HOME="+folder, "XDG_CONFIG_HOME="+folder, "TERM=xterm-256color")
	cmd.Stdin, cmd.Stdout, cmd.Stderr = theirs, theirs, nil
	cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	defer cmd.Process.Kill()
	time.Sleep(300 * time.Millisecond)
	// Nobody reads: frames at ever new sizes fill what the kernel holds.
	for i := range 40 {
		pty.Setsize(ours, &pty.Winsize{Cols: 300 - uint16(i), Rows: 100})
		time.Sleep(20 * time.Millisecond)
	}
	began := time.Now()
	if err := cmd.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- cmd.Wait() }()
	select {
	case <-ended:
	case <-time.After(10 * time.Second): // 1.5 s, and what a busy machine adds
		t.Fatal("a stalled terminal holds the program")
	}
	t.Logf("the end took %s", time.Since(began).Round(time.Millisecond))
	if code := cmd.ProcessState.ExitCode(); code != 143 {
		t.Errorf("exit code %d, want 143", code)
	}
	after, err := term.GetState(theirs.Fd())
	if err != nil {
		t.Fatal(err)
	}
	if *after != *before {
		t.Errorf("the terminal is left with the modes %+v, and had %+v", after, before)
	}
}

// A program that is stopped and goes on has its clock right and its screen
// back; the terminal was the shell's meanwhile.
func TestAStopGivesTheTerminalBackUntilTheProgramGoesOn(t *testing.T) {
	for name, stop := range map[string]func(*terminal){
		"by the key":          func(s *terminal) { s.press("\x1a") },
		"by a signal":         func(s *terminal) { s.cmd.Process.Signal(syscall.SIGTSTP) },
		"by one not caught":   func(s *terminal) { s.cmd.Process.Signal(syscall.SIGSTOP) },
		"twice in succession": func(s *terminal) { s.cmd.Process.Signal(syscall.SIGTSTP); s.goesOn(); s.press("\x1a") },
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := brewing(t)
			began := time.Now()
			stop(s)
			s.stops()
			if after, err := term.GetState(s.theirs.Fd()); name != "by one not caught" && (err != nil || *after != *s.before) {
				t.Errorf("while it is stopped the terminal has the modes %+v, and had %+v", after, s.before)
			}
			time.Sleep(time.Until(began.Add(3 * time.Second))) // a second and a half of the brew
			s.goesOn()
			s.await("0:01")
			s.press("q")
			s.await("Stop the brew?")
			s.press("y")
			s.await("why stopped")
			s.press("\r")
			s.await("stopped at 0:01")
			s.press("q")
			if code := s.leaves(); code != exitStopped {
				t.Errorf("exit code %d, want %d", code, exitStopped)
			}
		})
	}
}

// stops waits until the process is stopped.
func (s *terminal) stops() {
	s.t.Helper()
	for range 400 {
		text, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", s.cmd.Process.Pid))
		if err != nil {
			s.t.Skip("SKIPPED: a process's state is not to be had here:", err)
		}
		if fields := strings.Fields(string(text[strings.LastIndexByte(string(text), ')')+1:])); fields[0] == "T" {
			return
		}
		time.Sleep(5 * time.Millisecond)
	}
	s.t.Fatal("the program does not stop")
}

// goesOn continues the process once it is stopped.
func (s *terminal) goesOn() {
	s.t.Helper()
	s.stops()
	if err := s.cmd.Process.Signal(syscall.SIGCONT); err != nil {
		s.t.Fatal(err)
	}
	time.Sleep(100 * time.Millisecond)
}

// TestAStalledTerminalKeepsNoBrewFromItsRescue stalls the terminal, to which the
// messages go as well, in a brew whose journal cannot be written.
func TestAStalledTerminalKeepsNoBrewFromItsRescue(t *testing.T) {
	program, err := exec.LookPath("barline")
	must(t, err)
	ours, theirs, err := pty.Open()
	if err != nil {
		t.Skip("SKIPPED: no pseudo-terminal to be had:", err)
	}
	defer ours.Close()
	defer theirs.Close()
	must(t, pty.Setsize(ours, &pty.Winsize{Cols: 80, Rows: 24}))
	folder := t.TempDir()
	notAFolder := filepath.Join(folder, "file")
	must(t, os.WriteFile(notAFolder, nil, 0o600))
	cmd := exec.Command(program, "brew", "quayside-press", "--journal", filepath.Join(notAFolder, "j.db"))
	cmd.Env = append(os.Environ(), "HOME="+folder, "XDG_CONFIG_HOME="+folder, "TERM=xterm-256color")
	cmd.Stdin, cmd.Stdout, cmd.Stderr = theirs, theirs, theirs
	cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
	must(t, cmd.Start())
	defer cmd.Process.Kill()
	var deaf atomic.Bool
	go func() {
		for b := make([]byte, 4096); !deaf.Load(); {
			if _, err := ours.Read(b); err != nil {
				return
			}
		}
	}()
	for _, key := range []string{"s", " ", "n", "the kettle\r"} {
		time.Sleep(800 * time.Millisecond)
		ours.WriteString(key)
	}
	time.Sleep(500 * time.Millisecond)
	deaf.Store(true)
	for i := range 60 {
		pty.Setsize(ours, &pty.Winsize{Cols: 300 - uint16(i), Rows: 100})
		time.Sleep(20 * time.Millisecond)
	}
	must(t, cmd.Process.Signal(syscall.SIGTERM))
	ended := make(chan error, 1)
	go func() { ended <- cmd.Wait() }()
	select {
	case <-ended:
	case <-time.After(15 * time.Second):
		t.Fatal("a stalled terminal holds the program")
	}
	if code := cmd.ProcessState.ExitCode(); code != 143 {
		t.Errorf("exit code %d", code)
	}
	rescued, _ := filepath.Glob(filepath.Join(folder, "barline-rescue-*.jsonl"))
	if len(rescued) != 1 {
		t.Fatalf("%d rescue files", len(rescued))
	}
	if text, err := os.ReadFile(rescued[0]); err != nil || !strings.Contains(string(text), "the kettle") {
		t.Errorf("the rescue holds %s, %v", text, err)
	}
}

// TestAnAnswerThatComesLateIsNotTyped has the terminal answer a question when
// the program is on its way out: the shell behind it must not get that.
func TestAnAnswerThatComesLateIsNotTyped(t *testing.T) {
	for _, args := range [][]string{{"brew", "quayside-press"}, {"terminal"}} {
		program, err := exec.LookPath("barline")
		must(t, err)
		ours, theirs, err := pty.Open()
		if err != nil {
			t.Skip("SKIPPED: no pseudo-terminal to be had:", err)
		}
		defer ours.Close()
		defer theirs.Close()
		must(t, pty.Setsize(ours, &pty.Winsize{Cols: 80, Rows: 24}))
		folder := t.TempDir()
		cmd := exec.Command(program, append(args, "--journal", filepath.Join(folder, "j.db"))...)
		cmd.Env = append(os.Environ(), "HOME="+folder, "XDG_CONFIG_HOME="+folder, "TERM=xterm-256color", "LC_ALL=C.UTF-8")
		cmd.Stdin, cmd.Stdout, cmd.Stderr = theirs, theirs, theirs
		cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
		must(t, cmd.Start())
		defer cmd.Process.Kill()
		var mu sync.Mutex
		var shown bytes.Buffer
		go func() {
			for b := make([]byte, 4096); ; {
				n, err := ours.Read(b)
				if err != nil {
					return
				}
				mu.Lock()
				shown.Write(b[:n])
				mu.Unlock()
			}
		}()
		for i := 0; ; i++ {
			mu.Lock()
			asked := bytes.Contains(shown.Bytes(), []byte("\x1b[?2026$p"))
			mu.Unlock()
			if asked {
				break
			}
			if i == 2000 {
				t.Fatal("the terminal is not asked")
			}
			time.Sleep(5 * time.Millisecond)
		}
		ours.WriteString("q")
		time.Sleep(120 * time.Millisecond)
		ours.WriteString("\x1b[?2026;2$y")
		must(t, cmd.Wait())
		time.Sleep(50 * time.Millisecond)
		mu.Lock()
		if bytes.Contains(shown.Bytes(), []byte("2026;2")) { // as the shell's terminal shows what is typed
			t.Errorf("%s: the screen holds %q", args[0], shown.String()[max(0, shown.Len()-80):])
		}
		mu.Unlock()
	}
}
