package journal

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"time"
)

// SetAside renames a damaged journal, with its log, to a name with a time
// stamp and returns that, so that a new one can be begun in its place and
// nothing of the old is overwritten. The caller decides whether the file is
// one that barline may move: one that a person named by hand may be something
// else altogether.
func SetAside(path string, at time.Time) (string, error) {
	path = resolve(path)
	stem := path + ".damaged-" + at.Format("2006-01-02T150405")
	to := stem
	for n := 2; taken(to); n++ {
		to = fmt.Sprintf("%s-%d", stem, n)
	}
	// The file first: should the machine stop in between, Open takes a log
	// without its file for damaged, but a file without its log for whole.
	for _, suffix := range []string{"", "-wal", "-shm"} {
		if err := os.Rename(path+suffix, to+suffix); err != nil && !errors.Is(err, os.ErrNotExist) {
			return "", faultOf(path, err)
		}
	}
	return to, nil
}

// taken reports whether anything of a journal has the name.
func taken(path string) bool {
	for _, suffix := range []string{"", "-wal", "-shm"} {
		if _, err := os.Lstat(path + suffix); err == nil {
			return true
		}
	}
	return false
}

// tolerant lets a connection read what it can of a file that is shorter than
// it says or whose schema is damaged; by itself SQLite then reads nothing. The
// driver sets this after all that the connection sets besides, in order of
// name, so none of that may need the schema.
const tolerant = "&_pragma=writable_schema(1)"

// Salvage writes every brew whose plan and events can still be read out of a
// damaged file, as lines that Import takes, and returns how many those are and
// what could not be read: a brew, or something of one. The file is not
// changed. The error is why nothing could be read.
func Salvage(ctx context.Context, path string, w io.Writer) (brews int, lost []Finding, err error) {
	j := &Journal{path: resolve(path), options: Options{}.withDefaults()}
	if err := j.openForReading(tolerant, func(db *sql.DB) error { return db.QueryRow("PRAGMA user_version").Scan(&j.schema) }); err != nil {
		return 0, nil, err
	}
	defer j.Close()
	out := newLineWriter(w)
	for _, n := range j.everyNumber(ctx) {
		r, without, err := j.salvage(ctx, n)
		if err != nil {
			lost = append(lost, Finding{CheckUnreadable, r.ID, strings.TrimSpace(fmt.Sprintf("number %d: %v", n, err))})
			continue
		}
		for _, what := range without {
			lost = append(lost, Finding{CheckUnreadable, r.ID, what})
		}
		if err := out.record(r); err != nil {
			return brews, lost, err
		}
		brews++
	}
	return brews, lost, out.flush()
}

// salvage reads the brew with the number n: its plan and its events, and
// whatever else can be read of it. It returns what cannot.
func (j *Journal) salvage(ctx context.Context, n int64) (r Record, without []string, err error) {
	err = j.view(ctx, func(tx *sql.Tx) error {
		b, err := scanBrew(tx.QueryRow("SELECT "+brewColumns+brewFrom+"WHERE b.n = ?", n))
		if err != nil {
			return err
		}
		r.Brew = b.Brew
		from := newReader(tx)
		if r.Plan, err = from.plan(b.plan); err != nil {
			return err
		}
		if r.Events, err = ofBrew.all(tx, n); err != nil {
			return err
		}
		if r.Text, err = from.text(b.text); err != nil {
			r.Text, without = "", append(without, "its recipe's text")
		}
		if r.Readings, err = readingsOf(tx, n); err != nil || checkChain(r.Readings, Reading.chain) != nil {
			r.Readings, without = nil, append(without, "its readings")
		}
		if r.Weights, err = weightsOf(tx, n); err != nil || checkChain(r.Weights, Weight.chain) != nil {
			r.Weights, without = nil, append(without, "its weights")
		}
		if err := fillParty(tx, &r); err != nil {
			r.Round, r.Take, without = "", "", append(without, "its round or take")
		}
		return r.check()
	})
	return r, without, err
}

// everyNumber gathers the numbers of all brews from wherever they are written:
// the table from both its ends, and each index that has them.
func (j *Journal) everyNumber(ctx context.Context) []int64 {
	known := map[int64]bool{}
	var out []int64
	for _, query := range []string{
		"SELECT n FROM brews NOT INDEXED ORDER BY n",
		"SELECT n FROM brews NOT INDEXED ORDER BY n DESC",
		"SELECT n FROM brews INDEXED BY brews_by_start ORDER BY start_ns, id",
		"SELECT n FROM brews INDEXED BY brews_by_start ORDER BY start_ns DESC, id DESC",
		"SELECT n FROM brews INDEXED BY brews_by_kind ORDER BY kind, start_ns, id",
		"SELECT DISTINCT brew FROM events ORDER BY brew",
		"SELECT DISTINCT brew FROM events ORDER BY brew DESC",
	} {
		rows, err := j.read.QueryContext(ctx, query)
		if err != nil {
			continue
		}
		for rows.Next() {
			var n int64
			if rows.Scan(&n) == nil && !known[n] {
				known[n] = true
				out = append(out, n)
			}
		}
		rows.Close()
	}
	return out
}
