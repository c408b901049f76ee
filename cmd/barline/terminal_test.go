//go:build unix

package main

import (
	"bytes"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/charmbracelet/x/term"
	"github.com/charmbracelet/x/vt"
	"github.com/creack/pty"
)

// The real program in a pseudo-terminal, seen through an emulator. The
// emulator asks for a newer width table than the terminal library does, and
// the product is built with it, too: the golden screens hold that both count
// as many cells as the canvas does, so nothing changes on the screen.

func TestAtATerminal(t *testing.T) {
	// The program itself and not this test: what its packages do before main
	// is part of what is looked at.
	program := filepath.Join(t.TempDir(), "barline")
	if out, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	for name, test := range map[string]func(t *testing.T, program string){
		"a brew from the shelf to its readings":         brewFromTheShelf,
		"a brew that is stopped":                        stopABrew,
		"the cup of a recipe":                           cupAtTheTerminal,
		"the first frame comes at once, asking nothing": firstFrame,
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			test(t, program)
		})
	}
}

// terminal is the program at a terminal.
type terminal struct {
	t      *testing.T
	ours   *os.File // the side of the terminal's user
	theirs *os.File
	before *term.State
	cmd    *exec.Cmd
	ended  chan error
	last   byte // that was typed
	folder string

	mu     sync.Mutex
	screen *vt.Emulator
	raw    bytes.Buffer
}

// fast is a recipe that is over in four seconds.
const fast = `name: A fast cup
method: cone
dose: 3 g
water: 40 g
temperature: 93 °C
grind: medium
window: 2 s
prepare:
  - Grind {dose}
steps:
  - {pour: to 40 g, over: 2 s, label: fill}
  - {drawdown: let it drain, over: 2 s}
`

// start runs the program in a home of its own, whose recipe folder holds the
// fast recipe.
func start(t *testing.T, program string, args ...string) *terminal {
	t.Helper()
	return startAt(t, place{}, program, args...)
}

// place is what is out of the ordinary where a program is started.
type place struct {
	unsized bool                // the terminal does not tell its size
	env     []string            // beside what is usual
	config  string              // config.yaml
	adapt   func(cmd *exec.Cmd) // changes anything else
}

func startAt(t *testing.T, at place, program string, args ...string) *terminal {
	t.Helper()
	const width, height = 80, 24
	ours, theirs, err := pty.Open()
	if err != nil {
		t.Skip("SKIPPED, and the program is not seen at a terminal: no pseudo-terminal to be had:", err)
	}
	s := &terminal{t: t, ours: ours, theirs: theirs, ended: make(chan error, 1), folder: t.TempDir(), screen: vt.NewEmulator(width, height)}
	if err := os.WriteFile(filepath.Join(s.folder, "a-fast-cup.yaml"), []byte(fast), 0o644); err != nil {
		t.Fatal(err)
	}
	if !at.unsized {
		s.size(width, height)
	}
	if at.config != "" {
		must(t, os.MkdirAll(filepath.Join(s.folder, "barline"), 0o755))
		must(t, os.WriteFile(filepath.Join(s.folder, "barline", "config.yaml"), []byte(at.config), 0o644))
	}
	if s.before, err = term.GetState(theirs.Fd()); err != nil {
		t.Fatal(err)
	}
	s.cmd = exec.Command(program, append([]string{"--recipes", s.folder}, args...)...)
	s.cmd.Env = append(os.Environ(), "HOME="+s.folder, "XDG_CONFIG_HOME="+s.folder, "XDG_DATA_HOME="+s.folder, "TERM=xterm-256color", "LC_ALL=C.UTF-8", "NO_COLOR=", "COLORFGBG=")
	s.cmd.Env = append(s.cmd.Env, at.env...)
	s.cmd.Stdin, s.cmd.Stdout, s.cmd.Stderr = theirs, theirs, theirs
	s.cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
	if at.adapt != nil {
		at.adapt(s.cmd)
	}
	if err := s.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	var reading sync.WaitGroup
	reading.Go(s.watch)
	drained := make(chan struct{})
	go func() { // what the emulator would answer: nobody asks, and it must be drained
		defer close(drained)
		io.Copy(io.Discard, s.screen)
	}()
	go func() { s.ended <- s.cmd.Wait() }()
	t.Cleanup(func() {
		s.cmd.Process.Kill()
		theirs.Close()
		ours.Close()
		reading.Wait()
		s.screen.InputPipe().(io.Closer).Close()
		<-drained
		s.screen.Close()
	})
	return s
}

// watch shows the emulator what the program writes.
func (s *terminal) watch() {
	b := make([]byte, 64<<10)
	for {
		n, err := s.ours.Read(b)
		s.mu.Lock()
		s.raw.Write(b[:n])
		s.screen.Write(b[:n])
		s.mu.Unlock()
		if err != nil {
			return
		}
	}
}

func (s *terminal) size(width, height uint16) {
	s.t.Helper()
	s.mu.Lock()
	defer s.mu.Unlock()
	s.screen.Resize(int(width), int(height))
	if err := pty.Setsize(s.ours, &pty.Winsize{Cols: width, Rows: height}); err != nil {
		s.t.Fatal(err)
	}
}

// text returns what is on the screen.
func (s *terminal) text() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.screen.String()
}

// await waits until the screen says something.
func (s *terminal) await(want string) {
	s.t.Helper()
	s.awaitAll(want, "\x00")
}

