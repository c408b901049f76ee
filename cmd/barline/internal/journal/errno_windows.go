package journal

import (
	"syscall"

	"golang.org/x/sys/windows"
)

func isReadOnly(e syscall.Errno) bool { return e == windows.ERROR_WRITE_PROTECT }

func isFull(e syscall.Errno) bool {
	return e == windows.ERROR_DISK_FULL || e == windows.ERROR_HANDLE_DISK_FULL
}

// isSecret cannot tell here without opening the file.
func isSecret(string) bool { return false }

func isFailing(e syscall.Errno) bool { return e == windows.ERROR_IO_DEVICE || e == windows.ERROR_CRC }
