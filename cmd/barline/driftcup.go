package main

import (
	"context"
	"fmt"
	"io"

	"barline/brew/cup"
	"barline/cmd/barline/internal/journal"
	"barline/tui/tasted"
)

// driftCup is what the drifts did to the cup, by the brews of one version and
// one lot that were read.
type driftCup struct {
	Version string    `json:"version"`
	Lot     string    `json:"lot"` // "" where nobody said
	Brews   int       `json:"brews"`
	Fits    []cup.Fit `json:"fits"` // of the strength and of the extraction
}

// cups sets the readings of the brews that are looked at against their drifts.
// Of several lots the one that was read most often is taken: to look through
// all of them for an effect would find one by chance. It is nil where nothing
// was read.
func (m lookedAt) cups(ctx context.Context, j *journal.Journal) (*driftCup, error) {
	lots := map[string][]cup.Past{}
	most := ""
	for i, looked := m.set.Len()-1, 0; i >= 0 && looked < mostBrews; i, looked = i-1, looked+1 {
		head := m.set.Head(i)
		if head.Version != m.set.Version() {
			continue
		}
		r, err := j.Load(ctx, idText(head.ID))
		if err != nil {
			return nil, err
		}
		past, ok := pastOf(r)
		if !ok {
			continue
		}
		lots[r.Lot] = append(lots[r.Lot], past)
		if len(lots[r.Lot]) > len(lots[most]) {
			most = r.Lot
		}
	}
	if len(lots) == 0 {
		return nil, nil
	}
	return &driftCup{m.set.Version(), most, len(lots[most]), cup.Learn(lots[most])}, nil
}

// pastOf returns a brew with its reading; false where no strength was read.
func pastOf(r journal.Record) (cup.Past, bool) {
	read := readingOf(r)
	if read.Strength == nil {
		return cup.Past{}, false
	}
	lane, err := r.Fold()
	if err != nil {
		return cup.Past{}, false
	}
	return tasted.Past(conditions(r.Brew).Of(lane), lane.Plan(), r.Lot, r.Kettle, read), true
}

// said returns what may be said, a sentence an effect.
func (c *driftCup) said() []string {
	var out []string
	for _, f := range c.Fits {
		for _, e := range f.Effects {
			if e.Withheld == "" {
				out = append(out, e.Text)
			}
		}
	}
	return out
}

// cupText writes what the drifts did to the cup, nothing where nothing can be
// said.
func (t driftTold) cupText(w io.Writer) {
	if t.cup == nil {
		return
	}
	said := t.cup.said()
	if len(said) == 0 {
		return
	}
	lot := ""
	if t.cup.Lot != "" {
		lot = " of lot " + t.cup.Lot
	}
	fmt.Fprintf(w, "\nwhat the drifts did to the cup, by %s%s that were read\n", counted(t.cup.Brews, "brew"), lot)
	for _, text := range said {
		lines(w, "- ", text)
	}
	lines(w, "", "Nobody drew by lot which brew drifts: this is what went with what.")
}
