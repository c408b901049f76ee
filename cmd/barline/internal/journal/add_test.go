package journal_test

import (
	"bytes"
	"slices"
	"strings"
	"testing"
	"time"

	"barline/cmd/barline/internal/journal"
)

// What is added in one go is what Import would bring, and a wrong thing in it
// leaves nothing behind.
func TestAddBringsAllOrNothing(t *testing.T) {
	from := open(t, t.TempDir()+"/from.db")
	p := press(t)
	id := record(t, from, brewed(p, morning), follow(p))
	sound(t, from)
	batch := journal.Batch{
		Brews:     []journal.Record{load(t, from, id)},
		Attempts:  []journal.Attempt{{ID: id, Person: "Mo", Version: "1", Brews: 3, Opened: time.Unix(0, 0)}},
		Baselines: []journal.Baseline{{ID: id, Version: "1", Beat: "b", Measure: "slip", First: id, Last: id, Brews: 1, Made: time.Unix(0, 0)}},
	}
	for name, spoil := range map[string]func(b *journal.Batch){
		"brew 1: the brew has no plan": func(b *journal.Batch) { b.Brews = append(slices.Clone(b.Brews), journal.Record{}) },
		"attempt 0: ":                  func(b *journal.Batch) { b.Attempts = []journal.Attempt{{ID: id}} },
		"baseline 0: ":                 func(b *journal.Batch) { b.Baselines = []journal.Baseline{{ID: id}} },
	} {
		to, spoilt := open(t, t.TempDir()+"/to.db"), batch
		spoil(&spoilt)
		if err := to.Add(ctx, spoilt); err == nil || !strings.HasPrefix(err.Error(), name) {
			t.Errorf("%s: %v", name, err)
		}
		if out := exported(t, to); bytes.Count(out, []byte("\n")) != 1 {
			t.Errorf("%s: it left %s", name, out)
		}
	}
	to := open(t, t.TempDir()+"/to.db")
	for range 2 { // the second time there is nothing to add
		if err := to.Add(ctx, batch); err != nil {
			t.Fatal(err)
		}
	}
	sound(t, to)
	for _, want := range []string{`{"attempt":`, `{"baseline":`} {
		if !bytes.Contains(exported(t, to), []byte(want)) {
			t.Errorf("no %s", want)
		}
	}
	brew := func(j *journal.Journal) []byte { _, b, _ := bytes.Cut(exported(t, j), []byte(`{"plan":`)); return b }
	if !bytes.Equal(brew(from), brew(to)) {
		t.Errorf("got %s, want %s", brew(to), brew(from))
	}
}
