package drift_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"barline/brew"
	"barline/brew/drift"
)

// inTurns gives the brews to persons by turns, and adds to their second pour.
func inTurns(brews int, who func(i int) string, late func(person string) float64) invented {
	return invented{brews: brews, persons: crew[:1], plant: func(i int, b *played) {
		b.Person = who(i)
		for n := range bed {
			b.Slip[n] /= 2
		}
		b.Slip[second] += late(b.Person)
	}}
}

func texts(p drift.Page) (out []string) {
	for _, f := range p.Findings {
		out = append(out, f.Text)
	}
	return out
}

func begins(all []string, with string) bool {
	return slices.ContainsFunc(all, func(s string) bool { return strings.HasPrefix(s, with) })
}

// Only those who were looked at are spoken of.
func TestNobodyIsSpokenOfWhoWasNotLookedAt(t *testing.T) {
	always := func(string) float64 { return 6 }
	turns := func(names ...string) func(int) string {
		return func(i int) string { return names[i%len(names)] }
	}
	rarely := func(i int) string { // Jun brews nine times, fewer than can be asked
		if i < 9 {
			return "Jun"
		}
		return crew[i%2]
	}
	for _, c := range []struct {
		name       string
		who        func(i int) string
		late       func(person string) float64
		says       string
		persons    []string
		not        string
		everything bool
	}{
		{"all three were", turns(crew...), always, "whoever brews ends the second pour late in ", []string{"Mo", "Ada", "Jun"}, "Ada", true},
		{"two of three were", rarely, always, "Ada and Mo end the second pour late in ", nil, "whoever", false},
		{"all three were, and one is not late", turns(crew...), func(p string) float64 {
			if p == "Jun" {
				return 0
			}
			return 6
		}, "Ada ends the second pour late in ", nil, "whoever", false},
		{"there is but one", turns("Ada"), always, "Ada ends the second pour late in ", nil, "whoever", false},
		{"one of three was", func(i int) string {
			if i < 18 {
				return crew[1+i%2]
			}
			return "Mo"
		}, always, "Mo ends the second pour late in ", nil, "whoever", false},
		{"one gave no name", turns("", "Ada"), always, "whoever brews ends the second pour late in ", nil, "Ada", false},
		{"two of three, one without a name", func(i int) string {
			if i < 9 {
				return "Jun"
			}
			return []string{"", "Ada"}[i%2]
		}, always, "somebody without a name and Ada end the second pour late in ", nil, "whoever", false},
		{"five of six were", func(i int) string {
			if i < 9 {
				return "Jun"
			}
			return []string{"Ada", "Mo", "Kit", "Lou", "Sam"}[i%5]
		}, always, "five persons end the second pour late in ", nil, "whoever", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			page := findings(inTurns(240, c.who, c.late).record(1))
			if got := texts(page); !begins(got, c.says) || begins(got, c.not) {
				t.Errorf("%q, want %q and not %q", got, c.says, c.not)
			}
			for _, f := range page.Findings {
				slices.Sort(f.Persons)
				if want := []string{"Ada", "Jun", "Mo"}; c.everything && f.Claim == drift.ClaimLate && !slices.Equal(f.Persons, want) {
					t.Errorf("it is so with %q, want %q", f.Persons, want)
				}
			}
		})
	}
}

// That a beat is late because another one is is said only where that one was
// found late by itself; else only how much was inherited.
func TestBecauseIsSaidOnlyOfWhatIsLate(t *testing.T) {
	said := func(by float64) []string {
		return texts(findings(invented{brews: 150, persons: crew, plant: func(_ int, b *played) {
			b.Slip[second] = by + 0.1*b.Slip[second] // a window of 3 s
			b.Slip[third] = 1.2 + 0.1*b.Slip[third]
		}}.record(1)))
	}
	if got := said(6); !begins(got, "the third pour ends late because the second pour ends late: 83 % of its drift is carried") {
		t.Errorf("%q", got)
	}
	got := said(2.4)
	if !begins(got, "the third pour ends late by what it inherits, most of it from the second pour: 67 % of its drift is carried") || begins(got, "the third pour ends late because") {
		t.Errorf("of a second pour that is on time: %q", got)
	}
	// Late with one of three alone is not late.
	one := texts(findings(inTurns(240, func(i int) string { return crew[i%3] }, func(p string) float64 {
		if p == "Mo" {
			return 9
		}
		return 2.9
	}).record(1)))
	for _, s := range one {
		if strings.Contains(s, "because the second pour ends late") {
			t.Errorf("%q", one)
		}
	}
}

