package drift

import (
	"time"
)

// Measure is what a series takes of a column.
type Measure string

// Of a beat, how far it was off the plan, by itself, or by what it inherited.
// Lengths and weights have a drift alone and are always taken by that.
const (
	ByDrift   Measure = "drift"
	BySlip    Measure = "slip"
	ByCarried Measure = "carried"
)

// Tally is what there was to count. Brews is the sum of the four fates and of
// what is behind the bed.
type Tally struct {
	Brews      int `json:"brews"` // in which it was asked for or could be measured
	Marked     int `json:"marked"`
	Unmarked   int `json:"unmarked"` // of a length: not measured at both ends
	Skipped    int `json:"skipped"`
	NotReached int `json:"not_reached"`
	// BehindBed are marked too, but by slip they have no value: the bed before
	// them was not marked or not done, so that the slip is the hand's or the
	// bed's, and the bed's lateness never counts against a person.
	BehindBed int `json:"behind_bed"`

	// Of those marked, by the cup's verdict where the series is by drift,
	// by the person's or the bed's where it is by slip. What has no window,
	// and what was carried, has none of these.
	OnTime int `json:"on_time"`
	Early  int `json:"early"`
	Late   int `json:"late"`

	StartUnmarked int `json:"start_unmarked"` // of those marked: slow work and a late start count together
	LeftOut       int `json:"left_out"`       // brews of versions that cannot be joined
}

// UnmarkedShare returns how many of the marks that were waited for did not
// come, 0 to 1.
func (t Tally) UnmarkedShare() float64 {
	if t.Unmarked == 0 {
		return 0
	}
	return float64(t.Unmarked) / float64(t.Marked+t.BehindBed+t.Unmarked)
}

// gaps returns why location and spread are withheld though there are enough
// values: too many others are missing, and not at random.
func (t Tally) gaps() Reason {
	switch {
	case t.UnmarkedShare() > MostUnmarked:
		return Gaps
	case float64(t.BehindBed) > MostUnmarked*float64(t.Marked+t.BehindBed):
		return Behind
	}
	return ""
}

// Series is one column over the brews of a set, in their order: the values of
// those that were marked.
type Series struct {
	Column  Column // as the newest version has it
	Measure Measure
	Tally   Tally
	Values  []float64 // seconds, late and longer positive; of a weight grams, too much positive
	Brews   []int32   // whose values they are, as Record numbers brews
	record  *Record
}

// by returns the measure that the column is taken by.
func (c Column) by(m Measure) Measure {
	if c.What != Beats {
		return ByDrift
	}
	return m
}

// Unit returns the unit of the values: s or g.
func (s Series) Unit() string {
	if s.Column.What == Weights {
		return "g"
	}
	return "s"
}

// Start returns when the brew of value i began.
func (s Series) Start(i int) time.Time { return s.record.brews[s.Brews[i]].begun() }

// Person returns who brewed value i.
func (s Series) Person(i int) string {
	return s.record.persons.list[s.record.brews[s.Brews[i]].person]
}

// Version returns the recipe's version that value i was brewed by.
func (s Series) Version(i int) string {
	return s.record.versions.list[s.record.brews[s.Brews[i]].version]
}

// Between returns how many of the values are of brews that began in the time
// from since on and before until.
func (s Series) Between(since, until time.Time) (n int) {
	for i := range s.Values {
		if at := s.Start(i); !at.Before(since) && at.Before(until) {
			n++
		}
	}
	return n
}

// Series returns the column with the given key over the set, and false where
// the set's newest version has no such column.
func (s Set) Series(what What, key string, m Measure) (Series, bool) {
	n, ok := s.record.known[columnID{what, s.Version(), key}]
	if !ok || len(s.brews) == 0 {
		return Series{}, false
	}
	return s.series(n, m), true
}

func (s Set) series(column int, m Measure) Series {
	c := s.record.columns[column]
	out := Series{Column: c, Measure: c.by(m), record: s.record}
	out.Values, out.Brews = make([]float64, 0, len(s.brews)), make([]int32, 0, len(s.brews))
	out.Tally = s.scan(column, m, func(brew int32, value float64) {
		out.Values, out.Brews = append(out.Values, value), append(out.Brews, brew)
	})
	return out
}

// scan calls for each marked value of the column in the set, in order, and
// returns what there was to count. A brew's cells mostly lie in the same
// order, so the place of the last one found is looked at first.
func (s Set) scan(column int, m Measure, marked func(brew int32, value float64)) Tally {
	var t Tally
	r, joined := s.record, s.record.joined(column)
	what := r.columns[column].What
	here := s.versionsWith(joined)
	judge := judgeOf(what, m)
	at := 0
	for _, n := range s.brews {
		k := &r.brews[n]
		if !here[k.version] {
			t.LeftOut++
			continue
		}
		cells := r.cellsOf(k)
		if at = find(cells, joined, at); at < 0 {
			if what == Lengths { // it could have been measured
				t.Unmarked++
			}
			continue
		}
		c := cells[at]
		if c.fate == Marked && m == BySlip && c.behindBed() {
			t.BehindBed++
			continue
		}
		t.count(c, judge(c))
		if c.fate == Marked {
			marked(n, c.value(what, m))
		}
	}
	t.Brews = t.Marked + t.BehindBed + t.Unmarked + t.Skipped + t.NotReached
	return t
}

// judgeOf returns which verdict counts: a length has the cup's alone, and what
// was carried is nobody's doing.
func judgeOf(what What, m Measure) func(cell) uint8 {
	switch {
	case what == Beats && m == BySlip:
		return cell.own
	case what == Beats && m == ByCarried:
		return func(cell) uint8 { return saysNothing }
	}
	return cell.cup
}

// versionsWith returns for each version of the record whether it has a column
// that is joined.
func (s Set) versionsWith(joined []bool) []bool {
	out := make([]bool, len(s.record.versions.list))
	for n, c := range s.record.columns {
		if v, ok := s.record.versions.numbers[c.Version]; ok && joined[n] {
			out[v] = true
		}
	}
	return out
}

// find returns which of the cells is of a joined column, -1 for none; at is a
// guess.
func find(cells []cell, joined []bool, at int) int {
	if at >= 0 && at < len(cells) && joined[cells[at].column] {
		return at
	}
	for i := range cells {
		if joined[cells[i].column] {
			return i
		}
	}
	return -1
}

func (t *Tally) count(c cell, verdict uint8) {
	switch c.fate {
	case Unmarked:
		t.Unmarked++
	case Skipped:
		t.Skipped++
	case NotReached:
		t.NotReached++
	case Marked:
		t.Marked++
		if c.says&saysStart != 0 {
			t.StartUnmarked++
		}
		switch verdict {
		case saysOnTime:
			t.OnTime++
		case saysEarly:
			t.Early++
		case saysLate:
			t.Late++
		}
	}
}

// value returns the cell's figure in seconds or grams.
func (c cell) value(what What, m Measure) float64 {
	n := c.drift
	switch {
	case what != Beats || m == ByDrift:
	case m == BySlip:
		n = c.slip
	default:
		n -= c.slip
	}
	return float64(n) / 1000
}
