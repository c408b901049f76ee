package journal

import (
	"context"
	"database/sql"
	"io"

	"barline/brew"
)

// TakeRecorder saves one take while it goes on, each event when it happens, as
// a RoundRecorder does a round: its brews have recorders of their own.
type TakeRecorder struct {
	head  Take // without its events
	party *RoundRecorder
}

// BeginTakeAt starts the record of a take in a journal that is not open, as
// BeginRoundAt does that of a round.
func BeginTakeAt(path string, o Options, t Take) (*TakeRecorder, error) {
	id, err := drawn(t.ID, t.Start)
	if err != nil {
		return nil, err
	}
	t.ID = id
	if t, err = t.complete(); err != nil {
		return nil, err
	}
	as := Round{ID: t.ID, Start: t.Start, Events: t.Events}
	t.Events = nil
	put := func(tx *sql.Tx) error { return putTake(tx, t) }
	return &TakeRecorder{t, beginParty(path, o, as, ofTake, put)}, nil
}

// ID returns the take's id.
func (rec *TakeRecorder) ID() string { return rec.head.ID }

// Append saves event n of the take, counted from 0, as Recorder.Append does
// one of a brew.
func (rec *TakeRecorder) Append(n int, e brew.Event) error { return rec.party.Append(n, e) }

// Status returns how far the recorder has got. It does not wait.
func (rec *TakeRecorder) Status() Status { return rec.party.Status() }

// Take returns the whole take as it is now, saved or not.
func (rec *TakeRecorder) Take() Take {
	t := rec.head
	t.Events = rec.party.Round().Events
	return t
}

// End waits until everything is durable and gives the take's lock back, as
// Recorder.End does.
func (rec *TakeRecorder) End(ctx context.Context) error { return rec.party.End(ctx) }

// Rescue writes the whole take, saved or not, as lines that Import takes.
func (rec *TakeRecorder) Rescue(w io.Writer) error {
	out := newLineWriter(w)
	out.take(rec.Take())
	return out.flush()
}