// A run that is over is told in the past.
func TestRunThatIsOverIsOfThePast(t *testing.T) {
	run := func(from, to int) drift.Finding {
		page := findings(invented{brews: 300, persons: crew[:1], plant: func(i int, b *played) {
			b.Slip[third] *= 0.5
			if from <= i && i < to {
				b.Slip[third] += 1.8
			}
		}}.record(3))
		for _, f := range page.Findings {
			if f.Claim == drift.ClaimRun && f.Column.Key == beatKeys[third] {
				return f
			}
		}
		t.Fatalf("no run in %q", texts(page))
		return drift.Finding{}
	}
	if f := run(30, 290); !f.Ended || !strings.HasPrefix(f.Text, "from 10 January 2026 until 22 February 2026 Mo ended the third pour later than before, 2") || f.Last-f.First+1 != f.K || f.Last != 289 {
		t.Errorf("%+v", f)
	}
	if f := run(30, 300); f.Ended || !strings.HasPrefix(f.Text, "since 10 January 2026 Mo has ended the third pour later than before, 2") || f.Last != 299 {
		t.Errorf("%+v", f)
	}
}

func TestChartInWords(t *testing.T) {
	calm, up, step := wiggle(35), repeat(60, 0.7), wiggle(85)
	for i := range step {
		step[i] /= 10
		if i >= 25 {
			step[i] += 3 // one level and then another, with little about each
		}
	}
	for _, c := range []struct {
		name              string
		xs                []float64
		word, words, able string
	}{
		{"calm", calm, "no change shown", "no change shown", ""},
		{"a run that goes on", append(slices.Clone(calm), repeat(40, -0.5)...), "changed", "sooner than in its baseline since 6 January 2026", "shows a change"},
		{"a run that is over", slices.Concat(wiggle(25), repeat(60, 1.9), wiggle(9)), "changed for a time", "later than in its baseline from 6 January 2026 until 8 January 2026", "shows a change"},
		{"a step", step, "changed", "later than in its baseline since 6 January 2026", "shows a change"},
		{"one far outside", append(slices.Clone(calm), 90, 1), "one brew far outside", "one brew far outside on 6 January 2026", "shows a change"},
		{"both", slices.Concat(calm, []float64{90}, repeat(60, -0.9)), "changed", "sooner than in its baseline since 6 January 2026; one brew far outside on 6 January 2026", "shows a change"},
		{"nothing judged", wiggle(25), "nothing to judge yet", "nothing to judge yet", "is not known"},
		{"too few", wiggle(24), "too few brews", "limits withheld: too few brews, 25 is the least for limits", "is not known"},
		{"all the same", up, "all values are the same", "limits withheld: all values are the same", "is not known"},
	} {
		got := chart(t, drift.Baseline{}, c.xs...)
		if got.Word(0.05) != c.word || got.Words(0.05) != c.words || got.Changed(0.05) != (c.able == "shows a change") {
			t.Errorf("%s: %q, %q, changed %t; want %q, %q", c.name, got.Word(0.05), got.Words(0.05), got.Changed(0.05), c.word, c.words)
		}
		if able := got.Caveat(0.05); !strings.Contains(able, c.able) || (able == "") != (c.able == "") {
			t.Errorf("%s: capability beside it %q, want %q", c.name, able, c.able)
		}
	}
}

