package drift_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/drift"
	"barline/brew/drift/stat"
)

// alarms returns how many of the bar's journals, one a seed, hold a finding.
func alarms(v invented, seeds int, page func(r *drift.Record) drift.Page) int {
	with := 0
	for seed := range seeds {
		if len(page(v.record(uint64(seed))).Findings) > 0 {
			with++
		}
	}
	return with
}

func findings(r *drift.Record) drift.Page { return r.Choose(drift.Choice{}).Findings(drift.Baseline{}) }

// atMost returns the largest count that n tries at the rate reach oftener than
// once in a thousand times.
func atMost(n int, rate float64) int {
	k := int(float64(n) * rate)
	for stat.ByChance(k+1, n, rate) > 0.001 {
		k++
	}
	return k
}

// A thousand journals of the invented bar in which nothing happened but chance,
// fewer of odd shapes unless there is time.
// The limits in them are estimated from 25 brews each. Whatever the shape of
// the slips, at most one page in twenty may hold a finding.
func TestNothingPlantedIsSeldomFound(t *testing.T) {
	for name, noise := range map[string]func(*rand.Rand) float64{"normal": nil, "skewed": skewed, "heavy-tailed": heavy} {
		seeds := 1000
		if noise != nil && os.Getenv("BARLINE_CAMPAIGN") == "" {
			seeds = 300
		}
		with := alarms(invented{brews: 300, persons: crew, noise: noise}, seeds, findings)
		t.Logf("%s: %d of %d pages hold a finding", name, with, seeds)
		if most := atMost(seeds, drift.PageRate); with > most {
			t.Errorf("%s: %d of %d pages hold a finding, at %v there should be no more than %d", name, with, seeds, drift.PageRate, most)
		}
	}
}

// Persons who differ, and take the bar by turns for weeks on end, are not a
// change of anything.
func TestRotaMakesNoFinding(t *testing.T) {
	usual := map[string]float64{"Mo": -1, "Ada": 0, "Jun": 1.2}
	rota := invented{brews: 400, persons: crew, plant: func(i int, b *played) {
		b.Person = crew[i/42%3]
		for n := range bed {
			b.Slip[n] = 0.8*b.Slip[n] + usual[b.Person]
		}
	}}
	const seeds = 200
	if with, most := alarms(rota, seeds, findings), atMost(seeds, drift.PageRate); with > most {
		t.Errorf("%d of %d pages hold a finding, no more than %d should", with, seeds, most)
	}
}

// Two sets of the same kind are seldom said to be apart.
func TestSetsAlikeAreSeldomApart(t *testing.T) {
	const seeds = 400
	with := alarms(invented{brews: 120, persons: crew, noise: skewed}, seeds, func(r *drift.Record) drift.Page {
		return drift.Against(r.Choose(drift.Choice{Persons: crew[:1]}), r.Choose(drift.Choice{Persons: crew[1:2]}), [2]string{"Mo", "Ada"})
	})
	if most := atMost(seeds, drift.PageRate); with > most {
		t.Errorf("%d of %d pairs are apart, at most %d should be", with, seeds, most)
	}
}

// Limits from 25 values are seldom as good as known ones. What a chart says of
// itself is how often one point or more falls outside by chance.
func TestChartSaysHowOftenChanceFallsOutside(t *testing.T) {
	const seeds, brews = 1000, 75
	outside, said := 0, 0.0
	for seed := range uint64(seeds) {
		s, _ := invented{brews: brews, persons: crew}.record(seed).Choose(drift.Choice{}).Series(drift.Beats, beatKeys[bloom], drift.BySlip)
		c := s.Control(drift.Baseline{})[0]
		said = c.ByChance
		if c.Outside > 0 {
			outside++
		}
	}
	t.Logf("said %.3f, seen %d of %d", said, outside, seeds)
	if outside > atMost(seeds, said) || seeds-outside > atMost(seeds, 1-said) {
		t.Errorf("%d of %d charts have a point outside, they say %.3f", outside, seeds, said)
	}
	if known := 1 - math.Pow(1-0.0027, brews-25); said < 1.5*known {
		t.Errorf("a chart says %.3f, hardly more than known limits would: %.3f", said, known)
	}
}

