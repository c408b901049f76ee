//go:build unix

package main

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"time"

	"barline/cmd/barline/internal/clock"
	"barline/cmd/barline/internal/journal"

	"github.com/creack/pty"
)

// elapsed is the clock of all measurements: the machine's as barline reads it,
// so that the moments which its journal keeps can be compared, on Linux.
func elapsed() time.Duration { return clock.Machine{}.Now().Elapsed }

// seated is a program at a terminal that answers nothing and is read by a
// meter.
type seated struct {
	meter
	ours  *os.File
	cmd   *exec.Cmd
	began time.Duration // just before it was started
	done  chan struct{} // closed when all that it wrote is read
}

// sit starts a program with a home of its own. It is killed when the test is
// over, if it still runs.
func sit(t testing.TB, width, height uint16, home, program string, args ...string) *seated {
	t.Helper()
	s := &seated{cmd: exec.Command(program, args...), done: make(chan struct{})}
	s.cmd.Env = append(os.Environ(), "HOME="+home, "XDG_CONFIG_HOME="+home, "XDG_DATA_HOME="+home, "TERM=xterm-256color", "LC_ALL=C.UTF-8", "NO_COLOR=1")
	s.began = elapsed()
	var err error
	if s.ours, err = pty.StartWithSize(s.cmd, &pty.Winsize{Cols: width, Rows: height}); err != nil {
		t.Skip("SKIPPED, NOT MEASURED: no pseudo-terminal to be had:", err)
	}
	go func() {
		defer close(s.done)
		s.watch(s.ours, elapsed)
	}()
	t.Cleanup(s.leave)
	return s
}

// leave kills the program and reads what it wrote to the end.
func (s *seated) leave() {
	if s.cmd.ProcessState != nil {
		return
	}
	s.cmd.Process.Kill()
	s.cmd.Wait()
	<-s.done
	s.ours.Close()
}

// press types a key and returns the moment just before, and the place in what
// the program writes.
func (s *seated) press(t testing.TB, key string) (at time.Duration, from int) {
	t.Helper()
	from, at = s.here(), elapsed()
	if _, err := s.ours.WriteString(key); err != nil {
		t.Fatal(err)
	}
	return at, from
}

// start presses the key as water meets coffee.
func (s *seated) start(t testing.TB) (zero time.Duration, from int) {
	t.Helper()
	s.await(t, "water meets coffee", 0, 10*time.Second)
	return s.press(t, " ")
}

// built returns the program itself and not this test: a user's has no test in
// it.
func built(t testing.TB, folder string) string {
	t.Helper()
	program := filepath.Join(t.TempDir(), "program")
	if out, err := exec.Command("go", "build", "-o", program, folder).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return program
}

// write makes a file in a folder and returns its path.
func write(t testing.TB, folder, name, text string) string {
	t.Helper()
	path := filepath.Join(folder, name)
	os.MkdirAll(filepath.Dir(path), 0o755)
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// inStates measures with the machine as it is, and with every core loaded by
// something else at the same priority.
func inStates(b *testing.B, measure func(b *testing.B)) {
	for _, state := range []string{"idle", "loaded"} {
		b.Run(state, func(b *testing.B) {
			b.Logf("%s: %d cores, load average before %s", state, runtime.NumCPU(), loadAverage())
			if state == "loaded" {
				load(b)
			}
			b.ReportMetric(0, "ns/op")
			measure(b)
		})
	}
}

// load keeps every core busy until the benchmark is over.
func load(b *testing.B) {
	for range runtime.NumCPU() {
		busy := exec.Command("sh", "-c", "while :; do :; done")
		if err := busy.Start(); err != nil {
			b.Fatal(err)
		}
		b.Cleanup(func() { busy.Process.Kill(); busy.Wait() })
	}
	time.Sleep(time.Second)
}

// loadAverage is that of the last minute, "unknown" where it is not told.
func loadAverage() string {
	text, err := os.ReadFile("/proc/loadavg")
	if err != nil {
		return "unknown"
	}
	return strings.Fields(string(text))[0]
}

// zeroOf returns when the clock of the only brew in a journal read 0:00, as
// the program itself has it.
func zeroOf(t testing.TB, path string) time.Duration {
	t.Helper()
	j, err := journal.Open(path, journal.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer j.Close()
	list, err := j.List(context.Background(), journal.Filter{}, journal.Cursor{}, 2)
	if err != nil || len(list.Brews) != 1 {
		t.Fatalf("%d brews, %v", len(list.Brews), err)
	}
	r, err := j.Load(context.Background(), list.Brews[0].ID)
	if err != nil {
		t.Fatal(err)
	}
	return r.Clock.Zero
}

// measuring returns a number of rounds: few, or BARLINE_ROUNDS of them.
func measuring(few int) int {
	if n, err := strconv.Atoi(os.Getenv("BARLINE_ROUNDS")); err == nil && n > 0 {
		return n
	}
	return few
}

// pause sleeps for a length between two.
func pause(least, most time.Duration) {
	time.Sleep(least + rand.N(most-least))
}

// percent says how large a part is of a whole.
func percent(part, whole time.Duration) string {
	return fmt.Sprintf("%.2f %%", 100*float64(part)/float64(whole))
}
