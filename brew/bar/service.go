package bar

import (
	"slices"
	"time"

	"barline/brew"
)

// Service is one person's service, or a few persons', while it goes on: the
// fold of what happened to it over a menu and a kit. It is a value. Apply
// returns a new one and leaves the old as it was; the same events always give
// the same service.
//
// Times are durations since the service's zero. The planner counts in ticks
// of whole seconds from the same zero.
//
// An order is planned until its brew begins; a brew is begun by a mark, when
// water meets coffee (an EventStart of its lane). From then on the brew's own
// lane says what is called when, and the plan only says which of its coming
// cues must wait. Chores, to prepare and afterwards, are called at their
// planned times and taken for done when their length is over, unless a mark
// said otherwise. No brew that runs gives way for an order that does not; what
// stands prepared may wait.
//
// The way through it:
//
//	NewService       menu, kit and persons
//	Service.Apply    one more thing that happened; what it did to which brew
//	Service.Due      what the clock brings about by itself
//	Service.Replan   looks for the plan from now on; adopting it is an event
//	Service.Look     everything to show at a moment
//	Service.Nearest  which order a mark belongs to
//	Service.Undo     what would take back the latest mark
type Service struct {
	menu    []Dish
	kit     Kit
	out     Kit             // brewers, kettles and scales that cannot be used
	people  []string        // who is at work; their number is the kit's people
	empty   []time.Duration // until when a kettle is empty, one entry each
	orders  []order
	queue   []int // orders in the order in which they are served, as far as that counts
	brews   []pot
	gives   []Giving
	claim   Claim
	planned time.Duration // when the plan was made
	marks   []markRef     // that can be taken back, latest last
	steady  bool          // the plan is kept as long as it can be
	closed  bool
	stale   bool // something happened that the plan does not know
	anew    bool // and after which the plan in force may not be good any more
	bulk    bool // many events are folded in at once: the plan is weighed in the end
	latest  time.Duration
	count   int // of events
}

// Dish is an entry of the menu: a recipe as it would be brewed now.
type Dish struct {
	Plan    *brew.Plan
	Pattern Pattern // its acts as a service plans them; see NewDish
	kinds   []actKind
}

// order is what a service knows of one order.
type order struct {
	Ticket
	placed    time.Duration
	taken     *Dish // from its first act on, as it was then; nil before
	timing    *Slot // nil where it is not planned
	slacks    []Slack
	who       []int   // who does each act, -1 for nobody
	chores    []Fixed // that are done or under way
	held      bool
	until     time.Duration // of a hold; 0 for no end
	brew      int           // its latest, -1 for none
	remakeOf  int           // -1 for none
	cancelled bool
	why       string
	over      time.Duration // when it was cancelled
	called    time.Duration // when its zero was first called, if waits
	waits     bool          // for the mark of its zero, which was called
}

// pot is one brew of a service.
type pot struct {
	order int
	lane  brew.Lane
	back  bool // its start was taken back
}

// Ticket is what is known of an order for people.
type Ticket struct {
	Dish   int    // index into the menu
	Name   string // of the guest, or a ticket; may be empty
	Coffee string // in the guest's or the person's words; may be empty
	Cups   int    // 0 is taken as the recipe's
}

// Slot is when one order's brew and its acts are planned, in ticks.
type Slot struct {
	Order  int
	Zero   int
	Starts []int // of the acts of its dish's pattern
}

// Schedule is a plan of a service as it is adopted: of every order that could
// be planned.
type Schedule struct {
	Now   int // the tick at which it was made
	Slots []Slot
	Gives []Giving
	Claim Claim // of waits counted from when the orders were placed
}

// Giving is a coming cue of a brew that runs and cannot keep its window,
// because another that runs needs the same at the same time, or because it is
// late already.
type Giving struct {
	Order int // that gives way
	Act   int
	Late  int // ticks behind its window
	For   int // the order it gives way to; -1 for none
	Cup   int // ticks by which the order's cup is ready later than it could be by itself
}

// ServiceKind says what happened to a service.
type ServiceKind string

