package drift

import (
	"math"
	"time"

	"barline/brew/drift/stat"
)

// Latest is how many values, the latest, the estimators that look at all pairs
// take: 2,000 make two million pairs.
const Latest = 2000

// Trend is whether a series rises or falls with time, and how fast.
type Trend struct {
	Used int `json:"used"` // values, the latest
	Of   int `json:"of"`   // values there were
	// Kendall is Mann and Kendall's test, Line Theil and Sen's, its slope in
	// the series' unit a week, from the first value used on.
	Kendall stat.Trend `json:"kendall"`
	Line    stat.Line  `json:"line"`
	// Lag1 is how far a value resembles the one before, after taking out the
	// most that a trend of any shape explains (stat.Monotone). Where that is
	// more than chance, Kendall's P is too small to be true, and the trend is
	// withheld.
	Lag1 float64 `json:"lag1"`
	// P is how often chance alone makes as strong a trend: Kendall's, but
	// allowing for as much resemblance as the values do not rule out.
	P        float64 `json:"p"`
	Withheld Reason  `json:"withheld"`
}

// Trend returns the trend of the latest 2,000 values.
func (s Series) Trend() Trend {
	weeks, values := s.latest()
	t := s.trendOf(weeks, values)
	if t.Withheld == "" {
		t.Line = stat.TheilSen(weeks, values, confidence)
	}
	return t
}

// trendOf returns the trend of what was made of the latest values, without its
// line, which takes longest.
func (s Series) trendOf(weeks, values []float64) Trend {
	t := Trend{Used: len(values), Of: s.Tally.Marked, Withheld: leastTrend.withheld(s.Tally)}
	if t.Withheld != "" {
		return t
	}
	if t.Kendall = stat.Kendall(weeks, values); math.IsNaN(t.Kendall.Tau) {
		t.Withheld, t.Kendall = NoSpread, stat.Trend{}
		return t
	}
	rest, levels := untrended(values, t.Kendall.S < 0)
	t.Lag1, t.P = stat.Lag1(rest), stat.Echoing(t.Kendall.P, s.echo(rest, levels))
	switch {
	case math.IsNaN(t.Lag1): // the trend explains all
		t.Lag1, t.P = 0, t.Kendall.P
	case stat.Dependent(t.Lag1, len(values)):
		t.Withheld = Echo
	}
	return t
}

// untrended returns what is left of values, in the order of time, when all is
// taken out that a trend in the given direction explains, and how many levels
// that were.
func untrended(values []float64, falling bool) (rest []float64, levels int) {
	rest = stat.Monotone(values, falling)
	levels = steps(rest)
	for i, x := range values {
		rest[i] = x - rest[i]
	}
	return rest, levels
}

// latest returns the latest values, and when they were, in weeks since the
// first of them.
func (s Series) latest() (weeks, values []float64) {
	from := max(0, len(s.Values)-Latest)
	values = s.Values[from:]
	weeks = make([]float64, len(values))
	for i := range weeks {
		weeks[i] = s.weeks(from, from+i)
	}
	return weeks, values
}

// weeks returns the time from value i's brew to value j's.
func (s Series) weeks(i, j int) float64 {
	const week = float64(7 * 24 * time.Hour)
	r := s.record
	return float64(r.brews[s.Brews[j]].start-r.brews[s.Brews[i]].start) / week
}

// Word says in a few words where the trend goes, claiming one only where
// chance makes as strong a one no oftener than the rate, say 0.05.
func (t Trend) Word(rate float64) string {
	switch {
	case t.Withheld != "":
		return string(t.Withheld)
	case t.P > rate:
		return "no trend"
	case t.Kendall.S > 0:
		return "rising"
	}
	return "falling"
}
