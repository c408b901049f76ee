package journal

import (
	"errors"
	"os"
	"path/filepath"
	"time"
)

// A brew under way is held by a lock on a file of its own beside the journal,
// which the system gives back when the process ends, so that a brew that
// nobody holds is known to have been cut off. The files are empty, and are
// left behind by a process that is killed.

// lock is a held lock.
type lock struct {
	file *os.File
	path string
}

func (j *Journal) lockDir() string { return j.path + "-live" }

func (j *Journal) lockPath(id string) string { return filepath.Join(j.lockDir(), id) }

// lock holds a brew; ErrLive where it is held already. Somebody who just
// looks whether it is held is waited for.
func (j *Journal) lock(id string) (*lock, error) {
	path := j.lockPath(id)
	if err := os.Mkdir(j.lockDir(), 0o700); err != nil && !errors.Is(err, os.ErrExist) {
		return nil, j.wrap(err)
	}
	for range 5 {
		l, err := tryLock(path)
		if l != nil || err != nil {
			return l, j.wrap(err)
		}
		time.Sleep(2 * time.Millisecond)
	}
	return nil, ErrLive
}

// tryLock returns nil and no error where the lock is held, or where its file
// went away under its hands.
func tryLock(path string) (*lock, error) {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return nil, err
	}
	ok, err := hold(f, true)
	if ok {
		open, _ := f.Stat()
		if named, err := os.Stat(path); err == nil && os.SameFile(open, named) {
			return &lock{f, path}, nil
		}
	}
	f.Close()
	return nil, err
}

// release gives the lock back. It may be called on nil.
func (l *lock) release() {
	if l != nil {
		drop(l.file, l.path)
	}
}

// sweep removes what processes that were killed have left behind.
func (j *Journal) sweep() {
	left, err := os.ReadDir(j.lockDir())
	if err != nil {
		return
	}
	for _, f := range left {
		if l, err := tryLock(j.lockPath(f.Name())); err == nil {
			l.release()
		}
	}
}

// live reports whether somebody holds the brew.
func (j *Journal) live(id string) bool {
	f, err := os.Open(j.lockPath(id))
	if err != nil {
		return false
	}
	defer f.Close()
	ok, err := hold(f, false)
	return err == nil && !ok
}
