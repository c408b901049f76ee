package journal

import (
	"fmt"
	"time"

	"barline/brew"
	"barline/brew/drift"
)

// Kind says what a brew was for.
type Kind = drift.Kind

// End says how a brew ended.
type End string

// A brew that has no end is running while its lock is held, by this terminal
// or another, and was cut off otherwise: nobody said that it ended.
const (
	Running  End = "running"
	Finished End = "finished"
	Stopped  End = "stopped"
	CutOff   End = "cut off"
)

// Kept says by which clock a brew's moments were measured; where it was taken
// up by another one, the less exact of the two.
type Kept string

// The clocks, the most exact first.
const (
	Boottime  Kept = "boottime"  // goes on while the machine sleeps
	Monotonic Kept = "monotonic" // may stop while the machine sleeps
	Wall      Kept = "wall"      // may have been set
)

// Clock says how a brew's clock is kept, so that it can be taken up.
type Clock struct {
	Kept Kept
	Boot string        // the machine's present start; "" where it is not known
	Zero time.Duration // what the machine's elapsed clock read at the timeline's zero
}

// Brew is what the journal keeps of a brew beside its plan and its events.
type Brew struct {
	ID      string // UUIDv7, lower case; see NewID
	Kind    Kind
	Speed   float64       // of the clock; 1 is as written
	From    time.Duration // what the lane's clock read at the start
	Marks   brew.Policy
	Person  string // may be empty
	Recipe  string // its name, from the plan
	Version string // of the recipe, from the plan

	Start   time.Time     // on the clock on the wall, with its offset from UTC
	StartAt time.Duration // the same moment on the timeline's clock; 0 but in a round or a take
	Clock   Clock

	Coffee  string // this and the next two as set for the shift; may be empty
	Lot     string
	Setting string
	Kettle  *brew.Celsius // nil where nobody said

	Round string // id of the round it belongs to, from Record.RoundOf; "" for none
	Take  string // id of the take it belongs to, from Record.TakeOf; "" for none
	Lane  int    // in the round's or the take's timeline
	Order string // its ticket or name in the round; may be empty

	// How it ended: derived, and not looked at by Begin. EndAt is on the
	// lane's clock and means nothing where End is Running or CutOff.
	End   End
	EndAt time.Duration
	Why   string // the reason that was given for stopping; may be empty

	// Short is the shortest prefix of the ID, at least eight characters, that
	// no other brew has; filled in by List and Find alone.
	Short string
}

// Record is a whole brew.
type Record struct {
	Brew
	Plan     *brew.Plan // as brewed
	Text     string     // the recipe's file as brewed
	Events   []brew.Event
	Readings []Reading // all, in the order in which they came
	Weights  []Weight  // all, in the order in which they came
	RoundOf  *Round    // that it belongs to, without its events; nil for none
	TakeOf   *Take     // that it belongs to, without its events; nil for none
}

// Fold returns the brew as a lane: its plan with all its events. The error
// names the first event that does not follow from those before it; the lane
// then lacks that one and has the others.
func (r Record) Fold() (brew.Lane, error) { return fold(r.Plan, r.Events) }

func fold(p *brew.Plan, events []brew.Event) (lane brew.Lane, err error) {
	defer func() {
		if broken := recover(); broken != nil {
			err = fmt.Errorf("the plan cannot be followed: %v", broken)
		}
	}()
	lane, n, why := brew.Replay(p, events)
	if n >= 0 {
		err = fmt.Errorf("event %d, %s at %s, does not follow: %s", n, events[n].Kind, brew.Exact(events[n].At), why)
	}
	return lane, err
}

// ended returns what a lane says about its end, in the journal's words: ""
// where it has none.
func ended(l brew.Lane) (end End, at time.Duration, why string) {
	how, at, why := l.Ending()
	return End(how), at, why
}
