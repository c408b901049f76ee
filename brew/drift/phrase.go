package drift

import (
	"strconv"
	"strings"

	"barline/brew"
)

// clocked says when the beat was, by the written clock.
func (r Row) clocked() string {
	if Tenths(r.Drift) == 0 {
		return r.happened() + " as written"
	}
	return r.happened() + " " + figure(r.Drift.Abs()) + " " + lateOrEarly(r.Drift)
}

// made says how far off its own call the beat was.
func (r Row) made() string {
	if Tenths(r.Carried) == 0 {
		return r.happened() + " " + figure(r.Slip.Abs()) + " " + lateOrEarly(r.Slip)
	}
	than := " later than called"
	if r.Slip < 0 {
		than = " earlier than called"
	}
	return r.happened() + " " + figure(r.Slip.Abs()) + than
}

// bed says how far off by itself the bed was.
func (r Row) bed() string {
	if Tenths(r.Carried) == 0 {
		return r.made()
	}
	than := " longer than written"
	if r.Slip < 0 {
		than = " less than written"
	}
	return "the bed took " + figure(r.Slip.Abs()) + than
}

// unknown says why nobody is judged by the slip.
func (r Row) unknown() string {
	return "the bed before it was not marked, or not done when this was called"
}

// happened names the beat as what happened then. What the bed did by itself
// is told from what it inherited.
func (r Row) happened() string {
	if r.Owner == brew.Bed && Tenths(r.Carried) == 0 {
		return "the bed drained"
	}
	step := strings.TrimPrefix(r.Step, "the ")
	if r.Edge == brew.StartEdge {
		return "the " + step + " began"
	}
	return "the " + step + " ended"
}

var numbers = [...]string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"}

// number returns small numbers as words.
func number(n int) string {
	if n < len(numbers) {
		return numbers[n]
	}
	return strconv.Itoa(n)
}

// times counts things: one as given, more with their number before.
func times(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return number(n) + " " + many
}

func of(n, all int) string { return number(n) + " of " + number(all) + " beats" }
