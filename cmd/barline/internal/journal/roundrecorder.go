package journal

import (
	"context"
	"database/sql"
	"fmt"
	"io"
	"slices"
	"sync"

	"barline/brew"
)

// RoundRecorder saves one round while it goes on, each event when it happens,
// as a Recorder does a brew: it keeps the whole round in memory besides, and
// holds a lock by which others see that it goes on. Its brews have recorders
// of their own.
type RoundRecorder struct {
	w *writer

	mu     sync.Mutex
	round  Round
	writes []*write
	early  early
	shut   bool

	owner owner               // whose row and events these are
	put   func(*sql.Tx) error // adds the row

	// Touched by the writer's goroutine alone.
	held *lock
	n    int64 // of the row
}

// BeginRoundAt starts the record of a round in a journal that is not open. It
// returns at once; an empty ID is drawn. Events that the round has already are
// saved first. The error says what of it makes no sense.
func BeginRoundAt(path string, o Options, r Round) (*RoundRecorder, error) {
	id, err := drawn(r.ID, r.Start)
	if err != nil {
		return nil, err
	}
	r.ID = id
	if r, err = r.complete(); err != nil {
		return nil, err
	}
	return beginParty(path, o, r, ofRound, func(tx *sql.Tx) error { return putRound(tx, r) }), nil
}

// beginParty starts the record of what has a row of its own, known by the
// round's id, and events, which are those of the round.
func beginParty(path string, o Options, r Round, of owner, put func(*sql.Tx) error) *RoundRecorder {
	events := r.Events
	r.Events = nil
	var j *Journal
	rec := &RoundRecorder{round: r, early: early{}, owner: of, put: put}
	rec.w = &writer{path: path, options: o.withDefaults(), connect: func() (_ *Journal, err error) {
		if j == nil {
			j, err = Open(path, o)
		}
		return j, err
	}}
	rec.w.start(func() {
		rec.held.release()
		if j != nil {
			j.Close()
		}
	})
	rec.w.submit(&write{do: rec.putHead(r.ID)})
	rec.mu.Lock()
	defer rec.mu.Unlock()
	for _, e := range events {
		rec.admit(e)
	}
	return rec
}

// putHead takes the lock of an id and adds its row.
func (rec *RoundRecorder) putHead(id string) func(*sql.Tx) error {
	return func(tx *sql.Tx) error {
		if rec.held == nil {
			j, err := rec.w.connect()
			if err != nil {
				return err
			}
			if rec.held, err = j.lock(id); err != nil {
				return err
			}
		}
		if err := rec.put(tx); err != nil {
			return err
		}
		var err error
		rec.n, err = rec.owner.number(tx, id)
		return err
	}
}

// Append saves event n of the round, counted from 0, as Recorder.Append does
// one of a brew.
func (rec *RoundRecorder) Append(n int, e brew.Event) error {
	one, err := rec.take(n, tidy(e))
	if err != nil {
		return err
	}
	return one.wait()
}

// take returns the write that brings event n to the file, once it is its turn.
func (rec *RoundRecorder) take(n int, e brew.Event) (*write, error) {
	if err := checkAnyEvent(e); err != nil {
		return nil, err
	}
	rec.mu.Lock()
	if n < len(rec.round.Events) {
		defer rec.mu.Unlock()
		if was := rec.round.Events[n]; !sameEvent(was, e) {
			return nil, fmt.Errorf("event %d is there already, and is another: %s", n, was.Kind)
		}
		if n < rec.w.status().Saved {
			return savedAlready, nil
		}
		return rec.writes[n], nil
	}
	if rec.shut {
		rec.mu.Unlock()
		return nil, ErrClosed
	}
	mine, err := rec.early.add(n, e)
	for err == nil {
		turn := len(rec.round.Events)
		next, there := rec.early[turn]
		if !there {
			break
		}
		rec.early.answer(turn, rec.admit(next.Event))
	}
	rec.mu.Unlock()
	if err != nil {
		return nil, err
	}
	return mine.admitted(), nil
}

