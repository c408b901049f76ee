package journal_test

import (
	"bytes"
	"testing"
	"time"

	"barline/brew/drift"
	"barline/cmd/barline/internal/journal"
)

// What stays of a forgotten brew is what an attempt or a baseline needs, and
// nothing of others.
func TestAForgottenBrewStaysWhereSomethingCountsIt(t *testing.T) {
	p := press(t)
	at := func(n int) time.Time { return morning.Add(time.Duration(n) * time.Hour) }
	other := func(change func(*journal.Record)) journal.Record {
		r := brewed(p, at(2))
		change(&r)
		return r
	}
	renamed := pressed
	renamed.Name = "Dock press"
	namesake := planOf(t, renamed)
	if namesake.Version != p.Version {
		t.Fatal("another name is another version: the test does not test")
	}
	for name, c := range map[string]struct {
		brew journal.Record
		want bool
	}{
		"one of the attempt's":      {brewed(p, at(2)), true},
		"the name in other letters": {other(func(r *journal.Record) { r.Person = "ADA" }), true},
		"in the instant of opening": {brewed(p, at(1)), true},
		"before the attempt":        {brewed(p, at(0)), false},
		"somebody else's":           {other(func(r *journal.Record) { r.Person = "Bo" }), false},
		"of a recipe alike":         {brewed(namesake, at(2)), false},
		"of another recipe":         {brewed(cone(t), at(2)), false},
		"of a rehearsal":            {other(func(r *journal.Record) { r.Kind = drift.Rehearsal }), false},
		"at another speed":          {other(func(r *journal.Record) { r.Speed = 2 }), false},
		"begun in the middle":       {other(func(r *journal.Record) { r.From = time.Second }), false},
	} {
		j := fresh(t)
		must(t, j.SaveAttempt(ctx, journal.Attempt{ID: idAt(at(1)), Person: "Ada", Recipe: p.Name, Version: p.Version, Brews: 3, Opened: at(1)}))
		id := record(t, j, c.brew, follow(c.brew.Plan))
		must(t, j.Forget(ctx, id))
		left, err := j.Forgotten(ctx, "quayside PRESS")
		must(t, err)
		if others, err := j.Forgotten(ctx, "Dock press"); err != nil || len(others) > 0 {
			t.Errorf("%s: of the recipe alike %+v stays, %v", name, others, err)
		}
		if (len(left) == 1) != c.want || c.want && (left[0].ID != id || left[0].Version != p.Version || !left[0].Start.Equal(c.brew.Start)) {
			t.Errorf("%s: %+v stays", name, left)
		}
		sound(t, j)
	}
}

// The ends of a frozen range stay, whoever brewed them; what lies between does
// not. An import that brings the brew back takes the place of its trace.
func TestTheEndsOfABaselineOutliveTheirBrews(t *testing.T) {
	j, p := fresh(t), press(t)
	var ids []string
	for n := range 3 {
		r := brewed(p, morning.Add(time.Duration(n)*time.Hour))
		r.Person = "Bo"
		ids = append(ids, record(t, j, r, follow(p)))
	}
	before := exported(t, j)
	must(t, j.SaveBaseline(ctx, journal.Baseline{ID: idAt(morning), Version: p.Version, Beat: "stir, start", Measure: "slip", First: ids[0], Last: ids[2],
		Brews: 25, Low: -1, High: 1, Made: morning.Add(5 * time.Hour)}))
	for _, id := range ids {
		must(t, j.Forget(ctx, id))
	}
	left, err := j.Forgotten(ctx, p.Name)
	must(t, err)
	if len(left) != 2 || left[0].ID != ids[0] || left[1].ID != ids[2] {
		t.Fatalf("%+v stays", left)
	}
	sound(t, j)
	again := fresh(t)
	for range 2 { // twice adds nothing
		_, err = again.Import(ctx, bytes.NewReader(exported(t, j)))
		must(t, err)
	}
	if !bytes.Equal(exported(t, again), exported(t, j)) {
		t.Error("traces do not come back as they went")
	}
	_, err = j.Import(ctx, bytes.NewReader(before))
	must(t, err)
	if left, err = j.Forgotten(ctx, p.Name); err != nil || len(left) != 0 {
		t.Errorf("%+v stays beside its brew, %v", left, err)
	}
	sound(t, j)
}

// An attempt cannot be passed by forgetting the brew that failed; rehearsals
// know nothing of it.
func TestForgettingPassesNoAttempt(t *testing.T) {
	j, p := fresh(t), press(t)
	at := func(n int) time.Time { return morning.Add(time.Duration(n) * time.Hour) }
	attempt := drift.Attempt{Person: "ada", Version: p.Version, Opened: at(1), Brews: 2}
	must(t, j.SaveAttempt(ctx, journal.Attempt{ID: idAt(at(1)), Person: "ada", Recipe: p.Name, Version: p.Version, Brews: 2, Opened: at(1)}))
	late := follow(p)
	for n := range late[1:] {
		late[n+1].At += 20 * time.Second
	}
	failed := record(t, j, brewed(p, at(2)), late)
	for n := range 2 {
		record(t, j, brewed(p, at(3+n)), follow(p))
	}
	stands := func(kind journal.Kind) drift.Fit {
		return drifts(t, j, journal.Counting{Recipe: p.Name, Kind: kind}).Record.Fit([]drift.Attempt{attempt})[0]
	}
	if f := stands(drift.Service); f.Standing != drift.Failed || f.Of != 3 {
		t.Fatalf("before %+v", f)
	}
	must(t, j.Forget(ctx, failed))
	if f := stands(drift.Service); f.Standing != drift.Void || f.Of != 3 || f.Lost != 1 {
		t.Errorf("afterwards %+v", f)
	}
	if f := stands(drift.Rehearsal); f.Of != 0 || f.Lost != 0 {
		t.Errorf("of rehearsals %+v", f)
	}
}
