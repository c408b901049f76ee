package main

import (
	"context"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"sync"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/bar"
	"barline/cmd/barline/internal/journal"
)

// told is one event of a service and what it did.
type told struct {
	bar.ServiceEvent
	bar.Result
}

// aService plays a short service of two orders of a recipe, one of which is
// cancelled while it brews.
func (b bench) aService() (bar.Opening, []told, bar.Service) {
	b.t.Helper()
	plan, err := brew.NewPlan(document(b.t, "quayside-press").Recipe(), brew.Bar{})
	must(b.t, err)
	open := bar.Opening{Menu: []*brew.Plan{plan}, Kit: bar.Kit{Brewers: 2}, People: []string{"Ada"}}
	s := open.Service()
	var all []told
	apply := func(e bar.ServiceEvent) {
		b.t.Helper()
		next, r := s.Apply(e)
		if r.Effect == brew.Refused {
			b.t.Fatalf("%s: %s", e.Kind, r.Why)
		}
		e.Source = brew.FromKey
		s, all = next, append(all, told{e, r})
	}
	adopt := func(now time.Duration) {
		r := s.Replan(now)
		r.Advance(200)
		sch, ok := r.Best()
		if !ok {
			b.t.Fatal(r.Err())
		}
		apply(bar.ServiceEvent{Kind: bar.PlanAdopted, At: now, Source: brew.FromKey, Schedule: &sch})
	}
	at := func(n int) time.Duration { return time.Duration(n) * time.Second }
	for n := range 2 {
		apply(bar.ServiceEvent{Kind: bar.OrderPlaced, At: at(n), Source: brew.FromKey, Ticket: bar.Ticket{Name: "Ben"}})
		adopt(at(n))
	}
	for n := range 2 {
		apply(bar.ServiceEvent{Kind: bar.BrewEvent, At: at(60 + n), Source: brew.FromKey, Order: n, Brew: brew.Event{Kind: brew.EventStart}})
		adopt(at(60 + n))
	}
	apply(bar.ServiceEvent{Kind: bar.BrewEvent, At: at(71), Source: brew.FromKey, Order: 0, Brew: brew.Event{Kind: brew.EventMark}})
	apply(bar.ServiceEvent{Kind: bar.OrderCancelled, At: at(80), Source: brew.FromKey, Order: 1, Text: "the guest left"})
	apply(bar.ServiceEvent{Kind: bar.BrewEvent, At: at(200), Source: brew.FromKey, Order: 0, Brew: brew.Event{Kind: brew.EventFinish}})
	apply(bar.ServiceEvent{Kind: bar.ServiceClosed, At: at(210), Source: brew.FromKey})
	return open, all, s
}

// keeping returns a keeper for a service.
func (b bench) keeping(open bar.Opening) (*serviceKeeper, *book) {
	b.t.Helper()
	card := &card{app: b.app, policy: brew.MarksAsked, texts: map[*brew.Plan][]byte{open.Menu[0]: []byte("name: Press\n")}}
	s, err := b.app.servingOf(open, card, "service", 1, journal.BarRound, "bar")
	must(b.t, err)
	return s.keeper, s.book
}

