package cup

import (
	"errors"
	"math"
	"slices"
	"strings"

	"barline/brew"
)

// Cause is a drift from the recipe that may move the cup.
type Cause string

// The causes. A drift is what was done less what was written: + is longer,
// more, hotter.
const (
	Contact  Cause = "contact" // time, s
	Pressing Cause = "press"   // its length, s
	Poured   Cause = "water"   // on the coffee, g
	Heated   Cause = "kettle"  // temperature, °C
)

// Causes returns every cause in the order of the documentation.
func Causes() []Cause { return []Cause{Contact, Pressing, Poured, Heated} }

// Unit returns the unit of the cause's drift.
func (c Cause) Unit() string {
	switch c {
	case Poured:
		return "g"
	case Heated:
		return "°C"
	}
	return "s"
}

// Past is one brew that has a reading. A figure that was not read is 0, a
// drift that was not kept is absent.
type Past struct {
	Version    string // of the recipe
	Lot        string // of the coffee
	Strength   brew.Percent
	Extraction brew.Percent
	Drifts     map[Cause]float64 // in the cause's unit
}

// LeastFreedom is how many more brews with a reading it takes than effects and
// intercept: with 12 the spread of what is left is known to within -28 % and
// +65 % (the ends of its 95 % interval, by chi-squared), and an interval is a
// tenth wider than if it were known; with 5 it may be nearly two and a half
// times as large as it looks.
const LeastFreedom = 12

// LeastUse returns the least that a usual drift of a cause must be able to
// move a reading before it is worth a word, in percentage points: 0.02 of the
// strength, 0.3 of the extraction; common practice, no source. A reading is
// hardly finer.
func LeastUse(reading Name) float64 {
	if reading == Strength {
		return 0.02
	}
	return 0.3
}

// mostLacking is the share of brews with a reading that a cause may be missing
// from; the brews without it are then left out.
const mostLacking = 0.2

// falseAlarm is how often, at the most, anything at all is said of a record in
// which no cause moves the cup: over all causes and both readings.
const falseAlarm = 0.05

// Withheld says why nothing is said; "" where something is.
type Withheld string

// The reasons.
const (
	TooFewBrews   Withheld = "too few brews with a reading"
	Mixed         Withheld = "brews of several versions or lots"
	MoveTogether  Withheld = "drifts that move together cannot be told apart"
	NothingVaries Withheld = "no drift was kept that changes from brew to brew"
	NotTold       Withheld = "the interval holds none at all"
	NoUse         Withheld = "too small to matter"
	OneBrew       Withheld = "it rests on one brew"
)

// Effect is what a cause did to a reading.
type Effect struct {
	Cause    Cause    `json:"cause"`
	Slope    float64  `json:"slope"` // percentage points for a unit of the drift
	SE       float64  `json:"se"`    // standard error
	In       Range    `json:"in"`    // of the slope, at the Fit's level
	Usual    float64  `json:"usual"` // standard deviation of the drift, in its unit
	Withheld Withheld `json:"withheld"`
	Text     string   `json:"text"` // one sentence; "" where withheld
}

// Fit is what a record says of one reading.
type Fit struct {
	Reading  Name     `json:"reading"` // Strength or Extraction
	N        int      `json:"n"`       // brews it rests on
	Left     int      `json:"left"`    // brews with a reading that lack a drift
	Need     int      `json:"need"`    // brews that it takes
	Level    float64  `json:"level"`   // of the intervals, 0.95 for 95 in 100
	Residual float64  `json:"residual"`
	R2       float64  `json:"r2"`
	Heaviest int      `json:"heaviest"` // the brew, as given, with the largest Cook's distance; -1 for none
	Cook     float64  `json:"cook"`     // its distance
	Effects  []Effect `json:"effects"`  // in the order of Causes
	Withheld Withheld `json:"withheld"`
	Together []Cause  `json:"together"` // the causes that cannot be told apart
	Text     string   `json:"text"`     // one sentence, always
}

// Learn returns what brews with readings say of what drifts do to the cup: a
// fit for the strength and one for the extraction. Only brews of one version
// and one lot can be set against each other. Causes limits what is looked at;
// without any, all are. A cause is left out where it was not kept in more than
// one brew in five, or never changes. What a cause did is meant with the other
// drifts as they were: contact at the same length of the press.
//
// Over both fits, anything is said of a record without effects once in twenty
// times at the most (Bonferroni). An effect is withheld where its interval
// holds zero, where all that is in it is too small to matter, and where it is
// gone without the one brew that weighs most, once that weighs more than 1 by
// Cook's distance (Cook and Weisberg 1982, from memory).
func Learn(brews []Past, causes ...Cause) []Fit {
	if len(causes) == 0 {
		causes = Causes()
	}
	return []Fit{learn(Strength, brews, causes), learn(Extraction, brews, causes)}
}

// table is the rows of a fit: readings, drifts, and which brew each is.
type table struct {
	causes []Cause
	y      []float64
	x      [][]float64 // by cause
	brews  []int
	lot    [2]string // version and lot of the first
	mixed  bool
	read   int // brews that have the reading
}

