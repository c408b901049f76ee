package journal

import (
	"context"
	"database/sql"
	"errors"
	"os"
)

// mostLooked bounds the files that are looked through before they are written
// to, in bytes: about 200 000 brews, and a second or two.
const mostLooked = 256 << 20

// Sound looks through the whole file, once, and returns a *Fault where its
// structure is damaged. What is damaged must not be written to: SQLite would
// put new rows where others still lie. So every first write does this by
// itself, where the file is no larger than 256 MB; a program that asks early can
// set the file aside and begin another before there is anything to save.
func (j *Journal) Sound(ctx context.Context) error {
	j.looking.Lock()
	defer j.looking.Unlock()
	if !j.looked {
		found, err := j.look(ctx)
		if err != nil {
			return err
		}
		j.looked, j.unsound = true, found
	}
	if j.unsound != nil {
		return j.unsound
	}
	return nil
}

// look returns what is wrong, or why it could not look.
func (j *Journal) look(ctx context.Context) (*Fault, error) {
	var text string
	err := j.wrap(j.read.QueryRowContext(ctx, "PRAGMA quick_check(1)").Scan(&text))
	var f *Fault
	switch {
	case errors.As(err, &f) && f.Cause == Damaged:
		return f, nil
	case err != nil:
		return nil, err
	case text != "ok":
		return &Fault{Cause: Damaged, Path: j.path, Err: errors.New(text), Ours: j.ours, file: j.is}, nil
	}
	return nil, nil
}

// update runs do in one transaction that is durable when update returns nil.
func (j *Journal) update(ctx context.Context, do func(*sql.Tx) error) error {
	if j.fault != nil {
		return j.fault
	}
	if info, err := os.Stat(j.path); err == nil && info.Size() <= mostLooked {
		if err := j.Sound(ctx); err != nil {
			return err
		}
	}
	return j.updateUnseen(ctx, do)
}

// updateUnseen is update for a file that is known to be wrong, or is new.
func (j *Journal) updateUnseen(ctx context.Context, do func(*sql.Tx) error) error {
	if j.fault != nil {
		return j.fault
	}
	tx, err := j.write.BeginTx(ctx, nil)
	if err != nil {
		return j.wrap(err)
	}
	defer tx.Rollback()
	if err := do(tx); err != nil {
		return j.wrap(err)
	}
	if err := tx.Commit(); err != nil {
		return j.wrap(err)
	}
	return j.here()
}

// view runs do on one state of the file, whatever is written meanwhile.
func (j *Journal) view(ctx context.Context, do func(*sql.Tx) error) error {
	tx, err := j.read.BeginTx(ctx, &sql.TxOptions{ReadOnly: true})
	if err != nil {
		return j.wrap(err)
	}
	defer tx.Rollback()
	return j.wrap(do(tx))
}
