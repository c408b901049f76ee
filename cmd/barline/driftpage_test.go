package main

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/drift"
	"barline/cmd/barline/internal/journal"
	"barline/tui/pages"
)

// The drift pages get what the journal has: of a kind, with the day on which
// the days begin, and attempts where they are made.
func TestTheDriftPagesAskTheJournal(t *testing.T) {
	b := newBench(t)
	zone := time.Local
	time.Local = eight.Location()
	defer func() { time.Local = zone }()
	for range 3 {
		k := b.starts("Ada", 8, 52, 112, 140)
		must(t, k.Append(5, brew.Event{Kind: brew.EventFinish, At: 140 * time.Second, Source: brew.FromClock}, b.clock.Now().Elapsed-140*time.Second))
		must(t, k.close(b.env))
		b.clock.Advance(time.Minute)
	}
	book := b.book()
	service := pages.Filter{Recipe: "quayside PRESS", Kind: string(drift.Service)}
	many, err := book.Drifts(service)
	must(t, err)
	if n := many.Record.Choose(drift.Choice{}).Len(); n != 3 || !many.Since.IsZero() || len(many.Attempts) != 0 {
		t.Fatalf("%d brews since %s, %d attempts", n, many.Since, len(many.Attempts))
	}
	j, err := book.open()
	must(t, err)
	at := journal.Attempt{Recipe: "Quayside press", Person: "Ada", Version: many.Record.Head(0).Version, Brews: 3, Opened: eight.Add(-time.Minute)}
	at.ID, err = journal.DrawID(at.Opened)
	must(t, err)
	must(t, j.SaveAttempt(context.Background(), at))
	for days, since := range map[int]time.Time{1: time.Date(2026, 11, 30, 0, 0, 0, 0, time.Local), 7: time.Date(2026, 11, 24, 0, 0, 0, 0, time.Local)} {
		service.Days = days
		many, err = book.Drifts(service)
		must(t, err)
		if !many.Since.Equal(since) || len(many.Attempts) != 1 || many.Attempts[0].Person != "Ada" {
			t.Errorf("%d days: since %s, %+v", days, many.Since, many.Attempts)
		}
	}
	many, err = book.Drifts(pages.Filter{Recipe: "Quayside press", Kind: string(drift.Practice)})
	must(t, err)
	if many.Record.Len() != 0 || len(many.Attempts) != 0 {
		t.Errorf("of practice %d brews, %+v", many.Record.Len(), many.Attempts)
	}
}

// Looking at drift makes no file.
func TestLookingAtDriftMakesNoFile(t *testing.T) {
	book := newBench(t).book()
	if many, err := book.Drifts(pages.Filter{Recipe: "Quayside press", Kind: "service"}); err != nil || many.Record != nil {
		t.Errorf("%+v %v", many, err)
	}
	if !missing(book.path) {
		t.Error("there is a file")
	}
}

// The page takes no flag that narrows it, and needs a screen.
func TestTheDriftPageOnTheCommandLine(t *testing.T) {
	for args, want := range map[string]string{
		"--page --by Ada quayside-press": "--page takes no --by: what it shows is narrowed by its keys",
		"--page --json":                  "--page takes no --json: what it shows is narrowed by its keys",
		"--page quayside-press":          "the page needs a terminal",
		"--page":                         "the shelf needs a terminal",
	} {
		b := newBench(t)
		cmd := b.withPage(newDrift(b.app), "", b.driftPage)
		cmd.SetArgs(strings.Fields(args))
		cmd.SilenceErrors, cmd.SilenceUsage = true, true
		var input *inputError
		if err := cmd.Execute(); err == nil || !strings.HasPrefix(err.Error(), want) {
			t.Errorf("%s: %v, want %q", args, err, want)
		} else if needs := strings.Contains(want, "needs"); errors.As(err, &input) != needs {
			t.Errorf("%s: %T", args, err)
		}
	}
}

// What was read of the cups is looked at with the drifts.
func TestTheDriftPageIsGivenWhatWasRead(t *testing.T) {
	b := newBench(t)
	k := b.starts("Ada", 8, 52)
	must(t, k.Append(3, brew.Event{Kind: brew.EventFinish, At: 4 * time.Minute, Source: brew.FromKey}, 0))
	id := k.recorder.ID()
	must(t, k.close(b.env))
	book := b.book()
	f := pages.Filter{Recipe: k.record.Plan.Name, Kind: string(k.record.Kind)}
	if many, err := book.Drifts(f); err != nil || many.Record == nil || many.Cup != nil {
		t.Errorf("nothing was read: %+v %v", many, err)
	}
	strength := brew.Percent(1.4)
	must(t, book.Measure(id, brew.Correction{Strength: &strength}))
	if many, err := book.Drifts(f); err != nil || many.Cup == nil || many.Cup.Brews != 1 {
		t.Errorf("one cup was read: %+v %v", many.Cup, err)
	}
}
