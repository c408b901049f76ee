//go:build unix

package main

import (
	"math/rand/v2"
	"path/filepath"
	"sync"
	"testing"
	"time"
)

// BenchmarkPunctual measures how long after a cue's moment the first byte that
// shows it comes to the terminal, and how long after it the bell: over four
// brews of 130 cues, 250 to 450 ms apart, and so at any moment of a frame.
//
// A cue's moment is that of the key press which started the brew, taken just
// before the key is written to the terminal, and what the recipe says. Nothing
// of it comes from the program; what its journal has as the zero is told
// beside.
//
// At the same time, at terminals of their own, three other programs call the
// same cues: a shell loop of sleep and printf, a program that looks at the
// clock each 100 ms, and one that is 30 ms late on purpose, which tells what
// the meter itself adds.
func BenchmarkPunctual(b *testing.B) {
	barline, caller := built(b, "."), built(b, "./testdata/measure/caller")
	inStates(b, func(b *testing.B) {
		var all [callers]lateness
		var bells, zeros, ownLate []time.Duration
		cues := 0
		for range measuring(4) {
			r := callAll(b, barline, caller)
			for i := range all {
				all[i].add(r.late[i])
			}
			bells, zeros, cues = append(bells, r.bells...), append(zeros, r.zero), cues+r.cues
			for _, late := range r.late[itself] {
				ownLate = append(ownLate, late-r.zero)
			}
		}
		for i, name := range [callers]string{"cue", "shell", "poll", "late30"} {
			all[i].report(b, name, cues)
		}
		if shown := len(all[itself].late); shown < cues {
			b.Errorf("only %d of %d cues were shown", shown, cues)
		}
		rung := spreadOf(bells)
		rung.report(b, "bell")
		b.Logf("%-7s %s; of %d cues", "bell", rung, cues)
		b.Logf("%-7s %s behind the key press, as the journal has it", "zero", spreadOf(zeros))
		b.Logf("%-7s %s when counted from that zero", "cue", spreadOf(ownLate))
		b.ReportMetric(ms(spreadOf(zeros).at(1)), "zero-max-ms")
	})
}

// The programs that call the same cues.
const (
	itself = iota
	shellLoop
	polls
	lateOnPurpose
	callers
)

// lateness is that of one program over several brews.
type lateness struct {
	late   []time.Duration
	gained []time.Duration // one a brew
}

func (l *lateness) add(late []time.Duration) {
	l.late, l.gained = append(l.late, late...), append(l.gained, gained(late))
}

func (l *lateness) report(b *testing.B, name string, cues int) {
	b.Helper()
	s, built := spreadOf(l.late), spreadOf(l.gained)
	s.report(b, name)
	b.Logf("%-7s %s; %d of %d cues; from the first ten to the last ten of a brew it got later by %.1f ms (half of the brews, the worst %.1f)",
		name, s, len(s), cues, ms(built.at(0.5)), ms(built.at(1)))
	b.ReportMetric(ms(built.at(0.5)), name+"-gained-ms")
	if s.at(0) < 0 {
		b.Errorf("%s: a cue came %s early", name, -s.at(0))
	}
}

// round is what was measured in one brew.
type round struct {
	cues  int
	late  [callers][]time.Duration
	bells []time.Duration
	zero  time.Duration // of the program itself, behind the key press
}

// callAll has all the programs call the same cues, begun one behind the other.
func callAll(b *testing.B, barline, caller string) round {
	home := b.TempDir()
	cues := someCues(rand.New(rand.NewPCG(rand.Uint64(), 4)), 130, 250*time.Millisecond, 450*time.Millisecond)
	// Strokes ahead of cues would mix with those of other cues.
	write(b, home, "barline/config.yaml", "ahead: 0 s\n")
	recipe, gaps := write(b, home, "many.yaml", recipeOf(cues)), write(b, home, "gaps", gapsOf(cues))
	journal := filepath.Join(home, "journal.db")
	programs := [callers]*seated{
		sit(b, 80, 24, home, barline, "brew", recipe, "--journal", journal),
		sit(b, 80, 24, home, "sh", "testdata/measure/loop.sh", gaps),
		sit(b, 80, 24, home, caller, "poll", gaps),
		sit(b, 80, 24, home, caller, "late", gaps),
	}
	r := round{cues: len(cues)}
	programs[itself].await(b, "water meets coffee", 0, 10*time.Second)
	var brewing sync.WaitGroup
	var pressed time.Duration
	for i, s := range programs {
		pause(0, 400*time.Millisecond)
		key := "\n"
		if i == itself {
			key = " "
		}
		zero, from := s.press(b, key)
		if i == itself {
			pressed = zero
		}
		brewing.Go(func() {
			time.Sleep(cues[len(cues)-1].due + 2*time.Second) // the shell is behind by then
			s.leave()
			r.late[i] = s.late(cues, zero, from)
			if i == itself {
				// The pour at 0:00 rings, too.
				r.bells = s.strokes(append([]cue{{}}, cues...), zero, from)
			}
		})
	}
	brewing.Wait()
	r.zero = zeroOf(b, journal) - pressed
	return r
}
