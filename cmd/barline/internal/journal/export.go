package journal

import (
	"context"
	"database/sql"
	"io"

	"barline/brew"
)

// Export writes the brews that pass the filter, oldest first, as JSON lines,
// with the rounds and takes they belong to; without a filter everything that
// the journal holds. What is written is one state of the file, and importing it
// into an empty journal and exporting that gives the same bytes. The error is
// w's own where it cannot be written to.
func (j *Journal) Export(ctx context.Context, w io.Writer, f Filter) error {
	out := newLineWriter(w)
	err := j.view(ctx, func(tx *sql.Tx) error {
		if err := out.parties(tx, f); err != nil {
			return err
		}
		if f == (Filter{}) {
			if err := out.judgements(tx, j.schema); err != nil {
				return err
			}
		}
		return j.eachRecord(tx, f, out.record)
	})
	if err != nil && out.err == nil {
		return err
	}
	return out.flush()
}

// eachRecord calls do with every brew that passes the filter, oldest first.
// End is what is stored.
func (j *Journal) eachRecord(tx *sql.Tx, f Filter, do func(Record) error) error {
	where, args, err := f.where(tx)
	if err != nil {
		return err
	}
	rows, err := gather(tx, scanBrew, "SELECT "+brewColumns+brewFrom+clause(where)+" ORDER BY b.start_ns, b.id", args...)
	if err != nil {
		return err
	}
	from := newReader(tx)
	for _, b := range rows {
		if f.End != "" && j.endOf(b.Brew) != f.End {
			continue
		}
		r, err := from.record(b)
		if err != nil {
			return err
		}
		if err := do(r); err != nil {
			return err
		}
	}
	return nil
}

// reader reads whole brews, and what many of them share only once.
type reader struct {
	tx    *sql.Tx
	plans map[int64]*brew.Plan
	texts map[int64]string
}

func newReader(tx *sql.Tx) *reader {
	return &reader{tx: tx, plans: map[int64]*brew.Plan{}, texts: map[int64]string{}}
}

// record reads all that belongs to a row. End is what is stored: "" for none.
// The error names the brew.
func (from *reader) record(b row) (Record, error) {
	r := Record{Brew: b.Brew}
	var err error
	if r.Plan, err = remembered(from.plans, b.plan, from.plan); err != nil {
		return r, of(b, err)
	}
	if r.Text, err = remembered(from.texts, b.text, from.text); err != nil {
		return r, of(b, err)
	}
	if err = fillRecord(from.tx, b.n, &r); err != nil {
		return r, of(b, err)
	}
	return r, of(b, fillParty(from.tx, &r))
}

func remembered[T any](known map[int64]T, n int64, read func(int64) (T, error)) (T, error) {
	if v, there := known[n]; there {
		return v, nil
	}
	v, err := read(n)
	if err == nil {
		known[n] = v
	}
	return v, err
}

func (from *reader) plan(n int64) (*brew.Plan, error) {
	var schema int
	var text string
	if err := from.tx.QueryRow("SELECT schema, json FROM plans WHERE n = ?", n).Scan(&schema, &text); err != nil {
		return nil, missing("plan", err)
	}
	return readPlan(schema, text)
}

func (from *reader) text(n int64) (text string, err error) {
	err = from.tx.QueryRow("SELECT text FROM texts WHERE n = ?", n).Scan(&text)
	return text, missing("text", err)
}
