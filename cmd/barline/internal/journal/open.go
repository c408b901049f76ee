package journal

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"modernc.org/sqlite"
)

// Options are what may be set when a journal is opened. The zero Options are
// right for the program.
type Options struct {
	// Busy is how long one write waits for another program's; 0 is 2 s.
	Busy time.Duration
	// Retry is the first wait before trying again to save what could not be
	// saved, and doubles up to four times itself; 0 is 250 ms.
	Retry time.Duration
	// BeforeWrite, where it is not nil, is called ahead of each transaction of
	// a Recorder, in its own goroutine, and the write fails with what it
	// returns: a slow or a failing disk, for tests.
	BeforeWrite func() error
}

func (o Options) withDefaults() Options {
	if o.Busy == 0 {
		o.Busy = 2 * time.Second
	}
	if o.Retry == 0 {
		o.Retry = 250 * time.Millisecond
	}
	if o.BeforeWrite == nil {
		o.BeforeWrite = func() error { return nil }
	}
	return o
}

// Journal is an open file. It is safe for concurrent use.
type Journal struct {
	path    string
	options Options
	write   *sql.DB // one connection
	read    *sql.DB
	fault   *Fault                      // why it is open for reading alone; nil where it is not
	schema  int                         // of the file
	is      os.FileInfo                 // which file it is; nil while there is none
	log     atomic.Pointer[os.FileInfo] // which file its log was at the latest write
	ours    bool                        // it bears the mark of a journal

	gathering sync.Mutex // held while many brews are gathered, which takes two connections

	looking sync.Mutex
	looked  bool   // through all of the file
	unsound *Fault // what was found; nil where all is well
}

// Open opens the journal at path and brings it to the present schema; a file
// that is not there is made, with its folder. The error is a *Fault; then the
// file is as it was. A file that can be read but not written is opened all the
// same: see ReadOnly.
func Open(path string, o Options) (*Journal, error) {
	o = o.withDefaults()
	if path == "" {
		return nil, &Fault{Cause: Missing, Err: errors.New("no place is known for it")}
	}
	for began := time.Now(); ; time.Sleep(5 * time.Millisecond) {
		j := &Journal{path: resolve(path), options: o}
		err := j.wrap(j.open())
		if err == nil {
			return j, nil
		}
		j.Close()
		// While two terminals make or recover the file at once, SQLite says
		// that it is locked without having waited.
		if causeOf(err) != Locked || time.Since(began) > o.Busy {
			return nil, err
		}
	}
}

// resolve returns the path by which all who open the file know it, so that
// they look for the same locks beside it.
func resolve(path string) string {
	if abs, err := filepath.Abs(path); err == nil {
		path = abs
	}
	if real, err := filepath.EvalSymlinks(path); err == nil {
		return real
	}
	if to, err := os.Readlink(path); err == nil { // to where nothing is yet
		if !filepath.IsAbs(to) {
			to = filepath.Join(filepath.Dir(path), to)
		}
		path = to
	}
	if dir, err := filepath.EvalSymlinks(filepath.Dir(path)); err == nil {
		return filepath.Join(dir, filepath.Base(path))
	}
	return path
}

// Path returns where the file is.
func (j *Journal) Path() string { return j.path }

// ReadOnly returns why nothing can be saved in this file, nil where it can.
func (j *Journal) ReadOnly() *Fault { return j.fault }

// Schema returns the number of the file's schema.
func (j *Journal) Schema() int { return j.schema }

// Durability is how the file is set, as SQLite says it.
type Durability struct {
	Log         string // wal
	Synchronous string // full: a write is on the disk before it counts
	FullSync    bool   // the disk's own memory is emptied too, on macOS, where it is not otherwise
	Links       bool   // no row can lose what it belongs to
}

// Durability asks the connection that writes. It is what durable means after
// a power cut.
func (j *Journal) Durability(ctx context.Context) (d Durability, err error) {
	if j.fault != nil {
		return d, j.fault
	}
	var level int
	err = j.write.QueryRowContext(ctx, "SELECT journal_mode, synchronous, fullfsync, foreign_keys "+
		"FROM pragma_journal_mode, pragma_synchronous, pragma_fullfsync, pragma_foreign_keys").
		Scan(&d.Log, &level, &d.FullSync, &d.Links)
	if levels := []string{"off", "normal", "full", "extra"}; level >= 0 && level < len(levels) {
		d.Synchronous = levels[level]
	}
	return d, j.wrap(err)
}

// Close closes the file. Recorders that have not ended save nothing more.
func (j *Journal) Close() error {
	var errs []error
	for _, db := range []*sql.DB{j.read, j.write} {
		if db != nil {
			errs = append(errs, db.Close())
		}
	}
	return j.wrap(errors.Join(errs...))
}

// wrap makes the file's own errors faults, which know the file.
func (j *Journal) wrap(err error) error {
	if err == nil {
		return nil
	}
	err = faultOf(j.path, err)
	var f *Fault
	if errors.As(err, &f) && j.is != nil && (f.file == nil || !f.Ours && j.ours) {
		f.file, f.Ours = j.is, j.ours
	}
	return err
}

