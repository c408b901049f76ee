//go:build unix

package tui

import (
	"os"
	"time"

	"golang.org/x/sys/unix"
)

// waits is that comes can tell.
const waits = true

// comes reports whether a file has more to be read within a time.
func comes(f *os.File, within time.Duration) bool {
	ready := []unix.PollFd{{Fd: int32(f.Fd()), Events: unix.POLLIN}}
	n, err := unix.Poll(ready, int(within.Milliseconds()))
	return err == nil && n > 0
}
