package brew

import (
	"slices"
	"time"
)

// Pin says what holds a cue's start: the lane's clock, or the hand that
// finishes what comes before.
type Pin string

// The pins of a cue.
const (
	PinClock Pin = "clock"
	PinHand  Pin = "hand"
)

// Cue is a step placed on the clock: [Start, End) from the lane's zero.
type Cue struct {
	Action  Action
	Name    string // 'second pour', or the step's label; for people
	Key     string // 'second pour', or the step's id; for statistics
	Label   string
	Prompt  string // what to do, at most LongestPrompt characters
	Why     string
	Caution string

	Start, End time.Duration
	Pinned     Pin
	Before     int           // the cue it hangs behind, -1 for none
	After      time.Duration // how long behind that cue's end
	Hands      Hands
	Assumed    bool // the length is a guess

	From    Mass // what the scale reads when it begins, if FromOn
	FromOn  bool
	Scale   Mass // what the scale reads when it ends, if OnScale
	OnScale bool
	Water   Mass // on the coffee in all when it ends
	Bypass  Mass // in the server in all when it ends

	StartBeat, EndBeat int // indices into the plan's beats
}

// Length returns how long the cue takes.
func (c Cue) Length() time.Duration { return c.End - c.Start }

// shares reports whether the cue's start is the end of the cue before it: one
// beat, not two.
func (c Cue) shares() bool { return c.Before >= 0 && c.After == 0 }

// Plan is a recipe on the clock. It is not changed once it is built.
type Plan struct {
	Name        string
	Method      Method
	Version     string // of the recipe: a hash of what is done and when, not of its words
	Dose        Mass
	Water       Mass
	Bypass      Mass
	Temperature Celsius
	Grind       string
	Coffee      string
	Lot         string
	Setting     string
	Prepare     []Chore
	Afterwards  []Chore
	Aim         Aim
	Cues        []Cue
	Beats       []Beat // in order of Due
	End         time.Duration
	Contact     time.Duration // from the first pour's start; see HasContact
	HasContact  bool
}

// NewPlan places the recipe's steps on the clock. The error is Faults, the
// errors that Check finds; warnings do not stop a plan.
func NewPlan(r Recipe, bar Bar) (*Plan, error) {
	c := check(r, bar)
	if errs := c.faults.Errors(); len(errs) > 0 {
		return nil, errs
	}
	p := &Plan{
		Name: r.Name, Method: r.Method, Dose: r.Dose, Water: r.Water, Bypass: r.BypassWater(), Temperature: r.Temperature,
		Grind: r.Fill(r.Grind), Coffee: r.Fill(r.Coffee), Lot: r.Fill(r.Lot), Setting: r.Fill(r.Setting),
		Prepare: filled(r, r.Prepare), Afterwards: filled(r, r.Afterwards), Aim: r.Aim,
	}
	p.placeCues(r, c)
	p.placeBeats(r, bar)
	for _, c := range p.Cues {
		p.End = max(p.End, c.End)
	}
	p.Contact, p.HasContact = p.ContactBy(func(at Point) (time.Duration, bool) { return p.written(at), true })
	p.Version = r.version
	if p.Version == "" {
		p.Version = p.version(r)
	}
	return p, nil
}

func filled(r Recipe, chores []Chore) []Chore {
	out := slices.Clone(chores)
	for i := range out {
		out[i].Do = r.Fill(out[i].Do)
	}
	return out
}

func (p *Plan) placeCues(r Recipe, c *checker) {
	p.Cues = make([]Cue, len(c.laid))
	on := laid{onScale: true} // the step before, as far as the scale is concerned
	for i, l := range c.laid {
		s := r.Steps[i]
		cue := Cue{
			Action: s.Action, Name: c.names[i].name, Key: c.names[i].key, Label: r.Fill(s.Label),
			Prompt: c.prompts[i], Why: r.Fill(s.Why), Caution: r.Fill(s.Caution),
			Start: l.start, End: l.end, Pinned: PinClock, Before: -1, Hands: s.hands(), Assumed: l.assumed,
			From: on.scale, FromOn: on.onScale, Scale: l.scale, OnScale: l.onScale, Water: l.water, Bypass: l.bypass,
		}
		if s.Anchor != At && l.before >= 0 {
			cue.Pinned, cue.Before, cue.After = PinHand, l.before, l.start-c.laid[l.before].end
		}
		p.Cues[i], on = cue, l
	}
}
