package journal

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"slices"

	"barline/brew"
)

// A record only grows: events are added at its end, readings and weights are
// added, an attempt is closed. Merging takes what has grown and refuses what
// contradicts: a thing with the same id, of which one is not the beginning of
// the other.

// change is what merging did.
type change int

const (
	known change = iota // everything was there already
	grown               // something was there, and less
	added               // nothing was there
)

// SaveRound adds a round, or the events that it has grown by.
func (j *Journal) SaveRound(ctx context.Context, r Round) error {
	return save(ctx, j, r, Round.complete, mergeRound)
}

// SaveTake adds a take, or the events that it has grown by.
func (j *Journal) SaveTake(ctx context.Context, t Take) error {
	return save(ctx, j, t, Take.complete, mergeTake)
}

// SaveAttempt adds an attempt, or closes it.
func (j *Journal) SaveAttempt(ctx context.Context, a Attempt) error {
	return save(ctx, j, a, Attempt.complete, mergeAttempt)
}

// SaveBaseline adds a baseline.
func (j *Journal) SaveBaseline(ctx context.Context, b Baseline) error {
	return save(ctx, j, b, Baseline.complete, mergeBaseline)
}

func save[T any](ctx context.Context, j *Journal, v T, complete func(T) (T, error), merge func(*sql.Tx, T) (change, error)) error {
	v, err := complete(v)
	if err != nil {
		return err
	}
	return j.update(ctx, func(tx *sql.Tx) error {
		_, err := merge(tx, v)
		return err
	})
}

// AddReading adds a reading to a brew that may have ended long ago.
func (j *Journal) AddReading(ctx context.Context, brewID string, r Reading) error {
	r, err := r.complete()
	if err != nil {
		return err
	}
	return j.update(ctx, func(tx *sql.Tx) error {
		b, err := brewByID(tx, brewID)
		if err != nil {
			return err
		}
		all, err := readingsOf(tx, b.n)
		if err != nil {
			return err
		}
		if err := checkChain(append(all, r), Reading.chain); err != nil {
			return fmt.Errorf("reading %w", err)
		}
		return putReading(tx, b.n, r)
	})
}

// AddWeight adds a weight to a brew that may have ended long ago.
func (j *Journal) AddWeight(ctx context.Context, brewID string, w Weight) error {
	w, err := w.complete()
	if err != nil {
		return err
	}
	return j.update(ctx, func(tx *sql.Tx) error {
		b, err := brewByID(tx, brewID)
		if err != nil {
			return err
		}
		all, err := weightsOf(tx, b.n)
		if err != nil {
			return err
		}
		if err := checkChain(append(all, w), Weight.chain); err != nil {
			return fmt.Errorf("weight %w", err)
		}
		return putWeight(tx, b.n, w)
	})
}

// mergeRecord brings a brew in. live says whether somebody is brewing it,
// whose record must not grow under his hands.
func mergeRecord(tx *sql.Tx, r Record, live func(id string) bool) (change, error) {
	b, err := brewByID(tx, r.ID)
	if errors.Is(err, ErrNotFound) {
		return added, putRecord(tx, r, Record{})
	}
	if err != nil {
		return known, err
	}
	was, err := newReader(tx).record(b)
	if err != nil {
		return known, err
	}
	if err := sameRecord(was, r); err != nil {
		return known, named(tx, r.ID, err)
	}
	if !grows(was, r) {
		return known, nil
	}
	if live(r.ID) {
		return known, ErrLive
	}
	return grown, putRecord(tx, r, was)
}

// named says which brew an error is about, by the id that is listed.
func named(tx *sql.Tx, id string, err error) error {
	if short, failed := shortID(tx, id); failed == nil {
		id = short
	}
	return fmt.Errorf("brew %s: %w", id, err)
}

// putRecord adds what r has beyond was.
func putRecord(tx *sql.Tx, r, was Record) error {
	n, err := putBrew(tx, r)
	if err != nil {
		return err
	}
	for seq := len(was.Events); seq < len(r.Events); seq++ {
		if err := ofBrew.put(tx, n, seq, r.Events[seq]); err != nil {
			return err
		}
	}
	for _, v := range r.Readings {
		if err := putReading(tx, n, v); err != nil {
			return err
		}
	}
	for _, v := range r.Weights {
		if err := putWeight(tx, n, v); err != nil {
			return err
		}
	}
	if len(r.Events) <= len(was.Events) {
		return nil
	}
	if err := putClock(tx, n, r.Clock); err != nil {
		return err
	}
	lane, err := r.Fold()
	if err != nil {
		return err
	}
	return putEnd(tx, n, lane)
}

// sameRecord returns in what two records of the same id contradict each other.
// A brew that was taken up has another clock than before.
func sameRecord(a, b Record) error {
	if err := sameEvents(a.Events, b.Events); err != nil {
		return err
	}
	if len(a.Events) != len(b.Events) {
		b.End, b.EndAt, b.Why, b.Clock = a.End, a.EndAt, a.Why, a.Clock
	}
	if err := eachSame(a.Readings, b.Readings, Reading.chain, lineOfReading); err != nil {
		return fmt.Errorf("reading %w", err)
	}
	if err := eachSame(a.Weights, b.Weights, Weight.chain, lineOfWeight); err != nil {
		return fmt.Errorf("weight %w", err)
	}
	planA, _ := writePlan(a.Plan)
	planB, _ := writePlan(b.Plan)
	return settled(a.Brew.line(hashOf(planA), hashOf(a.Text)), b.Brew.line(hashOf(planB), hashOf(b.Text)))
}