// What is later of a beat is longer of a length and more of a weight.
func TestChartOfALengthAndAWeightInWords(t *testing.T) {
	for what, want := range map[drift.What]string{drift.Lengths: "longer than in its baseline since 6 January 2026", drift.Weights: "more than in its baseline since 6 January 2026"} {
		r := &drift.Record{}
		for i, x := range append(wiggle(25), repeat(60, 1.9)...) {
			c := beatColumn("1", bloom)
			c.What = what
			r.Add(drift.Brew{ID: [16]byte{byte(i)}, Start: monday.Add(sec(3600 * float64(i))), Version: "1", Cells: []drift.Cell{{Column: r.Column(c), Drift: sec(x), Off: grams(x)}}})
		}
		s, _ := r.Choose(drift.Choice{}).Series(what, beatKeys[bloom], drift.ByDrift)
		if got := s.Control(drift.Baseline{})[0].Words(0.05); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func TestReasonsSayHowManyAreWanted(t *testing.T) {
	for _, c := range []struct {
		why    drift.Reason
		figure string
		want   string
	}{
		{drift.TooFew, "limits", "too few brews, 25 is the least for limits"},
		{drift.TooFew, "median", "too few brews, 6 is the least for median"},
		{drift.TooFew, "no such figure", "too few brews"},
		{drift.Gaps, "median", "more than one mark in five is missing"},
	} {
		if got := c.why.For(c.figure); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	for _, r := range []drift.Reason{drift.TooFew, drift.Gaps, drift.NoWindow, drift.Echo, drift.NoSpread, drift.Behind, drift.Lost, drift.OneSided} {
		if short := r.Short(); short == "" || len(short) > 10 {
			t.Errorf("%q is %q in short", r, short)
		}
	}
	if got := drift.Reason("").Short(); got != "" {
		t.Errorf("nothing withheld is %q in short", got)
	}
}

func grams(x float64) brew.Mass { return brew.Mass(math.Round(x * float64(brew.Gram))) }

// Of two sets neither may echo.
func TestNeitherOfTwoSetsMayEcho(t *testing.T) {
	looked := func(who string) int {
		before := 0.0
		r := invented{brews: 200, persons: crew[:2], plant: func(_ int, b *played) {
			if b.Person == who {
				before = 0.9*before + b.Slip[bloom]
				b.Slip[bloom] = before
			}
		}}.record(5)
		return drift.Against(r.Choose(drift.Choice{Persons: crew[:1]}), r.Choose(drift.Choice{Persons: crew[1:2]}), [2]string{"Mo", "Ada"}).Looked
	}
	if none, first, second := looked(""), looked("Mo"), looked("Ada"); none != 4 || first != 3 || second != 3 {
		t.Errorf("%d are asked, where the first echoes %d, where the second does %d", none, first, second)
	}
	// What one of them does not rule out counts for both.
	slow := make([]float64, 60)
	for i := range slow {
		slow[i] = float64(i/4%5) + 2
	}
	echo, _ := slips(slow...).Series(drift.Beats, beatKeys[bloom], drift.BySlip)
	calm, _ := slips(wiggle(60)...).Series(drift.Beats, beatKeys[bloom], drift.BySlip)
	if a, b := drift.Compare(echo, calm), drift.Compare(calm, echo); a.P != b.P || a.P <= 100*a.Ranks.P {
		t.Errorf("%v one way, %v the other, of ranks %v", a.P, b.P, a.Ranks.P)
	}
}

// Where marks are missing nobody is said to be late, however late the others.
func TestNobodyIsLateWhereMarksAreMissing(t *testing.T) {
	late := func(missing int) []string {
		return texts(findings(invented{brews: 200, persons: crew[:1], plant: func(i int, b *played) {
			b.Slip[bloom] = 6
			if i%100 < missing {
				b.Fate[bloom] = drift.Unmarked
			}
		}}.record(1)))
	}
	if got := late(20); !begins(got, "Mo ends the bloom late in 160 of 160 brews") {
		t.Errorf("%q", got)
	}
	if got := late(21); len(got) != 0 {
		t.Errorf("%q", got)
	}
}

// Each version is set against the one before it, not against all.
func TestVersionIsSetAgainstTheOneBefore(t *testing.T) {
	page := invented{brews: 300, persons: crew, version: func(i int) string { return string(rune('a' + i/100)) }, plant: func(i int, b *played) {
		b.Slip[third] *= 0.5
		if i >= 100 {
			b.Slip[third] += 1.5
		}
	}}.record(1).Choose(drift.Choice{AllVersions: true}).Findings(drift.Baseline{})
	told := 0
	for _, f := range page.Findings {
		if f.Claim == drift.ClaimVersion {
			told++
			if f.Column.Version != "b" || f.N != 200 || f.K != 100 || !strings.HasPrefix(f.Text, "since version b the third pour ends ") {
				t.Errorf("%+v", f)
			}
		}
	}
	if told != 1 {
		t.Errorf("told %d times: %q", told, texts(page))
	}
}

// Nor is a week said to be unlike the others.
func TestNoWeekIsOddWhereMarksAreMissing(t *testing.T) {
	odd := func(missing int) bool {
		page := findings(invented{brews: 600, persons: crew, plant: func(i int, b *played) {
			if i/42 == 7 {
				b.Slip[second] += 4
			}
			if i%100 < missing {
				b.Fate[second] = drift.Unmarked
			}
		}}.record(1))
		return slices.ContainsFunc(page.Findings, func(f drift.Finding) bool {
			return f.Claim == drift.ClaimWeek && f.Column.Key == beatKeys[second]
		})
	}
	if !odd(20) || odd(21) {
		t.Errorf("with 20 of 100 marks missing found %t, with 21 %t", odd(20), odd(21))
	}
}
