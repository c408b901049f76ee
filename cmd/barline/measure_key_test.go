//go:build unix

package main

import (
	"fmt"
	"path/filepath"
	"testing"
	"time"
)

// BenchmarkKeyToFrame measures how long a key press takes from just before it
// is written to the terminal until the frame that shows its mark has come,
// hollow or solid: in six brews of thirty pours, near the end of each pour and
// at any moment of a frame.
func BenchmarkKeyToFrame(b *testing.B) {
	barline := built(b, ".")
	inStates(b, func(b *testing.B) {
		var took []time.Duration
		presses := 0
		for range measuring(6) {
			came, pressed := markAll(b, barline)
			took, presses = append(took, came...), presses+pressed
		}
		s := spreadOf(took)
		s.report(b, "frame")
		b.Logf("key to frame %s; of %d presses", s, presses)
		if len(s) < presses*9/10 {
			b.Errorf("only %d of %d presses marked the pour they were meant for: the machine is too busy to measure", len(s), presses)
		}
	})
}

// markAll marks the pours of one brew, each 300 ms long, and returns how long
// it took to show each mark that went to the pour it was meant for.
func markAll(b *testing.B, barline string) (took []time.Duration, presses int) {
	home := b.TempDir()
	recipe := write(b, home, "many.yaml", marked())
	s := sit(b, 80, 24, home, barline, "brew", recipe, "--speed", "10", "--journal", filepath.Join(home, "journal.db"))
	defer s.leave()
	zero, _ := s.start(b)
	const pours = 28
	var at [pours]time.Duration
	var from [pours]int
	for n := range pours {
		due := zero + time.Duration(n+1)*300*time.Millisecond
		time.Sleep(due - elapsed() - 80*time.Millisecond)
		pause(0, 40*time.Millisecond)
		// The same key again within 700 ms would be taken for held down.
		at[n], from[n] = s.press(b, []string{"\r", "\x1b[6~", " "}[n%3])
	}
	time.Sleep(time.Second)
	for n := range pours {
		if came, _, ok := s.find(fmt.Sprintf("] p%02d, end", n+1), from[n]); ok {
			took = append(took, came-at[n])
		}
	}
	return took, pours
}

// BenchmarkStart measures how long it takes from just before the program is
// started until its shelf has come to a terminal that answers nothing.
func BenchmarkStart(b *testing.B) {
	barline := built(b, ".")
	inStates(b, func(b *testing.B) {
		var took []time.Duration
		home := b.TempDir()
		for range measuring(60) {
			s := sit(b, 80, 24, home, barline)
			at, _ := s.await(b, "what shall it be?", 0, 10*time.Second)
			took = append(took, at-s.began)
			s.leave()
		}
		s := spreadOf(took)
		s.report(b, "start")
		b.Logf("start to the first frame %s", s)
	})
}
