package drift_test

import (
	"math"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"barline/brew/drift"
)

func chart(t interface{ Fatalf(string, ...any) }, b drift.Baseline, xs ...float64) drift.Chart {
	s, ok := slips(xs...).Series(drift.Beats, beatKeys[bloom], drift.BySlip)
	charts := s.Control(b)
	if !ok || len(charts) != 1 {
		t.Fatalf("%d charts", len(charts))
	}
	return charts[0]
}

// wiggle is n values that go up and down about 0 by turns of 1 and 2.
func wiggle(n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = float64(1+i/2%2) * float64(1-2*(i%2))
	}
	return out
}

func TestChartJudgesWhatFollowsItsBaseline(t *testing.T) {
	c := chart(t, drift.Baseline{}, append(wiggle(25), 40, 0.5, 0.5, -30)...)
	if c.From != 0 || c.Judge != 25 || c.Limits.N != 25 || len(c.Rules) != 4 || len(c.EWMA) != 4 || len(c.CUSUM) != 4 || c.Version != "1" {
		t.Fatalf("%+v", c)
	}
	if c.Outside != 2 || c.Farthest != 0 || math.Abs(c.Far-c.Limits.Z(40)) > 1e-12 || !c.Rules[0].Has(0) || c.Rules[1].Has(0) || !c.Rules[3].Has(0) {
		t.Errorf("%d outside, the farthest %d at %v sigma, rules %v", c.Outside, c.Farthest, c.Far, c.Rules)
	}
	if c.Run != (drift.Run{From: 1, Length: 3, Above: false}) { // the median of the baseline is 1
		t.Errorf("longest run %+v", c.Run)
	}
	if !c.CUSUM[0].Out || c.EWMA[0].Value <= c.Limits.Centre {
		t.Errorf("sums %+v, averages %+v", c.CUSUM, c.EWMA)
	}
	if got := c.Word(0.05); got != "one brew far outside" {
		t.Error(got)
	}
	calm := chart(t, drift.Baseline{}, wiggle(35)...)
	if got := calm.Word(0.05); got != "no change shown" || calm.Outside != 0 || calm.ByChance <= 0 || calm.ByChance >= 0.2 {
		t.Errorf("%q %+v", got, calm)
	}
	if got := chart(t, drift.Baseline{}, append(wiggle(25), repeat(60, 0.7)...)...); got.Word(0.05) != "changed" || got.Outside != 0 {
		t.Errorf("a long run is %q", got.Word(0.05))
	}
	all := chart(t, drift.Baseline{}, wiggle(25)...)
	if got := all.Word(0.05); got != "nothing to judge yet" || all.ByChance != 0 || all.Farthest != -1 || len(all.Rules) != 0 {
		t.Errorf("%q %+v", got, all)
	}
	few := chart(t, drift.Baseline{}, wiggle(24)...)
	if few.Withheld != drift.TooFew || few.Word(0.05) != "too few brews" || few.Judge != 24 || few.Limits.Sigma != 0 {
		t.Errorf("%+v", few)
	}
	if flat := chart(t, drift.Baseline{}, append(repeat(25, 1), 2)...); flat.Withheld != drift.NoSpread {
		t.Errorf("%+v", flat)
	}
}

func TestPointOnTheMiddleEndsARun(t *testing.T) {
	middle := 1.0 // the median of 25 values that begin with 1
	c := chart(t, drift.Baseline{}, append(wiggle(25), 5, 5, middle, 5, 5, 5, -1, -1)...)
	if c.Run != (drift.Run{From: 3, Length: 3, Above: true}) {
		t.Errorf("%+v", c.Run)
	}
}

// Whatever comes after the baseline, the limits stay.
func TestLimitsNeverComeFromThePointsJudged(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		after := rapid.SliceOfN(rapid.Float64Range(-1000, 1000), 0, 40).Draw(t, "after")
		a, b := chart(t, drift.Baseline{}, append(wiggle(25), after...)...), chart(t, drift.Baseline{}, wiggle(25)...)
		if a.Limits != b.Limits || a.Judge != 25 {
			t.Fatalf("%+v, before %+v", a.Limits, b.Limits)
		}
		seen := map[int]bool{}
		for _, p := range a.Points {
			seen[p] = true
		}
		if len(seen) != len(a.Points) || len(a.Rules) != len(a.Points)-a.Judge {
			t.Fatalf("%+v", a)
		}
	})
}

