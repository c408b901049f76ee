package main

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/drift"
	"barline/cmd/barline/internal/journal"

	"github.com/rogpeppe/go-internal/testscript"
)

// Each script is a behaviour of drift and fit, over the journal of shiftOf.
func TestDriftScripts(t *testing.T) {
	lines := filepath.Join(t.TempDir(), "bar.db")
	shiftOf(t, lines)
	bar, err := os.ReadFile(lines)
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir: "testdata/drift",
		Setup: func(e *testscript.Env) error {
			e.Setenv("HOME", e.WorkDir)
			e.Setenv("XDG_CONFIG_HOME", filepath.Join(e.WorkDir, "config"))
			e.Setenv("XDG_DATA_HOME", filepath.Join(e.WorkDir, "data"))
			e.Setenv("TZ", "UTC")
			for _, n := range []int{0, 20, 99, 100, 110, 149, 160, 163, 170} {
				e.Setenv(fmt.Sprintf("BREW%d", n), shiftID(startOf(n), n))
			}
			e.Setenv("FIT", shiftID(startOf(160), 1005))
			return os.WriteFile(filepath.Join(e.WorkDir, "bar.db"), bar, 0o600)
		},
		UpdateScripts: os.Getenv("UPDATE_SCRIPTS") != "",
	})
}

// dock is the recipe of the invented shift: a bloom, a pour that is pinned, one
// that hangs behind it, and the bed. Its second version pours the last slower.
func dock(t testing.TB, last time.Duration) *brew.Plan {
	t.Helper()
	p, err := brew.NewPlan(brew.Recipe{
		Name: "Dock cone", Method: brew.Cone, Dose: 15 * brew.Gram, Water: 250 * brew.Gram, Temperature: 94,
		Steps: []brew.Step{
			{Action: brew.Pour, Amount: 50 * brew.Gram, Over: 10 * time.Second, Label: "bloom"},
			{Action: brew.Pour, Amount: 100 * brew.Gram, Anchor: brew.At, Offset: 45 * time.Second, Over: 15 * time.Second},
			{Action: brew.Pour, Amount: 100 * brew.Gram, Anchor: brew.After, Offset: 15 * time.Second, Over: last},
			{Action: brew.Drawdown, Over: time.Minute},
		},
	}, brew.Bar{})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// shiftOf makes a journal: 100 brews of the first version by Ada and Bo, 60 of
// the second, Bo 5 s late with the second pour; a few marks missing, a few
// weights, and beside them what does not count. Chance follows from a seed.
func shiftOf(t testing.TB, path string) {
	t.Helper()
	s := shift{t: t, dice: rand.New(rand.NewPCG(3, 5))}
	old, now := dock(t, 15*time.Second), dock(t, 20*time.Second)
	for n := range 160 {
		plan := old
		if n >= 100 {
			plan = now
		}
		s.brew(n, plan, []string{"Ada", "Bo"}[n%2], func(*journal.Record) {})
	}
	s.brew(160, now, "Ada", func(r *journal.Record) {
		r.Events = append(r.Events[:2], brew.Event{Kind: brew.EventStop, At: 30 * time.Second, Source: brew.FromKey, Text: "a spill"})
	})
	s.brew(161, now, "Ada", func(r *journal.Record) { r.Events = r.Events[:3] }) // cut off
	s.brew(162, now, "Cy", func(r *journal.Record) { r.Kind, r.Speed = drift.Practice, 10 })
	s.brew(163, now, "Cy", func(r *journal.Record) { r.Kind = drift.Rehearsal })
	few := *old
	few.Name = "Dock few"
	for n := range 3 {
		s.brew(170+n, &few, "", func(*journal.Record) {})
	}
	for n, a := range []struct {
		person string
		plan   *brew.Plan
		from   int
		brews  int
	}{{"Bo", old, 0, 5}, {"ada", old, 12, 10}, {"Ada", now, 100, 20}, {"Ada", now, 120, 5}, {"Ada", now, 150, 20}, {"Bo", now, 160, 9}} {
		s.batch.Attempts = append(s.batch.Attempts, journal.Attempt{ID: shiftID(startOf(a.from), 1000+n), Person: a.person, Recipe: "Dock cone", Version: a.plan.Version, Brews: a.brews, Opened: startOf(a.from)})
	}
	j, err := journal.Open(path, journal.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := j.Add(context.Background(), s.batch); err != nil {
		t.Fatal(err)
	}
	if err := j.Close(); err != nil {
		t.Fatal(err)
	}
}

type shift struct {
	t     testing.TB
	dice  *rand.Rand
	batch journal.Batch
}

// opens is when the first brew was, and a brew is every seven hours.
var opens = time.Date(2026, 3, 2, 7, 0, 0, 0, time.UTC)

func startOf(n int) time.Time { return opens.Add(time.Duration(n) * 7 * time.Hour) }

func (s *shift) brew(n int, plan *brew.Plan, person string, change func(*journal.Record)) {
	s.t.Helper()
	start := startOf(n)
	r := journal.Record{
		Brew: journal.Brew{ID: shiftID(start, n), Kind: drift.Service, Person: person, Start: start, Clock: journal.Clock{Kept: journal.Wall}},
		Plan: plan, Events: []brew.Event{{Kind: brew.EventStart, Source: brew.FromKey}},
	}
	lane, _ := brew.NewLane(plan).Apply(r.Events[0])
	for i, b := range plan.Beats {
		if !b.Asked {
			continue
		}
		slip := s.dice.NormFloat64()
		if person == "Bo" && b.Key == "second pour, end" {
			slip += 5
		}
		if n%25 == 10 && i == 1 { // a mark that was forgotten
			continue
		}
		e := brew.Event{Kind: brew.EventMark, At: lane.Beat(i).Called + time.Duration(slip*1e3)*time.Millisecond, Source: brew.FromKey}
		if n%4 == 0 {
			grams := plan.Cues[b.Cue].Scale + brew.Mass(s.dice.IntN(3000)) - 1000
			e.Weight = &grams
		}
		lane, _ = lane.Apply(e)
		r.Events = append(r.Events, e)
	}
	r.Events = append(r.Events, brew.Event{Kind: brew.EventFinish, At: r.Events[len(r.Events)-1].At, Source: brew.FromClock})
	change(&r)
	s.batch.Brews = append(s.batch.Brews, r)
}

// shiftID is an id that says the brew's number.
func shiftID(start time.Time, n int) string {
	return fmt.Sprintf("%08x-%04x-7000-8000-%012d", start.UnixMilli()>>16, start.UnixMilli()&0xffff, n)
}

// Whatever a person is called, what is said of them does not steer the terminal.
func TestNoNameSteersTheTerminal(t *testing.T) {
	var out strings.Builder
	lines(&out, "- ", "Ada\x1b[31m\a\u009b2J\u202e is late")
	if text := out.String(); strings.ContainsAny(text, "\x1b\a\u009b\u202e") || !strings.HasPrefix(text, "- Ada") {
		t.Errorf("%q", text)
	}
}
