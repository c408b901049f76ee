package probe

import (
	"fmt"
	"slices"
	"time"

	"barline/brew/drift/stat"
	"barline/tui/keys"
)

// Hand is a fold of the keys that arrived: which came last, how often a mark
// key was pressed, and how one repeats that is held down. The zero Hand has
// seen nothing. It is a value: Press returns the hand that has seen the press.
type Hand struct {
	Key     string // the last key, by the name that people know; "" for none
	Marks   bool   // it is one that marks
	Presses int    // marks that were taken, held keys as one
	Held    Held   // the latest mark key that was held; the zero one for none

	guard keys.Guard
	run   run
}

// Held is a key that was held down.
type Held struct {
	Key    string
	First  time.Duration // from the press to the first repeat
	Every  time.Duration // the middle time from one repeat to the next
	Events int           // the press and its repeats
	Marks  int           // that were taken of them: one is right
}

// run is one key again and again, without a long pause.
type run struct {
	events int
	last   time.Duration // of its last event
	first  time.Duration // from its first event to the second
	gaps   []float64     // between the later ones, in seconds
	marks  int
}

const (
	// longestGap is what a pause between the events of a held key stays
	// below, whatever the terminal is set to; it is longer than what the
	// guard of the pages allows for, or no hold could be found that the guard
	// takes for two.
	longestGap = 1500 * time.Millisecond
	// A hand does not press as fast or as evenly: this many events, and their
	// middle gap no longer than this, are a held key.
	leastHeld    = 5
	longestEvery = 175 * time.Millisecond
	// mostGaps is how many of the latest gaps are kept.
	mostGaps = 256
)

// Press takes a key in; mark says that it is one that marks.
func (h Hand) Press(p keys.Press, mark bool) Hand {
	name := keys.Name(p.String())
	var taken bool
	h.guard, taken = h.guard.Admit(p, keys.Hold)
	if name != h.Key || p.At-h.run.last > longestGap {
		h.run = run{}
	}
	h.Key, h.Marks = name, mark
	if !mark {
		return h
	}
	if taken {
		h.Presses++
		h.run.marks++
	}
	h.run = h.run.event(p.At)
	if held, ok := h.run.held(name); ok {
		h.Held = held
	}
	return h
}

// event returns the run with one more event.
func (r run) event(at time.Duration) run {
	switch gap := at - r.last; r.events {
	case 0:
	case 1:
		r.first = gap
	default:
		r.gaps = append(slices.Clip(r.gaps), gap.Seconds())
		r.gaps = r.gaps[max(0, len(r.gaps)-mostGaps):]
	}
	r.events++
	r.last = at
	return r
}

// held returns the run as a held key, if it is one.
func (r run) held(key string) (Held, bool) {
	if r.events < leastHeld {
		return Held{}, false
	}
	every := time.Duration(stat.Median(slices.Clone(r.gaps)) * float64(time.Second))
	return Held{Key: key, First: r.first, Every: every, Events: r.events, Marks: r.marks}, every <= longestEvery
}

// arrived says which key came last.
func (h Hand) arrived() string {
	switch {
	case h.Key == "":
		return "none yet"
	case h.Marks:
		return h.Key + ", a mark key"
	}
	return h.Key + ", which does not mark"
}

// pressed says how often a mark key was.
func (h Hand) pressed() string { return times(h.Presses) }

// String says how a held key repeats and what is made of it.
func (h Held) String() string {
	if h.Events == 0 {
		return "none was held down"
	}
	taken := "taken as one mark, as it should be"
	if h.Marks != 1 {
		taken = fmt.Sprintf("taken as %d marks, and should be one", h.Marks)
	}
	return fmt.Sprintf("%s repeats after %s, then every %s (%d events), %s", h.Key, whole(h.First), whole(h.Every), h.Events, taken)
}

// whole returns a time in whole milliseconds: keys come no finer.
func whole(t time.Duration) string {
	return fmt.Sprintf("%d ms", t.Round(time.Millisecond).Milliseconds())
}
