//go:build unix

package journal

import "syscall"

func isReadOnly(e syscall.Errno) bool { return e == syscall.EROFS }

func isFull(e syscall.Errno) bool { return e == syscall.ENOSPC || e == syscall.EDQUOT }

// isSecret reports whether the file may not be read. It is not opened for that:
// closing it again would drop the driver's locks.
func isSecret(path string) bool {
	const read = 4 // R_OK of access (POSIX)
	return syscall.Access(path, read) == syscall.EACCES
}

func isFailing(e syscall.Errno) bool { return e == syscall.EIO }
