package journal

import (
	"context"
	"database/sql"
	"fmt"
	"slices"
	"time"

	"barline/brew/drift"
)

// Forgotten is what stays of a brew that was deleted while an attempt or a
// baseline counted it: that it was, when, whose and of what, so that deleting a
// brew passes no attempt and thaws no limits. How it went does not stay.
type Forgotten struct {
	ID      string // the brew's
	Person  string
	Recipe  string
	Version string
	Start   time.Time
}

// forgottenSince is the schema from which on such traces are kept.
const forgottenSince = 3

const forgottenColumns = "id, person, recipe, version, start"

func scanForgotten(s scanner) (Forgotten, error) {
	var l forgottenLine
	if err := s.Scan(&l.ID, &l.Person, &l.Recipe, &l.Version, &l.Start); err != nil {
		return Forgotten{}, err
	}
	return l.value()
}

func forgottenWhere(tx *sql.Tx, where string, args ...any) ([]Forgotten, error) {
	return gather(tx, scanForgotten, "SELECT "+forgottenColumns+" FROM forgotten "+where, args...)
}

// Forgotten returns what stays of a recipe's brews, the oldest first, but for
// those that were brought back by an import.
func (j *Journal) Forgotten(ctx context.Context, recipe string) (out []Forgotten, err error) {
	if j.schema < forgottenSince {
		return nil, nil
	}
	err = j.view(ctx, func(tx *sql.Tx) (err error) {
		out, err = forgottenWhere(tx, "WHERE id NOT IN (SELECT id FROM brews) ORDER BY start_ns, id")
		out = slices.DeleteFunc(out, func(f Forgotten) bool { return !drift.Same(f.Recipe, recipe) })
		return err
	})
	return out, err
}

// leaveTrace keeps that a brew was, where something counts it that would tell
// otherwise without it.
func leaveTrace(tx *sql.Tx, b Brew) error {
	counts, err := counted(tx, b)
	if err != nil || !counts {
		return err
	}
	_, err = mergeForgotten(tx, Forgotten{b.ID, b.Person, b.Recipe, b.Version, b.Start})
	return err
}

// counted reports whether a baseline begins or ends with a brew, or it lies
// behind the opening of an attempt that it counts for.
func counted(tx *sql.Tx, b Brew) (bool, error) {
	ends, err := baselinesWhere(tx, "WHERE ? IN (first, last)", b.ID)
	if err != nil || len(ends) > 0 {
		return len(ends) > 0, err
	}
	if b.Kind != drift.Service || b.Speed != 1 || b.From != 0 {
		return false, nil
	}
	attempts, err := attemptsWhere(tx, "WHERE version = ? AND opened_ns <= ?", b.Version, b.Start.UnixNano())
	return slices.ContainsFunc(attempts, func(a Attempt) bool {
		return drift.Same(a.Person, b.Person) && drift.Same(a.Recipe, b.Recipe)
	}), err
}

func mergeForgotten(tx *sql.Tx, f Forgotten) (change, error) {
	was, err := forgottenWhere(tx, "WHERE id = ?", f.ID)
	if err != nil {
		return known, err
	}
	if len(was) > 0 {
		return known, settled(was[0].line(), f.line())
	}
	l := f.line()
	_, err = tx.Exec("INSERT INTO forgotten (id, person, recipe, version, start, start_ns) VALUES (?, ?, ?, ?, ?, ?)",
		l.ID, l.Person, l.Recipe, l.Version, l.Start, f.Start.UnixNano())
	return added, err
}

type forgottenLine struct {
	ID      string `json:"id"`
	Person  string `json:"person"`
	Recipe  string `json:"recipe"`
	Version string `json:"version"`
	Start   string `json:"start"`
}

func (f Forgotten) line() forgottenLine {
	return forgottenLine{f.ID, f.Person, f.Recipe, f.Version, stamp(f.Start)}
}

func (l forgottenLine) value() (Forgotten, error) {
	start, err := parseStamp(l.Start)
	if err != nil {
		return Forgotten{}, err
	}
	f := Forgotten{l.ID, l.Person, l.Recipe, l.Version, start}
	return f, f.check()
}

func (f Forgotten) check() error {
	if err := checkStamped(f.ID, f.Start, ""); err != nil {
		return err
	}
	if f.Version == "" {
		return fmt.Errorf("the forgotten brew names no version of a recipe")
	}
	return nil
}
