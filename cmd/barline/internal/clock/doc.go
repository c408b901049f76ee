// Package clock is the one place that asks the machine for the time.
//
// A Reading says two things: what a clock on the wall shows, for people, and
// how far the machine's own clock has got, for measuring. The second neither
// jumps when somebody sets the wall clock nor stops while the machine sleeps
// (Linux: CLOCK_BOOTTIME). How long something took is always the difference
// of two Elapsed, never of two Wall.
//
// Elsewhere than on Linux Elapsed is Go's monotonic clock, the best there is
// without cgo: it does not jump, but it may stop while the machine sleeps. A
// sleep shows there as the wall clock running ahead, and cannot be told apart
// from a wall clock that was set forward; a Sleep then says so.
//
// The package keeps no state between readings and starts no timer.
package clock
