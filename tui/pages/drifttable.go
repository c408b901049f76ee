package pages

import (
	"fmt"
	"math"
	"slices"
	"time"

	"barline/brew"
	"barline/brew/cup"
	"barline/brew/drift"
	"barline/tui/draw"
)

// driftTable is what a recipe's page shows.
type driftTable struct {
	brews   int
	version string   // the newest
	every   bool     // all versions are looked at
	persons []string // who brewed, whomever the page is narrowed to
	rows    []driftRow
	page    drift.Page
	where   drift.Where
	leftOut int         // brews that cannot be read
	cup     *cup.Learnt // nil for nothing, and where a person or every version is looked at
}

// driftRow is a beat, a length or a weight over many brews.
type driftRow struct {
	summary drift.Summary
	spread  draw.Spread
	chart   drift.Chart // of the newest version; empty once all is said
	trend   drift.Trend
	said    rowWords
}

// rowWords is what is said of a row's trend and limits, worked out once: how
// seldom chance does as much takes long to find out.
type rowWords struct {
	trend, trending, limits, limited string // each short and whole
	caveat                           string // under what capability must be read; "" for nothing
}

// choose returns the brews of the newest version, or of all, by one person, or
// by all.
func (m Many) choose(person string, versions bool) drift.Set {
	c := drift.Choice{Since: m.Since, AllVersions: versions}
	if person != "" {
		c.Persons = []string{person}
	}
	return m.Record.Choose(c)
}

// tableOf works out a recipe's page.
func tableOf(m Many, of glance) driftTable {
	set := m.choose(of.filter.Person, of.every)
	t := driftTable{brews: set.Len(), version: set.Version(), every: of.every, persons: known(m.choose("", true).Persons()), where: set.Where(), leftOut: m.LeftOut}
	for _, c := range set.Columns() {
		if s, ok := set.Series(c.What, c.Key, of.measure); ok {
			t.rows = append(t.rows, rowOf(s, m.Baseline))
		}
	}
	for i := range t.rows {
		t.rows[i].said = t.rows[i].words(t.rate())
		t.rows[i].chart = drift.Chart{} // of a million brews it is large
	}
	t.page = set.Findings(m.Baseline)
	if of.filter.Person == "" && !of.every {
		t.cup = m.Cup
	}
	return t
}

// known leaves out those who did not say who they were.
func known(persons []string) []string {
	return slices.DeleteFunc(persons, func(p string) bool { return p == "" })
}

func rowOf(s drift.Series, b drift.Baseline) driftRow {
	r := driftRow{summary: s.Summary(), spread: spreadOf(s), trend: s.Trend()}
	if charts := s.Control(b); len(charts) > 0 {
		r.chart = charts[len(charts)-1]
	} else {
		r.chart.Withheld = drift.TooFew
	}
	return r
}

// farthest is how far from the plan a value is still told apart, in seconds or
// grams: it bounds what a picture is made of.
const farthest = 600

// spreadOf heaps the series' values by tenths, the finest that is shown and
// judged by.
func spreadOf(s drift.Series) draw.Spread {
	heaps := map[int]int{}
	for _, x := range s.Values {
		heaps[int(math.Round(10*max(-farthest, min(x, farthest))))]++
	}
	tenths := make([]int, 0, len(heaps))
	for t := range heaps {
		tenths = append(tenths, t)
	}
	slices.Sort(tenths)
	out := draw.Spread{HasWindow: s.Column.HasWindow && s.Measure != drift.ByCarried}
	for _, t := range tenths {
		out.Heaps = append(out.Heaps, draw.Heap{At: float64(t) / 10, N: heaps[t]})
	}
	w := s.Column.Window
	out.Low, out.High = -drift.Tenths(w.Early).Seconds(), drift.Tenths(w.Late).Seconds()
	return out
}

// rate is how often one row's word claims what is not there, so that all rows
// of the page together do so no oftener than a page of findings.
func (t driftTable) rate() float64 { return drift.PageRate / float64(2*max(len(t.rows), 1)) }

// words says a row's trend and limits at a rate of false claims.
func (r driftRow) words(rate float64) rowWords {
	trend := r.trend.Word(rate)
	out := rowWords{trend: short(r.trend.Withheld, trend), trending: r.trending(trend), limits: short(r.chart.Withheld, r.chart.Word(rate)), limited: r.chart.Words(rate)}
	if r.chart.Withheld == "" {
		out.caveat = r.chart.Caveat(rate)
	}
	return out
}

// name is what a row is called: a length and a weight have the names of a step
// and a beat.
func (r driftRow) name() string {
	switch c := r.summary.Column; c.What {
	case drift.Lengths:
		return c.Name + " (length)"
	case drift.Weights:
		return c.Name + " (g)"
	default:
		return c.Name
	}
}

// short says in one or two words why something is withheld, or else the word.
func short(why drift.Reason, word string) string {
	switch why {
	case "":
		return word
	case drift.NoWindow:
		return "-"
	}
	return why.Short()
}

// amount is a figure with its sign and unit, to a tenth.
func amount(x float64, unit string) string {
	if unit == "g" {
		if x = math.Round(10*x) / 10; x == 0 {
			return "0.0 g"
		}
		return fmt.Sprintf("%+.1f g", x)
	}
	return brew.Signed(time.Duration(math.Round(x * float64(time.Second))))
}

// figure is an amount, or why there is none.
func (r driftRow) figure(f drift.Figure) string {
	if f.Withheld != "" {
		return short(f.Withheld, "")
	}
	return amount(f.Value, r.summary.Unit)
}

// percent is a share as people say it.
func percent(x float64) string { return fmt.Sprintf("%.0f %%", 100*x) }

// share is the share on time, or why there is none.
func share(s drift.Share) string {
	if s.Withheld != "" {
		return short(s.Withheld, "")
	}
	return percent(s.Rate())
}

// within is the interval of a share.
func within(s drift.Share) string {
	if s.Withheld != "" {
		return ""
	}
	return fmt.Sprintf("%.0f to %.0f %%", 100*s.In.Low, 100*s.In.High)
}
