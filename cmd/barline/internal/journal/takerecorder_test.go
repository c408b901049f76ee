package journal_test

import (
	"bytes"
	"errors"
	"reflect"
	"sync"
	"testing"

	"barline/brew"
	"barline/brew/drift"
	"barline/cmd/barline/internal/journal"
)

// A take is kept event by event in the order of the numbers, with its brews,
// and comes back whole; nothing is added behind its end.
func TestATakeIsKeptEventByEvent(t *testing.T) {
	path := t.TempDir() + "/journal.db"
	events := roundEvents(30)
	rec, err := journal.BeginTakeAt(path, journal.Options{}, journal.Take{
		Routine: "Lantern", Version: "abc", Kind: drift.Rehearsal, Speed: 1, Dry: true, Section: "Close", Start: morning, Text: "sections:", Events: events[:2],
	})
	must(t, err)
	var all sync.WaitGroup
	for i := len(events) - 1; i >= 2; i-- {
		all.Go(func() { must(t, rec.Append(i, events[i])) })
	}
	all.Wait()
	if s := rec.Status(); s.Saved != len(events) || s.Fault != nil {
		t.Errorf("%+v", s)
	}
	head := rec.Take()
	head.Events = nil
	j := openWith(t, path, journal.Options{})
	r := brewed(press(t), morning)
	r.TakeOf, r.Lane = &head, 1
	record(t, j, r, follow(r.Plan))
	must(t, rec.End(ctx))
	if err := rec.Append(len(events), events[0]); !errors.Is(err, journal.ErrClosed) {
		t.Errorf("after the end: %v", err)
	}
	got, err := j.Taken(ctx, "lantern")
	if err != nil || len(got) != 1 || !reflect.DeepEqual(got[0].Take, rec.Take()) || len(got[0].Brews) != 1 || len(got[0].Brews[0]) == 0 {
		t.Fatalf("%v: %+v", err, got)
	}
	sound(t, j)
	var lines bytes.Buffer
	must(t, rec.Rescue(&lines))
	other := openWith(t, t.TempDir()+"/other.db", journal.Options{})
	if took, err := other.Import(ctx, &lines); err != nil || took.Added != 1 {
		t.Errorf("%+v, %v", took, err)
	}
	if got, err := other.Takes(ctx, "Lantern"); err != nil || len(got) != 1 || !reflect.DeepEqual(got[0], rec.Take()) {
		t.Errorf("%v: %+v", err, got)
	}
}

func TestATakeThatMakesNoSenseIsRefused(t *testing.T) {
	for name, take := range map[string]journal.Take{
		"it names no routine": {Kind: drift.Rehearsal, Speed: 1, Start: morning},
		"it has no speed":     {Routine: "Lantern", Kind: drift.Rehearsal, Start: morning},
		"an event is none":    {Routine: "Lantern", Kind: drift.Rehearsal, Speed: 1, Start: morning, Events: []brew.Event{{Kind: brew.EventMark}}},
	} {
		if _, err := journal.BeginTakeAt(t.TempDir()+"/journal.db", journal.Options{}, take); err == nil {
			t.Errorf("taken though %s", name)
		}
	}
}