func learn(reading Name, brews []Past, causes []Cause) Fit {
	t := tableOf(reading, brews, causes)
	f := Fit{
		Reading: reading, N: len(t.y), Left: t.read - len(t.y), Heaviest: -1, Need: LeastFreedom + 1 + max(1, len(t.causes)),
		Level: 1 - falseAlarm/float64(2*max(1, len(t.causes))), Effects: []Effect{}, Together: []Cause{},
	}
	switch {
	case t.mixed:
		f.Withheld = Mixed
	case f.N < f.Need:
		f.Withheld = TooFewBrews
	case len(t.causes) == 0:
		f.Withheld = NothingVaries
	default:
		f.regress(t)
	}
	f.Text = f.sentence()
	return f
}

// regress fills in what the fit says.
func (f *Fit) regress(t table) {
	r, err := Regress(t.y, t.x...)
	var together *Collinear
	if errors.As(err, &together) {
		f.Withheld = MoveTogether
		for j, inflation := range together.Inflation {
			if !(inflation < MostInflation) {
				f.Together = append(f.Together, t.causes[j])
			}
		}
		return
	}
	f.Residual, f.R2 = r.Residual, r.R2
	worst := 0
	for i, d := range r.Cook {
		if d > r.Cook[worst] {
			worst = i
		}
	}
	f.Heaviest, f.Cook = t.brews[worst], r.Cook[worst]
	for j, c := range t.causes {
		_, size := centred(t.x[j])
		e := Effect{Cause: c, Slope: r.Slopes[j], SE: r.SlopeSEs[j], In: r.Interval(j, f.Level), Usual: size / math.Sqrt(float64(f.N-1))}
		e.Withheld = f.withheld(e, j, t, worst)
		if e.Withheld == "" {
			e.Text = e.sentence(f)
		}
		f.Effects = append(f.Effects, e)
	}
}

func (f *Fit) withheld(e Effect, column int, t table, worst int) Withheld {
	switch {
	case e.In.Holds(0):
		return NotTold
	case math.Max(math.Abs(e.In.Low), math.Abs(e.In.High))*e.Usual < LeastUse(f.Reading):
		return NoUse
	case f.Cook > 1 && !t.without(worst).tells(column, e.Slope, f.Level):
		return OneBrew
	}
	return ""
}

// tells reports whether a column has an effect of the same sign.
func (t table) tells(column int, slope, level float64) bool {
	r, err := Regress(t.y, t.x...)
	if err != nil {
		return false
	}
	in := r.Interval(column, level)
	return !in.Holds(0) && (in.Low > 0) == (slope > 0)
}

func (t table) without(row int) table {
	out := t
	out.y = slices.Delete(slices.Clone(t.y), row, row+1)
	out.x = make([][]float64, len(t.x))
	for j, c := range t.x {
		out.x[j] = slices.Delete(slices.Clone(c), row, row+1)
	}
	return out
}

// tableOf gathers the brews that have the reading, and the causes that were
// kept and change.
func tableOf(reading Name, brews []Past, causes []Cause) table {
	var t table
	kept := map[Cause]int{}
	for i, b := range brews {
		if b.of(reading) == 0 {
			continue
		}
		if t.read == 0 {
			t.lot = [2]string{b.Version, b.Lot}
		}
		t.mixed = t.mixed || t.lot != [2]string{b.Version, b.Lot}
		t.read++
		t.brews = append(t.brews, i)
		for c := range b.Drifts {
			kept[c]++
		}
	}
	for _, c := range Causes() {
		if slices.Contains(causes, c) && kept[c] > 0 && float64(t.read-kept[c]) <= mostLacking*float64(t.read) {
			t.causes = append(t.causes, c)
		}
	}
	return t.fill(reading, brews)
}

// fill takes the rows that have all causes, and drops the causes that never
// change in them.
func (t table) fill(reading Name, brews []Past) table {
	t.brews = slices.DeleteFunc(t.brews, func(i int) bool {
		return slices.ContainsFunc(t.causes, func(c Cause) bool { _, kept := brews[i].Drifts[c]; return !kept })
	})
	for _, i := range t.brews {
		t.y = append(t.y, float64(brews[i].of(reading)))
	}
	var changing []Cause
	for _, c := range t.causes {
		column := make([]float64, len(t.brews))
		for row, i := range t.brews {
			column[row] = brews[i].Drifts[c]
		}
		if _, size := centred(column); size > 0 {
			changing, t.x = append(changing, c), append(t.x, column)
		}
	}
	t.causes = changing
	return t
}

func (p Past) of(reading Name) brew.Percent {
	if reading == Strength {
		return p.Strength
	}
	return p.Extraction
}

// words joins two causes or more: contact, press and water.
func words(causes []Cause) string {
	text := make([]string, len(causes))
	for i, c := range causes {
		text[i] = string(c)
	}
	return strings.Join(text[:len(text)-1], ", ") + " and " + text[len(text)-1]
}
