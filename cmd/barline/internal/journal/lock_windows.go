package journal

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// hold takes the file's lock without waiting, alone or together with others;
// ok is false where somebody else is in the way. Windows gives the lock back
// some time after the process has ended, it does not say how soon.
func hold(f *os.File, alone bool) (ok bool, err error) {
	var how uint32 = windows.LOCKFILE_FAIL_IMMEDIATELY
	if alone {
		how |= windows.LOCKFILE_EXCLUSIVE_LOCK
	}
	err = windows.LockFileEx(windows.Handle(f.Fd()), how, 0, 1, 0, new(windows.Overlapped))
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) {
		return false, nil
	}
	return err == nil, err
}

// drop gives the lock back and removes its file, which cannot go while it is
// open.
func drop(f *os.File, path string) {
	f.Close()
	os.Remove(path)
}
