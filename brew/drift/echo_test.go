package drift_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"barline/brew/drift"
)

// echoes is a bar where each brew's slips hang on those before, by phi: on those
// of the same person, or of the bar. level is added to the pours that are asked,
// which the third then inherits.
func echoes(brews int, phi, level float64, own bool) (v invented, anew func()) {
	var before map[string]*[4]float64
	return invented{brews: brews, persons: crew, plant: func(_ int, b *played) {
		who := ""
		if own {
			who = b.Person
		}
		if before[who] == nil {
			before[who] = &[4]float64{}
		}
		for n := range b.Slip {
			step := b.Slip[n] * math.Sqrt(1-phi*phi)
			before[who][n] = phi*before[who][n] + step
			b.Slip[n] = before[who][n]
		}
		if level != 0 {
			b.Slip[bloom], b.Slip[second], b.Slip[third] = b.Slip[bloom]+level, b.Slip[second]+level, 0
		}
	}}, func() { before = map[string]*[4]float64{} }
}

// Brews that hang on the one before are no more often taken for something than
// those that do not, whatever is asked of them. The level puts the middle of two
// pours on the very edge of their window, where each is as likely late as not,
// and what the third inherits with them.
func TestBrewsThatHangOnTheOneBeforeAreSeldomTakenForAFinding(t *testing.T) {
	seeds := 100
	if os.Getenv("BARLINE_CAMPAIGN") != "" {
		seeds = 1000
	}
	for _, brews := range []int{60, 120, 300} {
		for _, own := range []bool{true, false} {
			for _, level := range []float64{0, 3.05} {
				bar, anew := echoes(brews, 0.5, level, own)
				with := 0
				for seed := range uint64(seeds) {
					anew()
					if len(findings(bar.record(seed)).Findings) > 0 {
						with++
					}
				}
				name := fmt.Sprintf("%d brews, each person's own %t, level %v", brews, own, level)
				t.Logf("%s: %d of %d pages hold a finding", name, with, seeds)
				if most := atMost(seeds, drift.PageRate); with > most {
					t.Errorf("%s: %d of %d pages hold a finding, no more than %d should", name, with, seeds, most)
				}
			}
		}
	}
}

// That brews echo does not hide what is plain.
func TestWhatIsPlainIsFoundThoughBrewsEcho(t *testing.T) {
	late, carried := 0, 0
	for seed := range uint64(100) {
		bar, anew := echoes(300, 0.5, 5, true)
		anew()
		page := findings(bar.record(seed))
		if slices.ContainsFunc(page.Findings, func(f drift.Finding) bool {
			return f.Claim == drift.ClaimLate && strings.HasPrefix(f.Text, "whoever brews ends the second pour late in ")
		}) {
			late++
		}
		if slices.ContainsFunc(page.Findings, func(f drift.Finding) bool {
			return strings.HasPrefix(f.Text, "the third pour ends late because the second pour ends late: 100 %")
		}) {
			carried++
		}
	}
	if late < 95 || carried < 95 {
		t.Errorf("found late in %d, carried in %d of 100", late, carried)
	}
}

// The words on a chart, a trend and two sets keep their rate, too.
func TestWordsKeepTheirRateThoughBrewsEcho(t *testing.T) {
	const seeds, rate = 400, 0.05
	charts, trends, pairs := 0, 0, 0
	bar, anew := echoes(120, 0.5, 0, true)
	for seed := range uint64(seeds) {
		anew()
		r := bar.record(seed)
		s, _ := r.Choose(drift.Choice{Persons: crew[:1]}).Series(drift.Beats, beatKeys[bloom], drift.BySlip)
		o, _ := r.Choose(drift.Choice{Persons: crew[1:2]}).Series(drift.Beats, beatKeys[bloom], drift.BySlip)
		if c := s.Control(drift.Baseline{})[0]; c.Changed(rate) {
			charts++
		}
		if word := s.Trend().Word(rate); word == "rising" || word == "falling" {
			trends++
		}
		if c := drift.Compare(s, o); c.P <= rate {
			pairs++
		}
	}
	t.Logf("of %d: %d charts changed, %d trends, %d pairs apart", seeds, charts, trends, pairs)
	if most := atMost(seeds, rate); charts > most || trends > most || pairs > most {
		t.Errorf("of %d: %d charts changed, %d trends, %d pairs apart; no more than %d of each should be", seeds, charts, trends, pairs, most)
	}
}

