package main

import (
	"context"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
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
	ids := []string{keeper.ID(0), keeper.ID(1), keeper.ID(2)}
	must(t, keeper.close(b.env))
	must(t, book.close())
	j, err := b.book().open()
	must(t, err)
	findings, _, err := j.Verify(context.Background())
	if err != nil || len(findings) > 0 {
		t.Fatal(findings, err)
	}
	rounds, err := j.RecentRounds(context.Background(), journal.BarRound, 2)
	if err != nil || len(rounds) != 1 || rounds[0].Live {
		t.Fatal(rounds, err)
	}
	r := readRound(rounds[0])
	must(t, r.err)
	if got, want := r.service.Look(s.Latest()), s.Look(s.Latest()); !reflect.DeepEqual(got, want) {
		t.Errorf("the record gives\n%+v, want\n%+v", got, want)
	}
	if len(r.Brews) != 2 {
		t.Fatalf("%d brews", len(r.Brews))
	}
	if want := []string{r.Brews[0].ID, r.Brews[1].ID, ""}; !reflect.DeepEqual(ids, want) {
		t.Errorf("the brews are known as %q, want %q", ids, want)
	}
	starts := 0
	for _, e := range r.Events {
		if e.Kind == "brew" {
			starts++
		}
	}
	if starts != 2 {
		t.Errorf("%d events of brews stand in the round, want their starts alone", starts)
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
	if !regexp.MustCompile(`(?m)^error: the round is not in the journal: .*\nthe whole round is in \S+/barline-rescue-\S+\.jsonl\nhint: `).MatchString(b.stderr.String()) {
		t.Errorf("it does not say where the round is:\n%s", b.stderr)
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

// A mark is told to be kept only when its brew's own record has it.
func TestAMarkIsKeptWhenItsBrewHasIt(t *testing.T) {
	b := newBench(t)
	place := filepath.Join(t.TempDir(), "place")
	must(t, os.WriteFile(place, nil, 0o644))
	open, all, _ := b.aService()
	kept, book := b.keeping(open)
	sound := kept.brew
	kept.brew = func(n int, begun bar.Begun) *keeper {
		k := sound(n, begun)
		k.path = filepath.Join(place, "bar.db")
		return k
	}
	for n, e := range all {
		err := kept.Append(n, e.ServiceEvent, e.Result, b.app.now())
		if begun := n >= 4; (err != nil) != begun {
			t.Errorf("event %d, %s: %v", n, e.Kind, err)
		}
	}
	must(t, kept.close(b.env))
	if book.close() == nil {
		t.Error("all is told to be well")
	}
}

// A service that goes on in another terminal is not offered to be taken up;
// one that was cut off is.
func TestOnlyAServiceThatNobodyHoldsIsOffered(t *testing.T) {
	b := newBench(t)
	open, all, _ := b.aService()
	keeper, book := b.keeping(open)
	for n, e := range all[:4] {
		must(t, keeper.Append(n, e.ServiceEvent, e.Result, b.app.now()))
	}
	if _, is := b.book().openRound(journal.BarRound); is {
		t.Error("one that goes on is offered")
	}
	must(t, keeper.close(b.env))
	must(t, book.close())
	r, is := b.book().openRound(journal.BarRound)
	if !is || len(r.open()) != 2 {
		t.Errorf("offered %v with %d open", is, len(r.open()))
	}
	b.clock.Advance(13 * time.Hour)
	if _, is := b.book().openRound(journal.BarRound); is {
		t.Error("one of yesterday is offered")
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

// A person's name that would steer a terminal is refused, at the bar and at a
// table.
func TestANameOfAPersonAtWorkIsPlain(t *testing.T) {
	for _, args := range [][]string{{"bar"}, {"cupping", "quayside-cupping"}} {
		b := newBench(t)
		code, out, stderr := plainlyIn(t, b, append(args, "--plain", "--by", "a\x1b[31m")...)
		if code != exitUsage || !strings.Contains(stderr, `error: --by "a\x1b[31m" holds a control character`) || strings.Contains(out+stderr, "\x1b") {
			t.Errorf("%q: %d %q%q", args, code, out, stderr)
		}
	}
}

// A round from elsewhere may hold anything: it is told, and nothing breaks.
func TestARoundThatMakesNoSenseIsTold(t *testing.T) {
	b := newBench(t)
	j, err := b.book().open()
	must(t, err)
	event := func(kind, text string) brew.Event {
		return brew.Event{Kind: brew.EventKind(kind), At: time.Second, Source: brew.FromKey, Text: text}
	}
	plans := `{"Menu":[{"Name":"none"}],"Kit":{},"People":["Ada"]}`
	for n, r := range []journal.Round{
		{Text: "{}", Events: []brew.Event{event("order", `{"nth":0}`)}},
		{Text: "no json"},
		{Text: plans, Events: []brew.Event{event("order", `{"nth":0}`), event("brew", `{"nth":1,"Brew":{"Kind":"start"}}`)}},
		{Text: plans, Events: []brew.Event{event("plan", `{"nth":0,"Schedule":{"Slots":[{"Order":3,"Starts":[1]}]}}`)}},
		{Text: plans, Events: []brew.Event{event("menu", `{"nth":0,"Plan":{"Cues":[{},{"Before":7}]}}`)}},
		{Text: plans, Events: []brew.Event{event("order", `["not an object"]`)}},
	} {
		r.ID, err = journal.DrawID(eight.Add(time.Duration(n) * time.Minute))
		must(t, err)
		r.Kind, r.Start = journal.BarRound, eight.Add(-time.Duration(n)*time.Minute)
		must(t, j.SaveRound(context.Background(), r))
		if code, out, _ := plainlyIn(t, b, "journal", "show", r.ID); code != exitInput || !strings.Contains(out, r.ID) {
			t.Errorf("round %d: %d %s", n, code, out)
		}
	}
	if code, out, _ := plainlyIn(t, b, "journal", "rounds"); code != exitOK || strings.Count(out, "does not fit together") != 6 {
		t.Errorf("%d %s", code, out)
	}
	if code, out, _ := plainlyIn(t, b, "journal", "verify"); code != exitInput || strings.Count(out, "round: ") != 6 {
		t.Errorf("%d %s", code, out)
	}
	if code, _, stderr := plainlyIn(t, b, "bar", "--plain"); code != exitOK || strings.Contains(stderr, "panic") {
		t.Errorf("%d %s", code, stderr)
	}
}
