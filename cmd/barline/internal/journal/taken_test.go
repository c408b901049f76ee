package journal_test

import (
	"reflect"
	"slices"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/drift"
	"barline/cmd/barline/internal/journal"
)

// The takes of a routine come with what happened in their brews, each brew's
// events together, oldest first; those of another routine do not.
func TestTakesComeWithTheirBrews(t *testing.T) {
	j := fresh(t)
	p := press(t)
	events := func(lane int, at time.Duration) []brew.Event {
		out := slices.Insert(follow(p), 1, brew.Event{Kind: brew.EventMoved, Source: brew.FromClock, Cue: 2, To: 90 * time.Second, Text: "7/later=9"})
		for i := range out {
			out[i].Lane, out[i].At = lane, out[i].At+at
		}
		return out
	}
	var want []journal.Taken
	for n, routine := range []string{"Quayside final", "Lantern", "quayside FINAL"} {
		start := morning.Add(time.Duration(2-n) * time.Hour)
		take := journal.Take{ID: idAt(start), Routine: routine, Version: "v1", Kind: drift.Rehearsal, Speed: 1, Start: start,
			Events: []brew.Event{{Kind: "begin", Source: brew.FromClock, Text: "{}"}, {Kind: brew.EventMark, Lane: 4, Source: brew.FromKey}}}
		must(t, j.SaveTake(ctx, take))
		taken := journal.Taken{Take: take}
		for lane := range n + 1 {
			r := brewed(p, start)
			r.Lane, r.StartAt, r.TakeOf = lane, time.Duration(lane)*time.Minute, &take
			rec := begin(t, j, r)
			all := events(lane, r.StartAt)
			for seq, e := range all {
				must(t, rec.Append(seq, e))
			}
			must(t, rec.End(ctx))
			for i := range all { // what timings need
				all[i].Source, all[i].Text = "", ""
			}
			taken.Brews = append(taken.Brews, all)
		}
		if n != 1 {
			want = append([]journal.Taken{taken}, want...)
		}
	}
	must(t, j.SaveTake(ctx, journal.Take{ID: idAt(morning), Routine: "Empty", Kind: drift.Rehearsal, Speed: 1, Start: morning}))
	got, err := j.Taken(ctx, "QUAYSIDE final")
	if err != nil || len(got) != 2 {
		t.Fatalf("%d takes, %v", len(got), err)
	}
	for i := range got {
		if got[i].ID != want[i].ID || !reflect.DeepEqual(got[i].Events, want[i].Events) || !reflect.DeepEqual(got[i].Brews, want[i].Brews) {
			t.Errorf("take %d\n%+v\nwant\n%+v", i, got[i], want[i])
		}
	}
	if got, err := j.Taken(ctx, "empty"); err != nil || len(got) != 1 || len(got[0].Events) > 0 || got[0].Brews != nil {
		t.Errorf("%+v, %v", got, err)
	}
	if got, err := j.Taken(ctx, "none"); err != nil || len(got) != 0 {
		t.Errorf("%+v, %v", got, err)
	}
	// A take that has lost an event says so, the others are as they were.
	tamper(t, j.Path(), "DELETE FROM events WHERE seq = 1 AND brew = (SELECT max(n) FROM brews)")
	tamper(t, j.Path(), "DELETE FROM take_events WHERE seq = 0 AND take = (SELECT n FROM takes WHERE routine = 'Lantern')")
	if got, err = j.Taken(ctx, "quayside final"); err != nil || got[0].Err == nil || got[1].Err != nil {
		t.Errorf("%v, %v, %v", err, got[0].Err, got[1].Err)
	}
	if got, err = j.Taken(ctx, "Lantern"); err != nil || got[0].Err == nil {
		t.Errorf("%v, %+v", err, got)
	}
}

// A routine is found by its name in whatever case its letters are, of any
// script, and in all the spellings that its takes have.
func TestTakesAreFoundWhateverTheCase(t *testing.T) {
	j := fresh(t)
	for n, routine := range []string{"Élan final", "ÉLAN FINAL", "élan final", "Elan final", " Élan final "} {
		start := morning.Add(time.Duration(n) * time.Hour)
		must(t, j.SaveTake(ctx, journal.Take{ID: idAt(start), Routine: routine, Kind: drift.Rehearsal, Speed: 1, Start: start,
			Events: []brew.Event{{Kind: "begin", Source: brew.FromClock, Text: routine}}}))
	}
	for name, want := range map[string]int{"élan FINAL": 4, "Élan final": 4, " ÉLAN final": 4, "elan final": 1, "Élan": 0, "": 0} {
		got, err := j.Taken(ctx, name)
		if err != nil || len(got) != want {
			t.Errorf("%q: %d takes, %v; want %d", name, len(got), err, want)
		}
		for i, take := range got {
			if i > 0 && take.Start.Before(got[i-1].Start) {
				t.Errorf("%q: take %d began before the one above it", name, i)
			}
			if len(take.Events) != 1 || take.Events[0].Text != take.Routine {
				t.Errorf("%q: the take of %q has the events %+v", name, take.Routine, take.Events)
			}
		}
	}
}

// However many takes there are, and whichever was written first, each has its own
// events, in the order of their numbers.
func TestEachTakeHasItsOwnEventsInOrder(t *testing.T) {
	j := fresh(t)
	const takes, each = 12, 9
	for n := range takes {
		start := morning.Add(time.Duration(takes-n) * time.Hour) // the latest written first
		take := journal.Take{ID: idAt(start), Routine: "Lantern", Kind: drift.Rehearsal, Speed: 1, Start: start}
		for k := range each {
			take.Events = append(take.Events, brew.Event{Kind: brew.EventNote, Lane: 4, Source: brew.FromKey, At: time.Duration(each-k) * time.Second, Text: take.ID})
		}
		must(t, j.SaveTake(ctx, take))
	}
	got, err := j.Taken(ctx, "lantern")
	if err != nil || len(got) != takes {
		t.Fatalf("%d takes, %v", len(got), err)
	}
	for i, take := range got {
		if i > 0 && take.Start.Before(got[i-1].Start) {
			t.Errorf("take %d began before the one above it", i)
		}
		for k, e := range take.Events {
			if e.Text != take.ID || e.At != time.Duration(each-k)*time.Second {
				t.Errorf("take %d, event %d: %+v", i, k, e)
			}
		}
	}
}
