package drift_test

import (
	"slices"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/drift"
)

func TestNamesThatAreTheSame(t *testing.T) {
	for _, c := range []struct {
		a, b string
		same bool
	}{
		{"Ada", "ADA", true}, {"Ada", " ada\t", true}, {"Émile", "éMILE", true}, {"ΣΟΦΙΑ", "σοφια", true}, {"Ж", "ж", true}, {"", "  ", true},
		{"Ada", "Ida", false}, {"Ada", "", false}, {"A da", "Ada", false}, {"Emile", "Émile", false},
	} {
		if got := drift.Same(c.a, c.b); got != c.same || drift.Same(c.b, c.a) != c.same {
			t.Errorf("%q and %q are the same: %t", c.a, c.b, got)
		}
	}
}

// However a name is spelled, it is one person: in the record, in a choice, in
// what is packed and in attempts.
func TestOnePersonHoweverTheNameIsSpelled(t *testing.T) {
	r := &drift.Record{}
	for i, name := range []string{"Émile", "ÉMILE", " émile", "Ada", "ADA ", ""} {
		r.Add(played{Start: monday.Add(time.Duration(i) * time.Hour), Person: name}.brew(r, "1", uint64(i)))
	}
	var back drift.Record
	if err := back.Unpack(r.Pack(nil)); err != nil {
		t.Fatal(err)
	}
	more := &drift.Record{}
	more.Add(played{Start: monday.Add(9 * time.Hour), Person: "émile"}.brew(more, "1", 9))
	if err := back.Unpack(more.Pack(nil)); err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		record *drift.Record
		brews  int
	}{"as added": {r, 3}, "unpacked, with one more": {&back, 4}} {
		if got, want := c.record.Persons(), []string{"Émile", "Ada", ""}; !slices.Equal(got, want) {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
		if got := c.record.Choose(drift.Choice{Persons: []string{"éMILE "}}).Len(); got != c.brews {
			t.Errorf("%s: %d brews, want %d", name, got, c.brews)
		}
		if got := c.record.Head(1).Person; got != "Émile" {
			t.Errorf("%s: the second brew is by %q", name, got)
		}
		if got := c.record.Fit([]drift.Attempt{{Person: "ÉMILE", Version: "1", Opened: monday, Brews: 2}})[0]; got.Of != c.brews || got.Standing != drift.Passed {
			t.Errorf("%s: %+v", name, got)
		}
	}
}

// A step may be called contact; how long water and coffee were together is
// another thing.
func TestStepCalledContactIsNotContact(t *testing.T) {
	recipe := press()
	for i := range recipe.Steps {
		if recipe.Steps[i].Action == brew.Press {
			recipe.Steps[i].ID = "contact"
		}
	}
	r, plan := &drift.Record{}, planOf(t, recipe)
	d := drift.Of(play(t, plan, marks(8, 52, 112, 145)...))
	r.Take([16]byte{1}, monday, "Mo", plan, d)
	s := r.Choose(drift.Choice{})
	own, ok := s.Series(drift.Lengths, "contact", drift.ByDrift)
	whole, also := s.Series(drift.Lengths, d.Contact.Key, drift.ByDrift)
	if !ok || !also || !slices.Equal(own.Values, []float64{5}) || own.Column.Step == whole.Column.Step || len(whole.Values) != 1 || d.Contact.Key == "contact" {
		t.Errorf("the step %+v, contact %+v", own, whole)
	}
	if w := own.Column.Length; w != sec(28) || whole.Column.Length != sec(140) {
		t.Errorf("lengths %v and %v", w, whole.Column.Length)
	}
}
