package journal

import (
	"context"
	"database/sql"
	"errors"
	"strings"
	"time"

	"barline/brew/drift"
)

// Filter says which brews are meant. What is zero does not narrow it.
type Filter struct {
	Recipe  string // its name, whatever the case of its letters
	Person  string // whatever the case of its letters
	Kind    Kind
	Version string    // of the recipe
	End     End       // Running and CutOff are told apart when the list is made
	Since   time.Time // the brew started then or later
	Until   time.Time // the brew started before
	Round   string    // id
	Take    string    // id
}

// Cursor is a place in a list, from which it can be continued. The zero Cursor
// is the beginning.
type Cursor struct {
	start int64
	id    string
}

// Page is a piece of a list.
type Page struct {
	Brews []Brew // newest first
	Next  Cursor // where the next page begins
	More  bool   // there is a next page
}

// List returns the brews that pass the filter, newest first, at most limit of
// them from the cursor on. A page costs the same wherever it lies.
func (j *Journal) List(ctx context.Context, f Filter, from Cursor, limit int) (Page, error) {
	var page Page
	err := j.view(ctx, func(tx *sql.Tx) error {
		for {
			rows, err := rowsAfter(tx, f, from, limit+1)
			if err != nil {
				return err
			}
			brews, err := j.shown(tx, rows)
			if err != nil {
				return err
			}
			for _, b := range brews {
				if f.End != "" && b.End != f.End {
					continue
				}
				if len(page.Brews) == limit {
					page.More = true
					return nil
				}
				page.Brews = append(page.Brews, b)
				page.Next = Cursor{b.Start.UnixNano(), b.ID}
			}
			if len(rows) <= limit {
				return nil
			}
			last := rows[len(rows)-1]
			from = Cursor{last.Start.UnixNano(), last.ID}
		}
	})
	return page, err
}

func rowsAfter(tx *sql.Tx, f Filter, from Cursor, limit int) ([]row, error) {
	where, args, err := f.where(tx)
	if err != nil {
		return nil, err
	}
	if from.id != "" {
		where = append(where, "(b.start_ns, b.id) < (?, ?)")
		args = append(args, from.start, from.id)
	}
	return gather(tx, scanBrew, "SELECT "+brewColumns+brewFrom+clause(where)+" ORDER BY b.start_ns DESC, b.id DESC LIMIT ?",
		append(args, limit)...)
}

// where returns the filter's conditions on rows b, r and t of brewFrom.
func (f Filter) where(tx *sql.Tx) (conditions []string, args []any, err error) {
	add := func(is bool, condition string, arg ...any) {
		if is {
			conditions = append(conditions, condition)
			args = append(args, arg...)
		}
	}
	for _, name := range []struct{ column, text string }{{"recipe", f.Recipe}, {"person", f.Person}} {
		spellings, err := spelt(tx, name.column, name.text)
		if err != nil {
			return nil, nil, err
		}
		add(len(spellings) > 0, anyOf("b."+name.column, spellings), spellings...)
	}
	add(f.Kind != "", "b.kind = ?", f.Kind)
	add(f.Version != "", "b.version = ?", f.Version)
	add(!f.Since.IsZero(), "b.start_ns >= ?", f.Since.UnixNano())
	add(!f.Until.IsZero(), "b.start_ns < ?", f.Until.UnixNano())
	add(f.Round != "", "b.round = (SELECT n FROM rounds WHERE id = ?)", f.Round)
	add(f.Take != "", "b.take = (SELECT n FROM takes WHERE id = ?)", f.Take)
	switch f.End {
	case Finished, Stopped:
		add(true, "b.ended = ?", f.End)
	case Running, CutOff:
		conditions = append(conditions, "b.ended IS NULL")
	}
	return conditions, args, nil
}

// spelt returns the spellings of a name that the brews have in a column.
func spelt(tx *sql.Tx, column, name string) ([]any, error) { return speltIn(tx, "brews", column, name) }

// speltIn returns the spellings of a name that a table has in a column,
// whatever the case of its letters; the name itself where it has none, and
// nothing for no name. SQLite's NOCASE knows the case of ASCII letters alone,
// so the names are compared here, as drift.Same does: they are few, and
// each is found with one step in the column's index.
func speltIn(tx *sql.Tx, table, column, name string) (spellings []any, err error) {
	if name == "" {
		return nil, nil
	}
	next := "SELECT " + column + " FROM " + table + " WHERE " + column + " > ? COLLATE NOCASE ORDER BY " + column + " COLLATE NOCASE LIMIT 1"
	for known := ""; ; {
		err := tx.QueryRow(next, known).Scan(&known)
		switch {
		case errors.Is(err, sql.ErrNoRows) && spellings == nil:
			return []any{name}, nil
		case errors.Is(err, sql.ErrNoRows):
			return spellings, nil
		case err != nil:
			return nil, err
		case drift.Same(known, name):
			spellings = append(spellings, known)
		}
	}
}

// anyOf is the condition that a column has one of some spellings.
func anyOf(column string, spellings []any) string {
	if len(spellings) < 2 {
		return column + " = ? COLLATE NOCASE"
	}
	return column + " COLLATE NOCASE IN (?" + strings.Repeat(", ?", len(spellings)-1) + ")"
}

func clause(conditions []string) string {
	if len(conditions) == 0 {
		return ""
	}
	return "WHERE " + strings.Join(conditions, " AND ")
}

// Names returns the recipes and the persons that the journal knows, by name,
// without the empty one.
func (j *Journal) Names(ctx context.Context) (recipes, persons []string, err error) {
	err = j.view(ctx, func(tx *sql.Tx) (err error) {
		if recipes, err = gather(tx, scanText, "SELECT DISTINCT recipe FROM brews WHERE recipe <> '' ORDER BY recipe COLLATE NOCASE, recipe"); err != nil {
			return err
		}
		persons, err = gather(tx, scanText, "SELECT DISTINCT person FROM brews WHERE person <> '' ORDER BY person COLLATE NOCASE, person")
		return err
	})
	return recipes, persons, err
}
