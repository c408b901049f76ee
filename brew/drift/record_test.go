package drift_test

import (
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"barline/brew"
	"barline/brew/drift"
)

// taken is a record of one person's brews of a recipe, each a list of events,
// a day apart.
func taken(t testing.TB, recipe brew.Recipe, brews ...[]brew.Event) *drift.Record {
	t.Helper()
	plan, r := planOf(t, recipe), &drift.Record{}
	for i, events := range brews {
		r.Take([16]byte{byte(i)}, monday.AddDate(0, 0, i), "Mo", plan, drift.Of(play(t, plan, events...)))
	}
	return r
}

func TestRecordTakesWhatTheDebriefSays(t *testing.T) {
	r := taken(t, cone(),
		marks(9.8, 66.2, 96.4, 165),
		marks(12, 60, 90, 150),
		[]brew.Event{start(), weighed(10.1, 52), skip(50), mark(90), finish(200)},
		[]brew.Event{start(), mark(10), stop(30)},
		[]brew.Event{start(), mark(10), finish(80)}, // ends before the third pour
	)
	s := r.Choose(drift.Choice{Until: monday.AddDate(0, 0, 4)})
	if r.Len() != 5 || s.Len() != 3 || !slices.Equal(r.Persons(), []string{"Mo"}) || !r.Head(3).Stopped || r.Head(0).Stopped {
		t.Fatalf("%d brews, %d of them finished, by %v", r.Len(), s.Len(), r.Persons())
	}
	var keys []string
	for _, c := range s.Columns() {
		keys = append(keys, string(c.What)+" "+c.Key)
	}
	want := []string{
		"beat first pour, end", "beat second pour, end", "beat third pour, end", "beat first drawdown, end",
		"length first pour", "length first drawdown", "length contact time", "weight first pour, end",
	}
	if !slices.Equal(keys, want) {
		t.Errorf("columns %q, want %q", keys, want)
	}
	values := func(what drift.What, key string, m drift.Measure) []float64 {
		series, ok := s.Series(what, key, m)
		if !ok {
			t.Fatalf("no series of %s", key)
		}
		return series.Values
	}
	for _, c := range []struct {
		what drift.What
		key  string
		m    drift.Measure
		want []float64
	}{
		{drift.Beats, "second pour, end", drift.ByDrift, []float64{6.2, 0}},
		{drift.Beats, "third pour, end", drift.ByDrift, []float64{6.4, 0, 0}},
		{drift.Beats, "first drawdown, end", drift.ByDrift, []float64{15, 0}},
		{drift.Beats, "first drawdown, end", drift.BySlip, []float64{8.6, 0}},
		{drift.Beats, "first drawdown, end", drift.ByCarried, []float64{6.4, 0}},
		{drift.Lengths, "first pour", drift.ByDrift, []float64{-0.2, 2, 0.1}},
		{drift.Lengths, "first drawdown", drift.BySlip, []float64{8.6, 0}},
		{drift.Lengths, "contact time", drift.ByDrift, []float64{15, 0}},
		{drift.Weights, "first pour, end", drift.ByDrift, []float64{2}},
	} {
		got := values(c.what, c.key, c.m)
		if c.key == "third pour, end" && len(got) == 3 {
			got[2] = 0 // what skipping made of it is no matter here
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s by %s: %v, want %v", c.key, c.m, got, c.want)
		}
	}
	weight, _ := s.Series(drift.Weights, "first pour, end", drift.ByDrift)
	if weight.Unit() != "g" || weight.Column.HasWindow {
		t.Errorf("%s in %s", weight.Column.Key, weight.Unit())
	}
	pour, _ := s.Series(drift.Beats, "second pour, end", drift.ByDrift)
	if want := (drift.Tally{Brews: 3, Marked: 2, Skipped: 1, OnTime: 1, Late: 1, StartUnmarked: pour.Tally.StartUnmarked}); pour.Tally != want || pour.Unit() != "s" {
		t.Errorf("%+v, want %+v", pour.Tally, want)
	}
	if pour.Person(0) != "Mo" || !pour.Start(1).Equal(monday.AddDate(0, 0, 1)) || pour.Version(0) != s.Version() {
		t.Errorf("value by %s of version %s at %v", pour.Person(0), pour.Version(0), pour.Start(1))
	}
	length, _ := s.Series(drift.Lengths, "first drawdown", drift.ByDrift)
	if length.Tally.Marked != 2 || length.Tally.Unmarked != 1 || length.Column.Window == (brew.Window{}) {
		t.Errorf("the drawdown's length: %+v in %v", length.Tally, length.Column.Window)
	}
	ended, _ := r.Choose(drift.Choice{Since: monday.AddDate(0, 0, 4)}).Series(drift.Beats, "third pour, end", drift.ByDrift)
	missed, _ := r.Choose(drift.Choice{Since: monday.AddDate(0, 0, 4)}).Series(drift.Beats, "second pour, end", drift.ByDrift)
	if ended.Tally != (drift.Tally{Brews: 1, NotReached: 1}) || missed.Tally != (drift.Tally{Brews: 1, Unmarked: 1}) {
		t.Errorf("the third pour of a brew that ended early: %+v, the second: %+v", ended.Tally, missed.Tally)
	}
	if _, ok := s.Series(drift.Beats, "fourth pour, end", drift.ByDrift); ok {
		t.Error("a beat that is not there has a series")
	}
}