// What can happen to a service. What happens to running brews is said behind
// each.
const (
	OrderPlaced    ServiceKind = "order"      // Ticket; Order is given by the fold. Running brews go on; coming cues may wait
	OrderNamed     ServiceKind = "name"       // Order, Ticket's name, coffee and cups
	OrderCancelled ServiceKind = "cancel"     // Order, Text. Its brew is stopped with the reason
	OrderRemade    ServiceKind = "remake"     // Order, Text. A new order, first in the queue; a brew of the old one that still runs is stopped
	OrderHeld      ServiceKind = "hold"       // Order, Until. Only before its brew begins; what was prepared counts as not done, for it would stand too long
	OrderReleased  ServiceKind = "release"    // Order
	OrderMovedUp   ServiceKind = "move up"    // Order: to the front of those that have not begun; a held one is let go
	ChoreDone      ServiceKind = "chore"      // Order, Act: is done at this moment
	KitChanged     ServiceKind = "kit"        // Out: what cannot be used now. Running brews keep what they have
	KettleEmpty    ServiceKind = "kettle"     // Until: one kettle gives no water until then; a moment that is past: it is full again. Coming pours may wait
	PeopleChanged  ServiceKind = "people"     // People: who is at work now. Running brews go on; coming cues may wait
	MenuChanged    ServiceKind = "menu"       // Dish, Plan: counts for what is not yet begun to be prepared
	PlanAdopted    ServiceKind = "plan"       // Schedule. Coming cues that must wait are moved
	BrewEvent      ServiceKind = "brew"       // Order, Brew: a start, mark, undo, skip, nudge, zero again, note, stop or finish
	StartTakenBack ServiceKind = "start back" // Order: its brew is stopped as not begun, the order waits again
	ServiceClosed  ServiceKind = "close"      // Text. Running brews go on; all else is cancelled, nothing is taken any more
)

// ServiceEvent is one thing that happened to a service, at a moment of its
// clock. Only the fields named behind its kind count.
type ServiceEvent struct {
	Kind     ServiceKind
	At       time.Duration
	Source   brew.Source
	Order    int           `json:",omitempty"` // by number, from 0, in order of arrival
	Act      int           `json:",omitempty"` // of the pattern of the order's dish
	Ticket   Ticket        `json:",omitzero"`
	Until    time.Duration `json:",omitempty"` // 0 for no end
	Out      Kit           `json:",omitzero"`  // People counts for nothing
	People   []string      `json:",omitempty"`
	Dish     int           `json:",omitempty"`
	Plan     *brew.Plan    `json:",omitempty"`
	Schedule *Schedule     `json:",omitempty"`
	Brew     brew.Event    `json:",omitzero"` // At, Source and Lane are filled in by the fold
	Text     string        `json:",omitempty"`
}

// Happening is what became of one brew.
type Happening struct {
	Brew    int // by number, from 0, in order of their starts
	Event   brew.Event
	Outcome brew.Outcome
	Begun   *Begun // of a start, what the brew is; nil otherwise
}

// Begun is what a brew is when it begins.
type Begun struct {
	Order  int
	Plan   *brew.Plan
	Ticket Ticket
	Person string // who begins it; may be empty
}

// Result is what an event did to a service.
type Result struct {
	Effect brew.Effect
	Why    string // of a refused event and a stray mark, in plain words
	Order  int    // that it was about, or that it placed; -1 for none
	Brews  []Happening
}

func refusedService(why string) Result { return Result{Effect: brew.Refused, Why: why, Order: -1} }

// NewService returns a service that has not begun anything. The persons are
// those at work, at least one; their number stands for the kit's.
func NewService(menu []*brew.Plan, kit Kit, people []string) Service {
	s := Service{kit: kit, people: slices.Clone(people)}
	if len(s.people) == 0 {
		s.people = []string{""}
	}
	s.kit.People = len(s.people)
	for _, p := range menu {
		s.menu = append(s.menu, NewDish(p))
	}
	return s
}

// Menu returns the recipes as they would be brewed now.
func (s Service) Menu() []Dish { return slices.Clone(s.menu) }

// People returns who is at work.
func (s Service) People() []string { return slices.Clone(s.people) }

// Kit returns what stands at the bar, and what of it cannot be used.
func (s Service) Kit() (all, out Kit) { return s.kit, s.out }

// KettleEmpty returns until when the last of the kettles that were said to be
// empty gives no water; 0 where all are full. It may be past.
func (s Service) KettleEmpty() (until time.Duration) {
	for _, at := range s.empty {
		until = max(until, at)
	}
	return until
}

// Orders returns how many orders were placed.
func (s Service) Orders() int { return len(s.orders) }

// Brews returns how many brews were begun.
func (s Service) Brews() int { return len(s.brews) }

// Lane returns brew n, as far as it has gone.
func (s Service) Lane(n int) brew.Lane { return s.brews[n].lane }

// OrderOf returns the order that brew n was begun for.
func (s Service) OrderOf(n int) int { return s.brews[n].order }

// BrewOf returns the latest brew of an order, -1 where none was begun or its
// start was taken back.
func (s Service) BrewOf(order int) int { return s.orders[order].brew }

// Ticket returns what is known of an order for people.
func (s Service) Ticket(order int) Ticket { return s.orders[order].Ticket }

// DishOf returns the recipe of an order as it is, or will be, brewed.
func (s Service) DishOf(order int) Dish { return *s.dish(order) }

// Closed reports whether the service takes no more orders.
func (s Service) Closed() bool { return s.closed }

// Count returns how many events were folded in.
func (s Service) Count() int { return s.count }

// Latest returns the moment of the latest event.
func (s Service) Latest() time.Duration { return s.latest }
