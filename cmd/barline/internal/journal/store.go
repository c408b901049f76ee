package journal

import (
	"database/sql"
	"errors"
	"fmt"

	"barline/brew"
)

// putPlan and putText add what is kept once, and return its number. What is
// there under the same hash but is not the same was damaged, and is healed.

func putPlan(tx *sql.Tx, text string) (n int64, err error) {
	hash := hashOf(text)
	_, err = tx.Exec("INSERT INTO plans (hash, schema, json) VALUES (?, ?, ?) ON CONFLICT (hash) DO UPDATE "+
		"SET schema = excluded.schema, json = excluded.json WHERE schema <> excluded.schema OR json <> excluded.json",
		hash, PlanSchema, text)
	if err != nil {
		return 0, err
	}
	err = tx.QueryRow("SELECT n FROM plans WHERE hash = ?", hash).Scan(&n)
	return n, err
}

func putText(tx *sql.Tx, text string) (n int64, err error) {
	hash := hashOf(text)
	_, err = tx.Exec("INSERT INTO texts (hash, text) VALUES (?, ?) ON CONFLICT (hash) DO UPDATE "+
		"SET text = excluded.text WHERE text <> excluded.text", hash, text)
	if err != nil {
		return 0, err
	}
	err = tx.QueryRow("SELECT n FROM texts WHERE hash = ?", hash).Scan(&n)
	return n, err
}

// putBrew adds a brew's row, and those of the round and the take that it
// belongs to; events, readings and weights it does not. Adding it again does
// nothing. It returns the row's number.
func putBrew(tx *sql.Tx, r Record) (n int64, err error) {
	text, err := writePlan(r.Plan)
	if err != nil {
		return 0, err
	}
	plan, err := putPlan(tx, text)
	if err != nil {
		return 0, err
	}
	file, err := putText(tx, r.Text)
	if err != nil {
		return 0, err
	}
	if err := putParty(tx, r); err != nil {
		return 0, err
	}
	_, err = tx.Exec(`INSERT INTO brews (id, kind, speed, from_ns, marks, person, recipe, version, start, start_ns,
			start_at_ns, kept, boot, zero_ns, coffee, lot, setting, kettle, round, take, lane, ticket, plan, text)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?,
			(SELECT n FROM rounds WHERE id = ?), (SELECT n FROM takes WHERE id = ?), ?, ?, ?, ?) ON CONFLICT DO NOTHING`,
		r.ID, r.Kind, r.Speed, r.From, r.Marks, r.Person, r.Recipe, r.Version, stamp(r.Start), r.Start.UnixNano(),
		r.StartAt, r.Clock.Kept, r.Clock.Boot, r.Clock.Zero, r.Coffee, r.Lot, r.Setting, r.Kettle,
		r.Round, r.Take, r.Lane, r.Order, plan, file)
	if err != nil {
		return 0, err
	}
	return ofBrew.number(tx, r.ID)
}

func putParty(tx *sql.Tx, r Record) error {
	if r.RoundOf != nil {
		if err := putRound(tx, *r.RoundOf); err != nil {
			return err
		}
	}
	if r.TakeOf != nil {
		return putTake(tx, *r.TakeOf)
	}
	return nil
}

// putRound and putTake add a row without its events; where it is there they
// do nothing.

func putRound(tx *sql.Tx, r Round) error {
	_, err := tx.Exec("INSERT INTO rounds (id, kind, name, person, start, start_ns, text) VALUES (?, ?, ?, ?, ?, ?, ?) ON CONFLICT DO NOTHING",
		r.ID, r.Kind, r.Name, r.Person, stamp(r.Start), r.Start.UnixNano(), r.Text)
	return err
}

func putTake(tx *sql.Tx, t Take) error {
	_, err := tx.Exec("INSERT INTO takes (id, routine, version, person, kind, speed, dry, section, start, start_ns, text) "+
		"VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT DO NOTHING",
		t.ID, t.Routine, t.Version, t.Person, t.Kind, t.Speed, t.Dry, t.Section, stamp(t.Start), t.Start.UnixNano(), t.Text)
	return err
}

// putEnd stores how a brew ended as its lane has it, and its beats' cache, or
// takes both back where it goes on.
func putEnd(tx *sql.Tx, n int64, lane brew.Lane) error {
	end, at, why := ended(lane)
	moment := sql.Null[int64]{V: int64(at), Valid: end != ""}
	if _, err := tx.Exec("UPDATE brews SET ended = ?, end_ns = ?, why = ? WHERE n = ?", null(string(end)), moment, why, n); err != nil {
		return err
	}
	if _, err := tx.Exec("DELETE FROM beats WHERE brew = ?", n); err != nil || end == "" {
		return err
	}
	for _, b := range beatsOf(lane) {
		_, err := tx.Exec("INSERT INTO beats (brew, beat, key, owner, asked, status, early_ns, late_ns, written_ns, called_ns, marked_ns, weight_mg) "+
			"VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
			n, b.Beat, b.Key, b.Owner, b.Asked, b.Status, b.Window.Early, b.Window.Late, b.Written, b.Called, b.Marked, b.Weight)
		if err != nil {
			return err
		}
	}
	return nil
}

// putClock stores how a brew's clock is kept from now on.
func putClock(tx *sql.Tx, n int64, c Clock) error {
	_, err := tx.Exec("UPDATE brews SET kept = ?, boot = ?, zero_ns = ? WHERE n = ?", c.Kept, c.Boot, c.Zero, n)
	return err
}

func missing(what string, err error) error {
	if errors.Is(err, sql.ErrNoRows) {
		return fmt.Errorf("its %s is missing", what)
	}
	return err
}
