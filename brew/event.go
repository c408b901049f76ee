package brew

import "time"

// EventKind says what happened.
type EventKind string

// What can happen to a lane.
const (
	EventStart  EventKind = "start"      // water meets coffee
	EventMark   EventKind = "mark"       // the person confirms a beat
	EventUndo   EventKind = "undo"       // takes back the latest mark or skip
	EventSkip   EventKind = "skip"       // ends the cue that is on, or the next
	EventZero   EventKind = "zero again" // this moment is the start
	EventNudge  EventKind = "nudge"      // the latest mark was a second earlier
	EventMoved  EventKind = "moved"      // a coming cue must wait
	EventNote   EventKind = "note"       // words for the record
	EventStop   EventKind = "stop"       // broken off by the person
	EventFinish EventKind = "finish"     // brewed to the end
)

// Source says what an event came from.
type Source string

// The sources of events.
const (
	FromKey        Source = "key"
	FromFootSwitch Source = "foot switch"
	FromScale      Source = "scale"
	FromClock      Source = "clock" // the program by itself
)

// Event is one thing that happened, at a moment of the timeline's clock.
type Event struct {
	Kind   EventKind
	Lane   int           // index of the lane in its timeline
	At     time.Duration // since the timeline's zero
	Source Source
	Weight *Mass  // what the scale read; nil where nobody said
	Text   string // of a note, or why a brew was stopped

	From time.Duration // of a start: what the lane's clock reads at that moment
	Cue  int           // of a move: which cue
	To   time.Duration // of a move: its earliest start on the lane's clock
}

// Nudge is how far one nudge moves a mark.
const Nudge = time.Second

// ZeroWithin is how long after the start 0:00 can still be set anew.
const ZeroWithin = 15 * time.Second

// FinishAfter is how long after its last due time, or the last event, a brew
// with marks missing ends by itself.
const FinishAfter = 60 * time.Second

// Status says what became of a beat.
type Status string

// A beat waits until it is marked, jumped over, skipped, or the brew ends.
// Beats from before the moment a brew was started at were never due.
const (
	Waiting  Status = "waiting"
	Marked   Status = "marked"
	Unmarked Status = "unmarked"
	Skipped  Status = "skipped"
	Passed   Status = "passed"
)

// BeatState is what a live brew knows of one beat of its plan. Times are on
// the lane's clock.
type BeatState struct {
	Status Status
	Called time.Duration // when it is or was called
	Marked time.Duration // when it happened, nudges taken off; of a marked beat
	Raw    time.Duration // when the key was pressed; of a marked beat
	Weight *Mass         // what the scale read at the mark; nil where nobody said
}

// At returns when the beat happened as far as anybody knows: its mark, else
// its call.
func (b BeatState) At() time.Duration {
	if b.Status == Marked {
		return b.Marked
	}
	return b.Called
}

// Outcome says what an event did.
type Outcome struct {
	Effect Effect
	Beat   int    // that was marked, taken back or nudged; -1 for none
	Cue    int    // that was skipped or moved; -1 for none
	Why    string // of a refused event and a stray mark, in plain words
}

// Effect is whether an event counted.
type Effect string

// A refused event leaves no trace; a stray mark is kept in the record but
// moves nothing.
const (
	Taken   Effect = "taken"
	Stray   Effect = "stray"
	Refused Effect = "refused"
)

func taken() Outcome               { return Outcome{Effect: Taken, Beat: -1, Cue: -1} }
func refused(why string) Outcome   { return Outcome{Effect: Refused, Beat: -1, Cue: -1, Why: why} }
func strayMark(why string) Outcome { return Outcome{Effect: Stray, Beat: -1, Cue: -1, Why: why} }
