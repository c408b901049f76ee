package journal

import (
	"context"
	"database/sql"
	"fmt"
)

// Measure adds what somebody said of a brew's cup, which may have ended long
// ago: all of it or nothing. See Corrections for what becomes of what stood.
func (j *Journal) Measure(ctx context.Context, brewID string, said []Reading) error {
	return j.update(ctx, func(tx *sql.Tx) error {
		b, err := brewByID(tx, brewID)
		if err != nil {
			return err
		}
		all, err := readingsOf(tx, b.n)
		if err != nil {
			return err
		}
		added, err := eachChecked(Corrections(all, said), Reading.complete)
		if err != nil {
			return fmt.Errorf("reading %w", err)
		}
		for _, r := range added {
			if err := putReading(tx, b.n, r); err != nil {
				return err
			}
		}
		return nil
	})
}

// Corrections returns what must be added to all the readings of a brew so that
// what was said stands: each replaces the reading of its kind that stands. One
// with the value that stands already is left out, and so is one that takes
// back what does not stand.
func Corrections(all, said []Reading) []Reading {
	stands := map[What]Reading{}
	for _, r := range Current(all) {
		stands[r.What] = r
	}
	var out []Reading
	for _, r := range said {
		was, there := stands[r.What]
		if r.empty() && !there || there && !r.empty() && saysNothingNew(r, was) {
			continue
		}
		r.Replaces = was.ID
		out = append(out, r)
	}
	return out
}

// saysNothingNew reports whether a reading adds nothing to the one that
// stands, which may have words beside the same value.
func saysNothingNew(r, was Reading) bool {
	if r.Value != nil && was.Value != nil && *r.Value == *was.Value {
		return r.Text == "" || r.Text == was.Text
	}
	return r.Value == nil && was.Value == nil && r.Text == was.Text
}