// What is planted is found in at least 95 of 100 journals.
func TestPlantedFactsAreFound(t *testing.T) {
	for _, c := range []struct {
		name string
		bar  invented
		want func(f drift.Finding) bool
	}{
		{"a pour that is late whoever brews", invented{brews: 150, persons: crew, plant: func(_ int, b *played) { b.Slip[second] += 5 }},
			func(f drift.Finding) bool {
				return f.Claim == drift.ClaimLate && f.Column.Key == beatKeys[second] && f.Person == "" && strings.HasPrefix(f.Text, "whoever brews ends the second pour late in ") && near(f.By, 5, 1)
			}},
		{"what follows inherits it", invented{brews: 150, persons: crew, plant: func(_ int, b *played) { b.Slip[second] += 5 }},
			func(f drift.Finding) bool {
				return f.Claim == drift.ClaimCarried && f.Column.Key == beatKeys[third] && f.Source != nil && f.Source.Key == beatKeys[second] && f.Share > 0.9 &&
					strings.HasPrefix(f.Text, "the third pour ends late because the second pour ends late: ")
			}},
		{"one person is early", invented{brews: 200, persons: crew, plant: func(_ int, b *played) {
			if b.Person == "Jun" {
				b.Slip[third] -= 4.5
			}
		}},
			func(f drift.Finding) bool {
				return f.Claim == drift.ClaimEarly && f.Column.Key == beatKeys[third] && f.Person == "Jun" && strings.HasPrefix(f.Text, "Jun ends the third pour early in ")
			}},
		{"a person improves", invented{brews: 300, persons: crew, plant: func(i int, b *played) {
			if b.Person == "Ada" {
				b.Slip[bloom] = 4*math.Exp(-float64(i)/80) + 0.7*b.Slip[bloom]
			}
		}},
			func(f drift.Finding) bool {
				return f.Claim == drift.ClaimBetter && f.Person == "Ada" && f.Column.Key == beatKeys[bloom] && f.At > f.To && strings.HasPrefix(f.Text, "Ada ends the bloom ever closer to its call: off by ")
			}},
		{"a week of a slow kettle", invented{brews: 600, persons: crew, plant: func(i int, b *played) {
			if i/42 == 7 {
				b.Slip[second] += 2
			}
		}},
			func(f drift.Finding) bool {
				return f.Claim == drift.ClaimWeek && f.Column.Key == beatKeys[second] && strings.HasPrefix(f.Text, "in the week of 23 February 2026 the second pour ended ") && near(f.By, 2, 0.8) && f.In.Holds(f.By)
			}},
		{"the bed clogs more and more", invented{brews: 300, persons: crew, plant: func(i int, b *played) { b.Slip[bed] += float64(i) / 30 }},
			func(f drift.Finding) bool {
				return f.Claim == drift.ClaimLater && f.Column.Key == beatKeys[bed] && f.Person == "" && strings.HasPrefix(f.Text, "the bed drains ever later: by its own ")
			}},
		{"a bed that drains slowly", invented{brews: 60, persons: crew, plant: func(_ int, b *played) { b.Slip[bed] += 22 }},
			func(f drift.Finding) bool {
				return f.Claim == drift.ClaimLate && f.Column.Key == beatKeys[bed] && strings.HasPrefix(f.Text, "the bed drains late in ")
			}},
		{"a lasting change", invented{brews: 400, persons: crew[:1], plant: func(i int, b *played) {
			if i >= 300 {
				b.Slip[third] += 2.8
			}
		}},
			func(f drift.Finding) bool {
				return f.Claim == drift.ClaimRun && f.Column.Key == beatKeys[third] && f.By > 2 && strings.Contains(f.Text, "Mo has ended the third pour later than before, ") || f.Claim == drift.ClaimWorse && f.Column.Key == beatKeys[third]
			}},
		{"one brew that went wrong", invented{brews: 300, persons: crew, plant: func(i int, b *played) {
			if i == 250 {
				b.Slip[bloom] += 90
			}
		}},
			func(f drift.Finding) bool {
				return f.Claim == drift.ClaimOutside && f.Column.Key == beatKeys[bloom] && f.First == 250 && f.Last == 250 && near(f.By, 90, 5) && strings.HasPrefix(f.Text, "on 15 February 2026 ")
			}},
		{"a version that changed more than it meant to", invented{brews: 200, persons: crew, version: half, plant: func(i int, b *played) {
			if i >= 100 {
				b.Slip[third] -= 1.2
			}
		}},
			func(f drift.Finding) bool {
				return f.Claim == drift.ClaimVersion && f.Column.Key == beatKeys[third] && near(f.By, -1.2, 0.7) && strings.HasPrefix(f.Text, "since version b the third pour ends ") && strings.HasSuffix(f.Text, " sooner than before, by its own")
			}},
	} {
		found := 0
		for seed := range uint64(100) {
			page := c.bar.record(seed).Choose(drift.Choice{AllVersions: true}).Findings(drift.Baseline{})
			if slices.ContainsFunc(page.Findings, c.want) {
				found++
			} else if found == int(seed) || testing.Verbose() {
				for _, f := range page.Findings {
					t.Logf("seed %d: %s (%s)", seed, f.Text, f.Claim)
				}
			}
		}
		if found < 95 {
			t.Errorf("%s: found in %d of 100 journals", c.name, found)
		}
	}
}

