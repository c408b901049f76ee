package clock

import (
	"sync"
	"time"
)

// Fake is a clock that moves only when it is told to. It is safe for
// concurrent use.
type Fake struct {
	mu   sync.Mutex
	now  Reading
	boot string
}

// NewFake returns a clock that shows the given time of day, in its place, and
// is kept in the given way. Its Elapsed begins at an hour, as on a machine
// that has been up for so long.
func NewFake(wall time.Time, kept Kept, boot string) *Fake {
	return &Fake{now: Reading{Wall: wall.Round(0), Elapsed: time.Hour, Awake: time.Hour, Kept: kept}, boot: boot}
}

// Now returns the present reading.
func (f *Fake) Now() Reading {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.now
}

// Kept returns how the clock is kept.
func (f *Fake) Kept() Kept { return f.Now().Kept }

// Boot returns the id that the clock was made with, or that of the last
// Reboot.
func (f *Fake) Boot() string {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.boot
}

// Advance lets time pass while the machine runs.
func (f *Fake) Advance(d time.Duration) { f.pass(d, d, d) }

// Sleep lets time pass while the machine sleeps: a monotonic clock stops.
func (f *Fake) Sleep(d time.Duration) {
	if f.Kept() == Boottime {
		f.pass(d, d, 0)
		return
	}
	f.pass(d, 0, 0)
}

// SetWall sets the clock on the wall, as a person or the network does.
func (f *Fake) SetWall(t time.Time) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.now.Wall = t.Round(0)
}

// Reboot starts the machine anew after it was off for a while: Elapsed begins
// again at zero.
func (f *Fake) Reboot(off time.Duration, boot string) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.now.Wall = f.now.Wall.Add(off)
	f.now.Elapsed, f.now.Awake, f.boot = 0, 0, boot
}

func (f *Fake) pass(wall, elapsed, awake time.Duration) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.now.Wall = f.now.Wall.Add(wall)
	f.now.Elapsed += elapsed
	f.now.Awake += awake
}
