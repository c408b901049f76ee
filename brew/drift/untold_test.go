package drift_test

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"barline/brew"
	"barline/brew/drift"
)

// behind is a record of brews that have the third pour alone, with these slips;
// of so many of them, the first, the bed may have been in it.
func behind(n int, xs ...float64) drift.Set {
	r := &drift.Record{}
	c := beatColumn("1", third)
	for i, x := range xs {
		cell := drift.Cell{Column: r.Column(c), Slip: sec(x), Drift: sec(x), Cup: drift.Judge(sec(x), c.Window), Own: drift.Judge(sec(x), c.Window)}
		if i < n {
			cell.BehindBed, cell.Own = true, drift.NoVerdict
		}
		r.Add(drift.Brew{ID: [16]byte{byte(i)}, Start: monday.Add(time.Duration(i) * time.Hour), Person: "Mo", Version: "1", Cells: []drift.Cell{cell}})
	}
	return r.Choose(drift.Choice{})
}

// By slip, what may be the bed's has no value; by drift it has.
func TestWhatMayBeTheBedsHasNoSlip(t *testing.T) {
	xs := append(repeat(5, 40), wiggle(25)...)
	for m, want := range map[drift.Measure]drift.Tally{
		drift.BySlip:    {Brews: 30, Marked: 25, BehindBed: 5, OnTime: 25},
		drift.ByDrift:   {Brews: 30, Marked: 30, OnTime: 25, Late: 5},
		drift.ByCarried: {Brews: 30, Marked: 30},
	} {
		s, _ := behind(5, xs...).Series(drift.Beats, beatKeys[third], m)
		if s.Tally != want || len(s.Values) != want.Marked || len(s.Brews) != want.Marked {
			t.Errorf("by %s: %+v, want %+v; %d values", m, s.Tally, want, len(s.Values))
		}
	}
}

// More than one in five of them, and what is left is not all that there was.
func TestLocationAndSpreadAreWithheldWhereTheBedMayBeInThem(t *testing.T) {
	for _, c := range []struct {
		behind, others int
		want           drift.Reason
	}{{0, 40, ""}, {10, 40, ""}, {11, 40, drift.Behind}, {40, 5, drift.Behind}, {2, 1, drift.TooFew}} {
		xs := append(repeat(c.behind, 30), wiggle(c.others)...)
		set := behind(c.behind, xs...)
		s, _ := set.Series(drift.Beats, beatKeys[third], drift.BySlip)
		sum := s.Summary()
		if sum.Median.Withheld != c.want {
			t.Errorf("%+v: median %+v", c, sum.Median)
		}
		if c.others < 25 {
			continue
		}
		if chart := s.Control(drift.Baseline{})[0]; chart.Withheld != c.want || s.Trend().Withheld != c.want || drift.Compare(s, s).Withheld != c.want || sum.Max.Withheld != "" || sum.OnTime.Withheld != "" {
			t.Errorf("%+v: chart %q, trend %q, %+v", c, chart.Withheld, s.Trend().Withheld, sum)
		}
		if by := set.Table(drift.ByDrift)[0]; by.Median.Withheld != "" {
			t.Errorf("%+v: by drift %+v", c, by.Median)
		}
	}
	if sum := behind(1, 9).Table(drift.BySlip)[0]; sum.OnTime.Withheld != drift.Behind {
		t.Errorf("of one brew: %+v", sum.OnTime)
	}
}

// However late what may be the bed's is, no figure by slip, no finding about a
// person and no person's sum of time changes by it.
func TestBedCountsAgainstNoPersonInManyBrews(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		seed, late := rapid.Uint64().Draw(t, "seed"), rapid.Float64Range(0, 500).Draw(t, "late")
		bar := func(late float64) drift.Set {
			r, of := &drift.Record{}, invented{brews: 120, persons: crew}.record(seed)
			for n := range of.Len() {
				b := played{Start: of.Head(n).Start, Person: of.Head(n).Person}
				b.Slip[third] = 1 // in which chance can find nothing
				out := b.brew(r, "1", uint64(n))
				if n%8 == 0 {
					c := &out.Cells[third]
					c.BehindBed, c.Own = true, drift.NoVerdict
					c.Slip, c.Drift = sec(late), sec(late)
				}
				r.Add(out)
			}
			return r.Choose(drift.Choice{})
		}
		a, b := bar(0), bar(late)
		if x, y := a.Table(drift.BySlip), b.Table(drift.BySlip); x[third] != y[third] {
			t.Fatalf("%+v, and %+v where the bed was late", x[third], y[third])
		}
		x, y := a.Where(), b.Where()
		if x.Person != y.Person || math.Abs(y.Untold-15*sec(late).Seconds()) > 0.1 || math.Abs(y.Beats[third].Untold-y.Untold) > 1e-9 {
			t.Fatalf("%+v, and %+v where the bed was late", x, y)
		}
		for _, f := range b.Findings(drift.Baseline{}).Findings {
			if f.Column.Key == beatKeys[third] && f.Claim != drift.ClaimCarried {
				t.Fatalf("%q", f.Text)
			}
		}
	})
}

