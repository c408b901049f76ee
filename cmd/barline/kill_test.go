//go:build unix

package main

import (
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"barline/brew"
	"barline/cmd/barline/internal/journal"

	"github.com/creack/pty"
)

// rounds returns how often a campaign's round is done: a few times in every
// run, 1,000 times where BARLINE_CAMPAIGN is 1, else as often as it says.
func rounds(t testing.TB, few int) int {
	t.Helper()
	switch n, err := strconv.Atoi(os.Getenv("BARLINE_CAMPAIGN")); {
	case err != nil || n < 1:
		t.Logf("SHORT: %d rounds and not 1,000; BARLINE_CAMPAIGN=1 does them all", few)
		return few
	case n > 1:
		return n
	}
	return 1000
}

// dice returns the campaign's dice, from BARLINE_SEED where it is set.
func dice(t testing.TB) *rand.Rand {
	seed, err := strconv.ParseUint(os.Getenv("BARLINE_SEED"), 10, 64)
	if err != nil {
		seed = rand.Uint64()
	}
	t.Logf("BARLINE_SEED=%d", seed)
	return rand.New(rand.NewPCG(seed, 3))
}

// TestEveryMarkThatWasShownSolidOutlivesAKill kills the program at a terminal
// at random moments of a brew, and looks for every mark that was on the screen
// as kept.
func TestEveryMarkThatWasShownSolidOutlivesAKill(t *testing.T) {
	t.Parallel()
	killing(t, 1, rounds(t, 12))
}

// Two terminals that brew into one file are killed at once.
func TestTwoTerminalsAreKilledOverOneFile(t *testing.T) {
	t.Parallel()
	killing(t, 2, rounds(t, 8))
}

// marked is a recipe of thirty pours of three seconds, so that at speed 100
// there is a beat to mark every 30 ms.
func marked() string {
	var b strings.Builder
	b.WriteString("name: Many pours\nmethod: cone\ndose: 30 g\nwater: 450 g\ntemperature: 93 °C\ngrind: medium\nwindow: 2 s\nsteps:\n")
	for n := range 30 {
		fmt.Fprintf(&b, "  - {pour: 15 g, over: 3 s, label: p%02d}\n", n+1)
	}
	return b.String()
}

// tally counts what a campaign has seen.
type tally struct {
	sync.Mutex
	kills, brews, solid, cutOff, finished, unborn int
}

func killing(t *testing.T, writers, rounds int) {
	program := theProgram(t)
	d := dice(t)
	var seen tally
	var wait sync.WaitGroup
	work := make(chan uint64)
	for range 2 { // at once, each on a file of its own
		wait.Go(func() {
			var dir string
			n := 0
			for seed := range work {
				if n%25 == 0 { // so that looking through all of a file stays quick
					dir = t.TempDir()
				}
				n++
				killOnce(t, program, dir, fmt.Sprint(n), writers, rand.New(rand.NewPCG(seed, 7)), &seen)
			}
		})
	}
	for range rounds {
		work <- d.Uint64()
	}
	close(work)
	wait.Wait()
	if seen.solid < rounds {
		t.Errorf("only %d marks were solid in %d rounds: the test does not test", seen.solid, rounds)
	}
	t.Logf("%d kills of %d at once: %d brews with %d marks that were shown solid, all there; %d brews cut off, %d finished before, %d programs killed before their brew began; the file opened and verified each time",
		seen.kills, writers, seen.brews, seen.solid, seen.cutOff, seen.finished, seen.unborn)
}

// theProgram returns the program: this very test binary, as TestMain has it.
func theProgram(t testing.TB) string {
	t.Helper()
	program, err := exec.LookPath("barline")
	if err != nil {
		t.Fatal(err)
	}
	return program
}

// typist is a program at a terminal whose output is kept as it comes.
type typist struct {
	ours *os.File
	cmd  *exec.Cmd
	done chan struct{} // closed when all that it wrote is read

	dropped int // offers of brews that were cut off

	mu  sync.Mutex
	raw bytes.Buffer
}

func seat(t testing.TB, program, home string, args ...string) *typist {
	t.Helper()
	cmd := exec.Command(program, args...)
	cmd.Env = append(os.Environ(), "HOME="+home, "XDG_CONFIG_HOME="+home, "XDG_DATA_HOME="+home, "TERM=xterm-256color", "LC_ALL=C.UTF-8", "NO_COLOR=1")
	ours, err := pty.StartWithSize(cmd, &pty.Winsize{Cols: 80, Rows: 24})
	if err != nil {
		t.Skip("SKIPPED, and the program is not killed at a terminal: no pseudo-terminal to be had:", err)
	}
	s := &typist{ours: ours, cmd: cmd, done: make(chan struct{})}
	go func() {
		defer close(s.done)
		b := make([]byte, 32<<10)
		for {
			n, err := ours.Read(b)
			s.mu.Lock()
			s.raw.Write(b[:n])
			s.mu.Unlock()
			if err != nil {
				return
			}
		}
	}()
	return s
}

// says reports whether the program has written a text.
func (s *typist) says(text string) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	return bytes.Contains(s.raw.Bytes(), []byte(text))
}