// eachSame makes sure that what has the same id is the same.
func eachSame[T, L any](a, b []T, of func(T) (id, replaces string), line func(T) L) error {
	there := map[string]T{}
	for _, v := range a {
		id, _ := of(v)
		there[id] = v
	}
	for _, v := range b {
		id, _ := of(v)
		if was, known := there[id]; known {
			if err := settled(line(was), line(v)); err != nil {
				return fmt.Errorf("%s: %w", id, err)
			}
		}
	}
	return nil
}

// sameEvents makes sure that one list is the beginning of the other.
func sameEvents(a, b []brew.Event) error {
	for n := range min(len(a), len(b)) {
		if !sameEvent(a[n], b[n]) {
			return fmt.Errorf("%w: event %d is %s at %s, not %s at %s", errOther, n,
				a[n].Kind, brew.Exact(a[n].At), b[n].Kind, brew.Exact(b[n].At))
		}
	}
	return nil
}

// grows reports whether r has anything that was lacks, where what both have is
// the same.
func grows(was, r Record) bool {
	there := map[string]bool{}
	for _, v := range was.Readings {
		there[v.ID] = true
	}
	for _, v := range was.Weights {
		there[v.ID] = true
	}
	return len(r.Events) > len(was.Events) ||
		slices.ContainsFunc(r.Readings, func(v Reading) bool { return !there[v.ID] }) ||
		slices.ContainsFunc(r.Weights, func(v Weight) bool { return !there[v.ID] })
}

func mergeRound(tx *sql.Tx, r Round) (change, error) {
	was, err := roundsWhere(tx, "WHERE id = ?", r.ID)
	if err != nil {
		return known, err
	}
	head := func(r Round) any { r.Events = nil; return r.line() }
	return mergeEvents(tx, ofRound, r.ID, was, r, head, func(r Round) []brew.Event { return r.Events }, putRound)
}

func mergeTake(tx *sql.Tx, t Take) (change, error) {
	was, err := takesWhere(tx, "WHERE id = ?", t.ID)
	if err != nil {
		return known, err
	}
	head := func(t Take) any { t.Events = nil; return t.line() }
	return mergeEvents(tx, ofTake, t.ID, was, t, head, func(t Take) []brew.Event { return t.Events }, putTake)
}

// mergeEvents brings in a thing that has events, given what is there of it.
func mergeEvents[T any](tx *sql.Tx, o owner, id string, was []T, v T,
	head func(T) any, events func(T) []brew.Event, put func(*sql.Tx, T) error) (change, error) {
	what, have := added, 0
	if len(was) > 0 {
		if err := settled(head(was[0]), head(v)); err != nil {
			return known, err
		}
		if err := sameEvents(events(was[0]), events(v)); err != nil {
			return known, err
		}
		if have = len(events(was[0])); have >= len(events(v)) {
			return known, nil
		}
		what = grown
	} else if err := put(tx, v); err != nil {
		return known, err
	}
	n, err := o.number(tx, id)
	if err != nil {
		return known, err
	}
	for seq := have; seq < len(events(v)); seq++ {
		if err := o.put(tx, n, seq, events(v)[seq]); err != nil {
			return known, err
		}
	}
	return what, nil
}

func mergeAttempt(tx *sql.Tx, a Attempt) (change, error) {
	was, err := attemptsWhere(tx, "WHERE id = ?", a.ID)
	if err != nil {
		return known, err
	}
	if len(was) == 0 {
		l := a.line()
		_, err := tx.Exec("INSERT INTO attempts (id, person, recipe, version, brews, opened, opened_ns, closed, result, text) "+
			"VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
			l.ID, l.Person, l.Recipe, l.Version, l.Brews, l.Opened, a.Opened.UnixNano(), null(l.Closed), l.Result, l.Text)
		return added, err
	}
	old := was[0]
	if old.Closed == nil && a.Closed != nil {
		open := a
		open.Closed, open.Result, open.Text = nil, "", old.Text
		if err := settled(old.line(), open.line()); err != nil {
			return known, err
		}
		_, err := tx.Exec("UPDATE attempts SET closed = ?, result = ?, text = ? WHERE id = ?", stamp(*a.Closed), a.Result, a.Text, a.ID)
		return grown, err
	}
	if old.Closed != nil && a.Closed == nil {
		old.Closed, old.Result, old.Text = nil, "", a.Text // it was exported while it was open
	}
	return known, settled(old.line(), a.line())
}

func mergeBaseline(tx *sql.Tx, b Baseline) (change, error) {
	was, err := baselinesWhere(tx, "WHERE id = ?", b.ID)
	if err != nil {
		return known, err
	}
	if len(was) > 0 {
		return known, settled(was[0].line(), b.line())
	}
	l := b.line()
	_, err = tx.Exec("INSERT INTO baselines (id, version, beat, measure, first, last, brews, low, centre, high, made, made_ns, person) "+
		"VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
		l.ID, l.Version, l.Beat, l.Measure, l.First, l.Last, l.Brews, l.Low, l.Centre, l.High, l.Made, b.Made.UnixNano(), l.By)
	return added, err
}
