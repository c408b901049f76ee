//go:build unix

package main

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"barline/brew"
	"barline/cmd/barline/internal/journal"
)

// rushed is a recipe that leaves time for keys at five times the speed.
const rushed = `name: A rushed cup
method: cone
dose: 3 g
water: 40 g
temperature: 93 °C
grind: medium
window: 20 s
prepare:
  - {do: "Grind {dose}", over: 5 s}
steps:
  - {pour: to 40 g, over: 8 s, label: fill}
  - {drawdown: let it drain, over: 12 s}
  - {lift: off, over: 3 s, mark: start}
`

// rush starts a service of the recipe at a terminal of its own.
func rush(t *testing.T, program, folder string, args ...string) *terminal {
	t.Helper()
	recipe := filepath.Join(folder, "rushed.yaml")
	must(t, os.WriteFile(recipe, []byte(rushed), 0o644))
	file := filepath.Join(folder, "rush.db")
	return start(t, program, append([]string{"bar", recipe, "--speed", "5", "--by", "Ada", "--journal", file}, args...)...)
}

// roundOf returns the round of a rush as its journal has it.
func roundOf(t *testing.T, folder string) roundRead {
	t.Helper()
	j, err := journal.Open(filepath.Join(folder, "rush.db"), journal.Options{})
	must(t, err)
	defer j.Close()
	findings, _, err := j.Verify(context.Background())
	if err != nil || len(findings) > 0 {
		t.Fatalf("the journal: %v, %v", findings, err)
	}
	rounds, err := j.RecentRounds(context.Background(), journal.BarRound, 2)
	if err != nil || len(rounds) != 1 || rounds[0].Live {
		t.Fatalf("the rounds: %+v, %v", rounds, err)
	}
	read := readRound(rounds[0])
	must(t, read.err)
	return read
}

// marksOf returns the beats of a brew that were marked, by their names.
func marksOf(t *testing.T, r journal.Record) (out []string) {
	t.Helper()
	lane, err := r.Fold()
	must(t, err)
	for n, b := range lane.Plan().Beats {
		if lane.Beat(n).Status == brew.Marked {
			out = append(out, b.Name)
		}
	}
	return out
}

// answered is the line that says which mark is in the record.
var answered = regexp.MustCompile(`\[x\] (\d) A rushed cup(?: (has begun)|: (.*?) [-+]?\d+\.\d s)`)

// seen presses a key and returns the mark that the screen then shows as kept:
// the lane's key and the beat.
func (s *terminal) seen(key string) (lane, beat string) {
	s.t.Helper()
	before := answered.FindString(s.text())
	s.press(key)
	for deadline := time.Now().Add(8 * time.Second); ; time.Sleep(5 * time.Millisecond) {
		if found := answered.FindStringSubmatch(s.text()); found != nil && found[0] != before {
			return found[1], found[2] + found[3]
		}
		if time.Now().After(deadline) {
			s.t.Fatalf("no mark is shown as kept:\n%s", s.text())
		}
	}
}

