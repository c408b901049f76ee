package journal

import (
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"

	"barline/brew"
)

// brewColumns and brewFrom read a brew's row, with the ids of its round and
// its take in place of their numbers. End is what is stored: ” for none.
const (
	brewColumns = `b.n, b.plan, b.text, b.id, b.kind, b.speed, b.from_ns, b.marks, b.person, b.recipe, b.version,
		b.start, b.start_ns, b.start_at_ns, b.kept, b.boot, b.zero_ns, b.coffee, b.lot, b.setting, b.kettle,
		coalesce(r.id, ''), coalesce(t.id, ''), b.lane, b.ticket, coalesce(b.ended, ''), coalesce(b.end_ns, 0), b.why`
	brewFrom = ` FROM brews b LEFT JOIN rounds r ON r.n = b.round LEFT JOIN takes t ON t.n = b.take `
)

// row is a brew with the numbers by which the file knows it.
type row struct {
	n, plan, text int64
	Brew
	startErr error // its start was kept in two ways that do not agree
}

// scanner is a row of a result.
type scanner interface{ Scan(...any) error }

func scanBrew(s scanner) (row, error) {
	var r row
	var start string
	var ns int64
	err := s.Scan(&r.n, &r.plan, &r.text, &r.ID, &r.Kind, &r.Speed, &r.From, &r.Marks, &r.Person, &r.Recipe, &r.Version,
		&start, &ns, &r.StartAt, &r.Clock.Kept, &r.Clock.Boot, &r.Clock.Zero, &r.Coffee, &r.Lot, &r.Setting, &r.Kettle,
		&r.Round, &r.Take, &r.Lane, &r.Order, &r.End, &r.EndAt, &r.Why)
	if err != nil {
		return row{}, err
	}
	r.Start, r.startErr = startOf(start, ns)
	return r, nil
}

// startOf reads a start. Where its text is damaged, the number that is kept to
// sort by still says when it was, though not in which place's time.
func startOf(text string, ns int64) (time.Time, error) {
	start, err := parseStamp(text)
	if err != nil {
		return time.Unix(0, ns).UTC(), err
	}
	if start.UnixNano() != ns {
		return start, fmt.Errorf("%s, but sorted as %s", text, stamp(time.Unix(0, ns).UTC()))
	}
	return start, nil
}

// brewByID returns ErrNotFound where there is none.
func brewByID(tx *sql.Tx, id string) (row, error) {
	n, err := ofBrew.number(tx, id)
	if err != nil {
		return row{}, err
	}
	return scanBrew(tx.QueryRow("SELECT "+brewColumns+brewFrom+"WHERE b.n = ?", n))
}

