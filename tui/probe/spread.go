package probe

import (
	"fmt"
	"time"

	"barline/brew/drift/stat"
)

// Spread is how many times were measured, and how they lie. The zero Spread
// is of none.
type Spread struct {
	N             int
	P50, P99, Max time.Duration
}

// SpreadOf returns the spread of measured times, in any order.
func SpreadOf(times []time.Duration) Spread {
	if len(times) == 0 {
		return Spread{}
	}
	seconds := make([]float64, len(times))
	for i, t := range times {
		seconds[i] = t.Seconds()
	}
	at := func(share float64) time.Duration {
		return time.Duration(stat.Quantile(seconds, share) * float64(time.Second))
	}
	return Spread{N: len(times), P50: at(0.5), P99: at(0.99), Max: at(1)}
}

// Millis returns a time in milliseconds with one decimal, below one with two.
func Millis(t time.Duration) string {
	ms := t.Seconds() * 1000
	if ms < 1 {
		return fmt.Sprintf("%.2f ms", ms)
	}
	return fmt.Sprintf("%.1f ms", ms)
}
