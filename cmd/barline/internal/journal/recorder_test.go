package journal_test

import (
	"context"
	"errors"
	"fmt"
	"reflect"
	"strings"
	"sync"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/drift"
	"barline/cmd/barline/internal/journal"
)

func TestABrewComesBackAsItWasBrewed(t *testing.T) {
	j := fresh(t)
	p := press(t)
	r := brewed(p, morning)
	kettle := brew.Celsius(96.35)
	r.Kettle, r.From, r.Marks, r.Speed, r.Kind = &kettle, 0, brew.MarksAsked, 1.25, drift.Rehearsal
	events := follow(p)
	id := record(t, j, r, events)

	got := load(t, j, id)
	lane, err := got.Fold()
	if err != nil {
		t.Fatal(err)
	}
	for n, b := range p.Beats {
		if s := lane.Beat(n).Status; b.Asked && s != brew.Marked {
			t.Errorf("%s is %s: the fixture marks every asked beat", b.Key, s)
		}
	}
	want := r
	want.Recipe, want.Version, want.Events = p.Name, p.Version, events
	want.End, want.EndAt = journal.Finished, events[len(events)-1].At
	if !got.Start.Equal(morning) || got.Start.Format(time.RFC3339Nano) != "2026-06-12T08:00:00.123456789+02:00" {
		t.Errorf("start %s, want %s", got.Start, morning)
	}
	want.Start = got.Start
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got\n%+v, want\n%+v", got, want)
	}
	sound(t, j)
}

func TestWhatIsLeftOutIsFilledIn(t *testing.T) {
	j := fresh(t)
	r := brewed(cone(t), morning)
	r.ID, r.Speed, r.Marks = "", 0, ""
	got := load(t, j, record(t, j, r, follow(r.Plan)))
	if len(got.ID) != 36 || got.Speed != 1 || got.Marks != brew.MarksAsked {
		t.Errorf("id %q, speed %v, marks %q", got.ID, got.Speed, got.Marks)
	}
}

func TestBeginRefusesWhatMakesNoSense(t *testing.T) {
	j := fresh(t)
	for name, break_ := range map[string]func(*journal.Record){
		"no plan":               func(r *journal.Record) { r.Plan = nil },
		"a plan without cues":   func(r *journal.Record) { r.Plan = &brew.Plan{} },
		"an unknown kind":       func(r *journal.Record) { r.Kind = "fun" },
		"a negative speed":      func(r *journal.Record) { r.Speed = -1 },
		"an unknown policy":     func(r *journal.Record) { r.Marks = "some" },
		"no way of the clock":   func(r *journal.Record) { r.Clock.Kept = "" },
		"an id of another kind": func(r *journal.Record) { r.ID = "7d444840-9dc0-11d1-b245-5ffdce74fad2" },
		"no start":              func(r *journal.Record) { r.Start = time.Time{} },
		"a round and a take": func(r *journal.Record) {
			r.RoundOf, r.TakeOf = &journal.Round{ID: idAt(morning)}, &journal.Take{ID: idAt(morning)}
		},
		"an event of no kind": func(r *journal.Record) { r.Events = []brew.Event{{Kind: "sip", Source: brew.FromKey}} },
	} {
		r := brewed(press(t), morning)
		break_(&r)
		if rec, err := j.Begin(r); err == nil {
			t.Errorf("%s is taken", name)
			rec.End(ctx)
		}
	}
}

func TestEventsAreWrittenInTheirOrderWhateverOrderTheyComeIn(t *testing.T) {
	j := fresh(t)
	r := brewed(press(t), morning)
	rec := begin(t, j, r)
	events := follow(r.Plan)
	var wait sync.WaitGroup
	for n := len(events) - 1; n >= 0; n-- {
		wait.Go(func() {
			if err := rec.Append(n, events[n]); err != nil {
				t.Errorf("event %d: %v", n, err)
				return
			}
			stored := load(t, j, r.ID)
			if len(stored.Events) <= n || !reflect.DeepEqual(stored.Events[n], events[n]) {
				t.Errorf("event %d was said to be durable, but %d are", n, len(stored.Events))
			}
		})
		time.Sleep(time.Millisecond)
	}
	wait.Wait()
	if err := rec.End(ctx); err != nil {
		t.Fatal(err)
	}
	if got := load(t, j, r.ID).Events; !reflect.DeepEqual(got, events) {
		t.Errorf("got\n%v, want\n%v", got, events)
	}
	sound(t, j)
}

func TestTheSameEventMayBeGivenTwiceButNotAnother(t *testing.T) {
	j := fresh(t)
	r := brewed(press(t), morning)
	rec := begin(t, j, r)
	events := follow(r.Plan)
	for range 2 {
		for n, e := range events[:3] {
			if err := rec.Append(n, e); err != nil {
				t.Fatal(err)
			}
		}
	}
	other := events[1]
	other.At++
	if err := rec.Append(1, other); err == nil {
		t.Error("another event took the place of one")
	}
	rec.End(ctx)
	if got := load(t, j, r.ID).Events; !reflect.DeepEqual(got, events[:3]) {
		t.Errorf("got %v", got)
	}
}

