package main

import (
	"slices"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/bar"
	"barline/cmd/barline/internal/journal"
)

// A kill may come between the cancelling of an order and the stop of its brew:
// taken up, the brew is stopped, and not left as cut off.
func TestABrewOfACancelledOrderIsStoppedWhenAServiceIsTakenUp(t *testing.T) {
	b := newBench(t)
	open, all, _ := b.aService()
	keeper, book := b.keeping(open)
	zero := b.app.now()
	for n, e := range all {
		if e.Kind == bar.OrderCancelled {
			must(t, keeper.Append(n, e.ServiceEvent, bar.Result{Order: e.Result.Order}, zero))
			break
		}
		must(t, keeper.Append(n, e.ServiceEvent, e.Result, zero))
	}
	must(t, keeper.close(b.env))
	must(t, book.close())
	b.clock.Advance(90 * time.Second)
	s, err := b.app.serving(&serviceFlags{kitFlags: kitFlags{people: 1, brewers: 2, kettles: 1}, speed: 1}, nil)
	must(t, err)
	must(t, b.app.takeUpService(s))
	must(t, s.keeper.close(b.env))
	must(t, s.book.close())
	j, err := b.book().open()
	must(t, err)
	rounds, err := j.RecentRounds(t.Context(), journal.BarRound, 1)
	must(t, err)
	if len(rounds) != 1 || len(rounds[0].Brews) != 2 {
		t.Fatalf("%+v", rounds)
	}
	if first, second := rounds[0].Brews[0], rounds[0].Brews[1]; first.End != journal.CutOff || second.End != journal.Stopped || second.Why != "the guest left" {
		t.Errorf("the brew that runs is %q, that of the cancelled order %q, %q", first.End, second.End, second.Why)
	}
	if read := readRound(rounds[0]); read.err != nil || read.service.Brews() != 2 || len(read.open()) != 1 {
		t.Errorf("%v, %d brews, %d open", read.err, read.service.Brews(), len(read.open()))
	}
}

// Brews that were over before the kill are found by their ids, too.
func TestBrewsThatWereOverAreKnownWhenAServiceIsTakenUp(t *testing.T) {
	b := newBench(t)
	open, all, _ := b.aService()
	keeper, book := b.keeping(open)
	zero, last := b.app.now(), len(all)-1
	for n, e := range all[:last] {
		must(t, keeper.Append(n, e.ServiceEvent, e.Result, zero))
	}
	more := bar.ServiceEvent{Kind: bar.OrderPlaced, At: 205 * time.Second, Source: brew.FromKey}
	must(t, keeper.Append(last, more, bar.Result{Order: 2}, zero))
	want := []string{keeper.ID(0), keeper.ID(1)}
	must(t, keeper.close(b.env))
	must(t, book.close())
	b.clock.Advance(300 * time.Second)
	s, err := b.app.serving(&serviceFlags{kitFlags: kitFlags{people: 1, brewers: 2, kettles: 1}, speed: 1}, nil)
	must(t, err)
	must(t, b.app.takeUpService(s))
	if got := []string{s.opt.ID(0), s.opt.ID(1)}; want[0] == "" || want[1] == "" || !slices.Equal(got, want) {
		t.Errorf("they are %q, want %q", got, want)
	}
	must(t, s.keeper.close(b.env))
	must(t, s.book.close())
}

// What happened to an order of a round is told with its end where it has one.
func TestAHoldIsToldWithItsEnd(t *testing.T) {
	for _, c := range []struct {
		e    bar.ServiceEvent
		want string
	}{
		{bar.ServiceEvent{Kind: bar.OrderHeld, Order: 1}, "order 2 was held"},
		{bar.ServiceEvent{Kind: bar.OrderHeld, Order: 1, Until: 90 * time.Second}, "order 2 was held until 1:30"},
		{bar.ServiceEvent{Kind: bar.OrderReleased, Order: 1}, "order 2 was let go"},
	} {
		if got := eventText(c.e); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
