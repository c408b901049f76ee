package journal

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"
	"syscall"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// Cause says why the journal's file cannot be used.
type Cause string

// The causes, told apart by SQLite's result code or the system's.
const (
	Full     Cause = "full"      // no room on the disk
	Locked   Cause = "locked"    // another program holds the file
	ReadOnly Cause = "read-only" // the file, its folder or its disk
	Damaged  Cause = "damaged"   // not what was written
	Newer    Cause = "newer"     // written by a newer barline
	Foreign  Cause = "foreign"   // a database, but not a journal
	Missing  Cause = "missing"   // cannot be opened where it should be
	Secret   Cause = "secret"    // whoever brews may not read it
	Moved    Cause = "moved"     // or removed, while it was in use
	Failing  Cause = "failing"   // the disk answers with errors
	Broken   Cause = "broken"    // a fault of barline's own
)

// Fault is why something was not saved or cannot be read. Error says it in one
// line, Hint one thing to do.
type Fault struct {
	Cause Cause
	Path  string // of the file
	Code  int    // SQLite's extended result code; 0 where it came from elsewhere
	Err   error  // what the driver or the system said; may be nil
	Ours  bool   // the file bears the mark of a journal

	file os.FileInfo // which file it is; nil where there was none
	log  os.FileInfo // of one that was moved, its log; nil where it had none
}

// Error says what is wrong with which file.
func (f *Fault) Error() string {
	words := map[Cause]string{
		Full:     "the disk is full: %s",
		Locked:   "another program holds the journal: %s",
		ReadOnly: "the journal cannot be written: %s",
		Damaged:  "the journal is damaged: %s",
		Newer:    "the journal was written by a newer barline: %s",
		Foreign:  "not a journal, but another program's database: %s",
		Missing:  "the journal cannot be opened: %s",
		Secret:   "no permission to read the journal: %s",
		Moved:    "the journal was moved or removed while it was in use: %s",
		Failing:  "the disk reports an error at the journal: %s",
		Broken:   "barline could not save to the journal: %s",
	}
	form := words[f.Cause]
	if f.Unmarked() {
		form = "not a journal, or one whose head is damaged: %s"
	}
	text := fmt.Sprintf(form, f.Path)
	if f.Path == "" {
		text = strings.TrimSuffix(text, ": ")
	}
	if f.Err != nil && (f.Cause == Missing || f.Cause == Failing || f.Cause == Broken) {
		text += ": " + f.Err.Error()
	}
	return text
}

// Unmarked reports whether a file that is taken for damaged does not bear the
// mark of a journal, so that it may be anything.
func (f *Fault) Unmarked() bool {
	return f.Cause == Damaged && !f.Ours && f.file != nil && f.file.Size() > 0
}

// Unwrap returns what the driver or the system said.
func (f *Fault) Unwrap() error { return f.Err }

// Hint returns one thing to do.
func (f *Fault) Hint() string {
	return map[Cause]string{
		Full:     "make room on the disk",
		Locked:   "close the other program that has the file open",
		ReadOnly: "allow writing to the file and its folder, or name another file with --journal",
		Damaged:  "keep the file: what can still be read of it can be saved to another",
		Newer:    "use the newer barline, or name another file with --journal",
		Foreign:  "name another file with --journal",
		Secret:   "allow reading the file and its folder, or name another file with --journal",
		Missing:  "check the path, or name another file with --journal",
		Moved:    "put the file back, or let a new one be begun",
		Failing:  "check the disk, and name a file on another one with --journal",
		Broken:   "keep the rescue file, and run 'barline journal verify'",
	}[f.Cause]
}

// Passes reports whether the fault may pass by itself, so that it is worth
// trying again.
func (f *Fault) Passes() bool { return f.Cause == Full || f.Cause == Locked || f.Cause == Failing }

// faultOf tells what an error of the driver or the system means. Errors that
// are not the file's doing come back as they are.
func faultOf(path string, err error) error {
	var driver *sqlite.Error
	var number syscall.Errno
	var known *Fault
	switch {
	case errors.As(err, &known):
		if known.Path == "" {
			known.Path = path
		}
		return err
	case errors.As(err, &driver):
		return (&Fault{Cause: causeOfCode(driver.Code()), Path: path, Code: driver.Code(), Err: err}).orSecret()
	case errors.As(err, &number):
		return (&Fault{Cause: causeOfErrno(number), Path: path, Err: number}).orSecret()
	}
	return err
}

// orSecret tells a file that may not be read from one that is not there, which
// SQLite does not, and from one that may not be written.
func (f *Fault) orSecret() *Fault {
	if f.Cause != Missing && f.Cause != ReadOnly {
		return f
	}
	for _, suffix := range []string{"", "-wal", "-shm"} {
		if f.Path != "" && isSecret(f.Path+suffix) {
			f.Cause = Secret
		}
	}
	return f
}

// causeOfCode maps SQLite's result codes (sqlite.org/rescode.html). The low
// byte is the primary code; an extended one is looked at where it says more.
func causeOfCode(code int) Cause {
	if code == sqlite3.SQLITE_IOERR_SHORT_READ {
		return Damaged // the file ends before its last page
	}
	if code == sqlite3.SQLITE_IOERR_SHMSIZE {
		return Full // of a log's index there is no room for
	}
	switch code & 0xff {
	case sqlite3.SQLITE_FULL:
		return Full
	case sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED, sqlite3.SQLITE_PROTOCOL:
		return Locked
	case sqlite3.SQLITE_READONLY, sqlite3.SQLITE_PERM, sqlite3.SQLITE_AUTH:
		return ReadOnly
	case sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB:
		return Damaged
	case sqlite3.SQLITE_CANTOPEN:
		return Missing
	case sqlite3.SQLITE_IOERR, sqlite3.SQLITE_NOMEM, sqlite3.SQLITE_NOLFS:
		return Failing
	}
	return Broken
}

// causeOfErrno maps the system's errors.
func causeOfErrno(number syscall.Errno) Cause {
	switch {
	case errors.Is(number, fs.ErrPermission), isReadOnly(number):
		return ReadOnly
	case isFull(number):
		return Full
	case isFailing(number):
		return Failing
	}
	return Missing
}