// awaitAll waits until the screen says one thing and does not say another.
func (s *terminal) awaitAll(want, gone string) {
	s.t.Helper()
	deadline := time.Now().Add(8 * time.Second)
	for text := s.text(); !strings.Contains(text, want) || strings.Contains(text, gone); text = s.text() {
		if time.Now().After(deadline) {
			s.t.Fatalf("the screen does not say %q but\n%s", want, text)
		}
		time.Sleep(5 * time.Millisecond)
	}
}

// press types keys. The same key once more is typed after the time in which
// it would be taken for the first, held down.
func (s *terminal) press(keys string) {
	s.t.Helper()
	if keys[0] == s.last {
		time.Sleep(720 * time.Millisecond)
	}
	s.last = keys[len(keys)-1]
	if _, err := s.ours.WriteString(keys); err != nil {
		s.t.Fatal(err)
	}
}

// leaves waits for the end of the program and returns its exit code; the
// terminal must be as it was.
func (s *terminal) leaves() int {
	s.t.Helper()
	select {
	case <-s.ended:
	case <-time.After(8 * time.Second):
		s.t.Fatalf("the program does not end; the screen says\n%s", s.text())
	}
	after, err := term.GetState(s.theirs.Fd())
	if err != nil {
		s.t.Fatal(err)
	}
	if !reflect.DeepEqual(after, s.before) {
		s.t.Errorf("the terminal is left with the modes %+v, and had %+v", after, s.before)
	}
	// What the program wrote last may still be on its way to the emulator.
	for range 200 {
		if s.asFound() {
			break
		}
		time.Sleep(10 * time.Millisecond)
	}
	if !s.asFound() {
		s.t.Error("the terminal is left on the other screen, or without a cursor")
	}
	return s.cmd.ProcessState.ExitCode()
}

// asFound reports whether the normal screen is shown, with its cursor.
func (s *terminal) asFound() bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	return !s.screen.IsAltScreen() && !s.screen.CursorHidden()
}

func brewFromTheShelf(t *testing.T, program string) {
	s := start(t, program)
	s.await("barline: what shall it be?")
	s.await("> A fast cup")
	s.press("\r")
	s.await("3 g coffee, 40 g water, 1:13.3, 93 °C")
	s.press("\r")
	s.await("> [ ] Grind 3 g")
	s.press(" ")
	s.await("space as water meets coffee: Pour to 40 g")
	s.press(" ")
	s.await("fill: Pour to 40 g, by 0:02")
	s.await("Drawdown: let it drain, by 0:04")
	s.press(" ")
	s.await("[x] fill, end ") // the record holds it
	s.press("u")
	s.await("taken back: fill, end")
	s.size(40, 12)
	s.awaitAll("space mark", "z zero again") // there is no room for that key
	if line := strings.Split(s.text(), "\n"); len(line) > 12 {
		t.Errorf("%d lines on a screen of 12", len(line))
	}
	s.size(80, 24)
	s.await("waiting for the mark: fill, end")
	s.press(" ") // it is the drawdown's by now, whose call is nearer
	s.await("finished at 0:")
	s.press(" ")
	s.await("beverage in the server, g: _")
	s.press("31.5\r")
	s.await("strength, %: _")
	s.press("\r")
	s.await("taste: _")
	s.press("thin\r")
	s.await("saved: beverage 31.5 g, taste: thin")
	s.press("q")
	s.await("barline: what shall it be?")
	s.press("q")
	if code := s.leaves(); code != exitOK {
		t.Errorf("exit code %d", code)
	}
	s.await("A fast cup: ") // on the normal screen
	s.await("drawdown, end")
}

func stopABrew(t *testing.T, program string) {
	s := start(t, program, "brew", "a-fast-cup", "--speed", "0.25")
	s.await("> [ ] Grind 3 g")
	s.press("s")
	s.press(" ")
	s.await("by 0:02")
	s.press("q")
	s.await("Stop the brew? y stops it")
	s.press("y")
	s.await("why stopped")
	s.press("the cup fell\r")
	s.await("stopped at 0:0")
	s.press("q")
	if code := s.leaves(); code != exitStopped {
		t.Errorf("exit code %d, want %d", code, exitStopped)
	}
	s.await("topped at 0:0")
}

// The library under the screen asks terminals for their ground before main
// begins, and waits five seconds for those that do not answer. This one does
// not.
func firstFrame(t *testing.T, program string) {
	const within = time.Second
	for try := 1; ; try++ { // a busy machine has three
		began := time.Now()
		s := start(t, program)
		s.await("barline: what shall it be?")
		took := time.Since(began)
		t.Logf("the first frame came after %s", took.Round(time.Millisecond))
		s.press("q")
		s.leaves()
		s.mu.Lock()
		for _, query := range []string{"\x1b]10;?", "\x1b]11;?", "\x1b[6n", "\x1b[c"} {
			if bytes.Contains(s.raw.Bytes(), []byte(query)) {
				t.Errorf("the terminal is asked with %q", query)
			}
		}
		s.mu.Unlock()
		if took < within {
			return
		}
		if try == 3 {
			t.Fatalf("the first frame came after %s, want less than %s", took, within)
		}
	}
}

// nap gives the program a moment.
func nap() { time.Sleep(5 * time.Millisecond) }

// setSize tells the program that its window has another size.
func setSize(ours *os.File, width, height uint16) error {
	return pty.Setsize(ours, &pty.Winsize{Cols: width, Rows: height})
}