func half(i int) string {
	if i < 100 {
		return "a"
	}
	return "b"
}

func near(x, want, by float64) bool { return math.Abs(x-want) <= by }

// Holm's correction is over all that was asked, and the sentence is of what is
// left.
func TestPageIsInOrderAndCorrected(t *testing.T) {
	page := findings(invented{brews: 300, persons: crew, plant: func(i int, b *played) {
		b.Slip[second] += 6
		if b.Person == "Mo" {
			b.Slip[bloom] += 4
		}
	}}.record(1))
	if page.Rate != 0.05 || page.Brews != 300 || page.Looked < 50 || len(page.Findings) < 3 {
		t.Fatalf("%+v", page)
	}
	for i, f := range page.Findings {
		if f.Adjusted > page.Rate || f.Adjusted < f.P || f.Strength <= 0 || f.Text == "" {
			t.Errorf("%+v", f)
		}
		if i > 0 && f.Strength > page.Findings[i-1].Strength {
			t.Errorf("%s is stronger than the finding before it", f.Text)
		}
	}
	if got := page.Findings[0].Column.Key; got == beatKeys[bloom] {
		t.Errorf("the strongest is about %s", got)
	}
	text, err := json.Marshal(page)
	if err != nil || !json.Valid(text) {
		t.Error(err)
	}
}

// However slow the bed, no finding blames a person, and hands that are on time
// stay without one.
func TestBedMakesNoFindingAboutAPerson(t *testing.T) {
	for seed := range uint64(20) {
		page := findings(invented{brews: 200, persons: crew, plant: func(i int, b *played) { b.Slip[bed] = 10*b.Slip[bed] + 30 + float64(i%50) }}.record(seed))
		found := false
		for _, f := range page.Findings {
			found = found || f.Column.Owner == brew.Bed
			if f.Person != "" && f.Column.Owner == brew.Bed || strings.Contains(f.Text, "whoever") {
				t.Errorf("seed %d: %q", seed, f.Text)
			}
		}
		if !found {
			t.Errorf("seed %d: the bed is not found", seed)
		}
	}
}

// Where marks are missing or brews echo each other, the question is not asked.
func TestWhatCannotBeToldIsNotAsked(t *testing.T) {
	asked := func(v invented) int { return findings(v.record(3)).Looked }
	all := asked(invented{brews: 200, persons: crew})
	gaps := asked(invented{brews: 200, persons: crew, plant: func(i int, b *played) {
		if i%4 == 0 {
			b.Fate[third] = drift.Unmarked
		}
	}})
	before := 0.0
	echo := asked(invented{brews: 200, persons: crew, plant: func(_ int, b *played) {
		before = 0.9*before + b.Slip[bed]
		b.Slip[bed] = before
	}})
	if gaps >= all || echo >= all {
		t.Errorf("asked %d, with gaps %d, with an echo %d", all, gaps, echo)
	}
	if few := findings(invented{brews: 9, persons: crew}.record(3)); few.Looked != 0 || few.Findings == nil {
		t.Errorf("of nine brews: %+v", few)
	}
	if none := (&drift.Record{}).Choose(drift.Choice{}).Findings(drift.Baseline{}); none.Looked != 0 || none.Brews != 0 {
		t.Errorf("of none: %+v", none)
	}
}

