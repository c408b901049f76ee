//go:build unix

package journal

import "syscall"

func isReadOnly(e syscall.Errno) bool { return e == syscall.EROFS }

func isFull(e syscall.Errno) bool { return e == syscall.ENOSPC || e == syscall.EDQUOT }

func isFailing(e syscall.Errno) bool { return e == syscall.EIO }
