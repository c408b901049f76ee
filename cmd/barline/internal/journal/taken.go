package journal

import (
	"cmp"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"slices"

	"barline/brew"
)

// Taken is a take with its brews, as far as its timings need them.
type Taken struct {
	Take
	Brews [][]brew.Event // of each lane that was brewed, what happened in it, without sources and words
	Err   error          // why its record is not whole; nil where it is
}

// Taken returns the takes of a routine with what happened in their brews,
// oldest first, whatever the case of the letters of its name (drift.Same). It
// asks for all of them at once, so that thousands can be read. A take of which
// an event is missing says so itself.
func (j *Journal) Taken(ctx context.Context, routine string) (out []Taken, err error) {
	err = j.view(ctx, func(tx *sql.Tx) error {
		names, err := speltIn(tx, "takes", "routine", routine)
		if err != nil || len(names) == 0 {
			return err
		}
		of := "WHERE " + anyOf("t.routine", names)
		rows, err := gather(tx, scanTake, "SELECT "+takeColumns+" FROM takes t "+of+" ORDER BY start_ns, id", names...)
		if err != nil {
			return err
		}
		out = make([]Taken, len(rows))
		byNumber := make(map[int64]*Taken, len(rows))
		for i, r := range rows {
			out[i].Take = r.Take
			byNumber[r.n] = &out[i]
		}
		if err := ownEvents(tx, byNumber, of, names); err != nil {
			return err
		}
		return brewEvents(tx, byNumber, of, names)
	})
	return out, err
}

// takenEvent is an event of a take itself.
type takenEvent struct {
	take int64
	sequenced
}

func scanTakenEvent(s scanner) (e takenEvent, err error) {
	err = s.Scan(&e.take, &e.seq, &e.Kind, &e.Lane, &e.At, &e.Source, &e.Weight, &e.Text, &e.From, &e.Cue, &e.To)
	return e, err
}

// ownEvents reads the events of the takes themselves. They come nearly in order
// and are sorted here: SQLite would carry the plans of a thousand takes through
// a file.
func ownEvents(tx *sql.Tx, takes map[int64]*Taken, of string, names []any) error {
	events, err := gather(tx, scanTakenEvent, "SELECT take, seq, "+eventColumns+
		" FROM take_events WHERE take IN (SELECT n FROM takes t "+of+")", names...)
	if err != nil {
		return err
	}
	slices.SortFunc(events, func(a, b takenEvent) int { return cmp.Or(cmp.Compare(a.take, b.take), cmp.Compare(a.seq, b.seq)) })
	for _, e := range events {
		t := takes[e.take]
		if e.seq != len(t.Events) {
			t.Err = fmt.Errorf("event %d %w", len(t.Events), errGap)
			continue
		}
		t.Events = append(t.Events, e.Event)
	}
	return nil
}

// takenBrew is a brew of a take with its events in one text.
type takenBrew struct {
	take   int64
	lane   int
	events string
}

func scanTakenBrew(s scanner) (b takenBrew, err error) {
	err = s.Scan(&b.take, &b.lane, &b.events)
	return b, err
}

// brewEvents reads the events of their brews.
func brewEvents(tx *sql.Tx, takes map[int64]*Taken, of string, names []any) error {
	brews, err := gather(tx, scanTakenBrew, "SELECT b.take, b.lane, ifnull("+eventsInOne+", '') FROM takes t JOIN brews b ON b.take = t.n "+of+" ORDER BY b.n", names...)
	if err != nil {
		return err
	}
	for _, b := range brews {
		t := takes[b.take]
		events, err := readEvents(nil, b.events)
		switch {
		case errors.Is(err, errGap):
			t.Err = fmt.Errorf("an event of a brew %w", err)
		case err != nil:
			t.Err = fmt.Errorf("of a brew %w", err)
		}
		for i := range events {
			events[i].Lane = b.lane
		}
		t.Brews = append(t.Brews, events)
	}
	return nil
}
