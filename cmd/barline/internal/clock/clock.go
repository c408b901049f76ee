package clock

import "time"

// Kept says how elapsed time is kept.
type Kept string

// Boottime goes on while the machine sleeps; Monotonic may not.
const (
	Boottime  Kept = "boottime"
	Monotonic Kept = "monotonic"
)

// Clock is a machine's clock, or a Fake one.
type Clock interface {
	// Now reads the clock.
	Now() Reading
	// Kept says how Elapsed of its readings is kept.
	Kept() Kept
	// Boot identifies the present start of the machine, within which Elapsed
	// of different processes may be compared; "" where that is not so.
	Boot() string
}

// Reading is one look at the clock.
type Reading struct {
	// Wall is the time of day with the place's offset from UTC. It has no
	// monotonic part: Sub of two Walls is the difference of what was shown.
	Wall time.Time
	// Elapsed is since some moment in the past, the same for all readings of
	// one boot where the clock has a Boot, of one process elsewhere.
	Elapsed time.Duration
	// Awake is what Elapsed would be did it stop while the machine sleeps.
	Awake time.Duration
	// Kept says how Elapsed is kept.
	Kept Kept
}

// Since returns how long ago an earlier reading was taken.
func (r Reading) Since(before Reading) time.Duration { return r.Elapsed - before.Elapsed }

// WallAt returns the time of day that belongs to another moment of the same
// clock, with the offset from UTC that the place had or has then.
func (r Reading) WallAt(elapsed time.Duration) time.Time { return r.Wall.Add(elapsed - r.Elapsed) }
