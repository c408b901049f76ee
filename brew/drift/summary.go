package drift

import (
	"math"
	"time"

	"barline/brew"
	"barline/brew/drift/stat"
)

// Summary is a row of the table: one column over the brews of a set.
type Summary struct {
	Column  Column  `json:"column"`
	Measure Measure `json:"measure"`
	Unit    string  `json:"unit"` // s or g
	Tally   Tally   `json:"tally"`

	Median Figure `json:"median"`
	Mean   Figure `json:"mean"`
	SD     Figure `json:"sd"`    // divides by n - 1
	Lower  Figure `json:"lower"` // quartile, type 7 (see stat.Quantile)
	Upper  Figure `json:"upper"`
	Min    Figure `json:"min"`
	Max    Figure `json:"max"`
	OnTime Share  `json:"on_time"`
	Able   Able   `json:"able"`
}

// Share is how many of those marked were on time, and Wilson's interval for
// the share that will be if all goes on so, at 95 %.
type Share struct {
	K        int           `json:"k"`
	N        int           `json:"n"`
	In       stat.Interval `json:"in"`
	Withheld Reason        `json:"withheld"`
}

// Rate returns the share, 0 to 1; 0 of none.
func (s Share) Rate() float64 {
	if s.N == 0 {
		return 0
	}
	return float64(s.K) / float64(s.N)
}

// Able is the capability of a beat or a length: its window against its spread.
// Cp 1 means that 6 standard deviations fit into the window, Cpk the same for
// where the middle really is; 1.33 is often asked of machines (common
// practice, no source). It presumes that nothing changes: see Chart.Caveat.
//
// A window has one side alone where nothing can miss the other: an end cannot
// come before its start, so where it may be as early as its step is long, only
// the late side asks anything. Then Cpk is of that side, and Cp, which is of the
// window's width, is withheld. A window that ends at 0 has two sides all the
// same: one of them is the strictest there is.
type Able struct {
	Cp    Figure        `json:"cp"`
	CpIn  stat.Interval `json:"cp_in"` // at 95 %, as all intervals here
	Cpk   Figure        `json:"cpk"`
	CpkIn stat.Interval `json:"cpk_in"`
}

// confidence is the level of all intervals.
const confidence = 0.95

// Table returns a summary of each column of the set's newest version.
func (s Set) Table(m Measure) []Summary {
	columns := s.columns()
	out := make([]Summary, 0, len(columns))
	values := make([]float64, 0, len(s.brews))
	for _, n := range columns {
		values = values[:0]
		tally := s.scan(n, m, func(_ int32, x float64) { values = append(values, x) })
		out = append(out, summaryOf(s.record.columns[n], m, tally, values))
	}
	return out
}

// Summary returns the series' row of the table.
func (s Series) Summary() Summary {
	return summaryOf(s.Column, s.Measure, s.Tally, append([]float64(nil), s.Values...))
}

// summaryOf puts the values into another order.
func summaryOf(c Column, m Measure, t Tally, values []float64) Summary {
	out := Summary{Column: c, Measure: c.by(m), Unit: Series{Column: c}.Unit(), Tally: t}
	mean, sd := stat.MeanSD(values)
	five := stat.FiveOf(values)
	out.Median, out.Mean, out.SD = leastMedian.figure(t, five.Median), leastMean.figure(t, mean), leastSpread.figure(t, sd)
	out.Lower, out.Upper = leastQuartile.figure(t, five.Lower), leastQuartile.figure(t, five.Upper)
	extremes := t
	extremes.Unmarked, extremes.BehindBed = 0, 0 // they are brews that happened, whatever else did
	out.Min, out.Max = leastExtreme.figure(extremes, five.Min), leastExtreme.figure(extremes, five.Max)
	out.OnTime, out.Able = shareOf(t), ableOf(c, m, t, mean, sd)
	return out
}

// shareOf returns the share on time of those that were judged.
func shareOf(t Tally) Share {
	s := Share{K: t.OnTime, N: t.OnTime + t.Early + t.Late}
	s.In = stat.Wilson(s.K, s.N, confidence)
	switch {
	case t.Marked == 0:
		s.Withheld = leastShare.withheld(t)
	case s.N == 0:
		s.Withheld = NoWindow
	}
	return s
}

func ableOf(c Column, m Measure, t Tally, mean, sd float64) Able {
	why := leastAble.withheld(t)
	switch {
	case !c.HasWindow || c.What == Beats && m == ByCarried:
		why = NoWindow
	case why == "" && sd == 0:
		why = NoSpread
	}
	if why != "" {
		return Able{Cp: Figure{Withheld: why}, Cpk: Figure{Withheld: why}}
	}
	low := -edge(c.Window.Early)
	if c.cannotBeEarly(m) {
		low = math.Inf(-1)
	}
	w := stat.CapabilityOf(mean, sd, t.Marked, low, edge(c.Window.Late), confidence)
	able := Able{Cp: Figure{Value: w.Cp}, CpIn: w.CpIn, Cpk: Figure{Value: w.Cpk}, CpkIn: w.CpkIn}
	if math.IsInf(low, -1) {
		able.Cp, able.CpIn = Figure{Withheld: OneSided}, stat.Interval{}
	}
	return able
}

// cannotBeEarly reports whether nothing can miss the window's early side: a
// length is not below nothing, and by its slip an end not before its start.
func (c Column) cannotBeEarly(m Measure) bool {
	ends := c.What == Lengths || c.What == Beats && m == BySlip && c.Edge == brew.EndEdge
	return ends && Tenths(c.Window.Early) >= Tenths(c.Length)
}

// edge returns how far a window reaches to one side, in seconds.
func edge(d time.Duration) float64 { return d.Seconds() }