// A window has one side where nothing can miss the other.
func TestCapabilityOfAWindowWithOneSide(t *testing.T) {
	values := make([]float64, 30)
	for i := range values {
		values[i] = float64(i%3) - 0.5 // mean 0.5
	}
	sd := math.Sqrt(20.0 / 29)
	for _, c := range []struct {
		name        string
		what        drift.What
		edge        brew.Edge
		by          drift.Measure
		length      float64
		early, late float64
		cp          drift.Reason
		cpk         float64
	}{
		{"an end cannot come before its start", drift.Beats, brew.EndEdge, drift.BySlip, 2, 2, 3, drift.OneSided, 2.5 / (3 * sd)},
		{"nor much before", drift.Beats, brew.EndEdge, drift.BySlip, 2, 9, 3, drift.OneSided, 2.5 / (3 * sd)},
		{"to the tenth", drift.Beats, brew.EndEdge, drift.BySlip, 2.04, 2, 3, drift.OneSided, 2.5 / (3 * sd)},
		{"a longer one can", drift.Beats, brew.EndEdge, drift.BySlip, 2.1, 2, 3, "", 2.5 / (3 * sd)},
		{"by its drift it can, for it may be called early", drift.Beats, brew.EndEdge, drift.ByDrift, 2, 2, 3, "", 2.5 / (3 * sd)},
		{"a start can", drift.Beats, brew.StartEdge, drift.BySlip, 2, 2, 3, "", 2.5 / (3 * sd)},
		{"a length is not below nothing", drift.Lengths, "", drift.ByDrift, 2, 2, 3, drift.OneSided, 2.5 / (3 * sd)},
		{"a window that begins at 0 has two sides", drift.Beats, brew.EndEdge, drift.BySlip, 9, 0, 9, "", 0.5 / (3 * sd)},
	} {
		r := &drift.Record{}
		column := drift.Column{What: c.what, Version: "1", Key: "k", Edge: c.edge, Length: sec(c.length), Window: brew.Window{Early: sec(c.early), Late: sec(c.late)}, HasWindow: true}
		for i, x := range values {
			r.Add(drift.Brew{ID: [16]byte{byte(i)}, Start: monday, Version: "1", Cells: []drift.Cell{{Column: r.Column(column), Slip: sec(x), Drift: sec(x)}}})
		}
		s, _ := r.Choose(drift.Choice{}).Series(c.what, "k", c.by)
		a := s.Summary().Able
		if a.Cp.Withheld != c.cp || (c.cp != "" && (a.CpIn.Low != 0 || a.CpIn.High != 0)) || a.Cpk.Withheld != "" || math.Abs(a.Cpk.Value-c.cpk) > 1e-9 || !a.CpkIn.Holds(a.Cpk.Value) {
			t.Errorf("%s: %+v, want %v", c.name, a, c.cpk)
		}
	}
}

