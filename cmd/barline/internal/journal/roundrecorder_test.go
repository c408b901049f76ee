package journal_test

import (
	"bytes"
	"errors"
	"fmt"
	"reflect"
	"sync"
	"testing"
	"time"

	"barline/brew"
	"barline/cmd/barline/internal/journal"
)

// roundEvents are so many events of a round.
func roundEvents(n int) (out []brew.Event) {
	for i := range n {
		out = append(out, brew.Event{Kind: "order", Lane: i % 3, At: time.Duration(i) * time.Second, Source: brew.FromKey, Text: fmt.Sprintf(`{"nth":%d}`, i)})
	}
	return out
}

func beginRound(t *testing.T, path string, o journal.Options, events ...brew.Event) *journal.RoundRecorder {
	t.Helper()
	rec, err := journal.BeginRoundAt(path, o, journal.Round{ID: idAt(morning), Kind: journal.BarRound, Name: "bar", Person: "Ada", Start: morning, Text: "{}", Events: events})
	must(t, err)
	return rec
}

// Whatever order the events come in, they are kept in the order of their
// numbers, and the round is held while it goes on and free after.
func TestARoundIsKeptEventByEvent(t *testing.T) {
	path := t.TempDir() + "/journal.db"
	events := roundEvents(40)
	rec := beginRound(t, path, journal.Options{}, events[:5]...)
	var all sync.WaitGroup
	for i := len(events) - 1; i >= 5; i-- {
		all.Go(func() { must(t, rec.Append(i, events[i])) })
	}
	all.Wait()
	j := openWith(t, path, journal.Options{})
	got, err := j.RecentRounds(ctx, journal.BarRound, 5)
	if err != nil || len(got) != 1 || !got[0].Live || !reflect.DeepEqual(got[0].Events, events) || got[0].ID != rec.ID() {
		t.Fatalf("%v: %+v", err, got)
	}
	must(t, rec.Append(7, events[7])) // given twice
	if err := rec.Append(7, events[8]); err == nil {
		t.Error("another event took the place of one that is kept")
	}
	if err := rec.Append(40, brew.Event{Kind: "order", Source: "a bird"}); err == nil {
		t.Error("an event from a bird is kept")
	}
	must(t, rec.End(ctx))
	if err := rec.Append(40, events[0]); !errors.Is(err, journal.ErrClosed) {
		t.Errorf("after the end: %v", err)
	}
	if got, _ := j.RecentRounds(ctx, journal.BarRound, 5); len(got) != 1 || got[0].Live {
		t.Error("the round is held after its end")
	}
	if got, _ := j.RecentRounds(ctx, journal.CuppingRound, 5); len(got) != 0 {
		t.Error("there is a cupping round")
	}
	sound(t, j)
}

// A round that was cut off goes on from its last event, and what is there of
// it is not changed.
func TestARoundIsTakenUp(t *testing.T) {
	path := t.TempDir() + "/journal.db"
	events := roundEvents(6)
	must(t, beginRound(t, path, journal.Options{}, events[:3]...).End(ctx))
	rec := beginRound(t, path, journal.Options{}, events[:3]...)
	for n, e := range events[3:] {
		must(t, rec.Append(3+n, e))
	}
	must(t, rec.End(ctx))
	j := openWith(t, path, journal.Options{})
	got, err := j.RoundOf(ctx, rec.ID()[:20])
	if err != nil || !reflect.DeepEqual(got.Events, events) {
		t.Errorf("%v: %+v", err, got.Events)
	}
	if _, err := j.RoundOf(ctx, "0"+rec.ID()[1:]+"x"); !errors.Is(err, journal.ErrNotFound) {
		t.Errorf("a round that is not there: %v", err)
	}
	if _, err := j.RoundOf(ctx, ""); !errors.Is(err, journal.ErrNotFound) {
		t.Errorf("a round without a name: %v", err)
	}
}