// here returns a fault where the file is not any more where it was opened. One
// that was moved or removed takes what is written, but nobody will find that.
func (j *Journal) here() error {
	now, err := os.Stat(j.path)
	if j.is == nil || err == nil && os.SameFile(j.is, now) {
		if log, err := os.Stat(j.path + "-wal"); err == nil {
			j.log.Store(&log)
		}
		return nil
	}
	f := &Fault{Cause: Moved, Path: j.path, Err: err, Ours: j.ours, file: j.is}
	if log := j.log.Load(); log != nil {
		f.log = *log
	}
	return f
}

// Here returns a *Fault where the file was moved or removed since it was
// opened.
func (j *Journal) Here() error { return j.here() }

// rereads looks at the file as somebody would who opens it now.
func (j *Journal) rereads() error {
	again := &Journal{path: j.path, options: j.options}
	err := again.openForReading("", again.inspect)
	if err := again.Close(); err != nil {
		return j.wrap(err)
	}
	return j.wrap(err)
}

// open looks at a file that is there through a connection that cannot write,
// before one that can: closing the latter brings the log into the file, which
// must not happen to a file that is damaged or another program's.
func (j *Journal) open() error {
	size, err := j.precheck()
	if err == nil && size > 0 && holds(j.path+"-journal") {
		size, err = j.rollBack()
	}
	if err != nil {
		return err
	}
	if size > 0 {
		if err := j.openForReading("", j.inspect); err != nil {
			j.ours = j.ours || causeOf(err) == Damaged && j.bearsMark()
			return err
		}
		if j.schema > Schema {
			j.fault = &Fault{Cause: Newer, Path: j.path}
		}
		if j.fault != nil {
			return nil
		}
	}
	err = j.openForWriting()
	var f *Fault
	if size > 0 && errors.As(err, &f) && f.Cause == ReadOnly {
		j.fault, err = f, nil
	}
	if err == nil {
		j.is, err = os.Stat(j.path)
	}
	return err
}

func (j *Journal) openForWriting() (err error) {
	if err := os.MkdirAll(filepath.Dir(j.path), 0o700); err != nil {
		return j.wrap(err)
	}
	// As durable as fsync where there is fdatasync, and as SQLite's own builds
	// do it there; the time stamp that it leaves out costs a slow disk most.
	sqlite.Fdatasync(true)
	if j.write, err = sql.Open("sqlite", j.source("rwc", "")); err != nil {
		return err
	}
	j.write.SetMaxOpenConns(1)
	if err := j.useLog(); err != nil {
		return j.explained(j.wrap(err))
	}
	if j.is == nil {
		j.keepPrivate()
	}
	j.looked = j.schema == 0 // it is new
	if err := j.migrate(context.Background()); err != nil {
		return err
	}
	j.sweep()
	if j.read != nil {
		return nil
	}
	if j.read, err = sql.Open("sqlite", j.source("ro", "")); err == nil {
		j.read.SetMaxOpenConns(4)
	}
	return err
}

// keepPrivate lets nobody else read a file that was just made; its log follows
// whenever it is made anew. On a disk that knows no such thing nothing changes.
func (j *Journal) keepPrivate() {
	for _, suffix := range []string{"", "-wal", "-shm"} {
		os.Chmod(j.path+suffix, 0o600)
	}
}

// explained finds the reason where SQLite says only that it cannot open a new
// file: it asks the system to make it.
func (j *Journal) explained(err error) error {
	var f *Fault
	if !errors.As(err, &f) || f.Cause != Missing {
		return err
	}
	made, reason := os.OpenFile(j.path, os.O_CREATE|os.O_EXCL|os.O_RDWR, 0o600)
	if errors.Is(reason, os.ErrExist) {
		return &Fault{Cause: ReadOnly, Path: j.path, Code: f.Code, Err: f.Err}
	}
	if reason != nil {
		return j.wrap(reason)
	}
	made.Close()
	os.Remove(j.path)
	return err
}

// leastSize is that of SQLite's smallest page, in bytes.
const leastSize = 512

// holds reports whether there is something in a file.
func holds(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.Size() > 0
}

// rollBack undoes what a program that was killed had begun to write before the
// log was in use, which is while it made the file: a connection that cannot
// write would read what is half written, or nothing.
func (j *Journal) rollBack() (size int64, err error) {
	db, err := sql.Open("sqlite", j.source("rw", ""))
	if err != nil {
		return 0, err
	}
	var tables int
	err = db.QueryRow("SELECT count(*) FROM sqlite_schema").Scan(&tables)
	if err := errors.Join(err, db.Close()); err != nil {
		return 0, j.wrap(err)
	}
	return j.precheck()
}

