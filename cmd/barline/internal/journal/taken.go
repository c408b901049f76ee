package journal

import (
	"context"
	"database/sql"
	"fmt"

	"barline/brew"
)

// Taken is a take with its brews, as far as its timings need them.
type Taken struct {
	Take
	Brews [][]brew.Event // of each lane that was brewed, what happened in it
	Err   error          // why its record is not whole; nil where it is
}

// Taken returns the takes of a routine with what happened in their brews,
// oldest first. It asks for all of them at once, so that thousands can be
// read. A take of which an event is missing says so itself.
func (j *Journal) Taken(ctx context.Context, routine string) (out []Taken, err error) {
	err = j.view(ctx, func(tx *sql.Tx) error {
		rows, err := gather(tx, scanTake, "SELECT "+takeColumns+" FROM takes WHERE routine = ? COLLATE NOCASE ORDER BY start_ns, id", routine)
		if err != nil {
			return err
		}
		out = make([]Taken, len(rows))
		of := make(map[int64]*Taken, len(rows))
		for i, r := range rows {
			out[i].Take = r.Take
			of[r.n] = &out[i]
		}
		if err := ownEvents(tx, routine, of); err != nil {
			return err
		}
		return brewEvents(tx, routine, of)
	})
	return out, err
}

// ofOwner is an event with the rows that it belongs to.
type ofOwner struct {
	take, brew int64
	sequenced
}

func scanOfOwner(s scanner) (ofOwner, error) {
	var e ofOwner
	err := s.Scan(&e.take, &e.brew, &e.seq, &e.Kind, &e.Lane, &e.At, &e.Source, &e.Weight, &e.Text, &e.From, &e.Cue, &e.To)
	return e, err
}

const itsEvent = "e.kind, e.lane, e.at_ns, e.source, e.weight_mg, e.text, e.from_ns, e.cue, e.to_ns"

// ownEvents reads the events of the takes themselves.
func ownEvents(tx *sql.Tx, routine string, of map[int64]*Taken) error {
	events, err := gather(tx, scanOfOwner, "SELECT e.take, 0, e.seq, "+itsEvent+
		" FROM takes t JOIN take_events e ON e.take = t.n WHERE t.routine = ? COLLATE NOCASE ORDER BY e.take, e.seq", routine)
	if err != nil {
		return err
	}
	for _, e := range events {
		t := of[e.take]
		if e.seq != len(t.Events) {
			t.Err = fmt.Errorf("event %d %w", len(t.Events), errGap)
			continue
		}
		t.Events = append(t.Events, e.Event)
	}
	return nil
}

// brewEvents reads the events of their brews.
func brewEvents(tx *sql.Tx, routine string, of map[int64]*Taken) error {
	events, err := gather(tx, scanOfOwner, "SELECT b.take, b.n, e.seq, "+itsEvent+
		" FROM takes t JOIN brews b ON b.take = t.n JOIN events e ON e.brew = b.n WHERE t.routine = ? COLLATE NOCASE ORDER BY b.n, e.seq", routine)
	if err != nil {
		return err
	}
	last := int64(-1)
	for _, e := range events {
		t := of[e.take]
		if e.brew != last {
			last, t.Brews = e.brew, append(t.Brews, nil)
		}
		lane := &t.Brews[len(t.Brews)-1]
		if e.seq != len(*lane) {
			t.Err = fmt.Errorf("event %d of a brew %w", len(*lane), errGap)
			continue
		}
		*lane = append(*lane, e.Event)
	}
	return nil
}