// What the disk does not take is kept, saved later, and can be rescued with
// the brews of the round.
func TestARoundOutlivesAFullDisk(t *testing.T) {
	var mu sync.Mutex
	full := false
	write := func() error {
		mu.Lock()
		defer mu.Unlock()
		if full {
			return &journal.Fault{Cause: journal.Full}
		}
		return nil
	}
	path := t.TempDir() + "/journal.db"
	rec := beginRound(t, path, journal.Options{Retry: time.Millisecond, BeforeWrite: write})
	events := roundEvents(4)
	must(t, rec.Append(0, events[0]))
	mu.Lock()
	full = true
	mu.Unlock()
	if err := rec.Append(1, events[1]); err == nil {
		t.Error("a full disk took an event")
	}
	var lines bytes.Buffer
	must(t, rec.Rescue(&lines))
	other := openWith(t, t.TempDir()+"/other.db", journal.Options{})
	if took, err := other.Import(ctx, &lines); err != nil || took.Added != 1 {
		t.Errorf("%+v, %v", took, err)
	}
	mu.Lock()
	full = false
	mu.Unlock()
	for n := 2; n < 4; n++ {
		for rec.Append(n, events[n]) != nil {
			time.Sleep(time.Millisecond)
		}
	}
	must(t, rec.End(ctx))
	got, err := openWith(t, path, journal.Options{}).RecentRounds(ctx, journal.BarRound, 1)
	if err != nil || len(got) != 1 || !reflect.DeepEqual(got[0].Events, events) {
		t.Errorf("%v: %+v", err, got)
	}
}

// A round's brews come with it, by their lanes, also through export and
// import, and a round that lacks an event is found.
func TestARoundComesWithItsBrews(t *testing.T) {
	path := t.TempDir() + "/journal.db"
	rec := beginRound(t, path, journal.Options{}, roundEvents(3)...)
	must(t, rec.End(ctx))
	j := openWith(t, path, journal.Options{})
	for lane := 1; lane >= 0; lane-- {
		r := brewed(press(t), morning.Add(time.Duration(2-lane)*time.Minute))
		head := rec.Round()
		r.RoundOf, r.Lane, r.Order = &head, lane, fmt.Sprint(lane+1, " Ben")
		record(t, j, r, follow(r.Plan))
	}
	var lines bytes.Buffer
	must(t, j.Export(ctx, &lines, journal.Filter{}))
	there := openWith(t, t.TempDir()+"/there.db", journal.Options{})
	if _, err := there.Import(ctx, bytes.NewReader(lines.Bytes())); err != nil {
		t.Fatal(err)
	}
	var again bytes.Buffer
	must(t, there.Export(ctx, &again, journal.Filter{}))
	if again.String() != lines.String() {
		t.Error("a round with brews does not come back the same")
	}
	for _, j := range []*journal.Journal{j, there} {
		got, err := j.RoundOf(ctx, rec.ID())
		if err != nil || len(got.Brews) != 2 || got.Brews[0].Lane != 0 || got.Brews[1].Lane != 1 || got.Brews[0].Order != "1 Ben" || len(got.Events) != 3 || len(got.Brews[0].Events) == 0 {
			t.Fatalf("%v: %+v", err, got)
		}
		sound(t, j)
	}
}

// An event may be given again while it still waits for those before it: all
// who gave it are answered.
func TestTheSameEventMayBeGivenTwiceBeforeItsTurn(t *testing.T) {
	events := roundEvents(3)
	round := beginRound(t, t.TempDir()+"/journal.db", journal.Options{})
	defer round.End(ctx)
	lane := follow(cone(t))
	single, err := journal.BeginAt(t.TempDir()+"/journal.db", journal.Options{}, brewed(cone(t), morning))
	must(t, err)
	defer single.End(ctx)
	for name, c := range map[string]struct {
		append func(int, brew.Event) error
		events []brew.Event
	}{
		"of a round": {round.Append, events}, "of a brew": {single.Append, lane[:3]},
	} {
		t.Run(name, func(t *testing.T) {
			var all sync.WaitGroup
			for range 3 {
				all.Go(func() { must(t, c.append(2, c.events[2])) })
			}
			time.Sleep(20 * time.Millisecond) // most have asked by now
			must(t, c.append(0, c.events[0]))
			must(t, c.append(1, c.events[1]))
			all.Wait()
		})
	}
}
