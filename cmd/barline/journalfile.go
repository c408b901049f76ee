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
	if a.journalNamed() {
		return firstOf(a.flags.journal, a.config.journal), nil
	}
	path, err := journal.DefaultPath(a.getenv)
	if err != nil {
		return "", &inputError{err.Error(), "name a file with --journal"}
	}
	return path, nil
}

// journalNamed reports whether somebody has said which file the journal is.
func (a *app) journalNamed() bool { return a.flags.journal != "" || a.config.journal != "" }

// missing reports whether there is no file yet.
func missing(path string) bool {
	_, err := os.Stat(path)
	return errors.Is(err, fs.ErrNotExist)
}

// readJournal opens the journal for a command that only looks at it. Where
// there is none yet it makes none: in the platform's place nothing was brewed
// yet, and a file that somebody named should be there.
func (a *app) readJournal(do func(*journal.Journal) error) error {
	path, err := a.journalFile()
	switch {
	case err != nil || !missing(path):
		return a.withJournal(do)
	case a.journalNamed():
		return notThere(path)
	}
	fmt.Fprintf(a.stderr, "nothing was brewed yet: there is no %s\n", path)
	return nil
}

func notThere(path string) error {
	return &inputError{"there is no " + path, "check its name; the first brew makes the file, or an import"}
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

// journalError says what can be done about an error of the journal. A file
// that is sound and cannot be written to is not the input's fault.
func journalError(err error) error {
	var fault *journal.Fault
	var input *inputError
	switch {
	case err == nil, errors.Is(err, errTold), errors.As(err, &input):
		return err
	case errors.As(err, &fault) && (fault.Cause == journal.Full || fault.Cause == journal.ReadOnly):
		return &unsavedError{fault.Error(), faultHint(fault)}
	case errors.As(err, &fault):
		return &inputError{fault.Error(), faultHint(fault)}
	}
	return &inputError{err.Error(), ""}
}

// faultHint returns one thing to do about a fault of a journal's file.
func faultHint(fault *journal.Fault) string {
	switch {
	case fault.Unmarked():
		return "name another file with --journal"
	case fault.Cause == journal.Damaged:
		return salvageHint(fault.Path)
	case fault.Cause == journal.Broken:
		return inShell("--journal", fault.Path, "journal", "verify") + " says what is wrong"
	}
	return fault.Hint()
}

// salvageHint says what to do with a damaged file.
func salvageHint(path string) string {
	return inShell("--journal", path, "journal", "export", "--salvage") + " writes what can still be read"
}

// findBrew returns the brew whose id begins so.
func (a *app) findBrew(ctx context.Context, j *journal.Journal, prefix string) (journal.Brew, error) {
	b, err := j.Find(ctx, prefix)
	var several *journal.Ambiguous
	switch {
	case errors.Is(err, journal.ErrNotFound):
		return b, &inputError{err.Error() + ": " + prefix, a.typed("journal") + " lists the ids"}
	case errors.As(err, &several):
		return b, &inputError{several.Error(), "give more of the id"}
	}
	return b, err
}

// loadBrew returns the whole of it.
func (a *app) loadBrew(ctx context.Context, j *journal.Journal, prefix string) (journal.Record, error) {
	b, err := a.findBrew(ctx, j, prefix)
	if err != nil {
		return journal.Record{}, err
	}
	return j.Load(ctx, b.ID)
}
