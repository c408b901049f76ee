//go:build !unix

package tui

import (
	"os"
	"time"
)

// waits is that comes can tell.
const waits = false

// comes reports whether a file has more to be read within a time, which is
// not to be known here.
func comes(*os.File, time.Duration) bool { return false }
