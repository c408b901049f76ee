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

// Current returns the readings that stand: those that no later one corrects
// or takes back, in the order in which they came.
func Current(all []Reading) []Reading {
	return standing(all, func(r Reading) (id, replaces string, empty bool) {
		return r.ID, r.Replaces, r.Value == nil && r.Text == ""
	})
}

// CurrentWeights returns the weights that stand, as Current does.
func CurrentWeights(all []Weight) []Weight {
	return standing(all, func(w Weight) (id, replaces string, empty bool) { return w.ID, w.Replaces, w.Mass == nil })
}

func standing[T any](all []T, of func(T) (id, replaces string, empty bool)) []T {
	replaced := map[string]bool{}
	for _, r := range all {
		_, replaces, _ := of(r)
		replaced[replaces] = true
	}
	return slices.DeleteFunc(slices.Clone(all), func(r T) bool {
		id, _, empty := of(r)
		return replaced[id] || empty
	})
}

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