// Where the time goes is withheld as other means are.
func TestWhereTheTimeGoesIsWithheld(t *testing.T) {
	of := func(n int, fates func(i int) [4]drift.Fate) drift.Where {
		return invented{brews: n, persons: crew, plant: func(i int, b *played) {
			b.Slip, b.Fate = [4]float64{1, 2, 3, 4}, fates(i)
		}}.record(1).Choose(drift.Choice{}).Where()
	}
	all := func(int) [4]drift.Fate { return [4]drift.Fate{} }
	none := func(int) [4]drift.Fate {
		return [4]drift.Fate{drift.Unmarked, drift.Unmarked, drift.Unmarked, drift.Unmarked}
	}
	for _, c := range []struct {
		name        string
		where       drift.Where
		marked      int
		whole, last drift.Reason
	}{
		{"of no brew", (&drift.Record{}).Choose(drift.Choice{}).Where(), 0, drift.TooFew, drift.TooFew},
		{"of five", of(5, all), 5, drift.TooFew, drift.TooFew},
		{"of six", of(6, all), 6, "", ""},
		{"without a mark", of(20, none), 0, drift.TooFew, drift.TooFew},
		{"one mark in five missing", of(20, func(i int) [4]drift.Fate {
			if i%5 == 0 {
				return none(0)
			}
			return all(0)
		}), 16, "", ""},
		{"one in four", of(20, func(i int) [4]drift.Fate {
			if i%4 == 0 {
				return none(0)
			}
			return all(0)
		}), 15, drift.Gaps, drift.Gaps},
		{"one in four of the last", of(20, func(i int) (f [4]drift.Fate) {
			if i%4 == 0 {
				f[bed] = drift.Unmarked
			}
			return f
		}), 20, "", drift.Gaps},
		{"skipped is not missing", of(20, func(i int) (f [4]drift.Fate) {
			if i%4 == 0 {
				f[bed] = drift.Skipped
			}
			return f
		}), 20, "", ""},
	} {
		w := c.where
		mean, last := w.Mean(w.Total), drift.Figure{Withheld: drift.TooFew}
		if len(w.Beats) > 0 {
			last = w.Beats[bed].Mean(w.Beats[bed].Slip)
		}
		if w.Marked != c.marked || mean.Withheld != c.whole || last.Withheld != c.last {
			t.Errorf("%s: %d with a mark, the whole %+v, the bed's %+v; want %d, %q, %q", c.name, w.Marked, mean, last, c.marked, c.whole, c.last)
		}
		if c.last == "" && last.Value != 4 {
			t.Errorf("%s: the bed takes %v of its own", c.name, last.Value)
		}
		if len(w.Beats) == 0 {
			continue
		}
		if from, _ := w.Source(bed); (from >= 0) != (c.last == "") {
			t.Errorf("%s: the bed has it from %d", c.name, from)
		}
	}
	// The mean is over brews that have a mark.
	half := of(40, func(i int) [4]drift.Fate {
		if i%8 == 0 {
			return [4]drift.Fate{drift.NotReached, drift.NotReached, drift.NotReached, drift.NotReached}
		}
		return all(0)
	})
	if got := half.Mean(half.Person); got.Withheld != "" || math.Abs(got.Value-6) > 1e-9 {
		t.Errorf("%+v of %+v", got, half)
	}
	// A source of which too little is known is none.
	for missing, want := range map[int]int{0: second, 2: third} {
		w := invented{brews: 40, persons: crew, plant: func(i int, b *played) {
			b.Slip = [4]float64{0, 90, 3, 4}
			if missing > 0 && i%missing == 0 {
				b.Fate[second] = drift.Unmarked
			}
		}}.record(1).Choose(drift.Choice{}).Where()
		if from, _ := w.Source(bed); from != want {
			t.Errorf("one in %d missing: the bed has it from %d, want %d: %+v", missing, from, want, w.Beats[bed])
		}
	}
}

// Brews of versions that cannot be joined are counted, and give no value.
func TestBrewsThatCannotBeJoinedAreLeftOut(t *testing.T) {
	r := &drift.Record{}
	for i := range 12 {
		version, key := "1", beatColumn("1", bloom)
		if i >= 5 {
			version, key = "2", beatColumn("2", bloom)
			key.Length = sec(11)
		}
		r.Add(drift.Brew{ID: [16]byte{byte(i)}, Start: monday.Add(time.Duration(i) * time.Hour), Version: version, Cells: []drift.Cell{{Column: r.Column(key)}}})
	}
	for _, c := range []struct {
		all     bool
		leftOut int
	}{{true, 5}, {false, 0}} {
		s, _ := r.Choose(drift.Choice{AllVersions: c.all}).Series(drift.Beats, beatKeys[bloom], drift.BySlip)
		if s.Tally.LeftOut != c.leftOut || s.Tally.Brews != 7 || len(s.Values) != 7 {
			t.Errorf("all versions %t: %+v", c.all, s.Tally)
		}
	}
}