// A random walk is no trend and no week, though both would seem so.
func TestEchoesMakeNoTrend(t *testing.T) {
	const seeds = 100
	with := 0
	for seed := range uint64(seeds) {
		walk := 0.0
		page := findings(invented{brews: 300, persons: crew, plant: func(_ int, b *played) {
			walk = 0.97*walk + b.Slip[bed]/4
			b.Slip[bed] = walk
		}}.record(seed))
		if slices.ContainsFunc(page.Findings, func(f drift.Finding) bool {
			return f.Column.Key == beatKeys[bed] && f.Claim != drift.ClaimRun
		}) {
			with++
		}
	}
	if with > 5 {
		t.Errorf("%d of %d walks are taken for something", with, seeds)
	}
}

func TestFindingsLookAtTheLatestBrews(t *testing.T) {
	page := findings(invented{brews: drift.LatestBrews + 200, persons: crew[:1], plant: func(i int, b *played) {
		if i < 150 {
			b.Slip[bloom] = 500 // long ago
		}
	}}.record(1))
	if page.Brews != drift.LatestBrews || slices.ContainsFunc(page.Findings, func(f drift.Finding) bool { return f.Column.Key == beatKeys[bloom] }) {
		t.Errorf("of %d brews: %+v", page.Brews, page.Findings)
	}
}

// Two in five is not usually, whatever the sentence would make of it.
func TestLessThanHalfIsNotUsual(t *testing.T) {
	for seed := range uint64(20) {
		for _, f := range findings(invented{brews: 200, persons: crew, plant: func(i int, b *played) { b.Slip[third] = float64(i * 2 % 5 / 3 * 8) }}.record(seed)).Findings {
			if f.Claim == drift.ClaimLate || f.Claim == drift.ClaimCarried {
				t.Errorf("seed %d: %s", seed, f.Text)
			}
		}
	}
}

// Where each week is later than the one before, none is a special week.
func TestStairOfWeeksIsNoWeek(t *testing.T) {
	for seed := range uint64(20) {
		for _, f := range findings(invented{brews: 300, persons: crew, plant: func(i int, b *played) { b.Slip[bed] += float64(i/42) * 8 }}.record(seed)).Findings {
			if f.Claim == drift.ClaimWeek && f.Column.Key == beatKeys[bed] {
				t.Errorf("seed %d: %s", seed, f.Text)
			}
		}
	}
}

func TestTooFewAreNotSetAgainstEachOther(t *testing.T) {
	a, b := slips(1, 1, 1), slips(9, 9, 9, 9, 9)
	if page := drift.Against(a, b, [2]string{"Mo", "Ada"}); page.Looked != 0 || len(page.Findings) != 0 {
		t.Errorf("%+v", page)
	}
}

// Of one fact the page tells once.
func TestOneFactMakesOneFinding(t *testing.T) {
	for _, c := range []struct {
		name  string
		bar   invented
		one   func(f drift.Finding) bool // which must be there once,
		spare func(f drift.Finding) bool // and which not at all
	}{
		{"a trend ends in a long run", invented{brews: 300, persons: crew[:1], plant: func(i int, b *played) { b.Slip[bloom] += 9 * math.Exp(-float64(i)/60) }},
			func(f drift.Finding) bool { return f.Claim == drift.ClaimBetter },
			func(f drift.Finding) bool { return f.Claim == drift.ClaimRun && f.Column.Key == beatKeys[bloom] }},
		{"a bad week is a long run", invented{brews: 300, persons: crew[:1], plant: func(i int, b *played) {
			if i/42 == 4 {
				b.Slip[bloom] += 8
			}
		}},
			func(f drift.Finding) bool { return f.Claim == drift.ClaimWeek && f.Column.Key == beatKeys[bloom] },
			func(f drift.Finding) bool { return f.Claim == drift.ClaimRun && f.Column.Key == beatKeys[bloom] }},
		{"all that follows inherits it", invented{brews: 100, persons: crew, plant: func(i int, b *played) { b.Slip[second] += 30 }},
			func(f drift.Finding) bool { return f.Claim == drift.ClaimCarried },
			func(f drift.Finding) bool { return false }},
	} {
		for seed := range uint64(20) {
			found := findings(c.bar.record(seed)).Findings
			once := 0
			for _, f := range found {
				if c.one(f) {
					once++
				}
				if c.spare(f) {
					t.Errorf("%s, seed %d: %q beside it", c.name, seed, f.Text)
				}
			}
			if once > 1 || once == 0 && seed == 0 {
				t.Errorf("%s, seed %d: told %d times in %d findings", c.name, seed, once, len(found))
			}
		}
	}
}