// admit makes an event the next one of the round and submits it.
func (rec *RoundRecorder) admit(e brew.Event) *write {
	seq := len(rec.round.Events)
	rec.round.Events = append(rec.round.Events, e)
	one := rec.w.submit(&write{event: true, do: func(tx *sql.Tx) error { return rec.owner.put(tx, rec.n, seq, e) }})
	rec.writes = append(rec.writes, one)
	return one
}

// ID returns the round's id.
func (rec *RoundRecorder) ID() string { return rec.round.ID }

// Status returns how far the recorder has got. It does not wait.
func (rec *RoundRecorder) Status() Status { return rec.w.status() }

// Round returns the whole round as it is now, saved or not.
func (rec *RoundRecorder) Round() Round {
	rec.mu.Lock()
	defer rec.mu.Unlock()
	r := rec.round
	r.Events = slices.Clone(r.Events)
	return r
}

// End waits until everything is durable and gives the round's lock back, as
// Recorder.End does.
func (rec *RoundRecorder) End(ctx context.Context) error {
	rec.mu.Lock()
	var gap error
	if len(rec.early) > 0 {
		gap = fmt.Errorf("event %d of the round never came", len(rec.round.Events))
	}
	for n := range rec.early {
		rec.early.answer(n, savedNever(gap))
	}
	rec.shut = true
	rec.mu.Unlock()
	if err := rec.w.end(ctx); err != nil {
		return err
	}
	return gap
}

// savedNever is the write of what cannot be saved.
func savedNever(err error) *write {
	one := &write{answered: make(chan struct{})}
	one.answer(err)
	return one
}

// Rescue writes the whole round, saved or not, as lines that Import takes.
func (rec *RoundRecorder) Rescue(w io.Writer) error {
	out := newLineWriter(w)
	out.round(rec.Round())
	return out.flush()
}

// WholeRound is a round with its brews, by their lanes.
type WholeRound struct {
	Round
	Brews []Record
	Live  bool // some program holds it
}

// RecentRounds returns the latest rounds of a kind, newest first, at most so
// many.
func (j *Journal) RecentRounds(ctx context.Context, kind RoundKind, most int) (out []WholeRound, err error) {
	err = j.view(ctx, func(tx *sql.Tx) error {
		rounds, err := roundsWhere(tx, "WHERE kind = ? ORDER BY start_ns DESC, id DESC LIMIT ?", kind, most)
		for _, r := range rounds {
			brews, fault := j.brewsOfRound(tx, r.ID)
			if fault != nil {
				return fault
			}
			out = append(out, WholeRound{r, brews, j.live(r.ID)})
		}
		return err
	})
	return out, err
}

// RoundOf returns the round whose id begins with a text, with its brews;
// ErrNotFound where none or several do.
func (j *Journal) RoundOf(ctx context.Context, prefix string) (r WholeRound, err error) {
	err = j.view(ctx, func(tx *sql.Tx) error {
		rounds, err := roundsWhere(tx, "WHERE substr(id, 1, length(?1)) = ?1 ORDER BY id LIMIT 2", prefix)
		switch {
		case err != nil:
			return err
		case len(rounds) != 1 || prefix == "":
			return ErrNotFound
		}
		r.Round = rounds[0]
		r.Brews, err = j.brewsOfRound(tx, r.ID)
		return err
	})
	return r, err
}

// brewsOfRound returns a round's brews by their lanes.
func (j *Journal) brewsOfRound(tx *sql.Tx, id string) ([]Record, error) {
	rows, err := gather(tx, scanBrew, "SELECT "+brewColumns+brewFrom+"WHERE r.id = ? ORDER BY b.lane, b.start_ns, b.id", id)
	if err != nil {
		return nil, err
	}
	from := newReader(tx)
	out := make([]Record, len(rows))
	for i, b := range rows {
		if out[i], err = from.record(b); err != nil {
			return nil, err
		}
		out[i].End = j.endOf(out[i].Brew)
	}
	return out, nil
}
