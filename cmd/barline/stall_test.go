//go:build unix

package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"github.com/charmbracelet/x/term"
	"github.com/creack/pty"
)

// deafTerminal is a pseudo-terminal whose reader can stop reading, as a frozen
// window does.
type deafTerminal struct {
	t      *testing.T
	ours   *os.File
	theirs *os.File
	cmd    *exec.Cmd
	before *term.State
	home   string
	deaf   atomic.Bool // nobody reads
}

// startDeaf runs the program at such a terminal, which reads.
func startDeaf(t *testing.T, args ...string) *deafTerminal {
	t.Helper()
	ours, theirs, err := pty.Open()
	if err != nil {
		t.Skip("SKIPPED: no pseudo-terminal to be had:", err)
	}
	d := &deafTerminal{t: t, ours: ours, theirs: theirs, home: t.TempDir()}
	must(t, pty.Setsize(ours, &pty.Winsize{Cols: 300, Rows: 100}))
	d.before, err = term.GetState(theirs.Fd())
	must(t, err)
	d.cmd = exec.Command(theProgram(t), args...)
	d.cmd.Env = append(os.Environ(), "HOME="+d.home, "XDG_CONFIG_HOME="+d.home, "XDG_DATA_HOME="+d.home, "TERM=xterm-256color")
	d.cmd.Stdin, d.cmd.Stdout, d.cmd.Stderr = theirs, theirs, theirs
	d.cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
	must(t, d.cmd.Start())
	t.Cleanup(func() { d.cmd.Process.Kill(); ours.Close(); theirs.Close() })
	go func() {
		for b := make([]byte, 4096); ; {
			if d.deaf.Load() {
				time.Sleep(5 * time.Millisecond)
			} else if _, err := ours.Read(b); err != nil {
				return
			}
		}
	}()
	return d
}

// stall stops reading, and fills what the kernel holds with frames at ever new
// sizes.
func (d *deafTerminal) stall() {
	d.deaf.Store(true)
	for i := range 40 {
		pty.Setsize(d.ours, &pty.Winsize{Cols: 300 - uint16(i), Rows: 100})
		time.Sleep(20 * time.Millisecond)
	}
}

// ends waits for the end and returns the exit code.
func (d *deafTerminal) ends() int {
	d.t.Helper()
	ended := make(chan error, 1)
	go func() { ended <- d.cmd.Wait() }()
	select {
	case <-ended:
	case <-time.After(15 * time.Second): // 1.5 s, and what a busy machine adds
		d.t.Fatal("a stalled terminal holds the program")
	}
	return d.cmd.ProcessState.ExitCode()
}

// TestMarksAtAStalledTerminalKeepTheirMoments makes two marks while the
// terminal takes nothing. Each is kept with the moment at which it was made.
func TestMarksAtAStalledTerminalKeepTheirMoments(t *testing.T) {
	t.Parallel()
	path, recipe := filepath.Join(t.TempDir(), "j.db"), filepath.Join(t.TempDir(), "pours.yaml")
	must(t, os.WriteFile(recipe, []byte(pours), 0o644))
	d := startDeaf(t, "--journal", path, "brew", recipe)
	time.Sleep(time.Second)
	d.ours.WriteString("s") // all is prepared
	time.Sleep(time.Second)
	d.ours.WriteString(" ")
	time.Sleep(time.Second)
	d.stall()
	const apart = 3 * time.Second
	d.ours.WriteString(" ")
	time.Sleep(apart)
	d.ours.WriteString(" ")
	time.Sleep(time.Second)
	d.deaf.Store(false)
	time.Sleep(time.Second)
	must(t, d.cmd.Process.Signal(syscall.SIGTERM))
	if code := d.ends(); code != 143 {
		t.Errorf("exit code %d", code)
	}
	_, lines, stderr := plainly(t, theProgram(t), d.home, "", "--journal", path, "journal", "export")
	at := regexp.MustCompile(`"kind":"mark"[^{}]*?"at_ns":(\d+)|"at_ns":(\d+)[^{}]*?"kind":"mark"`).FindAllStringSubmatch(lines, -1)
	if len(at) != 2 {
		t.Fatalf("%d marks, want 2: %s%s", len(at), lines, stderr)
	}
	moment := func(m []string) time.Duration {
		n, _ := strconv.Atoi(m[1] + m[2])
		return time.Duration(n)
	}
	if got := moment(at[1]) - moment(at[0]); got < apart-500*time.Millisecond {
		t.Errorf("the marks are %s apart and were made %s apart", got, apart)
	}
}

// TestALeaveDoesNotWaitForAStalledTerminal leaves while the terminal takes
// nothing: that is as good as a closed one.
func TestALeaveDoesNotWaitForAStalledTerminal(t *testing.T) {
	t.Parallel()
	d := startDeaf(t)
	time.Sleep(time.Second)
	d.stall()
	d.ours.WriteString("q")
	if code := d.ends(); code != 129 {
		t.Errorf("exit code %d, want 129", code)
	}
	after, err := term.GetState(d.theirs.Fd())
	must(t, err)
	if *after != *d.before {
		t.Errorf("the terminal is left with the modes %+v, and had %+v", after, d.before)
	}
}
