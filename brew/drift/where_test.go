package drift_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"barline/brew"
	"barline/brew/drift"
)

// Two brews by hand. In the first the second pour is 6 late, the third by 1 of
// its own on top, and the bed 2 early against that. In the second the bloom is
// 5 late, which a pause takes up; the third pour is 3 early.
func TestWhereTheTimeGoesInTwoBrews(t *testing.T) {
	r := &drift.Record{}
	for i, slip := range [][4]float64{{0, 6, 1, -2}, {5, 0, -3, 0}} {
		r.Add(played{Start: monday.AddDate(0, 0, i), Slip: slip}.brew(r, "1", uint64(i)))
	}
	w := r.Choose(drift.Choice{}).Where()
	if w.Brews != 2 || len(w.Beats) != 4 {
		t.Fatalf("%+v", w)
	}
	for i, want := range []drift.BeatWhere{
		{Drift: 5, Slip: 5},
		{Drift: 6, Slip: 6},
		{Drift: 4, Slip: -2, Carried: 6, From: []float64{0, 6, 0, 0}},
		{Drift: 2, Slip: -2, Carried: 4, From: []float64{0, 6, -2, 0}},
	} {
		got := w.Beats[i]
		if got.Drift != want.Drift || got.Slip != want.Slip || got.Carried != want.Carried || got.Other != 0 || got.Marked != 2 {
			t.Errorf("%s: %+v, want %+v", got.Column.Key, got, want)
		}
		for j, x := range want.From {
			if math.Abs(got.From[j]-x) > 1e-9 {
				t.Errorf("%s: %v from beat %d, want %v", got.Column.Key, got.From[j], j, x)
			}
		}
	}
	// Of the drift at the end, 5 - 3 are the bed's and the pauses took 5.
	if w.Total != 2 || w.Person != 9 || w.Bed != -2 || w.Between != -5 {
		t.Errorf("%+v", w)
	}
	if beat, _ := w.Source(third); beat != -1 || w.Withheld != drift.TooFew || w.Beats[third].Withheld != drift.TooFew {
		t.Errorf("two brews say that the third pour has it from %d; %+v", beat, w)
	}
}

// A pause that takes up half of what two beats made takes half of each.
func TestPausesTakeUpInProportion(t *testing.T) {
	r := &drift.Record{}
	var cells []drift.Cell
	for i, c := range []struct{ carried, slip float64 }{{0, 6}, {6, 2}, {4, 0}, {-1, 0}} {
		drift1 := sec(c.carried + c.slip)
		cells = append(cells, drift.Cell{Column: r.Column(beatColumn("1", i)), Slip: sec(c.slip), Drift: drift1})
	}
	r.Add(drift.Brew{Start: monday, Version: "1", Cells: cells})
	w := r.Choose(drift.Choice{}).Where()
	if b := w.Beats[2]; b.From[0] != 3 || b.From[1] != 1 || b.Other != 0 {
		t.Errorf("%+v", b)
	}
	if b := w.Beats[3]; b.From[0] != 0 || b.From[1] != 0 || b.Other != -1 {
		t.Errorf("early behind a late one: %+v", b)
	}
}

// What no beat made, another brew that came first, is of other origin; and a
// brew inherits nothing from the brew before.
func TestWhatNoBeatMadeIsOther(t *testing.T) {
	r := &drift.Record{}
	add := func(id byte, beats ...[2]float64) { // carried, slip
		var cells []drift.Cell
		for i, c := range beats {
			cells = append(cells, drift.Cell{Column: r.Column(beatColumn("1", i)), Slip: sec(c[1]), Drift: sec(c[0] + c[1])})
		}
		r.Add(drift.Brew{ID: [16]byte{id}, Start: monday, Version: "1", Cells: cells})
	}
	add(0, [2]float64{0, 2}, [2]float64{7, 1}, [2]float64{4, 0})
	w := r.Choose(drift.Choice{}).Where()
	if b := w.Beats[1]; b.From[0] != 2 || b.Other != 5 {
		t.Errorf("held up by another brew: %+v", b)
	}
	if b := w.Beats[2]; b.From[0] != 1 || b.From[1] != 0.5 || b.Other != 2.5 {
		t.Errorf("half of it taken up: %+v", b)
	}
	add(1, [2]float64{3, 0})
	if b := r.Choose(drift.Choice{}).Where().Beats[0]; b.From[0] != 0 || b.From[1] != 0 || b.Other != 3 {
		t.Errorf("the next brew: %+v", b)
	}
}

func TestWhereAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		plan, r := drawPlan(t), &drift.Record{}
		total := drift.Lateness{}
		for i := range rapid.IntRange(1, 6).Draw(t, "brews") {
			d := drift.Of(fold(plan, drawEvents(t, plan)))
			r.Take([16]byte{byte(i)}, monday.AddDate(0, 0, i), "Mo", plan, d)
			if d.Ending == brew.Finished {
				total.Total += d.Lateness.Total
				total.Person += d.Lateness.Person
				total.Bed += d.Lateness.Bed
				total.Untold += d.Lateness.Untold
				total.Between += d.Lateness.Between
			}
		}
		w := r.Choose(drift.Choice{}).Where()
		near := func(what string, got, want float64) {
			if math.Abs(got-want) > 0.1 { // a millisecond for each mark
				t.Fatalf("%s is %v, want %v: %+v", what, got, want, w)
			}
		}
		near("total", w.Total, total.Total.Seconds())
		near("person", w.Person, total.Person.Seconds())
		near("bed", w.Bed, total.Bed.Seconds())
		near("untold", w.Untold, total.Untold.Seconds())
		near("between", w.Between, total.Between.Seconds())
		if math.Abs(w.Total-w.Person-w.Bed-w.Untold-w.Between) > 1e-6 {
			t.Fatalf("%+v", w)
		}
		for i, b := range w.Beats {
			sum := b.Other
			for _, x := range b.From {
				sum += x
			}
			if math.Abs(b.Drift-b.Carried-b.Slip) > 1e-6 || math.Abs(sum-b.Carried) > 1e-6 {
				t.Fatalf("%s does not add up: %+v", b.Column.Key, b)
			}
			for j := i; j < len(w.Beats); j++ {
				if b.From[j] != 0 {
					t.Fatalf("%s has it from a later beat: %+v", b.Column.Key, b)
				}
			}
		}
	})
}
