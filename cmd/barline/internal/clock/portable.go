package clock

import "time"

// Portable is the clock that every platform has: Go's wall and monotonic
// clocks. Machine is this one where there is none better. The zero Portable
// is ready to use.
type Portable struct{}

// began is the zero of portable readings.
var began = time.Now()

// Now reads the clock.
func (Portable) Now() Reading {
	now := time.Now()
	elapsed := now.Sub(began)
	return Reading{Wall: now.Round(0), Elapsed: elapsed, Awake: elapsed, Kept: Monotonic}
}

// Kept returns Monotonic.
func (Portable) Kept() Kept { return Monotonic }

// Boot returns "": Elapsed of two processes cannot be compared here.
func (Portable) Boot() string { return "" }
