package journal

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
)

// Schema is the number of the newest schema, which is that of the last
// migration.
const Schema = 3

// applicationID marks the file as a journal of barline's: 'brln' in ASCII.
const applicationID = 0x62726c6e

//go:embed migrations/*.sql
var migrations embed.FS

// migrate applies the migrations that the file lacks, all in one transaction.
// Another terminal may have done so since the file was looked at.
func (j *Journal) migrate(ctx context.Context) error {
	if j.schema == Schema {
		return nil
	}
	err := j.updateUnseen(ctx, func(tx *sql.Tx) error {
		if err := tx.QueryRow("PRAGMA user_version").Scan(&j.schema); err != nil {
			return err
		}
		for n := j.schema + 1; n <= Schema; n++ {
			if err := migrateTo(tx, n); err != nil {
				return err
			}
		}
		return nil
	})
	var f *Fault
	if errors.As(err, &f) && f.Cause == Broken {
		f.Cause = Damaged // the migrations are right: what they met was not
	}
	if err == nil {
		j.schema = Schema
	}
	return err
}

func migrateTo(tx *sql.Tx, n int) error {
	names, err := fs.Glob(migrations, fmt.Sprintf("migrations/%04d_*.sql", n))
	if err != nil || len(names) != 1 {
		return fmt.Errorf("migration %d: %d files, want one", n, len(names))
	}
	text, err := migrations.ReadFile(names[0])
	if err != nil {
		return err
	}
	if _, err := tx.Exec(string(text)); err != nil {
		return err
	}
	_, err = tx.Exec(fmt.Sprintf("PRAGMA application_id = %d; PRAGMA user_version = %d", applicationID, n))
	return err
}