// A rush at a terminal: three orders, marks early, late and missing, one order
// cancelled while it brews. The journal holds every mark that the screen
// showed as kept, and no other.
func TestARushAtATerminal(t *testing.T) {
	t.Parallel()
	program, folder := built(t, "."), t.TempDir()
	s := rush(t, program, folder)
	s.await("a add")
	for n := range 3 {
		s.press("a")
		s.await("add which?")
		s.press("1")
		s.await(string(rune('1'+n)) + " A rushed cup added")
	}
	shown := map[string][]string{}
	mark := func(key string) (lane string) {
		lane, beat := s.seen(key)
		shown[lane] = append(shown[lane], beat)
		return lane
	}
	mark("1")
	mark("1") // the pour is not over: early
	mark("3")
	mark("2")
	s.press("x")
	s.await("cancel which?")
	s.press("3")
	s.await("cancel 3 A rushed cup?")
	s.press("y")
	s.await("3 A rushed cup cancelled")
	s.await("waiting for the mark: ")
	mark(" ")                                 // late, and of whichever is nearest
	for _, lane := range []string{"1", "2"} { // what came before their last beat is missing
		for !slices.Contains(shown[lane], "drawdown, end") {
			mark(lane)
		}
	}
	s.await("a and a recipe's digit add an order") // all is over
	s.press("q")
	s.await("2 of 3 orders served")
	s.press("q")
	if code := s.leaves(); code != exitOK {
		t.Errorf("exit code %d", code)
	}
	s.await("bar: 3 orders, 2 served, 3 brews; ") // on the normal screen
	r := roundOf(t, folder)
	if len(r.Brews) != 3 || r.service.Orders() != 3 || len(r.open()) != 0 {
		t.Fatalf("%d brews, %d orders, %d open", len(r.Brews), r.service.Orders(), len(r.open()))
	}
	missing := 0
	for _, b := range r.Brews {
		lane, _, _ := strings.Cut(b.Order, " ")
		if got := append([]string{"has begun"}, marksOf(t, b)...); !slices.Equal(got, shown[lane]) {
			t.Errorf("order %s: the journal has %q, the screen showed %q", lane, got, shown[lane])
		}
		missing += 2 - len(marksOf(t, b))
		want := journal.Finished
		if lane == "3" {
			want = journal.Stopped
		}
		if b.End != want || b.Person != "Ada" || b.Round != r.ID {
			t.Errorf("order %s: %s by %q in round %q", lane, b.End, b.Person, b.Round)
		}
	}
	if missing == 0 {
		t.Error("every beat was marked: nothing was missing")
	}
	first, _ := r.Brews[0].Fold()
	if early := first.Beat(first.Last()); early.Marked >= early.Called && len(shown["1"]) == 2 {
		t.Errorf("the first mark, at %v, was not early", early.Marked)
	}
}

// A service that is killed is not lost: its brew is found as cut off with its
// marks, its orders are listed when the bar is opened again, and it can be
// taken up and brought to its end.
func TestAKilledServiceIsNotLost(t *testing.T) {
	t.Parallel()
	program, folder := built(t, "."), t.TempDir()
	s := rush(t, program, folder)
	s.await("a add")
	for n := range 2 {
		s.press("a")
		s.await("add which?")
		s.press("1")
		s.await(string(rune('1'+n)) + " A rushed cup added")
	}
	s.seen("1")
	_, beat := s.seen("1")
	must(t, s.cmd.Process.Signal(syscall.SIGKILL))
	<-s.ended
	r := roundOf(t, folder)
	if len(r.Brews) != 1 || r.Brews[0].End != journal.CutOff || !slices.Equal(marksOf(t, r.Brews[0]), []string{beat}) || len(r.open()) != 2 {
		t.Fatalf("%d brews, %d open, marks %v", len(r.Brews), len(r.open()), marksOf(t, r.Brews[0]))
	}
	opened := exec.Command(program, "bar", filepath.Join(folder, "rushed.yaml"), "--plain", "--journal", filepath.Join(folder, "rush.db"))
	opened.Env = append(os.Environ(), "HOME="+folder, "XDG_CONFIG_HOME="+folder, "XDG_DATA_HOME="+folder)
	told, err := opened.CombinedOutput()
	for _, want := range []string{"was cut off with these orders open:", "  1, A rushed cup, brewing", "  2, A rushed cup, ", " bar --take-up goes on with it"} {
		if !strings.Contains(string(told), want) {
			t.Errorf("opened again it does not say %q: %v\n%s", want, err, told)
		}
	}
	again := rush(t, program, folder, "--take-up")
	again.await("a add")
	again.await("1 A rushed cup")
	again.seen("2")
	again.press("q")
	again.await("Close? y")
	again.press("y")
	again.await("closed;")
	again.press("q") // once more: what runs is stopped
	again.await("Stop what runs")
	again.press("y")
	again.await("2 orders")
	again.press("q")
	if code := again.leaves(); code != exitOK {
		t.Errorf("exit code %d", code)
	}
	after := roundOf(t, folder)
	if after.ID != r.ID || len(after.Brews) != 2 || len(after.open()) != 0 || after.Brews[0].ID != r.Brews[0].ID || after.Brews[0].End == journal.CutOff || after.Brews[1].End != journal.Stopped {
		t.Errorf("round %s with %d brews, %d open, the first %s", after.ID, len(after.Brews), len(after.open()), after.Brews[0].End)
	}
}