// precheck looks at the file without opening it: SQLite would take a file of
// next to no length for a new one and throw away what its log still holds, and
// closing a file that the driver has open would drop the driver's locks.
func (j *Journal) precheck() (size int64, err error) {
	logged := holds(j.path + "-wal") // first: whoever makes the file writes to it before its log
	info, err := os.Stat(j.path)
	switch {
	case errors.Is(err, os.ErrNotExist):
	case err != nil:
		return 0, j.wrap(err)
	case !info.Mode().IsRegular():
		return 0, &Fault{Cause: Missing, Path: j.path, Err: errors.New("it is not a file")}
	default:
		size, j.is = info.Size(), info
	}
	if size > 0 && size < leastSize || size == 0 && logged {
		return 0, j.wrap(&Fault{Cause: Damaged, Path: j.path, Err: errors.New("it is cut short")})
	}
	return size, nil
}

// source names the file to the driver, with what each connection sets.
func (j *Journal) source(mode, more string) string {
	path := filepath.ToSlash(j.path)
	if !strings.HasPrefix(path, "/") {
		path = "/" + path
	}
	pragmas := fmt.Sprintf("&_pragma=busy_timeout(%d)&_pragma=cell_size_check(1)&_pragma=trusted_schema(0)&_dqs=0&_error_rc=1", j.options.Busy.Milliseconds())
	if mode != "ro" {
		pragmas += "&_pragma=foreign_keys(1)&_pragma=synchronous(FULL)&_pragma=fullfsync(1)&_pragma=secure_delete(1)&_txlock=immediate"
	}
	return (&url.URL{Scheme: "file", Path: path}).String() + "?mode=" + mode + more + pragmas
}

// openForReading opens a file that is there, and looks at it. Where the log's
// index cannot be made, on a disk that cannot be written, and there is nothing
// in a log, the file is read as one that nobody changes. more is for the file's source.
func (j *Journal) openForReading(more string, look func(*sql.DB) error) error {
	err := j.tryReading(more, look)
	var f *Fault
	if !errors.As(err, &f) || f.Cause != Missing && f.Cause != ReadOnly {
		return err
	}
	if holds(j.path+"-wal") || holds(j.path+"-journal") {
		return f
	}
	j.fault = &Fault{Cause: ReadOnly, Path: j.path, Code: f.Code, Err: f.Err}
	return j.tryReading(more+"&immutable=1", look)
}

func (j *Journal) tryReading(more string, look func(*sql.DB) error) error {
	db, err := sql.Open("sqlite", j.source("ro", more))
	if err != nil {
		return err
	}
	db.SetMaxOpenConns(4)
	if err := look(db); err != nil {
		db.Close()
		return j.wrap(err)
	}
	j.read = db
	return nil
}

// inspect finds out what kind of file it is.
func (j *Journal) inspect(db *sql.DB) error {
	tx, err := db.Begin() // of one state of the file, which somebody may be making
	if err != nil {
		return err
	}
	defer tx.Rollback()
	var id, page, tables, ours int
	err = tx.QueryRow("SELECT application_id, page_size FROM pragma_application_id, pragma_page_size").Scan(&id, &page)
	if j.ours = err == nil && id == applicationID; err != nil {
		return err
	}
	err = tx.QueryRow("SELECT (SELECT user_version FROM pragma_user_version), count(*), "+
		"count(*) FILTER (WHERE name IN ('brews', 'events')) FROM sqlite_schema WHERE type = 'table'").
		Scan(&j.schema, &tables, &ours)
	damaged := func(why string) error { return &Fault{Cause: Damaged, Path: j.path, Err: errors.New(why)} }
	switch {
	case err != nil:
		return err
	case id != applicationID && ours == 2:
		return damaged("its mark is not a journal's")
	case id != applicationID && tables > 0:
		return &Fault{Cause: Foreign, Path: j.path}
	case j.cut(page):
		return damaged("its last page is cut short")
	case id == applicationID && ours < 2:
		return damaged("it lacks its tables")
	case id == applicationID && j.schema < 1:
		return damaged("it lacks its schema's number")
	case tables == 0:
		return nil
	}
	return tx.QueryRow("SELECT count(*) FROM brews WHERE n = 0").Scan(&ours)
}

// bearsMark reports whether a damaged file says that it is a journal.
func (j *Journal) bearsMark() bool {
	for _, more := range []string{tolerant, tolerant + "&immutable=1"} {
		db, err := sql.Open("sqlite", j.source("ro", more))
		if err != nil {
			return false
		}
		var id int
		err = db.QueryRow("PRAGMA application_id").Scan(&id)
		db.Close()
		if err == nil {
			return id == applicationID
		}
	}
	return false
}

// cut reports whether the file ends within a page. SQLite would fill that up
// with zeros at the next write.
func (j *Journal) cut(page int) bool {
	info, err := os.Stat(j.path)
	return err == nil && info.Size()%int64(page) != 0
}

// useLog sets the write-ahead log, which stays set in the file, and finds out
// whether the file can be written at all.
func (j *Journal) useLog() error {
	var mode string
	if err := j.write.QueryRow("PRAGMA journal_mode = WAL").Scan(&mode); err != nil {
		return err
	}
	if mode != "wal" {
		return &Fault{Cause: Failing, Path: j.path, Err: fmt.Errorf("the disk cannot hold a write-ahead log, only %q", mode)}
	}
	tx, err := j.write.Begin()
	if err != nil {
		return err
	}
	return tx.Rollback()
}
