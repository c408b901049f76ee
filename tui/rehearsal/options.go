package rehearsal

import (
	"time"

	"barline/brew"
	"barline/brew/routine"
	"barline/tui/draw"
)

// Options is how a routine is rehearsed.
type Options struct {
	Plan     *routine.Plan
	Run      routine.Options // which sections, and whether lines wait for their key
	By       string
	Dry      bool          // without water; shown, and said by the record
	Speed    float64       // of the routine's clock; 0 is taken as 1
	CountIn  time.Duration // between the key and the first call of time
	Ahead    time.Duration // how long before a cue it is announced
	Keys     KeyMap        // the zero one is taken as the default
	Theme    draw.Theme
	Recorder Recorder             // nil where nothing is kept
	Now      func() time.Duration // elapsed time, asked by commands only
	Slept    func() string        // asked by commands only: the machine's sleep since last asked, in words; may be nil
	Bell     func(strokes int)    // rung by commands only; nil for silence
}

// Recorder keeps what happens.
type Recorder interface {
	// Append keeps happening n of a take, both counted from 0. It returns when
	// that is safe, and is called from commands, several at a time: whatever
	// order the calls come in, what happened in a take is kept in the order of
	// n, and when it returns nil all before it is safe too. zero is what the
	// machine's clock read, or would have, where the routine's reads 0:00.
	Append(take, n int, h Happening, zero time.Duration) error
}

// Happening is what one event came to, as a record keeps a take: events of its
// own, the first of which is its Begin, and events of its brews, by cup.
type Happening struct {
	Own   []brew.Event
	Brews []brew.Event // each names its cup as its lane
	// Before is, with the first happening of a take, how many the take before it
	// had: no more will come of that one.
	Before int
}