// types types the nth key and reports whether the brew is under way. A brew of
// an earlier round that is offered is left as cut off.
func (s *typist) types(n int) (running bool) {
	s.mu.Lock()
	offers, ready := bytes.Count(s.raw.Bytes(), []byte("its clock stands at")), bytes.Contains(s.raw.Bytes(), []byte("water meets coffee"))
	running = bytes.Contains(s.raw.Bytes(), []byte(", by 0:"))
	s.mu.Unlock()
	switch {
	case offers > s.dropped:
		s.ours.WriteString([]string{"q", "\x03"}[s.dropped%2]) // the same key again would be taken for held down
		s.dropped++
	case ready:
		s.ours.WriteString([]string{" ", "\r"}[n%2])
	}
	return running
}

// solid are the marks that stood on the screen as kept.
var solid = regexp.MustCompile(`\[x\] (p\d\d, end)`)

// killOnce starts programs, types marks as fast as there are beats, kills all
// of them at a random moment, and looks at the file.
func killOnce(t *testing.T, program, dir, lot string, writers int, d *rand.Rand, seen *tally) {
	recipe := filepath.Join(dir, "many.yaml")
	if err := os.WriteFile(recipe, []byte(marked()), 0o644); err != nil {
		t.Error(err)
		return
	}
	path := filepath.Join(dir, "journal.db")
	var all []*typist
	for w := range writers {
		all = append(all, seat(t, program, dir, "brew", recipe, "--speed", "100", "--journal", path, "--lot", fmt.Sprint(lot, ".", w)))
	}
	after := 8 * time.Second // to get ready
	if d.IntN(10) == 0 {
		after = time.Duration(d.IntN(120)) * time.Millisecond // on the way up, too
	}
	deadline, running := time.Now().Add(after), false
	for n := 0; time.Now().Before(deadline); n++ {
		ready := true
		for _, s := range all {
			ready = s.types(n) && ready
		}
		if ready && !running { // from here on at any moment of the brew
			running, deadline = true, time.Now().Add(time.Duration(d.IntN(1000))*time.Millisecond)
		}
		time.Sleep(time.Duration(10+d.IntN(12)) * time.Millisecond)
	}
	for _, s := range all {
		s.cmd.Process.Signal(syscall.SIGKILL)
	}
	for w, s := range all {
		s.cmd.Wait()
		<-s.done // the terminal ends when all it was given is read
		s.ours.Close()
		look(t, path, fmt.Sprint(lot, ".", w), s.raw.String(), seen)
	}
	seen.Lock()
	seen.kills += writers
	seen.Unlock()
	sound(t, path)
}

// look looks for the brew of a lot, and for all of its marks that were shown.
func look(t *testing.T, path, lot, raw string, seen *tally) {
	shown := map[string]bool{}
	for _, match := range solid.FindAllStringSubmatch(raw, -1) {
		shown[match[1]] = true
	}
	lane, end, found := brewOfLot(t, path, lot)
	seen.Lock()
	defer seen.Unlock()
	seen.solid += len(shown)
	if !found {
		seen.unborn++
		if len(shown) > 0 {
			t.Errorf("lot %s is not in the journal, but %d of its marks were shown solid", lot, len(shown))
		}
		return
	}
	seen.brews++
	switch end {
	case journal.CutOff:
		seen.cutOff++
	case journal.Finished:
		seen.finished++
	default:
		t.Errorf("lot %s is %s", lot, end)
	}
	for i, beat := range lane.Plan().Beats {
		if shown[beat.Name] && lane.Beat(i).Status != brew.Marked {
			t.Errorf("lot %s: %s was shown solid, and is %s in the journal", lot, beat.Name, lane.Beat(i).Status)
		}
		delete(shown, beat.Name)
	}
	for name := range shown {
		t.Errorf("lot %s: %s was shown, but the plan has no such beat", lot, name)
	}
}

// brewOfLot returns the brew that has a lot.
func brewOfLot(t *testing.T, path, lot string) (brew.Lane, journal.End, bool) {
	if missing(path) {
		return brew.Lane{}, "", false
	}
	j, err := journal.Open(path, journal.Options{Busy: 10 * time.Second})
	if err != nil {
		t.Errorf("it does not open: %v", err)
		return brew.Lane{}, "", false
	}
	defer j.Close()
	page, err := j.List(context.Background(), journal.Filter{}, journal.Cursor{}, 1000)
	if err != nil {
		t.Error(err)
	}
	for _, b := range page.Brews {
		if b.Lot != lot {
			continue
		}
		r, err := j.Load(context.Background(), b.ID)
		if err != nil {
			t.Error(err)
		}
		lane, err := r.Fold()
		if err != nil {
			t.Error(err)
		}
		return lane, r.End, true
	}
	return brew.Lane{}, "", false
}

// sound verifies the file.
func sound(t *testing.T, path string) {
	if missing(path) {
		return
	}
	j, err := journal.Open(path, journal.Options{Busy: 10 * time.Second})
	if err != nil {
		t.Errorf("it does not open: %v", err)
		return
	}
	defer j.Close()
	findings, _, err := j.Verify(context.Background())
	if err != nil {
		t.Error(err)
	}
	for _, f := range findings {
		t.Error(f)
	}
}
