package drift

import (
	"strconv"
	"time"

	"barline/brew"
)

// Verdict is what is said of a drift, a slip or a length; the zero Verdict is
// that nothing can be said.
type Verdict string

// The verdicts. A beat is on time, early or late; a length is as written,
// shorter or longer.
const (
	NoVerdict Verdict = ""
	OnTime    Verdict = "on time"
	Early     Verdict = "early"
	Late      Verdict = "late"
	AsWritten Verdict = "as written"
	Shorter   Verdict = "shorter"
	Longer    Verdict = "longer"
)

// Off reports whether the verdict is one of being outside the window.
func (v Verdict) Off() bool { return v != NoVerdict && v != OnTime && v != AsWritten }

// Tenths returns d to a tenth of a second, halves away from zero: what is
// shown of it, and what it is judged by.
func Tenths(d time.Duration) time.Duration { return d.Round(100 * time.Millisecond) }

// Judge says whether a beat that is off by d is on time in the window. It
// judges what is shown, so both are taken to a tenth: +3.04 s is on time in a
// window of 3 s, for it reads +3.0 s.
func Judge(d time.Duration, w brew.Window) Verdict {
	shown := brew.Window{Early: Tenths(w.Early), Late: Tenths(w.Late)}
	switch {
	case shown.Holds(Tenths(d)):
		return OnTime
	case d < 0:
		return Early
	}
	return Late
}

// lateOrEarly is the bare sign of a time off, for one that no window judges.
func lateOrEarly(d time.Duration) string {
	if d < 0 {
		return string(Early)
	}
	return string(Late)
}

// figure returns a length of time to a tenth: 6.2 s, 1 min 15.3 s.
func figure(d time.Duration) string {
	d = Tenths(d)
	if d < time.Minute {
		return strconv.FormatFloat(d.Seconds(), 'f', 1, 64) + " s"
	}
	return brew.Spoken(d)
}