// Slips that swing slowly are on one side for long, and two persons' swings
// are apart; both for no other reason. A baseline of 25 does not always show a
// swing, so some runs are claimed.
func TestSwingsAreNeitherRunsNorApart(t *testing.T) {
	runs, apart := 0, 0
	const seeds = 60
	for seed := range uint64(seeds) {
		swing := map[string]float64{}
		r := invented{brews: 240, persons: crew[:2], plant: func(_ int, b *played) {
			swing[b.Person] = 0.9*swing[b.Person] + b.Slip[bloom]
			b.Slip[bloom] = swing[b.Person]
		}}.record(seed)
		about := func(f drift.Finding) bool { return f.Column.Key == beatKeys[bloom] }
		if slices.ContainsFunc(findings(r).Findings, about) {
			runs++
		}
		if slices.ContainsFunc(drift.Against(r.Choose(drift.Choice{Persons: crew[:1]}), r.Choose(drift.Choice{Persons: crew[1:2]}), [2]string{"Mo", "Ada"}).Findings, about) {
			apart++
		}
	}
	t.Logf("of %d: %d runs, %d apart", seeds, runs, apart)
	if runs > seeds/6 || apart > 3 {
		t.Errorf("of %d pages %d have a run, %d are apart", seeds, runs, apart)
	}
}

func TestAgainstSaysWhoIsLater(t *testing.T) {
	bar := invented{brews: 200, persons: crew, plant: func(_ int, b *played) {
		if b.Person == "Mo" {
			b.Slip[third] += 1.5
		}
	}}
	found := 0
	for seed := range uint64(100) {
		r := bar.record(seed)
		page := drift.Against(r.Choose(drift.Choice{Persons: []string{"Mo"}}), r.Choose(drift.Choice{Persons: []string{"Ada"}}), [2]string{"Mo", "Ada"})
		for _, f := range page.Findings {
			if f.Column.Key == beatKeys[third] && near(f.By, 1.5, 0.8) && strings.HasPrefix(f.Text, "the third pour ends ") && strings.HasSuffix(f.Text, " later with Mo than with Ada") {
				found++
			}
		}
	}
	if found < 95 {
		t.Errorf("found in %d of 100", found)
	}
}

// Where nobody said who brewed, and where lateness comes from no beat before.
func TestSentencesThatNameNobody(t *testing.T) {
	r := &drift.Record{}
	r.Grow(30, 60)
	for i := range 30 {
		late, held := beatColumn("1", bloom), beatColumn("1", second)
		r.Add(drift.Brew{ID: [16]byte{byte(i)}, Start: monday.Add(time.Duration(i) * time.Hour), Version: "1", Cells: []drift.Cell{
			{Column: r.Column(late), Slip: sec(4), Drift: sec(4), Own: drift.Late, Cup: drift.Late},
			{Column: r.Column(held), Slip: sec(1), Drift: sec(21), Own: drift.OnTime, Cup: drift.Late},
		}})
	}
	var got []string
	for _, f := range findings(r).Findings {
		got = append(got, f.Text)
	}
	want := []string{
		"the second pour ends late by what it inherits: 95 % of its drift is carried",
		"the bloom ends late in 30 of 30 brews, usually by 4.0 s",
	}
	if !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestSentencesOfFindings(t *testing.T) {
	label := beatColumn("1", bloom)
	label.Step, label.Edge = "the first splash", brew.StartEdge
	for _, c := range []struct {
		name string
		slip float64
		want string
	}{
		{"late with its own name", 4.21, "Mo starts the first splash late in 30 of 30 brews, usually by 4.2 s"},
		{"early", -61, "Mo starts the first splash early in 30 of 30 brews, usually by 1 min 1 s"},
	} {
		r := &drift.Record{}
		for i := range 30 {
			d := sec(c.slip)
			r.Add(drift.Brew{Start: monday.Add(time.Duration(i) * time.Hour), Person: "Mo", Version: "1", Cells: []drift.Cell{{
				Column: r.Column(label), Slip: d, Drift: d, Own: drift.Judge(d, label.Window), Cup: drift.Judge(d, label.Window), StartUnmarked: true,
			}}})
		}
		page := findings(r)
		if len(page.Findings) != 1 || page.Findings[0].Text != c.want {
			t.Errorf("%s: %+v, want %q", c.name, page.Findings, c.want)
		}
		if len(page.Findings) > 0 && page.Findings[0].Note == "" {
			t.Errorf("%s: no note on the unmarked start", c.name)
		}
	}
}
