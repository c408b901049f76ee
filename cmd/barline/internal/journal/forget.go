package journal

import (
	"context"
	"database/sql"
)

// Forget deletes a brew and everything of it: events, readings, weights, and
// its plan and text where no other brew follows them. What was deleted is
// overwritten in the file and its log. Where an attempt or a baseline counts it,
// there stays that it was; see Forgotten. The error is ErrNotFound, ErrLive or a
// *Fault.
func (j *Journal) Forget(ctx context.Context, id string) error {
	if j.fault != nil {
		return j.fault
	}
	held, err := j.lock(id)
	if err != nil {
		return err
	}
	defer held.release()
	err = j.update(ctx, func(tx *sql.Tx) error {
		b, err := brewByID(tx, id)
		if err != nil {
			return err
		}
		if err := leaveTrace(tx, b.Brew); err != nil {
			return err
		}
		for _, statement := range []struct {
			text string
			n    int64
		}{
			{"DELETE FROM brews WHERE n = ?", b.n},
			{"DELETE FROM plans WHERE n = ?1 AND NOT EXISTS (SELECT 1 FROM brews WHERE plan = ?1)", b.plan},
			{"DELETE FROM texts WHERE n = ?1 AND NOT EXISTS (SELECT 1 FROM brews WHERE text = ?1)", b.text},
		} {
			if _, err := tx.Exec(statement.text, statement.n); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	return j.emptyLog(ctx)
}

// emptyLog brings the log's pages into the file and cuts the log off. While
// another terminal reads it cannot, and the next one to close the file does.
func (j *Journal) emptyLog(ctx context.Context) error {
	var busy, pages, done int
	return j.wrap(j.write.QueryRowContext(ctx, "PRAGMA wal_checkpoint(TRUNCATE)").Scan(&busy, &pages, &done))
}
