package journal

import (
	"syscall"

	"golang.org/x/sys/windows"
)

func isReadOnly(e syscall.Errno) bool { return e == windows.ERROR_WRITE_PROTECT }

func isFull(e syscall.Errno) bool {
	return e == windows.ERROR_DISK_FULL || e == windows.ERROR_HANDLE_DISK_FULL
}

func isFailing(e syscall.Errno) bool { return e == windows.ERROR_IO_DEVICE || e == windows.ERROR_CRC }
