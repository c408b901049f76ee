package main

import (
	"context"
	"testing"
	"time"

	"barline/brew"
	"barline/cmd/barline/internal/journal"
)

// The cup page gets the cups of a recipe that have a strength, the oldest
// first, with what stands of them; looking makes no file.
func TestTheCupPageAsksTheJournal(t *testing.T) {
	b := newBench(t)
	book := b.book()
	if cups, err := book.Cups("Quayside press"); err != nil || cups != nil || !missing(book.path) {
		t.Errorf("%v, %v", cups, err)
	}
	strengths := []float64{1.31, 0, 1.4}
	for _, strength := range strengths {
		k := b.starts("Ada", 8, 52, 112, 140)
		must(t, k.Append(5, brew.Event{Kind: brew.EventFinish, At: 140 * time.Second, Source: brew.FromClock}, b.clock.Now().Elapsed-140*time.Second))
		said := brew.Correction{Beverage: new(brew.Mass)}
		*said.Beverage = 182 * brew.Gram
		if strength > 0 {
			said.Strength = new(brew.Percent)
			*said.Strength = brew.Percent(strength)
		}
		must(t, k.Measure(said))
		must(t, k.close(b.env))
		b.clock.Advance(time.Minute)
	}
	cups, err := book.Cups("quayside PRESS")
	must(t, err)
	if len(cups) != 2 || *cups[0].Reading.Strength != 1.31 || *cups[1].Reading.Strength != 1.4 || *cups[0].Reading.Beverage != 182*brew.Gram || cups[0].Plan.Method != brew.PressMethod {
		t.Errorf("%+v", cups)
	}
	if cups, err = book.Cups("Quayside cone"); err != nil || len(cups) != 0 {
		t.Errorf("of another recipe %v, %v", cups, err)
	}
	j, err := book.open()
	must(t, err)
	seen := 0
	must(t, eachRead(context.Background(), j, journal.Filter{}, func(journal.Record, brew.Reading) bool { seen++; return false }))
	if seen != 1 {
		t.Errorf("it goes on after it was told to stop: %d", seen)
	}
}

// At a terminal the page starts from the recipe, works out what is typed and
// leaves the terminal as it found it.
func cupAtTheTerminal(t *testing.T, program string) {
	s := start(t, program, "cup", "a-fast-cup")
	s.await("A fast cup: by percolation")
	s.press("30")
	s.await("30_ g")
	s.press("\t")
	s.press("1.")
	s.press("9")
	s.await("19.00 ±")
	s.press("q")
	if code := s.leaves(); code != 0 {
		t.Errorf("it ends with %d", code)
	}
}
