package drift_test

import (
	"encoding/json"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"barline/brew"
	"barline/brew/drift"
	"barline/brew/drift/stat"
)

// slips is a record of one person's brews that have the bloom alone, with these
// slips in seconds; NaN is an unmarked one.
func slips(xs ...float64) drift.Set {
	r := &drift.Record{}
	c := beatColumn("1", bloom)
	for i, x := range xs {
		cell := drift.Cell{Column: r.Column(c), Fate: drift.Unmarked}
		if !math.IsNaN(x) {
			d := sec(x)
			cell = drift.Cell{Column: cell.Column, Slip: d, Drift: d, Own: drift.Judge(d, c.Window), Cup: drift.Judge(d, c.Window)}
		}
		r.Add(drift.Brew{ID: [16]byte{byte(i >> 8), byte(i)}, Start: monday.Add(time.Duration(i) * time.Hour), Person: "Mo", Version: "1", Cells: []drift.Cell{cell}})
	}
	return r.Choose(drift.Choice{})
}

func repeat(n int, x float64) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = x
	}
	return out
}

func TestSummaryOfTwelveBrews(t *testing.T) {
	s := slips(1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 24).Table(drift.BySlip)[0]
	for _, c := range []struct {
		name string
		got  drift.Figure
		want float64
	}{
		{"median", s.Median, 6.5}, {"mean", s.Mean, 7.5}, {"sd", s.SD, math.Sqrt(407.0 / 11)},
		{"lower quartile", s.Lower, 3.75}, {"upper quartile", s.Upper, 9.25}, {"smallest", s.Min, 1}, {"largest", s.Max, 24},
	} {
		if c.got.Withheld != "" || math.Abs(c.got.Value-c.want) > 1e-12 {
			t.Errorf("%s is %+v, want %v", c.name, c.got, c.want)
		}
	}
	// Wilson 1927 for 3 of 12
	if o := s.OnTime; o.K != 3 || o.N != 12 || o.Withheld != "" || math.Abs(o.Rate()-0.25) > 1e-12 || math.Abs(o.In.Low-0.08894) > 1e-5 || math.Abs(o.In.High-0.53231) > 1e-5 {
		t.Errorf("on time: %+v", o)
	}
	if s.Able.Cp.Withheld != drift.TooFew || s.Unit != "s" {
		t.Errorf("capability of twelve in %s: %+v", s.Unit, s.Able)
	}
	if s.Tally != (drift.Tally{Brews: 12, Marked: 12, OnTime: 3, Late: 9}) {
		t.Errorf("%+v", s.Tally)
	}
}

func TestSummaryOfASeriesIsItsRowOfTheTable(t *testing.T) {
	s := invented{brews: 40, persons: crew}.record(2).Choose(drift.Choice{})
	for i, row := range s.Table(drift.BySlip) {
		series, _ := s.Series(drift.Beats, row.Column.Key, drift.BySlip)
		before := append([]float64{}, series.Values...)
		if got := series.Summary(); got != row || i == 0 && got.OnTime.Rate() != float64(got.OnTime.K)/40 {
			t.Errorf("%+v, in the table %+v", got, row)
		}
		if !reflect.DeepEqual(before, series.Values) {
			t.Error("the series was put into another order")
		}
	}
	if rate := (drift.Share{}).Rate(); rate != 0 {
		t.Errorf("none of none are %v", rate)
	}
}

// Each figure is withheld below its least number and shown from there on.
func TestFiguresAreWithheldBelowTheirLeastNumber(t *testing.T) {
	figures := map[string]func(s drift.Summary) drift.Figure{
		"median":               func(s drift.Summary) drift.Figure { return s.Median },
		"mean":                 func(s drift.Summary) drift.Figure { return s.Mean },
		"standard deviation":   func(s drift.Summary) drift.Figure { return s.SD },
		"quartiles":            func(s drift.Summary) drift.Figure { return s.Upper },
		"smallest and largest": func(s drift.Summary) drift.Figure { return s.Min },
		"capability":           func(s drift.Summary) drift.Figure { return s.Able.Cpk },
	}
	checked := 0
	for _, least := range drift.Leasts() {
		if least.N < 1 || least.Why == "" || strings.HasSuffix(least.Why, ".") {
			t.Errorf("%+v", least)
		}
		figure, ok := figures[least.Figure]
		if !ok {
			continue
		}
		checked++
		for n := range 30 {
			xs := []float64{}
			for i := range n {
				xs = append(xs, float64(i%7))
			}
			set := slips(append(xs, math.NaN())...)
			want := drift.Reason("")
			if n < least.N {
				want = drift.TooFew
			} else if n < 4 && least.Figure != "smallest and largest" {
				want = drift.Gaps
			}
			if got := figure(set.Table(drift.BySlip)[0]); got.Withheld != want || want != "" && got.Value != 0 {
				t.Errorf("%s of %d is %+v, want withheld %q", least.Figure, n, got, want)
			}
		}
	}
	if checked != len(figures) {
		t.Errorf("%d of %d figures have a least number", checked, len(figures))
	}
}

