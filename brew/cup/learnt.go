package cup

import "fmt"

// Learnt is what a record says that drifts did to the cup: by the brews of one
// version and one lot that were read.
type Learnt struct {
	Version string `json:"version"`
	Lot     string `json:"lot"` // "" where nobody said
	Brews   int    `json:"brews"`
	Fits    []Fit  `json:"fits"` // of the strength and of the extraction
}

// LearnMostRead sets the brews of one lot against their drifts: that of which
// most were read, the first given of those where several are. To look through
// all lots for an effect would find one by chance. It is false where no brew
// has a strength. Brews of several versions say nothing: see Learn.
func LearnMostRead(brews []Past) (Learnt, bool) {
	lots := map[string][]Past{}
	most := ""
	for _, b := range brews {
		if b.Strength == 0 {
			continue
		}
		lots[b.Lot] = append(lots[b.Lot], b)
		if len(lots[b.Lot]) > len(lots[most]) {
			most = b.Lot
		}
	}
	read := lots[most]
	if len(read) == 0 {
		return Learnt{}, false
	}
	return Learnt{Version: read[0].Version, Lot: most, Brews: len(read), Fits: Learn(read)}, true
}

// Said returns what may be said, a sentence an effect, and of a fit whose drifts
// cannot be told apart that they cannot; none where no effect is worth one.
func (l Learnt) Said() []string {
	var out []string
	for _, f := range l.Fits {
		if f.Withheld == MoveTogether {
			out = append(out, f.Text)
		}
		for _, e := range f.Effects {
			if e.Withheld == "" {
				out = append(out, e.Text)
			}
		}
	}
	return out
}

// Title says whose cups the sentences rest on.
func (l Learnt) Title() string {
	lot := ""
	if l.Lot != "" {
		lot = " of lot " + l.Lot
	}
	if l.Brews == 1 {
		return "what the drifts did to the cup, by 1 brew" + lot + " that was read"
	}
	return fmt.Sprintf("what the drifts did to the cup, by %d brews%s that were read", l.Brews, lot)
}

// ByNobodysLot is what holds of all that is said by Said.
const ByNobodysLot = "Nobody drew by lot which brew drifts: this is what went with what."
