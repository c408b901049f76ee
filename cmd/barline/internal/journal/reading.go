package journal

import (
	"slices"
	"time"

	"barline/brew"
)

// What says what a reading is of.
type What string

// What can be read of a cup, with the unit of its value.
const (
	BeverageWeight    What = "beverage weight"    // g
	Strength          What = "strength"           // %
	Extraction        What = "extraction"         // %, where it was not computed
	KettleTemperature What = "kettle temperature" // °C
	CupTemperature    What = "cup temperature"    // °C
	Score             What = "score"              // a cupper's points
	Taste             What = "taste"              // a note, no value
)

// Whats returns what can be read in the order of the documentation.
func Whats() []What {
	return []What{BeverageWeight, Strength, Extraction, KettleTemperature, CupTemperature, Score, Taste}
}

// Reading is one thing that was measured or said of a brew's cup. A reading
// is never changed: a correction is a new one that replaces it, and one with
// neither value nor text takes it back.
type Reading struct {
	ID       string // UUIDv7; filled in where it is empty
	What     What
	Value    *float64  // in What's unit; nil for words alone
	Text     string    // may be empty
	Taken    time.Time // on the clock on the wall, with its offset from UTC
	By       string    // who; may be empty
	Replaces string    // id of the reading that this one corrects; "" for none
}

// Weight is what the scale read at a beat, where it is known from elsewhere
// than the mark itself. It is corrected as a Reading is.
type Weight struct {
	ID       string // UUIDv7; filled in where it is empty
	Beat     string // the beat's key: 'second pour, end'
	Mass     *brew.Mass
	Source   brew.Source // "" where typed in
	Taken    time.Time
	By       string
	Replaces string
}

// Current returns the readings that stand, in the order in which they came:
// those that no other one corrects or takes back. Of what a cup has only one
// of, the latest taken stands alone: two terminals may have added one each
// without knowing of the other's.
func Current(all []Reading) []Reading {
	left := unreplaced(all, Reading.chain)
	latest := map[What]Reading{}
	for _, r := range left {
		if was, there := latest[r.What]; !there || !r.Taken.Before(was.Taken) {
			latest[r.What] = r
		}
	}
	return slices.DeleteFunc(left, func(r Reading) bool {
		return r.empty() || !r.What.several() && latest[r.What].ID != r.ID
	})
}

// CurrentWeights returns the weights that stand: those that no other one
// corrects or takes back.
func CurrentWeights(all []Weight) []Weight {
	return slices.DeleteFunc(unreplaced(all, Weight.chain), func(w Weight) bool { return w.Mass == nil })
}

// unreplaced returns those that no other one names as what it replaces.
func unreplaced[T any](all []T, of func(T) (id, replaces string)) []T {
	replaced := map[string]bool{}
	for _, v := range all {
		_, replaces := of(v)
		replaced[replaces] = true
	}
	return slices.DeleteFunc(slices.Clone(all), func(v T) bool {
		id, _ := of(v)
		return replaced[id]
	})
}

// several reports whether a cup may have more than one of it: a temperature at
// each of several moments, a score of each of several cuppers.
func (w What) several() bool { return w == CupTemperature || w == Score }

// empty reports whether the reading only takes another one back.
func (r Reading) empty() bool { return r.Value == nil && r.Text == "" }

func (r Reading) chain() (id, replaces string) { return r.ID, r.Replaces }

func (w Weight) chain() (id, replaces string) { return w.ID, w.Replaces }

// complete draws an id where there is none and checks the rest.
func (r Reading) complete() (Reading, error) {
	id, err := drawn(r.ID, r.Taken)
	if err != nil {
		return Reading{}, err
	}
	r.ID, r.Taken, r.Text, r.By = id, fixed(r.Taken), clean(r.Text), clean(r.By)
	return r, r.check()
}

// complete draws an id where there is none and checks the rest.
func (w Weight) complete() (Weight, error) {
	id, err := drawn(w.ID, w.Taken)
	if err != nil {
		return Weight{}, err
	}
	w.ID, w.Taken, w.Beat, w.By = id, fixed(w.Taken), clean(w.Beat), clean(w.By)
	return w, w.check()
}