// What a record keeps of any brew is the debrief's, to a millisecond.
func TestRecordKeepsEveryRow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		plan := drawPlan(t)
		d := drift.Of(fold(plan, drawEvents(t, plan)))
		r := &drift.Record{}
		r.Take([16]byte{}, monday, "Mo", plan, d)
		s := r.Choose(drift.Choice{})
		if finished := d.Ending == brew.Finished; (s.Len() == 1) != finished {
			t.Fatalf("%d brews of one that is %q", s.Len(), d.Ending)
		}
		if s.Len() == 0 {
			return
		}
		seen := map[string]int{}
		for _, row := range d.Rows {
			seen[row.Key]++
			drifts, ok := s.Series(drift.Beats, row.Key, drift.ByDrift)
			slips, _ := s.Series(drift.Beats, row.Key, drift.BySlip)
			carried, _ := s.Series(drift.Beats, row.Key, drift.ByCarried)
			if !ok || drifts.Tally.Brews != 1 || len(drifts.Values) == 1 != row.IsMarked() {
				t.Fatalf("%+v became %+v", row, drifts)
			}
			if seen[row.Key] > 1 || !row.IsMarked() {
				continue
			}
			if row.BehindBed {
				if want := (drift.Tally{Brews: 1, BehindBed: 1}); slips.Tally != want || len(slips.Values) != 0 {
					t.Fatalf("%+v became %+v", row, slips)
				}
				continue
			}
			for _, v := range []struct {
				got  float64
				want time.Duration
			}{{drifts.Values[0], row.Drift}, {slips.Values[0], row.Slip}} {
				if math.Abs(v.got-v.want.Seconds()) > 0.0005001 {
					t.Fatalf("%v became %v", v.want, v.got)
				}
			}
			if math.Abs(carried.Values[0]+slips.Values[0]-drifts.Values[0]) > 1e-9 {
				t.Fatalf("carried %v and slip %v make drift %v", carried.Values, slips.Values, drifts.Values)
			}
			verdict := map[drift.Verdict]drift.Tally{drift.OnTime: {OnTime: 1}, drift.Early: {Early: 1}, drift.Late: {Late: 1}}
			for m, v := range map[*drift.Series]drift.Verdict{&drifts: row.Cup, &slips: row.Own()} {
				want := verdict[v]
				if m.Tally.OnTime != want.OnTime || m.Tally.Early != want.Early || m.Tally.Late != want.Late {
					t.Fatalf("%q became %+v", v, m.Tally)
				}
			}
		}
	})
}

func TestOrderInWhichBrewsWereAddedDoesNotMatter(t *testing.T) {
	bar := invented{brews: 120, persons: crew, version: half}
	all := func(shuffled bool) ([]drift.Summary, drift.Where, []string) {
		var brews []drift.Brew
		r, draw := &drift.Record{}, rand.New(rand.NewPCG(4, 99))
		for i := range bar.brews {
			b := bar.brew(r, draw, i)
			if i%10 == 0 { // some begin in the same instant
				b.Start = monday
			}
			brews = append(brews, b)
		}
		out := &drift.Record{}
		for _, v := range []string{"a", "b"} {
			for b := range 4 {
				out.Column(beatColumn(v, b))
			}
		}
		if shuffled {
			draw.Shuffle(len(brews), func(i, j int) { brews[i], brews[j] = brews[j], brews[i] })
		}
		for _, b := range brews {
			out.Add(b)
		}
		s := out.Choose(drift.Choice{AllVersions: true})
		var ids []string
		series, _ := s.Series(drift.Beats, beatKeys[third], drift.ByDrift)
		for i, x := range series.Values {
			ids = append(ids, series.Start(i).String(), time.Duration(x*1e9).String())
		}
		for _, f := range s.Findings(drift.Baseline{}).Findings {
			ids = append(ids, f.Text)
		}
		return s.Table(drift.BySlip), s.Where(), ids
	}
	table, where, rest := all(false)
	table2, where2, rest2 := all(true)
	if !reflect.DeepEqual(table, table2) || !reflect.DeepEqual(where, where2) || !slices.Equal(rest, rest2) {
		t.Error("brews added in another order give other figures")
	}
}