// gather returns every row of a query.
func gather[T any](tx *sql.Tx, scan func(scanner) (T, error), query string, args ...any) ([]T, error) {
	rows, err := tx.Query(query, args...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var out []T
	for rows.Next() {
		v, err := scan(rows)
		if err != nil {
			return nil, err
		}
		out = append(out, v)
	}
	return out, rows.Err()
}

// owner is one of the three tables whose rows have events.
type owner struct{ table, column, events string }

var (
	ofBrew  = owner{"brews", "brew", "events"}
	ofRound = owner{"rounds", "round", "round_events"}
	ofTake  = owner{"takes", "take", "take_events"}
)

const eventColumns = "kind, lane, at_ns, source, weight_mg, text, from_ns, cue, to_ns"

// sequenced is an event with its number.
type sequenced struct {
	seq int
	brew.Event
}

func scanEvent(s scanner) (sequenced, error) {
	var e sequenced
	err := s.Scan(&e.seq, &e.Kind, &e.Lane, &e.At, &e.Source, &e.Weight, &e.Text, &e.From, &e.Cue, &e.To)
	return e, err
}

// all returns the events of row n. The error says where a number is missing.
func (o owner) all(tx *sql.Tx, n int64) ([]brew.Event, error) {
	rows, err := gather(tx, scanEvent, "SELECT seq, "+eventColumns+" FROM "+o.events+" WHERE "+o.column+" = ? ORDER BY seq", n)
	if err != nil {
		return nil, err
	}
	events := make([]brew.Event, len(rows))
	for i, e := range rows {
		if e.seq != i {
			return nil, fmt.Errorf("event %d %w", i, errGap)
		}
		events[i] = e.Event
	}
	return events, nil
}

// number returns the number of the row with the given id, ErrNotFound where
// there is none. A damaged index may lead to another row, which must be
// neither shown nor written to, so the row itself is asked for its id.
func (o owner) number(tx *sql.Tx, id string) (n int64, err error) {
	err = tx.QueryRow("SELECT n FROM "+o.table+" WHERE id = ?", id).Scan(&n)
	if errors.Is(err, sql.ErrNoRows) {
		return 0, ErrNotFound
	}
	var is string
	if err == nil {
		err = tx.QueryRow("SELECT id FROM "+o.table+" NOT INDEXED WHERE n = ?", n).Scan(&is)
	}
	if errors.Is(err, sql.ErrNoRows) || err == nil && is != id {
		return 0, &Fault{Cause: Damaged, Err: errors.New("an index is wrong")}
	}
	return n, err
}

// put adds event seq to row n. Adding the same event again does nothing, for
// when it is not known whether a write has succeeded.
func (o owner) put(tx *sql.Tx, n int64, seq int, e brew.Event) error {
	done, err := tx.Exec("INSERT INTO "+o.events+" ("+o.column+", seq, "+eventColumns+") "+
		"VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT DO NOTHING",
		n, seq, e.Kind, e.Lane, e.At, e.Source, e.Weight, e.Text, e.From, e.Cue, e.To)
	if err != nil {
		return err
	}
	if n, err := done.RowsAffected(); err != nil || n == 1 {
		return err
	}
	was, err := scanEvent(tx.QueryRow("SELECT seq, "+eventColumns+" FROM "+o.events+
		" WHERE "+o.column+" = ? AND seq = ?", n, seq))
	if err != nil {
		return err
	}
	if !sameEvent(was.Event, e) {
		return fmt.Errorf("event %d is there already, and is another: %s at %s", seq, was.Kind, brew.Exact(was.At))
	}
	return nil
}

func sameEvent(a, b brew.Event) bool {
	if (a.Weight == nil) != (b.Weight == nil) || a.Weight != nil && *a.Weight != *b.Weight {
		return false
	}
	a.Weight, b.Weight = nil, nil
	return a == b
}

func scanReading(s scanner) (Reading, error) {
	var l readingLine
	if err := s.Scan(&l.ID, &l.What, &l.Value, &l.Text, &l.Taken, &l.By, &l.Replaces); err != nil {
		return Reading{}, err
	}
	return l.value()
}

func readingsOf(tx *sql.Tx, n int64) ([]Reading, error) {
	return gather(tx, scanReading,
		"SELECT id, what, value, text, taken, person, coalesce(replaces, '') FROM readings WHERE brew = ? ORDER BY n", n)
}

func scanWeight(s scanner) (Weight, error) {
	var l weightLine
	if err := s.Scan(&l.ID, &l.Beat, &l.Mass, &l.Source, &l.Taken, &l.By, &l.Replaces); err != nil {
		return Weight{}, err
	}
	return l.value()
}

func weightsOf(tx *sql.Tx, n int64) ([]Weight, error) {
	return gather(tx, scanWeight,
		"SELECT id, beat, mass_mg, source, taken, person, coalesce(replaces, '') FROM weights WHERE brew = ? ORDER BY n", n)
}

// null stores an empty text as none.
func null(text string) any {
	if text == "" {
		return nil
	}
	return text
}

// putReading adds a reading to brew n; ErrSuperseded where what it corrects
// has been corrected. Adding the same one again does nothing.
func putReading(tx *sql.Tx, n int64, r Reading) error {
	return putOnce(tx, "INSERT INTO readings (id, brew, what, value, text, taken, person, replaces) VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
		"SELECT count(*) FROM readings WHERE id = ? AND brew = ? AND what = ? AND value IS ? AND text = ? AND taken = ? AND person = ? AND replaces IS ?",
		r.ID, n, r.What, r.Value, r.Text, stamp(r.Taken), r.By, null(r.Replaces))
}

// putWeight adds a weight to brew n, as putReading does.
func putWeight(tx *sql.Tx, n int64, w Weight) error {
	return putOnce(tx, "INSERT INTO weights (id, brew, beat, mass_mg, source, taken, person, replaces) VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
		"SELECT count(*) FROM weights WHERE id = ? AND brew = ? AND beat = ? AND mass_mg IS ? AND source = ? AND taken = ? AND person = ? AND replaces IS ?",
		w.ID, n, w.Beat, w.Mass, w.Source, stamp(w.Taken), w.By, null(w.Replaces))
}

// putOnce adds a row, or makes sure that the row with its id is the same.
func putOnce(tx *sql.Tx, insert, same string, args ...any) error {
	done, err := tx.Exec(insert+" ON CONFLICT (id) DO NOTHING", args...)
	var driver *sqlite.Error
	if errors.As(err, &driver) && driver.Code() == sqlite3.SQLITE_CONSTRAINT_UNIQUE {
		return ErrSuperseded
	}
	if err != nil {
		return err
	}
	if n, err := done.RowsAffected(); err != nil || n == 1 {
		return err
	}
	var there bool
	err = tx.QueryRow(same, args...).Scan(&there)
	if err == nil && !there {
		err = fmt.Errorf("%w: %s", errOther, args[0])
	}
	return err
}

// settled says whether what is there under an id is what was to be added.
func settled(is, want any) error {
	a, errA := compact(is)
	b, errB := compact(want)
	if errA != nil || errB != nil || a != b {
		return fmt.Errorf("%w: %s", errOther, contrast(a, b))
	}
	return nil
}

// contrast says which fields of two JSON objects differ, with what is there
// and what was to be.
func contrast(is, want string) string {
	var a, b map[string]json.RawMessage
	json.Unmarshal([]byte(is), &a)
	json.Unmarshal([]byte(want), &b)
	fields := maps.Clone(a)
	maps.Copy(fields, b)
	var out []string
	for _, field := range slices.Sorted(maps.Keys(fields)) {
		if string(a[field]) != string(b[field]) {
			out = append(out, fmt.Sprintf("%s is %s, not %s", field, clipped(a[field]), clipped(b[field])))
		}
	}
	return strings.Join(out, "; ")
}

// clipped returns a value in JSON as it fits into a message.
func clipped(value json.RawMessage) string {
	text := []rune(string(value))
	switch {
	case len(text) == 0:
		return "left out"
	case len(text) > 40:
		return string(text[:40]) + "…"
	}
	return string(text)
}

// errOther says that an id is taken by something else.
var errOther = errors.New("the id is there already with other content")

// errGap says that an event's number is not there.
var errGap = errors.New("is missing")
