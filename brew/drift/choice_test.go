package drift_test

import (
	"fmt"
	"testing"
	"time"

	"barline/brew/drift"
)

func TestASetWithoutAnotherKeepsItsOrderAndItsVersion(t *testing.T) {
	r := invented{brews: 60, persons: crew, version: func(i int) string { return []string{"b", "a"}[i/30] }}.record(9)
	all := r.Choose(drift.Choice{AllVersions: true})
	some := r.Choose(drift.Choice{AllVersions: true, Persons: crew[:1]})
	rest := all.Without(some)
	if rest.Len() != all.Len()-some.Len() || rest.Version() != "a" {
		t.Errorf("%d of %d brews without %d, version %s", rest.Len(), all.Len(), some.Len(), rest.Version())
	}
	for i := range rest.Len() {
		if h := rest.Head(i); h.Person == crew[0] || i > 0 && h.Start.Before(rest.Head(i-1).Start) {
			t.Errorf("brew %d is %+v", i, h)
		}
	}
	if none := all.Without(all); none.Len() != 0 {
		t.Errorf("without itself it has %d brews", none.Len())
	}
	if all.Len() != 60 {
		t.Error("the set itself was changed")
	}
}

func TestWhatARecordHoldsIsNamed(t *testing.T) {
	r := &drift.Record{}
	for i, v := range []string{"z", "y", "z", "x"} {
		r.Add(drift.Brew{ID: [16]byte{byte(i)}, Version: v, Person: fmt.Sprint(i), Start: monday.Add(-time.Duration(i) * time.Hour)})
	}
	if got := fmt.Sprint(r.Versions()); got != "[x z y]" { // by their first brews
		t.Errorf("versions %s", got)
	}
	if n, ok := r.Find([16]byte{2}); !ok || n != 2 {
		t.Errorf("found %d, %v", n, ok)
	}
	if _, ok := r.Find([16]byte{9}); ok {
		t.Error("found a brew that is not there")
	}
}

func TestValuesBetweenTwoMoments(t *testing.T) {
	s := invented{brews: 40, persons: crew[:1]}.record(2).Choose(drift.Choice{})
	x, _ := s.Series(drift.Beats, beatKeys[second], drift.BySlip)
	for _, c := range []struct{ from, to, want int }{{0, 40, 39}, {3, 3, 0}, {3, 4, 1}, {5, 25, 20}} {
		if got := x.Between(s.Head(c.from).Start, s.Head(min(c.to, 39)).Start); got != c.want {
			t.Errorf("from %d to %d: %d, want %d", c.from, c.to, got, c.want)
		}
	}
}
