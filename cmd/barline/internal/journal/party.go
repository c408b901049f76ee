package journal

import (
	"time"

	"barline/brew"
)

// RoundKind says what the brews of a round were brewed for.
type RoundKind string

// The kinds of rounds.
const (
	BarRound     RoundKind = "bar"     // a service plan
	CuppingRound RoundKind = "cupping" // a table of bowls
)

// Round is the brews of one service plan or cupping table. Each brew is one
// of the journal's and names its round; what happened to none of them in
// particular is an event of the round, of any kind: rounds are not folded
// here.
type Round struct {
	ID     string
	Kind   RoundKind
	Name   string
	Person string
	Start  time.Time // at the timeline's zero
	Text   string    // what it was planned from, in the planner's own form; may be empty
	Events []brew.Event
}

// Take is one run of a competition routine, kept as a Round is.
type Take struct {
	ID      string
	Routine string // its name
	Version string
	Person  string
	Kind    Kind
	Speed   float64
	Dry     bool   // no water was poured
	Section string // where it was begun; "" at the start
	Start   time.Time
	Text    string // the routine's file as performed
	Events  []brew.Event
}

// Attempt is a person's attempt to be found fit to brew a recipe alone.
type Attempt struct {
	ID      string
	Person  string
	Recipe  string
	Version string
	Brews   int // how many count, fixed before the first
	Opened  time.Time
	Closed  *time.Time // nil while it is open
	Result  string     // "" while it is open; else passed, failed or withdrawn
	Text    string
}

// Baseline is the range of brews that control limits were frozen from, with
// the limits. The last of a beat's is in force; see Thawed.
type Baseline struct {
	ID      string
	Version string  // of the recipe
	Beat    string  // its key, or the name of a duration
	Measure string  // drift, slip, carried, length, weight
	First   string  // id of the first brew
	Last    string  // id of the last brew
	Brews   int     // how many were used
	Low     float64 // this and the next two in the measure's unit, ns or mg
	Centre  float64
	High    float64
	Made    time.Time
	By      string
}

// Thawed reports whether the entry takes back the baselines before it: it has
// limits without any width, which no range of brews gives.
func (b Baseline) Thawed() bool { return b.Low == b.High }

// complete cleans a round's texts and checks it; the other three do the same.
func (r Round) complete() (Round, error) {
	r.Start, r.Events = fixed(r.Start), each(r.Events, tidy)
	cleanAll(&r.Name, &r.Person, &r.Text)
	return r, r.check()
}

func (t Take) complete() (Take, error) {
	t.Start, t.Events = fixed(t.Start), each(t.Events, tidy)
	cleanAll(&t.Routine, &t.Version, &t.Person, &t.Section, &t.Text)
	return t, t.check()
}

func (a Attempt) complete() (Attempt, error) {
	a.Opened = fixed(a.Opened)
	if a.Closed != nil {
		closed := fixed(*a.Closed)
		a.Closed = &closed
	}
	cleanAll(&a.Person, &a.Recipe, &a.Version, &a.Text)
	return a, a.check()
}

func (b Baseline) complete() (Baseline, error) {
	b.Made = fixed(b.Made)
	cleanAll(&b.Version, &b.Beat, &b.Measure, &b.By)
	return b, b.check()
}