// lateBrews are 60 brews an hour apart, each late or not: the bloom by itself,
// the second pour by what was carried to it.
func lateBrews(person func(i int) string, late func(i int) float64) *drift.Record {
	r := &drift.Record{}
	for i := range 60 {
		own, carried := beatColumn("1", bloom), beatColumn("1", second)
		d := sec(late(i))
		v := drift.Judge(d, own.Window)
		r.Add(drift.Brew{ID: [16]byte{byte(i)}, Start: monday.Add(sec(3600 * float64(i))), Person: person(i), Version: "1", Cells: []drift.Cell{
			{Column: r.Column(own), Slip: d, Drift: d, Own: v, Cup: v}, {Column: r.Column(carried), Drift: d, Own: drift.OnTime, Cup: v},
		}})
	}
	return r
}

// The same brews, 45 of 60 late, tell something in any order, and nothing where
// those that are late stand together, be it by the clock or with whoever brews.
func TestLateBrewsThatStandTogetherTellLess(t *testing.T) {
	order := rand.New(rand.NewPCG(1, 2)).Perm(60)
	mo := func(int) string { return "Mo" }
	turns := func(i int) string { return crew[i%3] }
	whether := func(late bool) float64 {
		if late {
			return 4
		}
		return 0.2
	}
	for _, c := range []struct {
		name          string
		person        func(i int) string
		late          func(i int) float64
		self, carried bool
	}{
		{"in any order", mo, func(i int) float64 { return whether(order[i]%4 != 0) }, true, true},
		{"together", mo, func(i int) float64 { return whether(i/5%4 != 0) }, false, false},
		{"together with each of three", turns, func(i int) float64 { return whether((i/15+i%3)%4 != 0) }, false, false},
		{"in any order, by persons who differ", turns, func(i int) float64 { return 4 + 4*float64(i%3) + float64(order[i]%5)/10 }, true, true},
	} {
		got := map[drift.Claim]bool{}
		for _, f := range findings(lateBrews(c.person, c.late)).Findings {
			got[f.Claim] = true
		}
		if got[drift.ClaimLate] != c.self || got[drift.ClaimCarried] != c.carried {
			t.Errorf("%s: %v, want late %t, carried %t", c.name, got, c.self, c.carried)
		}
	}
}

// Neither a week nor a new version is a change where brews hang on the one
// before.
func TestNeitherWeekNorVersionIsMadeOfAnEcho(t *testing.T) {
	const seeds = 300
	weeks, versions := 0, 0
	bar, anew := echoes(300, 0.5, 0, true)
	bar.version = func(i int) string { return string(rune('a' + i/150)) }
	for seed := range uint64(seeds) {
		anew()
		page := bar.record(seed).Choose(drift.Choice{AllVersions: true}).Findings(drift.Baseline{})
		says := func(c drift.Claim) bool {
			return slices.ContainsFunc(page.Findings, func(f drift.Finding) bool { return f.Claim == c })
		}
		if says(drift.ClaimWeek) {
			weeks++
		}
		if says(drift.ClaimVersion) {
			versions++
		}
	}
	t.Logf("of %d: %d weeks, %d versions", seeds, weeks, versions)
	if most := atMost(seeds, drift.PageRate/10); weeks > most || versions > most {
		t.Errorf("of %d pages %d say so of a week, %d of a version; no more than %d should", seeds, weeks, versions, most)
	}
}
