package demo_test

import (
	"math"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/drift"
	"barline/cmd/barline/internal/demo"
	"barline/cmd/barline/internal/journal"
)

func invent(t *testing.T, b demo.Bar) *demo.Journal {
	t.Helper()
	j, err := b.Brew()
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// first is what most tests look at.
var first = sync.OnceValues(demo.Bar{Seed: 1, Ends: ends}.Brew)

func invented(t *testing.T) *demo.Journal {
	t.Helper()
	j, err := first()
	if err != nil {
		t.Fatal(err)
	}
	return j
}

func TestTheSameSeedInventsTheSame(t *testing.T) {
	one := invent(t, demo.Bar{Seed: 7, Ends: ends}).Batch()
	if !reflect.DeepEqual(one, invent(t, demo.Bar{Seed: 7, Ends: ends}).Batch()) {
		t.Error("two journals of one seed differ")
	}
	for name, other := range map[string]demo.Bar{
		"another seed":     {Seed: 8, Ends: ends},
		"a seed far off":   {Seed: 7 + 1<<60, Ends: ends},
		"another last day": {Seed: 7, Ends: ends.AddDate(0, 0, 3)},
	} {
		b := invent(t, other).Batch()
		if reflect.DeepEqual(one.Brews[0].Start, b.Brews[0].Start) || one.Brews[0].ID[14:] == b.Brews[0].ID[14:] && other.Seed != 7 {
			t.Errorf("%s: the first brew is the same", name)
		}
	}
}

// Whatever the person did, it could have been done, and the journal says what
// came of it.
func TestEveryBrewFollows(t *testing.T) {
	for seed := range uint64(2) {
		for _, b := range invent(t, demo.Bar{Seed: seed, Ends: ends}).Brews {
			lane, err := b.Fold()
			if err != nil {
				t.Fatalf("seed %d, brew %s: %v", seed, b.ID, err)
			}
			how, at, why := lane.Ending()
			if journal.End(how) != b.End || at != b.EndAt || why != b.Why {
				t.Errorf("seed %d, brew %s: ends %s at %v: %s, kept as %s at %v: %s", seed, b.ID, how, at, why, b.End, b.EndAt, b.Why)
			}
			if !slices.IsSortedFunc(b.Events, func(x, y brew.Event) int { return int(x.At - y.At) }) {
				t.Errorf("seed %d, brew %s: events out of order", seed, b.ID)
			}
			meansWell(t, b)
			if b.Events[0].Kind != brew.EventStart || b.Kind != drift.Service || b.Speed != 1 || b.From != 0 {
				t.Errorf("seed %d, brew %s would not count", seed, b.ID)
			}
		}
	}
}

// meansWell fails where a key did something that nobody would mean: only a
// swirl is left out, and a mark lands on the beat it is for.
func meansWell(t *testing.T, b demo.Brew) {
	t.Helper()
	for i, c := range b.Plan.Cues {
		if b.Lane.Skipped(i) && c.Action != brew.Swirl {
			t.Errorf("brew %s leaves out the %s", b.ID, c.Name)
		}
	}
	for n, beat := range b.Plan.Beats {
		s := b.Lane.Beat(n)
		if slip := s.Marked - s.Called; s.Status == brew.Marked && beat.Owner == brew.Person && (slip < -5*time.Second || slip > 25*time.Second) {
			t.Errorf("brew %s marks %s at %v, called at %v", b.ID, beat.Name, s.Marked, s.Called)
		}
	}
}

// The bar's days: half a year, closed on Mondays, one brew at a time, by a
// clock that is put forward in March.
func TestTheBarKeepsItsHours(t *testing.T) {
	for _, last := range []time.Time{ends, time.Date(2024, 2, 29, 0, 0, 0, 0, time.UTC), time.Date(2025, 12, 31, 23, 0, 0, 0, time.UTC)} {
		j := invent(t, demo.Bar{Seed: 1, Ends: last})
		var free time.Time
		offsets, days := map[int]bool{}, map[string]bool{}
		for _, b := range j.Brews {
			if b.Start.Weekday() == demo.Closed || b.Start.Hour() < 8 || b.Start.Hour() >= 17 || b.Start.Nanosecond() != 0 {
				t.Errorf("a brew at %s", b.Start)
			}
			if b.Start.Before(free) {
				t.Errorf("a brew at %s, before the one ahead is over", b.Start)
			}
			free = b.Start.Add(b.EndAt)
			_, zone := b.Start.Zone()
			offsets[zone] = true
			days[b.Start.Format(time.DateOnly)] = true
			if summer := b.Start.Format(time.DateOnly) >= "2026-03-29"; last.Equal(ends) && summer != (zone == 7200) {
				t.Errorf("%s has the wrong offset", b.Start)
			}
		}
		end := j.Brews[len(j.Brews)-1].Start.Format(time.DateOnly)
		if begin := j.Brews[0].Start; end > last.Format(time.DateOnly) || last.Sub(begin) > 183*24*time.Hour || last.Sub(begin) < 179*24*time.Hour || len(days) != 26*6 {
			t.Errorf("from %s to %s on %d days, want 26 weeks up to %s", begin, end, len(days), last)
		}
		if len(offsets) != 2 {
			t.Errorf("up to %s: offsets %v, want winter and summer", last, offsets)
		}
	}
}

func TestWhoBrewsWhat(t *testing.T) {
	j := invented(t)
	persons, recipes, lots, versions := map[string]int{}, map[string]int{}, map[string]map[time.Month]bool{}, map[string][]string{}
	for _, b := range j.Brews {
		persons[b.Person]++
		recipes[b.Recipe]++
		if lots[b.Lot] == nil {
			lots[b.Lot] = map[time.Month]bool{}
		}
		lots[b.Lot][b.Start.Month()] = true
		if all := versions[b.Recipe]; len(all) == 0 || all[len(all)-1] != b.Version {
			versions[b.Recipe] = append(all, b.Version)
		}
		if b.Coffee == "" || b.Setting == "" || b.Kettle == nil || *b.Kettle != b.Plan.Temperature || !strings.Contains(b.Text, "name: "+b.Recipe) {
			t.Errorf("brew %s lacks its circumstances: %+v", b.ID, b.Brew)
		}
	}
	if len(persons) != 3 || len(recipes) != 4 || len(lots) < 3*6 {
		t.Errorf("%d persons, %d recipes, %d lots", len(persons), len(recipes), len(lots))
	}
	for lot, months := range lots {
		if len(months) != 1 {
			t.Errorf("lot %s is brewed in %v", lot, months)
		}
	}
	for recipe, n := range recipes {
		want := 1
		if recipe == demo.Recipe(demo.FlatBed) {
			want = 2 // one after the other
		}
		if n < 300 || len(versions[recipe]) != want {
			t.Errorf("%s: %d brews in versions %v", recipe, n, versions[recipe])
		}
	}
	for name, n := range persons {
		if n < len(j.Brews)/5 {
			t.Errorf("%s brewed %d of %d", name, n, len(j.Brews))
		}
	}
	if demo.Recipe(demo.Press) != "Quayside press" {
		t.Errorf("the press is called %q", demo.Recipe(demo.Press))
	}
}

// People miss marks, press a key by mistake, take things back. Each happens
// about as often as it should: wide bounds, for seed 1 alone.
func TestHandsAreHuman(t *testing.T) {
	j := invented(t)
	had, brews := map[string]int{}, float64(len(j.Brews))
	missed, asked := map[string]float64{}, map[string]float64{}
	for _, b := range j.Brews {
		for _, kind := range []brew.EventKind{brew.EventUndo, brew.EventSkip, brew.EventNudge, brew.EventNote, brew.EventStop, brew.EventZero} {
			if slices.ContainsFunc(b.Events, func(e brew.Event) bool { return e.Kind == kind }) {
				had[string(kind)]++
			}
		}
		for _, e := range b.Events {
			if e.Text == "a guest asked the way" {
				had["asked by "+b.Person]++
			}
			if slow := (demo.Bar{Ends: ends}).KettleWeek(); e.Text == "the kettle was slow" {
				had["slow"]++
				if b.Start.Before(slow) || !b.Start.Before(slow.AddDate(0, 0, 7)) {
					t.Errorf("%q at %s, planted in the week of %s", e.Text, b.Start, slow)
				}
			}
		}
		if b.End == "" {
			had["cut off"]++
		}
		if b.Events[0].Source == brew.FromFootSwitch {
			had["foot switch"]++
		}
		if slices.ContainsFunc(b.Events, func(e brew.Event) bool { return e.Weight != nil }) {
			had["weight"]++
		}
		if b.End != journal.Finished && len(b.Readings) > 0 {
			t.Errorf("brew %s is %q and was measured", b.ID, b.End)
		}
		for _, r := range b.Readings {
			had[string(r.What)]++
		}
		for n, beat := range b.Plan.Beats {
			if beat.Asked && b.End == journal.Finished {
				asked[b.Person]++
				if b.Lane.Beat(n).Status == brew.Unmarked {
					missed[b.Person]++
				}
			}
		}
	}
	for what, bounds := range map[string][2]float64{
		"undo": {0.01, 0.06}, "skip": {0.0005, 0.02}, "nudge": {0.02, 0.1}, "note": {0.015, 0.07}, "stop": {0.004, 0.025}, "zero again": {0.001, 0.015},
		"cut off": {0.001, 0.015}, "foot switch": {0.15, 0.25}, "weight": {0.3, 0.6}, "beverage weight": {0.33, 0.45}, "strength": {0.33, 0.45}, "taste": {0.07, 0.13},
	} {
		if share := float64(had[what]) / brews; share < bounds[0] || share > bounds[1] {
			t.Errorf("%s in %.3f of the brews, want %v to %v", what, share, bounds[0], bounds[1])
		}
	}
	if had["asked by Mo"] != 1 || had["asked by Ada"] != 0 || had["slow"] == 0 {
		t.Errorf("words for the record: %v", had)
	}
	for name := range asked {
		if share := missed[name] / asked[name]; share < 0.02 || share > 0.09 {
			t.Errorf("%s misses %.3f of the marks", name, share)
		}
	}
}

// Within a lot a cup is stronger by so much for each second of contact, and
// weighs what the coffee does not keep back.
func TestLongerContactIsStronger(t *testing.T) {
	for seed := range uint64(2) {
		j := invent(t, demo.Bar{Seed: seed, Ends: ends})
		groups := map[string][][2]float64{}
		for _, b := range j.Brews {
			for _, r := range b.Readings {
				if contact, _, ok := b.Lane.Contact(); ok && r.What == journal.Strength {
					groups[b.Version+b.Lot] = append(groups[b.Version+b.Lot], [2]float64{(contact - b.Plan.Contact).Seconds(), *r.Value})
				}
				if want := (b.Plan.Water - 2*b.Plan.Dose).Grams(); r.What == journal.BeverageWeight && math.Abs(*r.Value-want) > 10 {
					t.Errorf("a beverage of %v g, want about %v", *r.Value, want)
				}
				if !r.Taken.After(b.Start.Add(b.EndAt)) || r.By != b.Person {
					t.Errorf("read at %s by %s, brewed at %s by %s", r.Taken, r.By, b.Start, b.Person)
				}
			}
		}
		slope, sure := within(groups)
		t.Logf("seed %d: %.5f ± %.5f %%/s", seed, slope, sure)
		if math.Abs(slope-demo.StrengthPerSecond) > 4*sure || sure > demo.StrengthPerSecond/4 {
			t.Errorf("seed %d: %.5f ± %.5f %%/s, planted %v", seed, slope, sure, demo.StrengthPerSecond)
		}
	}
}

// within returns the least-squares slope within groups and its standard error.
func within(groups map[string][][2]float64) (slope, sure float64) {
	var xx, xy, yy, n float64
	for _, g := range groups {
		var x, y float64
		for _, p := range g {
			x, y = x+p[0]/float64(len(g)), y+p[1]/float64(len(g))
		}
		for _, p := range g {
			xx, xy, yy = xx+(p[0]-x)*(p[0]-x), xy+(p[0]-x)*(p[1]-y), yy+(p[1]-y)*(p[1]-y)
		}
		n += float64(len(g) - 1)
	}
	return xy / xx, math.Sqrt((yy - xy*xy/xx) / (n - 1) / xx)
}

// The limits that were frozen are those that brew/drift gives for the same
// brews.
func TestFrozenLimitsAreTheirBrews(t *testing.T) {
	j := invented(t)
	if len(j.Baselines) != 1 {
		t.Fatalf("%d baselines, want one", len(j.Baselines))
	}
	b := j.Baselines[0]
	first, last := startOf(j, b.First), startOf(j, b.Last)
	s, _ := j.Record(demo.Recipe(demo.Cone)).Choose(drift.Choice{Version: b.Version}).Series(drift.Beats, b.Beat, drift.Measure(b.Measure))
	c := s.Control(drift.Baseline{Since: first, Until: last.Add(time.Second)})[0]
	if c.Judge-c.From != b.Brews || b.Brews < 80 || !near(b.Low/1e9, c.Limits.Low, 1e-9) || !near(b.Centre/1e9, c.Limits.Centre, 1e-9) || !near(b.High/1e9, c.Limits.High, 1e-9) {
		t.Errorf("%+v, want %d brews within %+v", b, c.Judge-c.From, c.Limits)
	}
	if last.Sub(first) > 28*24*time.Hour || last.Sub(first) < 24*24*time.Hour || b.Made.Before(last) {
		t.Errorf("frozen from %s to %s, at %s", first, last, b.Made)
	}
}

func startOf(j *demo.Journal, id string) time.Time {
	for _, b := range j.Brews {
		if b.ID == id {
			return b.Start
		}
	}
	return time.Time{}
}

func TestNothingIsSaidToBePlantedWhereNothingIs(t *testing.T) {
	if facts := (demo.Bar{Ends: ends, Plain: true}).Facts(); len(facts) != 0 {
		t.Errorf("%v", facts)
	}
	if j := invent(t, demo.Bar{Seed: 1, Ends: ends, Plain: true}); len(j.Attempts) != 0 {
		t.Errorf("%v", j.Attempts)
	}
	var said strings.Builder
	for _, f := range (demo.Bar{Ends: ends}).Facts() {
		said.WriteString(f.Says + ": " + f.Shown + "\n")
	}
	for _, want := range []string{"stir is 5 s late", "Jun is 4.5 s late", "week of 20 April", "3.5 s late", "since 30 March", "5 s sooner", "10 brews of 10 in time", ": drift quayside-press\n", "--by Jun\n", "--version all\n", ": fit\n"} {
		if !strings.Contains(said.String(), want) {
			t.Errorf("%q is not said:\n%s", want, said.String())
		}
	}
}
