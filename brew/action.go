package brew

import "time"

// Action is what a step asks the person to do.
type Action string

// The actions a recipe may use.
const (
	Pour     Action = "pour"
	Bypass   Action = "bypass"
	Stir     Action = "stir"
	Swirl    Action = "swirl"
	Tare     Action = "tare"
	Seal     Action = "seal"
	Open     Action = "open"
	Lift     Action = "lift"
	Flip     Action = "flip"
	Press    Action = "press"
	Drawdown Action = "drawdown"
	Serve    Action = "serve"
	Break    Action = "break"
	Skim     Action = "skim"
	Do       Action = "do"
	Taste    Action = "taste"
	Wait     Action = "wait"
)

// Hands says whether a step needs the person's hands.
type Hands string

// A busy step needs the hands for its whole length, a free one does not.
const (
	Busy Hands = "busy"
	Free Hands = "free"
)

// Marks says which edges of a step are asked: for which the program waits
// for a mark.
type Marks string

// The values a step's mark key may have; the zero Marks is the action's own.
const (
	MarkStart Marks = "start"
	MarkEnd   Marks = "end"
	MarkBoth  Marks = "both"
	MarkNone  Marks = "no"
)

// Kind says what the value of an action is.
type Kind int

// An action's value is a text, an amount of water or a length of time.
const (
	TextValue   Kind = iota
	PourValue        // an amount that is added, or the scale's reading to reach
	AmountValue      // an amount
	LengthValue      // a length of time
)

// Usual describes what an action means where a step says nothing else.
type Usual struct {
	Action  Action
	Kind    Kind
	Verb    string        // how the prompt begins
	Over    time.Duration // usual length; 0 where it must be given or follows from the flow
	Assumed bool          // the usual length is a guess the plan must own up to
	Hands   Hands
	Asked   Marks
	Least   time.Duration // below this a busy step can hardly be done; common practice, no source
}

// actions is the table of recipes/README.md. The lengths are common practice,
// no source.
var actions = []Usual{
	{Action: Pour, Kind: PourValue, Verb: "Pour", Assumed: true, Hands: Busy, Asked: MarkEnd},
	{Action: Bypass, Kind: AmountValue, Verb: "Bypass", Assumed: true, Hands: Busy, Asked: MarkNone},
	{Action: Stir, Verb: "Stir", Over: 4 * time.Second, Hands: Busy, Asked: MarkNone, Least: 2 * time.Second},
	{Action: Swirl, Verb: "Swirl", Over: 4 * time.Second, Hands: Busy, Asked: MarkNone, Least: 2 * time.Second},
	{Action: Tare, Verb: "Tare", Over: 2 * time.Second, Hands: Busy, Asked: MarkNone, Least: time.Second},
	{Action: Seal, Verb: "Seal", Over: 4 * time.Second, Hands: Busy, Asked: MarkNone, Least: 2 * time.Second},
	{Action: Open, Verb: "Open", Over: 3 * time.Second, Hands: Busy, Asked: MarkNone, Least: time.Second},
	{Action: Lift, Verb: "Lift", Over: 2 * time.Second, Hands: Busy, Asked: MarkNone, Least: time.Second},
	{Action: Flip, Verb: "Flip", Over: 4 * time.Second, Hands: Busy, Asked: MarkNone, Least: 2 * time.Second},
	{Action: Press, Verb: "Press", Over: 25 * time.Second, Assumed: true, Hands: Busy, Asked: MarkBoth, Least: 5 * time.Second},
	{Action: Drawdown, Verb: "Drawdown", Hands: Free, Asked: MarkEnd},
	{Action: Serve, Verb: "Serve", Over: 5 * time.Second, Hands: Busy, Asked: MarkNone, Least: 2 * time.Second},
	{Action: Break, Verb: "Break", Over: 8 * time.Second, Hands: Busy, Asked: MarkStart, Least: 2 * time.Second},
	{Action: Skim, Verb: "Skim", Over: 10 * time.Second, Hands: Busy, Asked: MarkNone, Least: 3 * time.Second},
	{Action: Do, Verb: "Do", Over: 5 * time.Second, Hands: Busy, Asked: MarkNone},
	{Action: Taste, Verb: "Taste", Over: 60 * time.Second, Hands: Free, Asked: MarkNone},
	{Action: Wait, Kind: LengthValue, Verb: "Wait", Hands: Free, Asked: MarkNone},
}

// Actions returns the table of actions in the order of the documentation.
func Actions() []Usual { return append([]Usual(nil), actions...) }

var usualOf = func() map[Action]Usual {
	of := make(map[Action]Usual, len(actions))
	for _, u := range actions {
		of[u.Action] = u
	}
	return of
}()

// Usual returns what the action means by itself, and whether it is an action.
func (a Action) Usual() (Usual, bool) {
	u, known := usualOf[a]
	return u, known
}

// UsualFlow is the flow by which a pour or a bypass without a length is
// timed, in grams a second; common practice, no source.
const UsualFlow = 6

// usualPour returns how long an amount takes at the usual flow, rounded up to
// whole seconds and at least one.
func usualPour(amount Mass) time.Duration {
	perSecond := UsualFlow * Gram
	seconds := (amount + perSecond - 1) / perSecond
	return time.Duration(max(seconds, 1)) * time.Second
}