func TestChoiceTakesTheBrewsAskedFor(t *testing.T) {
	r := &drift.Record{}
	for i, v := range []struct{ person, version string }{{"Mo", "a"}, {"Ada", "a"}, {"Mo", "b"}, {"Ada", "b"}, {"Mo", "b"}} {
		p := played{Start: monday.Add(time.Duration(i) * time.Hour), Person: v.person}
		r.Add(p.brew(r, v.version, uint64(i)))
	}
	hour := func(n int) time.Time { return monday.Add(time.Duration(n) * time.Hour) }
	for _, c := range []struct {
		name   string
		choice drift.Choice
		want   []int // hours
	}{
		{"the newest version where nothing is asked", drift.Choice{}, []int{2, 3, 4}},
		{"all versions", drift.Choice{AllVersions: true}, []int{0, 1, 2, 3, 4}},
		{"one version", drift.Choice{Version: "a"}, []int{0, 1}},
		{"one person", drift.Choice{Persons: []string{"Ada"}, AllVersions: true}, []int{1, 3}},
		{"persons", drift.Choice{Persons: []string{"Ada", "Mo"}}, []int{2, 3, 4}},
		{"nobody known", drift.Choice{Persons: []string{"Jun"}}, nil},
		{"from an instant on", drift.Choice{Since: hour(3)}, []int{3, 4}},
		{"before an instant", drift.Choice{Until: hour(2)}, []int{0, 1}},
		{"the newest version before an instant", drift.Choice{Until: hour(4)}, []int{2, 3}},
		{"the latest", drift.Choice{Last: 2}, []int{3, 4}},
		{"the latest of all versions", drift.Choice{Last: 4, AllVersions: true}, []int{1, 2, 3, 4}},
		{"no more than there are", drift.Choice{Last: 9}, []int{2, 3, 4}},
	} {
		s := r.Choose(c.choice)
		var got []int
		for i := range s.Len() {
			got = append(got, int(s.Head(i).Start.Sub(monday).Hours()))
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
	if got := r.Choose(drift.Choice{}).Persons(); !slices.Equal(got, []string{"Ada", "Mo"}) {
		t.Errorf("persons %v", got)
	}
	if none := (&drift.Record{}).Choose(drift.Choice{}); none.Version() != "" || none.Columns() != nil || len(none.Table(drift.ByDrift)) != 0 {
		t.Errorf("an empty record has %+v", none)
	}
}

// A window that changed makes another beat of it; the rest joins.
func TestVersionsJoinOnlyWhereTheBeatIsTheSame(t *testing.T) {
	for name, change := range map[string]func(c *drift.Column){
		"window": func(c *drift.Column) { c.Window.Late += sec(1) },
		"length": func(c *drift.Column) { c.Length += sec(1) },
		"action": func(c *drift.Column) { c.Action = brew.Stir },
		"edge":   func(c *drift.Column) { c.Edge = brew.StartEdge },
		"owner":  func(c *drift.Column) { c.Owner = brew.Bed },
		"key":    func(c *drift.Column) { c.Key = "another" },
	} {
		r := &drift.Record{}
		for i := range 10 {
			c := beatColumn("old", second)
			if i >= 6 {
				c = beatColumn("new", second)
				change(&c)
			}
			same := beatColumn(c.Version, bloom)
			same.Name, same.Step, same.Place = "renamed", "renamed", i // are no other beat
			r.Add(drift.Brew{ID: [16]byte{byte(i)}, Start: monday.AddDate(0, 0, i), Version: c.Version, Cells: []drift.Cell{
				{Column: r.Column(same)}, {Column: r.Column(c)},
			}})
		}
		s := r.Choose(drift.Choice{AllVersions: true})
		for _, sum := range s.Table(drift.ByDrift) {
			want := drift.Tally{Brews: 10, Marked: 10}
			if sum.Column.Key != beatKeys[bloom] {
				want = drift.Tally{Brews: 4, Marked: 4, LeftOut: 6}
			}
			if sum.Tally != want {
				t.Errorf("another %s: %s has %+v, want %+v", name, sum.Column.Key, sum.Tally, want)
			}
		}
	}
}

func TestFarOffTimesAreKeptAsABound(t *testing.T) {
	r := &drift.Record{}
	c := beatColumn("1", bloom)
	r.Add(drift.Brew{Start: monday, Version: "1", Cells: []drift.Cell{{Column: r.Column(c), Drift: 1000 * time.Hour, Slip: -1000 * time.Hour}}})
	s := r.Choose(drift.Choice{})
	for m, want := range map[drift.Measure]float64{drift.ByDrift: 2147483.647, drift.BySlip: -2147483.647} {
		if got, _ := s.Series(drift.Beats, c.Key, m); got.Values[0] != want {
			t.Errorf("by %s: %v", m, got.Values)
		}
	}
}
