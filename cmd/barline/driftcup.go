package main

import (
	"context"
	"fmt"
	"io"

	"barline/brew/cup"
	"barline/brew/drift"
	"barline/cmd/barline/internal/journal"
	"barline/tui/tasted"
)

// driftCup is what the drifts did to the cup.
type driftCup = cup.Learnt

// cups is learntOf the brews that are looked at.
func (m lookedAt) cups(ctx context.Context, j *journal.Journal) (*driftCup, error) {
	return learntOf(ctx, j, m.set)
}

// learntOf sets the readings of a set's latest brews of its newest version
// against their drifts; nil where nothing was read.
func learntOf(ctx context.Context, j *journal.Journal, set drift.Set) (*cup.Learnt, error) {
	var ids []string // the newest first
	for i, looked := set.Len()-1, 0; i >= 0 && looked < mostBrews; i, looked = i-1, looked+1 {
		if head := set.Head(i); head.Version == set.Version() {
			ids = append(ids, idText(head.ID))
		}
	}
	ids, err := j.WithReading(ctx, journal.Strength, ids)
	if err != nil {
		return nil, err
	}
	var read []cup.Past
	for _, id := range ids {
		r, err := j.Load(ctx, id)
		if err != nil {
			return nil, err
		}
		if past, ok := pastOf(r); ok {
			read = append(read, past)
		}
	}
	learnt, ok := cup.LearnMostRead(read)
	if !ok {
		return nil, nil
	}
	return &learnt, nil
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

// cupText writes what the drifts did to the cup, nothing where nothing can be
// said.
func (t driftTold) cupText(w io.Writer) {
	if t.cup == nil {
		return
	}
	said := t.cup.Said()
	if len(said) == 0 {
		return
	}
	fmt.Fprintf(w, "\n%s\n", t.cup.Title())
	for _, text := range said {
		lines(w, "- ", text)
	}
	lines(w, "", cup.ByNobodysLot)
}