// One unmarked in five is let pass, more is not; what happened is shown anyway.
func TestLocationAndSpreadAreWithheldWhereMarksAreMissing(t *testing.T) {
	nan := math.NaN()
	fifth := append(repeat(40, 1), repeat(10, nan)...)
	for i := range 40 {
		fifth[i] = float64(i % 5)
	}
	for name, c := range map[string]struct {
		xs   []float64
		want drift.Reason
	}{"one in five": {fifth, ""}, "more": {append(fifth, nan), drift.Gaps}} {
		s := slips(c.xs...).Table(drift.BySlip)[0]
		for _, f := range []drift.Figure{s.Median, s.Mean, s.SD, s.Lower, s.Upper, s.Able.Cp, s.Able.Cpk} {
			if f.Withheld != c.want {
				t.Errorf("%s: %+v, want %q", name, f, c.want)
			}
		}
		if s.Max.Withheld != "" || s.Max.Value != 4 || s.OnTime.Withheld != "" || s.OnTime.N != 40 {
			t.Errorf("%s: largest %+v, on time %+v", name, s.Max, s.OnTime)
		}
		series, _ := slips(c.xs...).Series(drift.Beats, beatKeys[bloom], drift.BySlip)
		if got := series.Trend().Withheld; c.want == drift.Gaps && got != drift.Gaps {
			t.Errorf("%s: trend withheld %q", name, got)
		}
		if got := series.Control(drift.Baseline{})[0].Withheld; got != c.want {
			t.Errorf("%s: chart withheld %q", name, got)
		}
		if got := drift.Compare(series, series).Withheld; got != c.want {
			t.Errorf("%s: comparison withheld %q", name, got)
		}
	}
}

// Who skips a step or stops short has not left a mark out.
func TestOnlyMarksThatWereWaitedForAreMissing(t *testing.T) {
	for _, c := range []struct {
		tally drift.Tally
		want  float64
	}{
		{drift.Tally{}, 0},
		{drift.Tally{Brews: 9, Skipped: 5, NotReached: 4}, 0},
		{drift.Tally{Brews: 30, Marked: 15, Unmarked: 5, Skipped: 7, NotReached: 3}, 0.25},
		{drift.Tally{Brews: 2, Unmarked: 2}, 1},
	} {
		if got := c.tally.UnmarkedShare(); got != c.want {
			t.Errorf("%+v: %v, want %v", c.tally, got, c.want)
		}
	}
}

func TestCapabilityIsOfTheWindow(t *testing.T) {
	var xs []float64
	for i := range 30 {
		xs = append(xs, float64(i%3))
	}
	s := slips(xs...).Table(drift.BySlip)[0] // mean 1, window ±3
	sd := math.Sqrt(20.0 / 29)
	if a := s.Able; math.Abs(a.Cp.Value-1/sd) > 1e-12 || math.Abs(a.Cpk.Value-2/(3*sd)) > 1e-12 || !a.CpIn.Holds(a.Cp.Value) || !a.CpkIn.Holds(a.Cpk.Value) {
		t.Errorf("%+v", a)
	}
	if a := slips(repeat(30, 1)...).Table(drift.BySlip)[0].Able; a.Cp.Withheld != drift.NoSpread || a.Cpk.Withheld != drift.NoSpread {
		t.Errorf("of no spread: %+v", a)
	}
	r := &drift.Record{}
	for i := range 30 {
		c := drift.Column{What: drift.Weights, Version: "1", Key: "w"}
		r.Add(drift.Brew{ID: [16]byte{byte(i)}, Start: monday, Version: "1", Cells: []drift.Cell{{Column: r.Column(c), Off: brew.Mass(i) * brew.Gram}}})
	}
	w := r.Choose(drift.Choice{}).Table(drift.BySlip)[0]
	if w.Able.Cp.Withheld != drift.NoWindow || w.OnTime.Withheld != drift.NoWindow || w.Median.Value != 14.5 || w.Unit != "g" {
		t.Errorf("a weight: %+v", w)
	}
}

