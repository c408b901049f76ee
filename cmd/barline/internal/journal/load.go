package journal

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"
)

// Load returns the brew with the given id whole; ErrNotFound where there is
// none.
func (j *Journal) Load(ctx context.Context, id string) (Record, error) {
	var r Record
	err := j.view(ctx, func(tx *sql.Tx) error {
		b, err := brewByID(tx, id)
		if err == nil {
			r, err = newReader(tx).record(b)
		}
		return err
	})
	if err != nil {
		return Record{}, err
	}
	r.End = j.endOf(r.Brew)
	return r, nil
}

// endOf says how a brew ended, where the file says nothing about it.
func (j *Journal) endOf(b Brew) End {
	switch {
	case b.End != "":
		return b.End
	case j.live(b.ID):
		return Running
	}
	return CutOff
}

func fillRecord(tx *sql.Tx, n int64, r *Record) (err error) {
	if r.Events, err = ofBrew.all(tx, n); err != nil {
		return err
	}
	if r.Readings, err = readingsOf(tx, n); err != nil {
		return err
	}
	r.Weights, err = weightsOf(tx, n)
	return err
}

func fillParty(tx *sql.Tx, r *Record) error {
	if r.Round != "" {
		round, err := scanRound(tx.QueryRow("SELECT "+roundColumns+" FROM rounds WHERE id = ?", r.Round))
		if err != nil {
			return err
		}
		r.RoundOf = &round.Round
	}
	if r.Take != "" {
		take, err := scanTake(tx.QueryRow("SELECT "+takeColumns+" FROM takes WHERE id = ?", r.Take))
		if err != nil {
			return err
		}
		r.TakeOf = &take.Take
	}
	return nil
}

// of says which brew an error is about.
func of(b row, err error) error {
	if err == nil {
		return nil
	}
	return fmt.Errorf("brew %s: %w", b.ID, err)
}

// Ambiguous says that several brews have an id that begins in the same way.
type Ambiguous struct {
	Prefix     string
	Candidates []Brew // the first few, by id
	More       bool   // there are others besides
}

// Error lists the candidates.
func (a *Ambiguous) Error() string {
	ids := make([]string, len(a.Candidates))
	for i, b := range a.Candidates {
		ids[i] = b.Short
	}
	if a.More {
		ids = append(ids, "and others")
	}
	return fmt.Sprintf("%q begins the ids of several brews: %s", a.Prefix, strings.Join(ids, ", "))
}

// mostCandidates is how many brews an ambiguous prefix lists.
const mostCandidates = 10

// Find returns the brew whose id begins with the prefix, in upper or lower
// case. The error is ErrNotFound or *Ambiguous.
func (j *Journal) Find(ctx context.Context, prefix string) (Brew, error) {
	low := strings.ToLower(strings.TrimSpace(prefix))
	if strings.Trim(low, "0123456789abcdef-") != "" || low == "" {
		return Brew{}, ErrNotFound
	}
	var found []Brew
	err := j.view(ctx, func(tx *sql.Tx) error {
		rows, err := gather(tx, scanBrew, "SELECT "+brewColumns+brewFrom+"WHERE b.id >= ? AND b.id < ? ORDER BY b.id LIMIT ?",
			low, low+"g", mostCandidates+1) // 'g' comes behind every character of an id
		if err == nil {
			found, err = j.shown(tx, rows)
		}
		return err
	})
	switch {
	case err != nil:
		return Brew{}, err
	case len(found) == 0:
		return Brew{}, ErrNotFound
	case len(found) == 1:
		return found[0], nil
	}
	most := min(len(found), mostCandidates)
	return Brew{}, &Ambiguous{Prefix: prefix, Candidates: found[:most], More: len(found) > most}
}

// shown returns rows as they are listed: with their short ids and their ends.
func (j *Journal) shown(tx *sql.Tx, rows []row) ([]Brew, error) {
	out := make([]Brew, len(rows))
	for i, r := range rows {
		out[i] = r.Brew
		out[i].End = j.endOf(r.Brew)
		var err error
		if out[i].Short, err = shortID(tx, r.ID); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// leastShort is how many characters of an id are always shown.
const leastShort = 8

// shortID returns the shortest prefix that no other id has: it is told apart
// from its neighbours in the order of the ids.
func shortID(tx *sql.Tx, id string) (string, error) {
	length := leastShort
	for _, query := range []string{
		"SELECT id FROM brews WHERE id < ? ORDER BY id DESC LIMIT 1",
		"SELECT id FROM brews WHERE id > ? ORDER BY id LIMIT 1",
	} {
		var other string
		err := tx.QueryRow(query, id).Scan(&other)
		if errors.Is(err, sql.ErrNoRows) {
			continue
		}
		if err != nil {
			return "", err
		}
		length = max(length, common(id, other)+1)
	}
	return id[:min(length, len(id))], nil
}

// common returns how many characters two ids share at their beginning.
func common(a, b string) int {
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			return i
		}
	}
	return min(len(a), len(b))
}
