package journal_test

import (
	"errors"
	"reflect"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/drift"
	"barline/cmd/barline/internal/journal"
)

func TestRoundsAndTakesGrow(t *testing.T) {
	j := fresh(t)
	events := []brew.Event{
		{Kind: "order placed", At: time.Second, Source: brew.FromKey, Text: "one"},
		{Kind: "order placed", Lane: 1, At: 2 * time.Second, Source: brew.FromKey, Text: "two"},
	}
	round := journal.Round{ID: idAt(morning), Kind: journal.BarRound, Name: "early", Start: morning}
	take := journal.Take{ID: idAt(morning), Routine: "Quayside final", Kind: drift.Rehearsal, Speed: 1, Start: morning}
	for n := range len(events) + 1 {
		round.Events, take.Events = events[:n], events[:n]
		for range 2 {
			must(t, j.SaveRound(ctx, round))
			must(t, j.SaveTake(ctx, take))
		}
		rounds, err := j.Rounds(ctx)
		if err != nil || len(rounds) != 1 || len(rounds[0].Events) != n || n > 0 && !reflect.DeepEqual(rounds[0].Events, events[:n]) {
			t.Errorf("%d: rounds %+v, %v", n, rounds, err)
		}
		takes, err := j.Takes(ctx, "quayside FINAL")
		if err != nil || len(takes) != 1 || len(takes[0].Events) != n || n > 0 && !reflect.DeepEqual(takes[0].Events, events[:n]) {
			t.Errorf("%d: takes %+v, %v", n, takes, err)
		}
	}
	round.Events = []brew.Event{events[1]}
	if err := j.SaveRound(ctx, round); err == nil {
		t.Error("an event was changed")
	}
	round.Kind = "pub"
	if err := j.SaveRound(ctx, round); err == nil {
		t.Error("an unknown kind is taken")
	}
	sound(t, j)
}

func TestAnAttemptIsClosedOnceAndStaysVisible(t *testing.T) {
	j := fresh(t)
	a := journal.Attempt{ID: idAt(morning), Person: "Ada", Recipe: "Quayside press", Version: "v1", Brews: 10, Opened: morning}
	must(t, j.SaveAttempt(ctx, a))
	closed := morning.Add(time.Hour)
	done := a
	done.Closed, done.Result = &closed, "failed"
	must(t, j.SaveAttempt(ctx, done))
	must(t, j.SaveAttempt(ctx, a)) // as it was exported while it was open
	must(t, j.SaveAttempt(ctx, done))
	other := done
	other.Result = "passed"
	if err := j.SaveAttempt(ctx, other); err == nil {
		t.Error("a failed attempt was made one that passed")
	}
	more := a
	more.Brews = 20
	if err := j.SaveAttempt(ctx, more); err == nil {
		t.Error("the number of brews was changed")
	}
	second := a
	second.ID, second.Opened = idAt(closed), closed
	must(t, j.SaveAttempt(ctx, second))
	got, err := j.Attempts(ctx, "ada", "v1")
	if err != nil || len(got) != 2 || got[0].Result != "failed" || !got[0].Closed.Equal(closed) || got[1].Closed != nil {
		t.Errorf("got %+v, %v", got, err)
	}
	if got, err := j.Attempts(ctx, "Ada", "v2"); err != nil || len(got) != 0 {
		t.Errorf("of another version %+v, %v", got, err)
	}
}

func TestABaselineIsFrozen(t *testing.T) {
	j := fresh(t)
	b := baseline(idAt(morning))
	must(t, j.SaveBaseline(ctx, b))
	must(t, j.SaveBaseline(ctx, b))
	moved := b
	moved.High++
	if err := j.SaveBaseline(ctx, moved); err == nil {
		t.Error("limits were moved")
	}
	got, err := j.Baselines(ctx, "v")
	if err != nil || len(got) != 1 || got[0].High != b.High || got[0].Beat != b.Beat || !got[0].Made.Equal(b.Made) {
		t.Errorf("got %+v, %v", got, err)
	}
}

func TestACorrectionKeepsTheOldValue(t *testing.T) {
	j := fresh(t)
	r := brewed(press(t), morning)
	id := record(t, j, r, follow(r.Plan))
	measured(t, j, id, morning.Add(time.Hour))
	got := load(t, j, id)
	if len(got.Readings) != 5 || *got.Readings[0].Value != 1.36 || len(got.Weights) != 2 || *got.Weights[0].Mass != 50_100 {
		t.Errorf("an old value is gone: %+v, %+v", got.Readings, got.Weights)
	}
	var stands []any
	for _, v := range journal.Current(got.Readings) {
		stands = append(stands, v.What, *v.Value)
	}
	if want := []any{journal.Strength, 1.42, journal.BeverageWeight, 183.25}; !reflect.DeepEqual(stands, want) {
		t.Errorf("what stands is %v, want %v", stands, want)
	}
	if w := journal.CurrentWeights(got.Weights); len(w) != 1 || *w[0].Mass != 51_000 {
		t.Errorf("what stands is %+v", w)
	}
	again := journal.Reading{What: journal.Strength, Value: got.Readings[0].Value, Taken: morning, Replaces: got.Readings[0].ID}
	if err := j.AddReading(ctx, id, again); !errors.Is(err, journal.ErrSuperseded) {
		t.Errorf("correcting what was corrected: %v", err)
	}
	twice := journal.Weight{Beat: "first pour, end", Mass: got.Weights[0].Mass, Taken: morning, Replaces: got.Weights[0].ID}
	if err := j.AddWeight(ctx, id, twice); !errors.Is(err, journal.ErrSuperseded) {
		t.Errorf("correcting what was corrected: %v", err)
	}
	rec := begin(t, j, brewed(press(t), morning))
	defer rec.End(ctx)
	again.Replaces = ""
	must(t, rec.Reading(again))
	first := rec.Record().Readings[0].ID
	again.Replaces = first
	must(t, rec.Reading(again))
	if err := rec.Reading(again); !errors.Is(err, journal.ErrSuperseded) {
		t.Errorf("while it is brewed: %v", err)
	}
	for name, bad := range map[string]journal.Reading{
		"of nothing":         {What: "smell", Text: "x", Taken: morning},
		"without a value":    {What: journal.Strength, Taken: morning},
		"of a taste's value": {What: journal.Taste, Value: again.Value, Taken: morning},
		"without a time":     {What: journal.Taste, Text: "x"},
	} {
		if err := rec.Reading(bad); err == nil {
			t.Errorf("a reading %s is taken", name)
		}
	}
}