// Whatever order the events come in, the record is the service: the round, and
// each brew as a brew of its own, with its person, its order and its text.
func TestAServiceIsKeptWhateverOrderItsEventsComeIn(t *testing.T) {
	b := newBench(t)
	open, all, s := b.aService()
	keeper, book := b.keeping(open)
	zero := b.app.now()
	var saving sync.WaitGroup
	for n := len(all) - 1; n >= 0; n-- {
		saving.Go(func() { must(t, keeper.Append(n, all[n].ServiceEvent, all[n].Result, zero)) })
	}
	saving.Wait()
	must(t, keeper.Append(len(all)-1, all[len(all)-1].ServiceEvent, all[len(all)-1].Result, zero)) // asked once more
	must(t, keeper.close(b.env))
	must(t, book.close())
	j, err := b.book().open()
	must(t, err)
	findings, _, err := j.Verify(context.Background())
	if err != nil || len(findings) > 0 {
		t.Fatal(findings, err)
	}
	whole, live, there, err := j.LatestRound(context.Background(), journal.BarRound)
	if err != nil || live || !there {
		t.Fatal(live, there, err)
	}
	r := readRound(whole)
	must(t, r.err)
	if got, want := r.service.Look(s.Latest()), s.Look(s.Latest()); !reflect.DeepEqual(got, want) {
		t.Errorf("the record gives\n%+v, want\n%+v", got, want)
	}
	if len(r.Brews) != 2 {
		t.Fatalf("%d brews", len(r.Brews))
	}
	for n, brewed := range r.Brews {
		want := journal.Brew{Person: "Ada", Order: []string{"1 Ben", "2 Ben"}[n], Lane: n, Round: r.ID, StartAt: time.Duration(60+n) * time.Second, End: []journal.End{journal.Finished, journal.Stopped}[n]}
		got := journal.Brew{Person: brewed.Person, Order: brewed.Order, Lane: brewed.Lane, Round: brewed.Round, StartAt: brewed.StartAt, End: brewed.End}
		if got != want || brewed.Text != "name: Press\n" || !brewed.Start.Equal(eight.Add(brewed.StartAt)) {
			t.Errorf("brew %d: %+v, %q, started %s", n, got, brewed.Text, brewed.Start)
		}
	}
	if moved := moves(r.Brews); moved == 0 {
		t.Error("no cue was moved: the two brews began a second apart")
	}
	code, out, stderr := plainlyIn(t, b, "journal", "show", r.ID[:20])
	for _, want := range []string{"round " + r.ID, "2 orders, 1 served, 2 brews", "cancelled: the guest left", "at 3:30 the service was closed", "gave way: ", r.Brews[1].ID} {
		if !strings.Contains(out, want) {
			t.Errorf("journal show does not say %q: %d %s\n%s", want, code, stderr, out)
		}
	}
	if _, out, _ := plainlyIn(t, b, "journal", "show", r.Brews[0].ID); !strings.Contains(out, "round "+r.ID+", order 1 Ben\n") {
		t.Errorf("the brew does not tell its round:\n%s", out)
	}
}

func moves(brews []journal.Record) (n int) {
	for _, b := range brews {
		for _, e := range b.Events {
			if e.Kind == brew.EventMoved {
				n++
			}
		}
	}
	return n
}

// Where the record cannot be kept, every event says so, and nothing is lost:
// what was brewed goes to rescue files that import takes in.
func TestAServiceThatCannotBeKeptIsRescued(t *testing.T) {
	b := newBench(t)
	place := filepath.Join(t.TempDir(), "place")
	must(t, os.WriteFile(place, nil, 0o644)) // a file where the folder should be
	b.app.flags.journal = filepath.Join(place, "bar.db")
	open, all, _ := b.aService()
	keeper, book := b.keeping(open)
	for n, e := range all {
		if err := keeper.Append(n, e.ServiceEvent, e.Result, 0); err == nil {
			t.Fatalf("event %d is kept in a file that cannot be", n)
		}
	}
	if keeper.close(b.env) == nil || book.close() == nil {
		t.Error("all is told to be well")
	}
	home := b.env.getenv("HOME")
	files, _ := filepath.Glob(filepath.Join(home, "barline-rescue-*.jsonl"))
	if len(files) != 3 {
		t.Fatalf("rescued: %v\n%s", files, b.stderr)
	}
	b.app.flags.journal = ""
	for range 2 { // in whatever order
		for _, file := range files {
			if code, _, stderr := plainlyIn(t, b, "journal", "import", file); code != exitOK {
				t.Errorf("%s: %d %s", file, code, stderr)
			}
		}
	}
	if code, out, stderr := plainlyIn(t, b, "journal", "rounds"); !strings.Contains(out, "2 orders, 1 served, 2 brews") {
		t.Errorf("%d %s%s", code, out, stderr)
	}
}

// A round whose record does not fit together is told by verify.
func TestVerifyFoldsRounds(t *testing.T) {
	b := newBench(t)
	open, all, _ := b.aService()
	keeper, book := b.keeping(open)
	for n, e := range all[:4] {
		must(t, keeper.Append(n, e.ServiceEvent, e.Result, 0))
	}
	record, err := bar.ServiceEvent{Kind: bar.OrderReleased, At: time.Hour, Source: brew.FromKey}.Record(4)
	must(t, err)
	must(t, keeper.recorder.Append(4, record))
	must(t, keeper.close(b.env))
	must(t, book.close())
	code, out, _ := plainlyIn(t, b, "journal", "verify")
	if want := "round: " + keeper.round.ID + `: event "release" at 1:00:00: it is not held`; code != exitInput || !strings.Contains(out, want) {
		t.Errorf("%d %s", code, out)
	}
}
