package journal

import (
	"context"
	"database/sql"
	"fmt"
)

// Batch is what belongs into a journal together.
type Batch struct {
	Brews     []Record
	Attempts  []Attempt
	Baselines []Baseline
}

// Add adds a batch in one transaction, all of it or nothing: it is Import for
// what is no file yet. As with Begin, how a brew ended is not looked at. The
// error says what of it makes no sense; it is a *Fault where the journal
// cannot be written.
func (j *Journal) Add(ctx context.Context, b Batch) error {
	return j.update(ctx, func(tx *sql.Tx) error {
		for n, r := range b.Brews {
			err := r.complete()
			if err == nil {
				err = r.end()
			}
			if err != nil {
				return fmt.Errorf("brew %d: %w", n, err)
			}
			if _, err := mergeRecord(tx, r, j.live); err != nil {
				return fmt.Errorf("brew %s: %w", r.ID, err)
			}
		}
		if err := addEach(tx, b.Attempts, Attempt.complete, mergeAttempt); err != nil {
			return fmt.Errorf("attempt %w", err)
		}
		if err := addEach(tx, b.Baselines, Baseline.complete, mergeBaseline); err != nil {
			return fmt.Errorf("baseline %w", err)
		}
		return nil
	})
}

// end fills in how the brew ended, by its events.
func (r *Record) end() error {
	lane, err := r.Fold()
	r.End, r.EndAt, r.Why = ended(lane)
	return err
}

func addEach[T any](tx *sql.Tx, all []T, complete func(T) (T, error), merge func(*sql.Tx, T) (change, error)) error {
	for n, v := range all {
		v, err := complete(v)
		if err == nil {
			_, err = merge(tx, v)
		}
		if err != nil {
			return fmt.Errorf("%d: %w", n, err)
		}
	}
	return nil
}
