package bar

import (
	"time"

	"barline/brew"
)

// State says how far an order is.
type State string

// The states of an order.
const (
	OrderWaiting   State = "waiting"   // nothing of it has begun
	OrderHeldBack  State = "held"      // it waits for the guest
	OrderPreparing State = "preparing" // some chore has begun
	OrderBrewing   State = "brewing"   // water has met coffee
	OrderServing   State = "serving"   // its cup is ready, something is still to be done
	OrderServed    State = "served"    // over
	OrderDropped   State = "cancelled" // over, without a cup
)

// Sure says how far a ready time can be trusted.
type Sure string

// How sure a ready time is.
const (
	SureNot     Sure = ""        // there is none
	SurePlanned Sure = "planned" // as the plan has it, while nothing slips and nobody comes
	SureFirm    Sure = "firm"    // its brew runs: only its own cues can make it later
	SurePast    Sure = "past"    // it has happened
)

// Look is everything to show of a service at a moment.
type Look struct {
	At      time.Duration
	Tickets []TicketLook // every order, by number
	Queue   []int        // orders that have not begun to brew, first first
	People  []Duty       // by person
	Waiting []Waiting    // beats and zeros that wait for a mark, oldest call first
	Gives   []Giving     // of the plan in force, acts that have not begun
	Claim   Claim        // of the plan when it was adopted
	Stale   bool         // a plan should be made again: see Replan
	Over    bool         // nothing runs, nothing waits
	Changes time.Duration
	// HasChange says that the picture changes by itself at Changes.
	HasChange bool
}

// TicketLook is one order at a moment.
type TicketLook struct {
	Order int
	Ticket
	State    State
	Placed   time.Duration
	Why      string        // of one that was dropped
	RemakeOf int           // -1 for none
	Until    time.Duration // of a hold, 0 for no end
	Brew     int           // -1 before it is begun; then Service.Lane says more
	Person   int           // whose lane it is at the moment, -1 for nobody's yet
	Zero     time.Duration // of its brew, planned or past, if HasZero
	HasZero  bool
	Ready    time.Duration // when the cup is, if Sure
	Sure     Sure
	Coming   []Do // what is still to do for it, in order of start, the one that is on first
}

// Do is something to do for an order.
type Do struct {
	Order int
	Act   int
	Cue   int           // of its plan; -1 for a chore
	Name  string        // of the act
	Say   string        // what to do, for the person
	Start time.Duration // on the service's clock
	End   time.Duration
	Hands bool          // it needs a pair of hands
	Zero  bool          // its start is the brew's zero and waits for a mark
	Late  bool          // of a zero: the planned moment is past
	May   time.Duration // how much later it may begin and still keep every window
	Free  time.Duration // how much later without any cup being later
}

// Duty is what one person does at a moment.
type Duty struct {
	Name string
	Now  *Do           // nil where the hands are free
	Next *Do           // nil where nothing is to come
	Free time.Duration // until Next, where the hands are free; 0 where they are not
}

// Waiting is a beat, or a brew's zero, that was called and waits for a mark.
type Waiting struct {
	Order  int
	Beat   int           // of the brew's plan; -1 for the zero
	Called time.Duration // at first, however often the plan has been made again since
	Person int           // -1 for nobody's
}

// Target is what a mark at a moment belongs to.
type Target struct {
	Order int
	Kind  brew.EventKind // EventStart for a zero, else EventMark
	Tie   bool           // another lane's was as near
}