func TestFiguresAsJSON(t *testing.T) {
	for want, f := range map[string]drift.Figure{`{"value":1.5}`: {Value: 1.5}, `{"withheld":"too few brews"}`: {Withheld: drift.TooFew}} {
		if got, err := json.Marshal(f); string(got) != want || err != nil {
			t.Errorf("%s %v, want %s", got, err, want)
		}
	}
	text, err := json.Marshal(slips(1, 2, 3).Table(drift.ByDrift))
	if err != nil || !strings.Contains(string(text), `"early_ns":3000000000,"late_ns":3000000000`) {
		t.Errorf("%s %v", text, err)
	}
	if text, err = json.Marshal(drift.Column{What: drift.Weights}); err != nil || strings.Contains(string(text), "early_ns") {
		t.Errorf("%s %v", text, err)
	}
}

// Marks that all come later by the same time move what is usual by it, and
// leave how far it spreads.
func TestShiftMovesLocationsAndLeavesSpreads(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		xs := rapid.SliceOfN(rapid.Map(rapid.IntRange(-9000, 9000), func(ms int) float64 { return float64(ms) / 1000 }), 26, 60).Draw(t, "xs")
		by := float64(rapid.IntRange(-60000, 60000).Draw(t, "by")) / 1000
		later := make([]float64, len(xs))
		for i, x := range xs {
			later[i] = x + by
		}
		a, b := slips(xs...), slips(later...)
		s, u := a.Table(drift.BySlip)[0], b.Table(drift.BySlip)[0]
		same := func(what string, got, want float64) {
			if math.Abs(got-want) > 1e-8 {
				t.Fatalf("%s is %v, want %v", what, got, want)
			}
		}
		for what, f := range map[string][2]drift.Figure{"median": {s.Median, u.Median}, "mean": {s.Mean, u.Mean}, "lower": {s.Lower, u.Lower}, "upper": {s.Upper, u.Upper}, "min": {s.Min, u.Min}, "max": {s.Max, u.Max}} {
			same(what, f[1].Value, f[0].Value+by)
		}
		same("sd", u.SD.Value, s.SD.Value)
		x, _ := a.Series(drift.Beats, beatKeys[bloom], drift.BySlip)
		y, _ := b.Series(drift.Beats, beatKeys[bloom], drift.BySlip)
		c, d := x.Control(drift.Baseline{})[0], y.Control(drift.Baseline{})[0]
		if c.Withheld == "" {
			same("centre", d.Limits.Centre, c.Limits.Centre+by)
			same("sigma", d.Limits.Sigma, c.Limits.Sigma)
			same("far", d.Far, c.Far)
		}
		same("shift", drift.Compare(y, x).Shift.By, by)
		if p, q := x.Trend(), y.Trend(); p.Withheld == "" && q.Withheld == "" {
			same("slope", q.Line.Slope, p.Line.Slope)
			same("S", float64(q.Kendall.S), float64(p.Kendall.S))
		}
	})
}

// A brew without any marks changes no figure but the count of what is missing.
func TestBrewWithoutMarksChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		seed := rapid.Uint64().Draw(t, "seed")
		at := rapid.IntRange(0, 100).Draw(t, "at")
		bare := [4]drift.Fate{drift.Unmarked, drift.Unmarked, drift.Unmarked, drift.Unmarked}
		bar := invented{brews: 101, persons: crew}
		without := bar
		without.leave = func(i int) bool { return i == at }
		bar.plant = func(i int, b *played) {
			if i == at {
				b.Fate = bare
			}
		}
		a, b := bar.record(seed).Choose(drift.Choice{}), without.record(seed).Choose(drift.Choice{})
		s, u := a.Table(drift.ByDrift), b.Table(drift.ByDrift)
		for i := range s {
			s[i].Tally.Unmarked--
			s[i].Tally.Brews--
			if s[i] != u[i] {
				t.Fatalf("%+v, without the brew %+v", s[i], u[i])
			}
		}
		v, w := a.Where(), b.Where()
		for i := range v.Beats {
			v.Beats[i].Unmarked--
		}
		if v.Brews--; !reflect.DeepEqual(v, w) {
			t.Fatalf("%+v, without the brew %+v", v, w)
		}
	})
}