func TestFrozenBaselineIsARangeInTime(t *testing.T) {
	xs := append(slices.Concat(repeat(10, 50), wiggle(30)), 20, 0.5)
	hour := func(n int) time.Time { return monday.Add(time.Duration(n) * time.Hour) }
	c := chart(t, drift.Baseline{Since: hour(10), Until: hour(40)}, xs...)
	if c.From != 10 || c.Judge != 40 || c.Limits.N != 30 || math.Abs(c.Limits.Centre) > 0.2 || c.Outside != 1 || len(c.EWMA) != 2 {
		t.Errorf("%+v", c)
	}
	// Too few in the range, or an open one: the first 25 it is.
	for _, b := range []drift.Baseline{{Since: hour(10), Until: hour(34)}, {Since: hour(10)}, {Until: hour(24)}} {
		if c := chart(t, b, xs...); c.From != 0 || c.Judge != 25 {
			t.Errorf("%+v: judges from %d", b, c.Judge)
		}
	}
}

// Limits start anew at each version, though the versions were brewed by turns.
func TestEachVersionHasItsOwnLimits(t *testing.T) {
	bar := invented{brews: 120, persons: crew[:1], version: func(i int) string { return string(rune('a' + i%2)) }, plant: func(i int, b *played) {
		b.Slip[bloom] += float64(i%2) * 20
	}}
	s, _ := bar.record(1).Choose(drift.Choice{AllVersions: true}).Series(drift.Beats, beatKeys[bloom], drift.BySlip)
	charts := s.Control(drift.Baseline{})
	if len(charts) != 2 || charts[0].Version != "a" || charts[1].Version != "b" {
		t.Fatalf("%d charts", len(charts))
	}
	for i, c := range charts {
		if len(c.Points) != 60 || c.Judge != 25 || math.Abs(c.Limits.Centre-float64(i)*20) > 1 || c.Outside > 3 {
			t.Errorf("version %s: %d points, %d outside, centre %v", c.Version, len(c.Points), c.Outside, c.Limits.Centre)
		}
		for j, p := range c.Points {
			if p != 2*j+i {
				t.Fatalf("version %s: point %d is value %d", c.Version, j, p)
			}
		}
	}
}

func TestTrendSaysWhereItGoes(t *testing.T) {
	line := func(n int, slope float64) []float64 {
		out := wiggle(n)
		for i := range out {
			out[i] = out[i]*0.1 + slope*float64(i)
		}
		return out
	}
	of := func(xs []float64) drift.Trend {
		s, _ := slips(xs...).Series(drift.Beats, beatKeys[bloom], drift.BySlip)
		return s.Trend()
	}
	for _, c := range []struct {
		name string
		xs   []float64
		want string
	}{
		{"up", line(40, 0.1), "rising"},
		{"down", line(40, -0.1), "falling"},
		{"neither", line(40, 0), "no trend"},
		{"too few", line(9, 1), "too few brews"},
		{"all the same", repeat(20, 1), "all values are the same"},
		{"straight as a string", []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10}, "rising"},
	} {
		if got := of(c.xs).Word(0.05); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
	// 0.1 s an hour are 16.8 s a week.
	if l := of(line(40, 0.1)).Line; math.Abs(l.Slope-16.8) > 0.2 || !l.In.Holds(16.8) {
		t.Errorf("%+v", l)
	}
	many := of(line(2100, 0.001))
	if many.Used != drift.Latest || many.Of != 2100 || many.Kendall.N != 2000 || math.Abs(many.Line.Intercept-0.1) > 0.05 {
		t.Errorf("of 2100: %+v", many)
	}
}

// A slow swing is no trend: each value hangs on the one before.
func TestTrendIsWithheldWhereBrewsEcho(t *testing.T) {
	var swing []float64
	for i := range 100 {
		swing = append(swing, 5*math.Sin(float64(i)/12)+float64(i)/40)
	}
	s, _ := slips(swing...).Series(drift.Beats, beatKeys[bloom], drift.BySlip)
	got := s.Trend()
	if got.Withheld != drift.Echo || got.Lag1 < 0.5 || got.Word(0.05) != string(drift.Echo) || got.Line.Pairs != 0 {
		t.Errorf("%+v", got)
	}
	// A learning curve is steep at first, but it is a trend.
	var learning []float64
	for i, x := range wiggle(100) {
		learning = append(learning, 8*math.Exp(-float64(i)/15)+0.3*x)
	}
	s, _ = slips(learning...).Series(drift.Beats, beatKeys[bloom], drift.BySlip)
	if got := s.Trend(); got.Withheld != "" || got.Word(0.05) != "falling" {
		t.Errorf("learning: %+v", got)
	}
}

