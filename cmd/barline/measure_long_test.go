//go:build unix

package main

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"
)

// In half an hour of real time lateness does not add up. No figure is held
// against a limit: what is seen is said, and a cue that does not come, or
// comes early, is an error.
func TestHalfAnHourAtATerminal(t *testing.T) {
	if os.Getenv("BARLINE_CAMPAIGN") == "" {
		t.Skip("SKIPPED, NOT MEASURED: it takes half an hour; BARLINE_CAMPAIGN=1 does it")
	}
	t.Parallel()
	home := t.TempDir()
	cues := someCues(rand.New(rand.NewPCG(rand.Uint64(), 30)), 190, 6*time.Second, 13*time.Second)
	recipe, journal := write(t, home, "many.yaml", recipeOf(cues)), filepath.Join(home, "journal.db")
	s := sit(t, 80, 24, home, built(t, "."), "brew", recipe, "--journal", journal)
	pressed, from := s.start(t)
	last := cues[len(cues)-1].due
	time.Sleep(last + time.Second)
	s.leave()
	late := s.late(cues, pressed, from)
	t.Logf("%d of %d cues in %s; the zero lies %.1f ms behind the key press; load average %s", len(late), len(cues), last.Round(time.Second), ms(zeroOf(t, journal)-pressed), loadAverage())
	t.Logf("first ten %s", spreadOf(late[:min(10, len(late))]))
	t.Logf("last ten  %s", spreadOf(late[max(len(late)-10, 0):]))
	t.Logf("all       %s", spreadOf(late))
	if len(late) < len(cues) || spreadOf(late).at(0) < 0 {
		t.Errorf("%d of %d cues came, the earliest %s behind its moment", len(late), len(cues), spreadOf(late).at(0))
	}
}