// A length has one verdict, whatever the beats are looked at by; and what was
// carried is judged by no window.
func TestEachColumnIsJudgedByItsOwnVerdict(t *testing.T) {
	r := taken(t, cone(), marks(9.8, 66.2, 96.4, 165), marks(12, 60, 90, 150))
	s := r.Choose(drift.Choice{})
	for m, want := range map[drift.Measure]map[string][2]int{ // on time, late
		drift.ByDrift:   {"beat third pour, end": {1, 1}, "beat first drawdown, end": {1, 1}, "length first drawdown": {1, 1}, "length first pour": {2, 0}},
		drift.BySlip:    {"beat third pour, end": {2, 0}, "beat first drawdown, end": {1, 1}, "length first drawdown": {1, 1}, "length first pour": {2, 0}},
		drift.ByCarried: {"beat third pour, end": {0, 0}, "beat first drawdown, end": {0, 0}, "length first drawdown": {1, 1}, "length first pour": {2, 0}},
	} {
		for _, sum := range s.Table(m) {
			by, carried := m, m == drift.ByCarried && sum.Column.What == drift.Beats
			if sum.Column.What != drift.Beats {
				by = drift.ByDrift
			}
			verdicts, ok := want[string(sum.Column.What)+" "+sum.Column.Key]
			if ok && [2]int{sum.Tally.OnTime, sum.Tally.Late} != verdicts || sum.Measure != by || carried && (sum.Able.Cp.Withheld != drift.NoWindow || sum.OnTime.Withheld != drift.NoWindow) {
				t.Errorf("by %s: %s is %+v by %s, want %v", m, sum.Column.Key, sum.Tally, sum.Measure, verdicts)
			}
		}
	}
}

// Whatever the brews were, all of it can be written down.
func TestEverythingEncodes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		value := rapid.Map(rapid.IntRange(-5, 6), func(i int) float64 {
			if i == 6 {
				return math.NaN()
			}
			return float64(i) / 2
		})
		s := slips(rapid.SliceOfN(value, 0, 60).Draw(t, "xs")...)
		series, _ := s.Series(drift.Beats, beatKeys[bloom], drift.BySlip)
		for what, v := range map[string]any{
			"table": s.Table(drift.ByDrift), "charts": series.Control(drift.Baseline{}), "trend": series.Trend(),
			"comparison": drift.Compare(series, series), "where": s.Where(), "findings": s.Findings(drift.Baseline{}),
		} {
			if _, err := json.Marshal(v); err != nil {
				t.Fatalf("%s: %v", what, err)
			}
		}
	})
}

// The least numbers that follow from a distribution are those that it gives.
func TestLeastNumbersAreWhatTheirReasonsSay(t *testing.T) {
	least := map[string]int{}
	for _, l := range drift.Leasts() {
		least[l.Figure] = l.N
	}
	first := func(holds func(n int) bool) int {
		n := 2
		for !holds(n) {
			n++
		}
		return n
	}
	for figure, want := range map[string]int{
		"median":     first(func(n int) bool { return 1-2*math.Pow(0.5, float64(n)) >= 0.95 }),
		"quartiles":  first(func(n int) bool { return 1-math.Pow(0.75, float64(n)) >= 0.95 }),
		"comparison": first(func(n int) bool { return stat.RankTest(repeat(n, 1), repeat(n, 0)).P <= 0.05 }),
	} {
		if least[figure] != want {
			t.Errorf("%s needs %d, want %d", figure, least[figure], want)
		}
	}
	if rate := 1 / (stat.Alarms{Baseline: least["limits"], Points: 1}).Outside(3); math.Abs(rate-110) > 3 {
		t.Errorf("a point falls outside once in %.0f", rate)
	}
	c := stat.CapabilityOf(0, 1, least["capability"], -3, 3, 0.95)
	if math.Abs(c.CpIn.Low-0.72) > 0.005 || math.Abs(c.CpIn.High-1.28) > 0.005 {
		t.Errorf("%+v", c.CpIn)
	}
}