func TestARefusedEventIsKeptAsANote(t *testing.T) {
	j := fresh(t)
	r := brewed(press(t), morning)
	rec := begin(t, j, r)
	events := []brew.Event{
		{Kind: brew.EventStart, Source: brew.FromKey},
		{Kind: brew.EventUndo, At: time.Second, Source: brew.FromKey},
		{Kind: brew.EventNote, At: 2 * time.Second, Source: brew.FromKey, Text: "after"},
		{Kind: "sip", Lane: -1, At: 3 * time.Second, Source: "voice", Text: "what was meant"},
	}
	for n, e := range events {
		err := rec.Append(n, e)
		if (err != nil) != (n == 1 || n == 3) {
			t.Errorf("event %d: %v", n, err)
		}
		if n == 1 && !strings.Contains(fmt.Sprint(err), "there is nothing to take back") {
			t.Errorf("it does not say why: %v", err)
		}
	}
	rec.End(ctx)
	got := load(t, j, r.ID).Events
	if len(got) != 4 || got[3].Kind != brew.EventNote || !strings.Contains(got[3].Text, "what was meant") {
		t.Errorf("got %v", got)
	}
	if got[1].Kind != brew.EventNote || !strings.Contains(got[1].Text, "undo, refused: there is nothing to take back") {
		t.Errorf("got %v", got)
	}
	sound(t, j)
	identity(t, j)
}

func TestEventsBehindAGapMoveUpAtTheEnd(t *testing.T) {
	j := fresh(t)
	r := brewed(press(t), morning)
	rec := begin(t, j, r)
	events := follow(r.Plan)
	if err := rec.Append(0, events[0]); err != nil {
		t.Fatal(err)
	}
	answers := make(chan error, 2)
	go func() { answers <- rec.Append(2, events[1]) }()
	go func() { answers <- rec.Append(5, events[2]) }()
	select {
	case err := <-answers:
		t.Fatalf("an event is durable before those ahead of it: %v", err)
	case <-time.After(50 * time.Millisecond):
	}
	if err := rec.End(ctx); err == nil || !strings.Contains(err.Error(), "event 1 never came") {
		t.Errorf("the gap is not told: %v", err)
	}
	for range 2 {
		if err := <-answers; err != nil {
			t.Error(err)
		}
	}
	if got := load(t, j, r.ID).Events; !reflect.DeepEqual(got, events[:3]) {
		t.Errorf("got %v", got)
	}
	if err := rec.Append(3, events[3]); !errors.Is(err, journal.ErrClosed) {
		t.Errorf("an event after the end: %v", err)
	}
	sound(t, j)
}

func TestTheStoredEndIsWhatTheEventsGive(t *testing.T) {
	finish := brew.Event{Kind: brew.EventFinish, At: 150 * time.Second, Source: brew.FromClock}
	stop := brew.Event{Kind: brew.EventStop, At: 60 * time.Second, Source: brew.FromKey, Text: "the kettle was empty"}
	undo := brew.Event{Kind: brew.EventUndo, At: 151 * time.Second, Source: brew.FromKey}
	mark := brew.Event{Kind: brew.EventMark, At: 8 * time.Second, Source: brew.FromKey}
	start := brew.Event{Kind: brew.EventStart, Source: brew.FromKey}
	for name, c := range map[string]struct {
		events []brew.Event
		end    journal.End
		at     time.Duration
		why    string
		beats  bool
	}{
		"nothing ends it":               {[]brew.Event{start, mark}, journal.CutOff, 0, "", false},
		"it is finished":                {[]brew.Event{start, mark, finish}, journal.Finished, 150 * time.Second, "", true},
		"it is stopped with a reason":   {[]brew.Event{start, mark, stop}, journal.Stopped, 60 * time.Second, stop.Text, true},
		"taking back revives it":        {[]brew.Event{start, mark, finish, undo}, journal.CutOff, 0, "", false},
		"it is finished a second time":  {[]brew.Event{start, mark, finish, undo, finish}, journal.Finished, 151 * time.Second, "", true},
		"a note behind the end is kept": {[]brew.Event{start, stop, {Kind: brew.EventNote, At: 70 * time.Second, Source: brew.FromKey, Text: "sour"}}, journal.Stopped, 60 * time.Second, stop.Text, true},
	} {
		t.Run(name, func(t *testing.T) {
			j := fresh(t)
			got := load(t, j, record(t, j, brewed(press(t), morning), c.events))
			if got.End != c.end || got.EndAt != c.at || got.Why != c.why {
				t.Errorf("end %q at %s, %q", got.End, got.EndAt, got.Why)
			}
			if n := count(t, j.Path(), "SELECT count(*) FROM beats"); (n > 0) != c.beats {
				t.Errorf("%d beats in the cache", n)
			}
			sound(t, j)
		})
	}
}

