package drift

import (
	"encoding/json"
	"strconv"
)

// Figure is a number of a table that may be withheld.
type Figure struct {
	Value    float64 // in the unit of its series; 0 where it is withheld
	Withheld Reason
}

// MarshalJSON writes {"value": 1.2}, or {"withheld": "…"} where it is.
func (f Figure) MarshalJSON() ([]byte, error) {
	if f.Withheld != "" {
		return json.Marshal(map[string]Reason{"withheld": f.Withheld})
	}
	return json.Marshal(map[string]float64{"value": f.Value})
}

// Reason says why something is withheld; "" where it is not.
type Reason string

// The reasons.
const (
	TooFew   Reason = "too few brews"
	Gaps     Reason = "more than one mark in five is missing"
	NoWindow Reason = "no window to set it against"
	Echo     Reason = "each brew resembles the one before it, so chance cannot be told from change"
	NoSpread Reason = "all values are the same"
	Behind   Reason = "the bed before it was often not marked or not done, so the hand cannot be told from the bed"
	Lost     Reason = "too few brews of its frozen baseline are left among these"
	OneSided Reason = "nothing can miss one side of its window"
)

// reasons are the short words for each.
var reasons = map[Reason]string{
	TooFew: "too few", Gaps: "gaps", NoWindow: "no window", Echo: "echoes", NoSpread: "all same", Behind: "behind bed", Lost: "lost", OneSided: "one side",
}

// Short returns the reason in a word or two, for a narrow column; "" for none.
func (r Reason) Short() string { return reasons[r] }

// For returns the reason, and where there are too few brews how many the figure
// wants: 'too few brews, limits want 25'. The figure is a Least's.
func (r Reason) For(figure string) string {
	for _, l := range Leasts() {
		if r == TooFew && l.Figure == figure {
			return string(r) + ", " + strconv.Itoa(l.N) + " is the least for " + figure
		}
	}
	return string(r)
}

// Because is For with the reason why the figure wants so many.
func (r Reason) Because(figure string) string {
	for _, l := range Leasts() {
		if r == TooFew && l.Figure == figure {
			return r.For(figure) + ": " + l.Why
		}
	}
	return r.For(figure)
}

// MostUnmarked is the share of missing marks above which location and spread
// are withheld: marks are not missing at random. They are missing when the
// hands are full, which is when it is late, so what is left looks better than
// it was. That one in five is the most is common practice, no source.
const MostUnmarked = 0.2

// Least is how many values a figure needs before it is shown, and why.
type Least struct {
	Figure string `json:"figure"`
	N      int    `json:"n"`
	Why    string `json:"why"`
}

// The least numbers. Where two sets are compared, each needs so many.
var (
	leastShare    = Least{"share on time", 1, "its interval says how little one brew tells"}
	leastExtreme  = Least{"smallest and largest", 1, "they are brews, not estimates"}
	leastMedian   = Least{"median", 6, "from six on, the smallest and the largest hold the true median between them in 97 of 100 cases; with five it is 94"}
	leastMean     = Least{"mean", 6, "as the median, beside which it stands"}
	leastQuartile = Least{"quartiles", 11, "from eleven on, the smallest lies below the true lower quartile in 96 of 100 cases; with ten it is 94"}
	leastSpread   = Least{"standard deviation", 10, "with ten the true one is between 0.7 and 1.8 times the figure in 95 of 100 cases; with five it may be nearly three times"}
	leastBaseline = Least{"limits", 25, "with 25 the estimated sigma is off by a fifth, and a point falls outside by chance about once in 110 instead of once in 370"}
	leastAble     = Least{"capability", 25, "with 25 its interval is still 28 % to each side"}
	leastTrend    = Least{"trend", 10, "resemblance of neighbours cannot be told from chance in fewer, and the test is only true without it"}
	leastCompare  = Least{"comparison", 4, "three against three could at best differ in one of ten ways of dealing them out, which proves nothing"}
	leastUsual    = Least{"usually late", 10, "ten of ten come up by chance once in 1024; corrected for many beats, fewer could never count"}
	leastWeek     = Least{"a week", 5, "one bad morning should not make a bad week"}
)

// Leasts returns all least numbers, for a page that explains the figures.
func Leasts() []Least {
	return []Least{
		leastShare, leastExtreme, leastMedian, leastMean, leastQuartile, leastSpread, leastBaseline,
		leastAble, leastTrend, leastCompare, leastUsual, leastWeek,
	}
}

// LeastBaseline returns how many brews a chart's baseline has at least, and has
// where none was frozen.
func LeastBaseline() int { return leastBaseline.N }

// withheld returns why a figure of location or spread is withheld.
func (l Least) withheld(t Tally) Reason {
	switch {
	case t.Marked < l.N && t.Marked+t.BehindBed >= l.N:
		return Behind
	case t.Marked < l.N:
		return TooFew
	}
	return t.gaps()
}

// figure returns x, or why it is withheld.
func (l Least) figure(t Tally, x float64) Figure {
	if why := l.withheld(t); why != "" {
		return Figure{Withheld: why}
	}
	return Figure{Value: x}
}
