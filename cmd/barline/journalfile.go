package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"

	"barline/cmd/barline/internal/journal"
)

// journalFile returns the path of the journal: the flag's, the
// configuration's, else the platform's.
func (a *app) journalFile() (string, error) {
	if named := firstOf(a.flags.journal, a.fromHome(a.config.journal)); named != "" {
		return named, nil
	}
	path, err := journal.DefaultPath(a.getenv)
	if err != nil {
		return "", &inputError{err.Error(), "name a file with --journal"}
	}
	return path, nil
}

// missing reports whether there is no file yet.
func missing(path string) bool {
	_, err := os.Stat(path)
	return errors.Is(err, fs.ErrNotExist)
}

// readJournal opens the journal for a command that only looks at it. Where
// there is none yet it says so and makes none.
func (a *app) readJournal(do func(*journal.Journal) error) error {
	path, err := a.journalFile()
	if err == nil && missing(path) {
		fmt.Fprintf(a.stderr, "nothing was brewed yet: there is no %s\n", path)
		return nil
	}
	return a.withJournal(do)
}

// brewOf does something with the brew whose id begins so. Where there is no
// journal yet there is no brew, either.
func (a *app) brewOf(prefix string, do func(*journal.Journal) error) error {
	if path, err := a.journalFile(); err == nil && missing(path) {
		return &inputError{fmt.Sprintf("%s: %s, and no %s", journal.ErrNotFound, prefix, path), "name the journal's file with --journal"}
	}
	return a.withJournal(do)
}

// withJournal opens the journal for a command; one that is not there is made.
func (a *app) withJournal(do func(*journal.Journal) error) error {
	path, err := a.journalFile()
	if err != nil {
		return err
	}
	j, err := journal.Open(path, journal.Options{})
	if err != nil {
		return journalError(err)
	}
	defer j.Close()
	return journalError(do(j))
}

// journalError says what can be done about an error of the journal.
func journalError(err error) error {
	var fault *journal.Fault
	var input *inputError
	switch {
	case err == nil, errors.Is(err, errTold), errors.As(err, &input):
		return err
	case errors.As(err, &fault) && fault.Cause == journal.Damaged:
		return &inputError{fault.Error(), "barline journal export --salvage writes what can still be read"}
	case errors.As(err, &fault):
		return &inputError{fault.Error(), fault.Hint()}
	}
	return &inputError{err.Error(), ""}
}

// findBrew returns the brew whose id begins so.
func findBrew(ctx context.Context, j *journal.Journal, prefix string) (journal.Brew, error) {
	b, err := j.Find(ctx, prefix)
	var several *journal.Ambiguous
	switch {
	case errors.Is(err, journal.ErrNotFound):
		return b, &inputError{err.Error() + ": " + prefix, "barline journal lists the ids"}
	case errors.As(err, &several):
		return b, &inputError{several.Error(), "give more of the id"}
	}
	return b, err
}

// loadBrew returns the whole of it.
func loadBrew(ctx context.Context, j *journal.Journal, prefix string) (journal.Record, error) {
	b, err := findBrew(ctx, j, prefix)
	if err != nil {
		return journal.Record{}, err
	}
	return j.Load(ctx, b.ID)
}
