package journal

import (
	"context"
	"database/sql"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// ErrElsewhere says that a damaged file is not any more where it was found, or
// not damaged any more: another terminal has set it aside, mostly.
var ErrElsewhere = errors.New("the damaged journal is not there any more")

// SetAside renames the damaged journal that a fault is about, with its log, to
// a name with a time stamp and returns that, so that a new one can be begun in
// its place and nothing of the old is overwritten. Nothing but that very file
// is moved: what another terminal has begun there meanwhile is whole. Whoever
// writes to the file notices that it was moved. The caller decides whether the
// file is one that barline may move, as a person may have named something else
// altogether; see Fault.Ours. The error is ErrElsewhere, ErrLive while another
// terminal does the same, or a *Fault.
func SetAside(f *Fault, at time.Time) (string, error) {
	path := resolve(f.Path)
	alone, err := (&Journal{path: path}).lock("set-aside")
	if err != nil {
		return "", err
	}
	defer alone.release()
	if now, err := os.Stat(path); (err == nil) != (f.file != nil) || err == nil && !os.SameFile(now, f.file) {
		return "", ErrElsewhere
	}
	if f.file != nil && whole(path) {
		return "", ErrElsewhere
	}
	to := free(path + ".damaged-" + at.Format(asideStamp))
	// The file first: should the machine stop in between, Open takes a log
	// without its file for damaged, but a file without its log for whole.
	for _, suffix := range []string{"", "-wal", "-shm"} {
		if err := os.Rename(path+suffix, to+suffix); err != nil && !errors.Is(err, os.ErrNotExist) {
			return "", faultOf(path, err)
		}
	}
	if f.file == nil { // the name that is told should be there
		err = os.WriteFile(to, nil, 0o600)
	}
	return to, err
}

// whole reports whether a file has been put in order.
func whole(path string) bool {
	j := &Journal{path: path, options: Options{}.withDefaults()}
	defer j.Close()
	if size, err := j.precheck(); err != nil || size == 0 || j.openForReading("", j.inspect) != nil {
		return false
	}
	return j.Sound(context.Background()) == nil
}

// ClearLog moves the log of a journal that was moved or removed out of the way,
// where it was left behind: the next file of that name would take it for its
// own. The log of another file is left alone. at is for its new name.
func ClearLog(f *Fault, at time.Time) error {
	path := resolve(f.Path)
	alone, err := (&Journal{path: path}).lock("set-aside")
	if err != nil {
		return err
	}
	defer alone.release()
	log, err := os.Stat(path + "-wal")
	if err != nil || f.log == nil || !os.SameFile(log, f.log) {
		return nil
	}
	to := free(path + ".moved-" + at.Format(asideStamp))
	for _, suffix := range []string{"-wal", "-shm"} {
		if err := os.Rename(path+suffix, to+suffix); err != nil && !errors.Is(err, os.ErrNotExist) {
			return faultOf(path, err)
		}
	}
	return nil
}

// asideStamp is the form of the time in a name.
const asideStamp = "2006-01-02T150405"

// free returns a name that nothing of a journal has.
func free(stem string) string {
	name := stem
	for n := 2; taken(name); n++ {
		name = fmt.Sprintf("%s-%d", stem, n)
	}
	return name
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
	j, done, err := openCopy(resolve(path))
	if err != nil {
		return 0, nil, err
	}
	defer done()
	out := newLineWriter(w)
	numbers, err := j.everyNumber(ctx)
	if err != nil {
		return 0, nil, err
	}
	for _, n := range numbers {
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

// openCopy opens a copy of a damaged file: even a connection that cannot write
// throws a log away that has no file to belong to.
func openCopy(path string) (j *Journal, done func(), err error) {
	folder, err := os.MkdirTemp("", "barline-salvage-")
	if err != nil {
		return nil, nil, err
	}
	j = &Journal{path: filepath.Join(folder, FileName), options: Options{}.withDefaults()}
	done = func() {
		j.Close()
		os.RemoveAll(folder)
	}
	if err = copyWithLog(path, j.path); err == nil {
		err = j.openForReading(tolerant, func(db *sql.DB) error { return db.QueryRow("PRAGMA user_version").Scan(&j.schema) })
	}
	j.path = path // for what is told of it
	if err != nil {
		done()
		return nil, nil, aboutFile(path, err)
	}
	return j, done, nil
}

// copyWithLog copies a file and what was not yet brought into it. A file that
// was emptied is made long enough for its log to count.
func copyWithLog(from, to string) error {
	for _, suffix := range []string{"", "-wal", "-journal"} {
		text, err := os.Open(from + suffix)
		if errors.Is(err, os.ErrNotExist) && (suffix != "" || holds(from+"-wal")) {
			continue
		}
		if err != nil {
			return err
		}
		defer text.Close()
		file, err := os.OpenFile(to+suffix, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
		if err != nil {
			return err
		}
		if _, err := io.Copy(file, text); err != nil {
			return errors.Join(err, file.Close())
		}
		if err := file.Close(); err != nil {
			return err
		}
	}
	if info, err := os.Stat(to); holds(to+"-wal") && (err != nil || info.Size() < leastSize) {
		return os.WriteFile(to, make([]byte, leastSize), 0o600)
	}
	return mendHead(to)
}

// headSize is how long the head of a file is, and magic how it begins (SQLite's
// file format, section 1.3).
const (
	headSize = 100
	magic    = "SQLite format 3\x00"
)

// mendHead puts the head of a new journal on a copy whose own was overwritten,
// with the number of its pages and without a list of free ones.
func mendHead(path string) error {
	file, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	defer file.Close()
	head := make([]byte, headSize)
	info, err := file.Stat()
	if err != nil || info.Size() < headSize {
		return err
	}
	if _, err := file.ReadAt(head, 0); err != nil || string(head[:len(magic)]) == magic {
		return err
	}
	new, err := Open(path+".new", Options{})
	if err != nil {
		return err
	}
	if err := new.Close(); err != nil {
		return err
	}
	text, err := os.ReadFile(path + ".new")
	if err != nil {
		return err
	}
	copy(head, text)
	page := int64(binary.BigEndian.Uint16(head[16:]))
	binary.BigEndian.PutUint32(head[28:], uint32(info.Size()/page))
	copy(head[32:40], make([]byte, 8))
	_, err = file.WriteAt(head, 0)
	return err
}

// aboutFile makes an error one about the file at path.
func aboutFile(path string, err error) error {
	err = faultOf(path, err)
	var f *Fault
	if errors.As(err, &f) {
		f.Path = path
	}
	return err
}

// brewAlone stands in for brewFrom where rounds or takes cannot be read at all.
const brewAlone = " FROM brews b LEFT JOIN (SELECT NULL AS n, NULL AS id) r ON 0 LEFT JOIN (SELECT NULL AS n, NULL AS id) t ON 0 "

// salvage reads the brew with the number n: its plan and its events, and
// whatever else can be read of it. It returns what cannot.
func (j *Journal) salvage(ctx context.Context, n int64) (r Record, without []string, err error) {
	err = j.view(ctx, func(tx *sql.Tx) error {
		b, err := scanBrew(tx.QueryRow("SELECT "+brewColumns+brewFrom+"WHERE b.n = ?", n))
		if err != nil {
			if b, err = scanBrew(tx.QueryRow("SELECT "+brewColumns+brewAlone+"WHERE b.n = ?", n)); err == nil {
				without = append(without, "its round or take, if it has one")
			}
		}
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
// the table from both its ends, and each index that has them. The error is why
// none of these can be read.
func (j *Journal) everyNumber(ctx context.Context) (out []int64, err error) {
	known := map[int64]bool{}
	var faults []error
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
			faults = append(faults, err)
			continue
		}
		for rows.Next() {
			var n int64
			if rows.Scan(&n) == nil && !known[n] {
				known[n] = true
				out = append(out, n)
			}
		}
		if err := rows.Err(); err != nil {
			faults = append(faults, err)
		}
		rows.Close()
	}
	if len(out) == 0 && len(faults) > 0 {
		return nil, &Fault{Cause: Damaged, Path: j.path, Err: faults[0]}
	}
	return out, nil
}
