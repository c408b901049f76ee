package journal_test

import (
	"context"
	"math/rand/v2"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/drift"
	"barline/cmd/barline/internal/journal"
)

var ctx = context.Background()

// summer is a place two hours ahead of UTC.
var summer = time.FixedZone("", 2*60*60)

// morning is when the bar of the tests opens.
var morning = time.Date(2026, 6, 12, 8, 0, 0, 123456789, summer)

// press returns the plan of a press with six asked beats.
func press(t testing.TB) *brew.Plan {
	t.Helper()
	return planOf(t, pressed)
}

var pressed = brew.Recipe{
	Name: "Quayside press", Method: brew.PressMethod, Coffee: "washed <light> & \"sweet\"",
	Dose: 14 * brew.Gram, Water: 210 * brew.Gram, Temperature: 93, Capacity: 250 * brew.Gram,
	Prepare: []brew.Chore{{Do: "Rinse, dose {dose}", Over: 20 * time.Second}},
	Steps: []brew.Step{
		{Action: brew.Pour, Amount: 50 * brew.Gram, To: true, Over: 8 * time.Second, Label: "bloom"},
		{Action: brew.Swirl, Text: "gently", Over: 4 * time.Second},
		{Action: brew.Pour, Amount: 210 * brew.Gram, To: true, Anchor: brew.At, Offset: 36 * time.Second, Over: 16 * time.Second},
		{Action: brew.Lift, Text: "off the scale"},
		{Action: brew.Stir, Text: "4 turns", Over: 5 * time.Second, Anchor: brew.At, Offset: 100 * time.Second, Mark: brew.MarkStart},
		{Action: brew.Press, Text: "to the hiss", Over: 28 * time.Second, Caution: "hot → slow"},
	},
	Aim: brew.Aim{Strength: 1.4, Extraction: 20},
}

// cone returns another plan.
func cone(t testing.TB) *brew.Plan {
	t.Helper()
	return planOf(t, brew.Recipe{
		Name: "Quayside cone", Method: brew.Cone, Dose: 15 * brew.Gram, Water: 240 * brew.Gram, Temperature: 95,
		Steps: []brew.Step{
			{Action: brew.Pour, Amount: 45 * brew.Gram, Over: 10 * time.Second},
			{Action: brew.Pour, Amount: 195 * brew.Gram, Anchor: brew.At, Offset: 40 * time.Second, Over: 30 * time.Second},
			{Action: brew.Drawdown, Over: 80 * time.Second},
		},
	})
}

func planOf(t testing.TB, r brew.Recipe) *brew.Plan {
	t.Helper()
	p, err := brew.NewPlan(r, brew.Bar{})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// brewed returns a record that Begin takes.
func brewed(p *brew.Plan, start time.Time) journal.Record {
	return journal.Record{
		Brew: journal.Brew{
			ID: idAt(start), Kind: drift.Service, Person: "Ada", Start: start,
			Clock:  journal.Clock{Kept: journal.Boottime, Boot: "boot-1", Zero: 5000 * time.Second},
			Coffee: "washed", Lot: "12", Setting: "24 clicks",
		},
		Plan: p, Text: "name: " + p.Name + "\n# as written\n",
	}
}

var (
	randomly sync.Mutex
	random   = rand.NewChaCha8([32]byte{1})
)

func idAt(start time.Time) string {
	randomly.Lock()
	defer randomly.Unlock()
	id, err := journal.NewID(start, random)
	if err != nil {
		panic(err)
	}
	return id
}

// follow returns events that brew the plan to its end: every asked beat is
// marked, late by a little more each time, so that all is plain and exact.
func follow(p *brew.Plan) []brew.Event {
	events := []brew.Event{{Kind: brew.EventStart, Source: brew.FromKey}}
	lane, _ := brew.NewLane(p).Apply(events[0])
	late := 123456789 * time.Nanosecond
	for n, b := range p.Beats {
		if !b.Asked {
			continue
		}
		e := brew.Event{Kind: brew.EventMark, At: lane.Beat(n).Called + late, Source: brew.FromKey}
		if n%2 == 0 {
			weight := brew.Mass(50_123 + n)
			e.Weight, e.Source = &weight, brew.FromScale
		}
		lane, _ = lane.Apply(e)
		events = append(events, e)
		late += 300 * time.Millisecond
	}
	last := events[len(events)-1].At
	return append(events, brew.Event{Kind: brew.EventFinish, At: last, Source: brew.FromClock})
}

func open(t testing.TB, path string) *journal.Journal {
	t.Helper()
	return openWith(t, path, journal.Options{})
}

func openWith(t testing.TB, path string, o journal.Options) *journal.Journal {
	t.Helper()
	j, err := journal.Open(path, o)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { j.Close() })
	return j
}

func fresh(t testing.TB) *journal.Journal {
	t.Helper()
	return open(t, filepath.Join(t.TempDir(), "journal.db"))
}

func begin(t testing.TB, j *journal.Journal, r journal.Record) *journal.Recorder {
	t.Helper()
	rec, err := j.Begin(r)
	if err != nil {
		t.Fatal(err)
	}
	return rec
}

// record brews a record to the end of its events and returns its id.
func record(t testing.TB, j *journal.Journal, r journal.Record, events []brew.Event) string {
	t.Helper()
	rec := begin(t, j, r)
	for n, e := range events {
		if err := rec.Append(n, e); err != nil {
			t.Fatalf("event %d: %v", n, err)
		}
	}
	if err := finish(t, rec); err != nil {
		t.Fatal(err)
	}
	return rec.ID()
}

func load(t testing.TB, j *journal.Journal, id string) journal.Record {
	t.Helper()
	r, err := j.Load(ctx, id)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// sound fails where Verify finds anything.
func sound(t testing.TB, j *journal.Journal) {
	t.Helper()
	findings, _, err := j.Verify(ctx)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range findings {
		t.Errorf("verify: %s", f)
	}
}
