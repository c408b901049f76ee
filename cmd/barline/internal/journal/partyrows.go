package journal

import (
	"context"
	"database/sql"
	"slices"

	"barline/brew/drift"
)

const (
	roundColumns    = "n, id, kind, name, person, start, text"
	takeColumns     = "n, id, routine, version, person, kind, speed, dry, section, start, text"
	attemptColumns  = "id, person, recipe, version, brews, opened, coalesce(closed, ''), result, text"
	baselineColumns = "id, version, beat, measure, first, last, brews, low, centre, high, made, person"
)

type roundRow struct {
	n int64
	Round
}

func scanRound(s scanner) (roundRow, error) {
	var n int64
	var l roundLine
	if err := s.Scan(&n, &l.ID, &l.Kind, &l.Name, &l.Person, &l.Start, &l.Text); err != nil {
		return roundRow{}, err
	}
	r, err := l.value()
	return roundRow{n, r}, err
}

type takeRow struct {
	n int64
	Take
}

func scanTake(s scanner) (takeRow, error) {
	var n int64
	var l takeLine
	err := s.Scan(&n, &l.ID, &l.Routine, &l.Version, &l.Person, &l.Kind, &l.Speed, &l.Dry, &l.Section, &l.Start, &l.Text)
	if err != nil {
		return takeRow{}, err
	}
	t, err := l.value()
	return takeRow{n, t}, err
}

func scanAttempt(s scanner) (Attempt, error) {
	var l attemptLine
	err := s.Scan(&l.ID, &l.Person, &l.Recipe, &l.Version, &l.Brews, &l.Opened, &l.Closed, &l.Result, &l.Text)
	if err != nil {
		return Attempt{}, err
	}
	return l.value()
}

func scanBaseline(s scanner) (Baseline, error) {
	var l baselineLine
	err := s.Scan(&l.ID, &l.Version, &l.Beat, &l.Measure, &l.First, &l.Last, &l.Brews, &l.Low, &l.Centre, &l.High, &l.Made, &l.By)
	if err != nil {
		return Baseline{}, err
	}
	return l.value()
}

func roundsWhere(tx *sql.Tx, where string, args ...any) ([]Round, error) {
	rows, err := gather(tx, scanRound, "SELECT "+roundColumns+" FROM rounds "+where, args...)
	if err != nil {
		return nil, err
	}
	out := make([]Round, len(rows))
	for i, r := range rows {
		out[i] = r.Round
		if out[i].Events, err = ofRound.all(tx, r.n); err != nil {
			return nil, err
		}
	}
	return out, nil
}

func takesWhere(tx *sql.Tx, where string, args ...any) ([]Take, error) {
	rows, err := gather(tx, scanTake, "SELECT "+takeColumns+" FROM takes "+where, args...)
	if err != nil {
		return nil, err
	}
	out := make([]Take, len(rows))
	for i, t := range rows {
		out[i] = t.Take
		if out[i].Events, err = ofTake.all(tx, t.n); err != nil {
			return nil, err
		}
	}
	return out, nil
}

func attemptsWhere(tx *sql.Tx, where string, args ...any) ([]Attempt, error) {
	return gather(tx, scanAttempt, "SELECT "+attemptColumns+" FROM attempts "+where, args...)
}

func baselinesWhere(tx *sql.Tx, where string, args ...any) ([]Baseline, error) {
	return gather(tx, scanBaseline, "SELECT "+baselineColumns+" FROM baselines "+where, args...)
}

// Rounds returns all rounds with their events, newest first.
func (j *Journal) Rounds(ctx context.Context) (out []Round, err error) {
	err = j.view(ctx, func(tx *sql.Tx) (err error) {
		out, err = roundsWhere(tx, "ORDER BY start_ns DESC, id DESC")
		return err
	})
	return out, err
}

// Takes returns the takes of a routine with their events, newest first.
func (j *Journal) Takes(ctx context.Context, routine string) (out []Take, err error) {
	err = j.view(ctx, func(tx *sql.Tx) (err error) {
		out, err = takesWhere(tx, "WHERE routine = ? COLLATE NOCASE ORDER BY start_ns DESC, id DESC", routine)
		return err
	})
	return out, err
}

// Attempts returns a person's attempts at a recipe's version, oldest first.
func (j *Journal) Attempts(ctx context.Context, person, version string) (out []Attempt, err error) {
	err = j.view(ctx, func(tx *sql.Tx) (err error) {
		out, err = attemptsWhere(tx, "WHERE version = ? ORDER BY opened_ns, id", version)
		out = slices.DeleteFunc(out, func(a Attempt) bool { return !drift.Same(a.Person, person) })
		return err
	})
	return out, err
}

// AttemptsAt returns everybody's attempts at a recipe, whatever its version, or
// at all recipes where it is "", oldest first.
func (j *Journal) AttemptsAt(ctx context.Context, recipe string) (out []Attempt, err error) {
	err = j.view(ctx, func(tx *sql.Tx) (err error) {
		out, err = attemptsWhere(tx, "ORDER BY opened_ns, id")
		out = slices.DeleteFunc(out, func(a Attempt) bool { return recipe != "" && !drift.Same(a.Recipe, recipe) })
		return err
	})
	return out, err
}

// Baselines returns the baselines of a recipe's version, oldest first.
func (j *Journal) Baselines(ctx context.Context, version string) (out []Baseline, err error) {
	err = j.view(ctx, func(tx *sql.Tx) (err error) {
		out, err = baselinesWhere(tx, "WHERE version = ? ORDER BY made_ns, id", version)
		return err
	})
	return out, err
}