func TestComparisonOfTwoSets(t *testing.T) {
	r := invented{brews: 90, persons: crew[:2], plant: func(_ int, b *played) {
		if b.Person == "Mo" {
			b.Slip[bloom] += 3
		}
	}}.record(5)
	of := func(persons ...string) drift.Series {
		s, _ := r.Choose(drift.Choice{Persons: persons}).Series(drift.Beats, beatKeys[bloom], drift.BySlip)
		return s
	}
	c := drift.Compare(of("Mo"), of("Ada"))
	if c.Withheld != "" || c.UsedA+c.UsedB != 90 || c.Ranks.P > 1e-6 || math.Abs(c.Shift.By-3) > 0.6 || !c.Shift.In.Holds(3) || c.Shift.In.Holds(0) {
		t.Errorf("%+v", c)
	}
	if c := drift.Compare(of("Mo"), of("Mo")); c.Shift.By != 0 || c.Ranks.P != 1 {
		t.Errorf("against itself: %+v", c)
	}
	a, _ := slips(1, 2, 3).Series(drift.Beats, beatKeys[bloom], drift.BySlip)
	b, _ := slips(1, 2, 3, 4).Series(drift.Beats, beatKeys[bloom], drift.BySlip)
	if c := drift.Compare(a, b); c.Withheld != drift.TooFew {
		t.Errorf("three against four: %+v", c)
	}
	if c := drift.Compare(b, b); c.Withheld != "" || !c.Ranks.Exact {
		t.Errorf("four against four: %+v", c)
	}
	x, _ := slips(wiggle(2500)...).Series(drift.Beats, beatKeys[bloom], drift.BySlip)
	if c := drift.Compare(x, b); c.UsedA != drift.Latest || c.Ranks.NA != drift.Latest {
		t.Errorf("of 2500: %+v", c)
	}
}

func TestAFrozenBaselineIsOfOneColumnAndVersionAlone(t *testing.T) {
	bar := invented{brews: 200, persons: crew[:1], version: func(i int) string { return []string{"1", "2"}[i/100] }}
	r := bar.record(4)
	s := r.Choose(drift.Choice{AllVersions: true})
	first, last := s.Head(130), s.Head(169)
	frozen := drift.Frozen{What: drift.Beats, Version: "2", Key: beatKeys[second], Since: first.Start, Until: last.Start.Add(1)}
	for name, c := range map[string]struct {
		key      string
		frozen   []drift.Frozen
		from, to [2]int
	}{
		"the one that was meant":          {beatKeys[second], []drift.Frozen{frozen}, [2]int{0, 30}, [2]int{25, 70}},
		"another beat":                    {beatKeys[third], []drift.Frozen{frozen}, [2]int{0, 0}, [2]int{25, 25}},
		"the last of several for it":      {beatKeys[second], []drift.Frozen{{What: drift.Beats, Version: "2", Key: beatKeys[second]}, frozen}, [2]int{0, 30}, [2]int{25, 70}},
		"a length of the same name":       {beatKeys[second], []drift.Frozen{{What: drift.Lengths, Version: "2", Key: beatKeys[second], Since: first.Start, Until: last.Start}}, [2]int{0, 0}, [2]int{25, 25}},
		"the older version, for its part": {beatKeys[second], []drift.Frozen{{What: drift.Beats, Version: "1", Key: beatKeys[second], Since: s.Head(10).Start, Until: s.Head(60).Start}}, [2]int{10, 0}, [2]int{60, 25}},
	} {
		t.Run(name, func(t *testing.T) {
			series, _ := s.Series(drift.Beats, c.key, drift.BySlip)
			charts := series.Control(drift.Baseline{Frozen: c.frozen})
			if len(charts) != 2 {
				t.Fatalf("%d charts", len(charts))
			}
			for v, chart := range charts {
				if chart.From != c.from[v] || chart.Judge != c.to[v] {
					t.Errorf("version %s: baseline %d to %d, want %d to %d", chart.Version, chart.From, chart.Judge, c.from[v], c.to[v])
				}
			}
		})
	}
}

func TestAFrozenBaselineIsNotThatOfAVersionBrewedBesideIt(t *testing.T) {
	r := invented{brews: 200, persons: crew[:1], version: func(i int) string { return []string{"1", "2"}[i%2] }}.record(4)
	s := r.Choose(drift.Choice{AllVersions: true})
	series, _ := s.Series(drift.Beats, beatKeys[second], drift.BySlip)
	charts := series.Control(drift.Baseline{Frozen: []drift.Frozen{{What: drift.Beats, Version: "2", Key: beatKeys[second], Since: s.Head(60).Start, Until: s.Head(140).Start}}})
	for _, c := range charts {
		want := map[string][2]int{"1": {0, 25}, "2": {30, 70}}[c.Version]
		if c.From != want[0] || c.Judge != want[1] {
			t.Errorf("version %s: baseline %d to %d, want %v", c.Version, c.From, c.Judge, want)
		}
	}
}
