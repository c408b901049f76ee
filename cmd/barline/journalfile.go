package main

import (
	"context"
	"errors"
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

// withJournal opens the journal for a command.
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
	switch {
	case errors.As(err, &fault):
		return &inputError{fault.Error(), fault.Hint()}
	case errors.Is(err, journal.ErrLive), errors.Is(err, os.ErrPermission):
		return &inputError{err.Error(), ""}
	}
	return err
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
