package clock

import (
	"time"

	"barline/brew"
)

// Sleep is a stretch in which the machine did not run, between two readings.
type Sleep struct {
	Length time.Duration
	// Certain is false where the wall clock may have been set forward
	// instead: the two cannot be told apart there.
	Certain bool
}

// The shortest sleeps that are told. Two clocks read one after the other
// differ by less than 4 ms (measured), so 250 ms is never noise. Where only
// the wall clock can tell, it is also steered by the network's time, by half a
// millisecond a second at most (common practice, no source), so 2 s is not
// that within an hour.
const (
	LeastSleep        = 250 * time.Millisecond
	LeastSleepByWall  = 2 * time.Second
	finestSleepLength = 100 * time.Millisecond
)

// SleptSince reports whether the machine slept between an earlier reading of
// the same clock and this one, and how long.
func (r Reading) SleptSince(before Reading) (Sleep, bool) {
	if r.Kept == Boottime {
		slept := r.Since(before) - (r.Awake - before.Awake)
		return Sleep{Length: slept, Certain: true}, slept > LeastSleep
	}
	ahead := r.Wall.Sub(before.Wall) - r.Since(before)
	return Sleep{Length: ahead}, ahead > LeastSleepByWall
}

// String says it in words that can stand on the screen and in the record.
func (s Sleep) String() string {
	long := brew.Spoken(s.Length.Round(finestSleepLength))
	if s.Certain {
		return "the machine slept for " + long
	}
	return "the machine slept for " + long + ", or its clock was set forward: it cannot be told apart here"
}