func TestOddTextsComeBack(t *testing.T) {
	for name, c := range map[string]struct{ in, out string }{
		"angle brackets":     {`<b> & "c" \ d`, `<b> & "c" \ d`},
		"a nought":           {"a\x00b", "a\x00b"},
		"line separators":    {"a\u2028b\u2029c\r\nd\te", "a\u2028b\u2029c\r\nd\te"},
		"other scripts":      {"咖啡 café ☕", "咖啡 café ☕"},
		"half a character":   {"caf\xc3", "caf\uFFFD"},
		"a quote for SQLite": {"it's; DROP TABLE brews --", "it's; DROP TABLE brews --"},
	} {
		t.Run(name, func(t *testing.T) {
			j := fresh(t)
			r := brewed(press(t), morning)
			r.Person, r.Text, r.Lot = c.in, c.in, c.in
			id := record(t, j, r, []brew.Event{{Kind: brew.EventNote, Source: brew.FromKey, Text: c.in}})
			got := load(t, j, id)
			if got.Person != c.out || got.Text != c.out || got.Lot != c.out || got.Events[0].Text != c.out {
				t.Errorf("got %q, %q, %q, %q, want %q", got.Person, got.Text, got.Lot, got.Events[0].Text, c.out)
			}
			identity(t, j)
		})
	}
}

func TestEndGivesUpWithItsContext(t *testing.T) {
	let := make(chan struct{})
	j := openWith(t, t.TempDir()+"/journal.db", journal.Options{BeforeWrite: func() error { <-let; return nil }})
	rec := begin(t, j, brewed(press(t), morning))
	short, cancel := context.WithTimeout(ctx, 20*time.Millisecond)
	defer cancel()
	if err := rec.End(short); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("got %v", err)
	}
	close(let)
	if err := rec.End(ctx); err != nil {
		t.Errorf("got %v", err)
	}
}

// TestASlowDiskHoldsUpNobody lets every write take half a second. Who waits is
// the caller of Append alone; asking, reading and handing in more take no time.
func TestASlowDiskHoldsUpNobody(t *testing.T) {
	const slow = 500 * time.Millisecond
	j := openWith(t, t.TempDir()+"/journal.db", journal.Options{BeforeWrite: func() error { time.Sleep(slow); return nil }})
	other := openWith(t, j.Path(), journal.Options{})
	began := time.Now()
	rec := begin(t, j, brewed(press(t), morning))
	events := follow(rec.Record().Plan)
	var handed sync.WaitGroup
	durable := make(chan int, 2)
	for n, e := range events[:2] {
		handed.Go(func() {
			if err := rec.Append(n, e); err != nil {
				t.Error(err)
			}
			durable <- n
		})
	}
	for range 20 {
		asked := time.Now()
		rec.Status()
		rec.Record()
		if _, err := j.List(ctx, journal.Filter{}, journal.Cursor{}, 10); err != nil {
			t.Fatal(err)
		}
		if d := time.Since(asked); d > slow/2 {
			t.Errorf("asking and reading took %s", d)
		}
		time.Sleep(10 * time.Millisecond)
	}
	if len(durable) > 0 {
		t.Error("an event was durable before the disk had written it")
	}
	// Another terminal saves a whole brew meanwhile.
	record(t, other, brewed(cone(t), morning), follow(cone(t)))
	if d := time.Since(began); d > 3*slow {
		t.Errorf("the other terminal took %s", d)
	}
	handed.Wait()
	if a, b := <-durable, <-durable; a != 0 || b != 1 {
		t.Errorf("durable in the order %d, %d", a, b)
	}
	if d := time.Since(began); d < 3*slow {
		t.Errorf("three writes of %s took %s: the test does not test", slow, d)
	}
	if err := rec.End(ctx); err != nil {
		t.Fatal(err)
	}
}

// TestSixLanesAreSavedAtOnce brews a round of six, each with its own recorder.
func TestSixLanesAreSavedAtOnce(t *testing.T) {
	j := fresh(t)
	round := journal.Round{ID: idAt(morning), Kind: journal.BarRound, Name: "rush", Start: morning}
	var ids []string
	var lanes sync.WaitGroup
	for lane := range 6 {
		r := brewed(cone(t), morning)
		r.RoundOf, r.Lane = &round, lane
		ids = append(ids, r.ID)
		rec := begin(t, j, r)
		lanes.Go(func() {
			for n, e := range shifted(follow(r.Plan), lane, time.Duration(lane)*time.Second) {
				if err := rec.Append(n, e); err != nil {
					t.Error(err)
				}
			}
			if err := rec.End(ctx); err != nil {
				t.Error(err)
			}
		})
	}
	lanes.Wait()
	page, err := j.List(ctx, journal.Filter{Round: round.ID}, journal.Cursor{}, 10)
	if err != nil || len(page.Brews) != 6 {
		t.Errorf("%d brews, %v", len(page.Brews), err)
	}
	for lane, id := range ids {
		got := load(t, j, id)
		if got.Lane != lane || got.End != journal.Finished || got.RoundOf == nil || got.RoundOf.Name != "rush" || len(got.Events) != 5 {
			t.Errorf("lane %d: %+v", lane, got.Brew)
		}
	}
	sound(t, j)
	identity(t, j)
}
