// Package stat has the statistics by which many brews are judged: figures of
// a list of numbers, whatever they measure.
//
//	MeanSD, Lag1, FiveOf                   what is usual, and how far it spreads
//	Wilson, ClopperPearson, AtLeast        shares, with how little is known of them
//	LimitsOf, EWMA, CUSUM, Marks, Alone    charts that tell a change from chance
//	CapabilityOf                           what a window asks against what is done
//	Kendall, TheilSen, Monotone            whether it gets later, and how fast
//	RankTest, ShiftOf                      two lists compared
//	Alarms, Holm                           how often all of this cries wolf
//	Resemblance, Echoing                   the same where values hang on those before
//
// Values are finite numbers in one unit, and figures come back in that unit.
// A list too short for a figure gives NaN (not a number), never a guess; how
// many values make a figure worth showing is for the caller to say. Where a
// list is put into another order, the doc says so.
//
// It knows nothing of brews and imports nothing of ours. Quantiles of the
// normal, beta and chi-squared distributions come from gonum's mathext.
package stat

// Interval holds what the true figure plausibly is.
type Interval struct {
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

// Holds reports whether x lies in the interval; its ends belong to it.
func (i Interval) Holds(x float64) bool { return i.Low <= x && x <= i.High }
