package main

import (
	"testing"
	"time"

	"barline/brew"
	"barline/brew/bar"
	"barline/cmd/barline/internal/journal"
)

// A table that was cut off goes on with its bowls, their codes and what is in
// them, whatever else is said when it is taken up; a bowl that is poured again
// holds what the first one held.
func TestATableIsTakenUp(t *testing.T) {
	b := newBench(t)
	laid, err := b.app.cuppingTable("quayside-cupping", cuppingFlags{bowls: 3, people: 1, kettles: 1, seed: 7, coffees: []string{"washed", "natural"}})
	must(t, err)
	open := func(takeUp bool, bowls int, seed uint64) *serving {
		t.Helper()
		table, err := b.app.cuppingTable("quayside-cupping", cuppingFlags{bowls: bowls, people: 1, kettles: 1, seed: seed})
		must(t, err)
		if !takeUp {
			table = laid
		}
		s, err := b.app.tableServing(&serviceFlags{speed: 1, takeUp: takeUp}, table, "quayside-cupping", 1)
		must(t, err)
		return s
	}
	give := func(s *serving, e bar.ServiceEvent) {
		t.Helper()
		n := s.opt.Service.Count()
		e.Source = brew.FromKey
		next, r := s.opt.Service.Apply(e)
		if r.Effect == brew.Refused {
			t.Fatal(r.Why)
		}
		s.opt.Service = next
		must(t, s.keeper.Append(n, e, r, s.opt.Zero))
	}
	start := func(s *serving, order, at int) {
		t.Helper()
		give(s, bar.ServiceEvent{Kind: bar.BrewEvent, At: time.Duration(at) * time.Second, Order: order, Brew: brew.Event{Kind: brew.EventStart}})
	}
	cut := func(s *serving) {
		t.Helper()
		must(t, s.keeper.close(b.env))
		must(t, s.book.close())
	}
	s := open(false, 3, 7)
	start(s, 0, 10)
	cut(s)
	if _, is := b.book().openRound(journal.BarRound); is {
		t.Error("a table is offered as a service of the bar")
	}
	b.clock.Advance(30 * time.Second)
	s = open(true, 5, 8)
	if got := s.opt.Service; got.Orders() != 3 || got.Brews() != 1 || got.Ticket(2).Name != laid.codes[2] || s.opt.Title != "Quayside cupping bowl, seed 7" || s.opt.Menu != nil || s.opt.ID != nil {
		t.Errorf("%d bowls, %d poured, the third %q, %q", got.Orders(), got.Brews(), got.Ticket(2).Name, s.opt.Title)
	}
	start(s, 1, 31)
	give(s, bar.ServiceEvent{Kind: bar.OrderRemade, At: 33 * time.Second, Order: 1})
	start(s, 3, 35)
	cut(s)
	rounds, err := must2(b.book().open())(t).RecentRounds(t.Context(), journal.CuppingRound, 2)
	must(t, err)
	if len(rounds) != 1 || len(rounds[0].Brews) != 3 || readRound(rounds[0]).err != nil {
		t.Fatalf("%d rounds: %+v", len(rounds), rounds)
	}
	for n, order := range []int{0, 1, 1} {
		if got := rounds[0].Brews[n].Coffee; got != laid.coffees[order] {
			t.Errorf("brew %d holds %q, want %q", n, got, laid.coffees[order])
		}
	}
	b.clock.Advance(13 * time.Hour)
	if err := b.app.takeUpService(open(false, 3, 7)); err == nil {
		t.Error("a table of yesterday is taken up")
	}
}

func must2[T any](v T, err error) func(*testing.T) T {
	return func(t *testing.T) T { t.Helper(); must(t, err); return v }
}
