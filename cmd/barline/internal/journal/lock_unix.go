//go:build unix

package journal

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// hold takes the file's lock without waiting, alone or together with others;
// ok is false where somebody else is in the way. The kernel gives the lock
// back when the process ends, however it ends.
func hold(f *os.File, alone bool) (ok bool, err error) {
	how := unix.LOCK_SH
	if alone {
		how = unix.LOCK_EX
	}
	err = unix.Flock(int(f.Fd()), how|unix.LOCK_NB)
	switch {
	case errors.Is(err, unix.EWOULDBLOCK):
		return false, nil
	case errors.Is(err, unix.ENOLCK), errors.Is(err, unix.ENOTSUP), errors.Is(err, unix.ENOSYS):
		return true, nil // a disk without locks: saving comes before telling who brews
	}
	return err == nil, err
}

// drop gives the lock back and removes its file, in the order that lets
// nobody lock a file that is about to go.
func drop(f *os.File, path string) {
	os.Remove(path)
	f.Close()
}
