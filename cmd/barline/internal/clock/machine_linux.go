package clock

import (
	"os"
	"strings"
	"time"

	"golang.org/x/sys/unix"
)

// Machine is this machine's clock. The zero Machine is ready to use.
type Machine struct{}

// Now reads the clocks one after the other, the wall's first.
func (Machine) Now() Reading {
	return Reading{
		Wall:    time.Now().Round(0),
		Elapsed: read(unix.CLOCK_BOOTTIME),
		Awake:   read(unix.CLOCK_MONOTONIC),
		Kept:    Boottime,
	}
}

// Kept returns Boottime.
func (Machine) Kept() Kept { return Boottime }

// Boot returns the kernel's boot id, "" where it cannot be read.
func (Machine) Boot() string {
	id, err := os.ReadFile("/proc/sys/kernel/random/boot_id")
	if err != nil {
		return ""
	}
	return strings.TrimSpace(string(id))
}

// read panics where the kernel lacks the clock: every kernel since 2.6.39 has
// both.
func read(id int32) time.Duration {
	var ts unix.Timespec
	if err := unix.ClockGettime(id, &ts); err != nil {
		panic("clock: " + err.Error())
	}
	return time.Duration(ts.Nano())
}
