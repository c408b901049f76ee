package routine

import (
	"time"

	"barline/brew"
)

// Routine is a competition performance as its writer put it: what was left
// out is zero here, and Write fills it in.
type Routine struct {
	Name     string
	Limit    time.Duration // from the first call of time to the second
	Setup    time.Duration // set-up time ahead of that; 0 where nobody said
	Pace     int           // words a minute; 0 where left out
	Kettles  int           // 0 where left out: one
	Brewers  int           // 0 where left out: one for each brew
	Together time.Duration // from the first serving's start to the last one's; 0 for no such bound
	Loose    bool          // steps may come later within their windows though nothing forces them to
	Rules    Rules
	Brews    []Brew
	Sections []Section // in order
}

// Brew is one brew of the routine.
type Brew struct {
	ID     string // by which parts name it
	Recipe string // file name or name, as on the shelf
	Dose   brew.Mass
	At     *time.Duration // when water meets coffee; nil where that is left to the planner
	Ready  bool           // prepared in set-up time
	Quiet  []string       // steps during which nothing is said
	Serve  time.Duration  // how long serving takes; 0 for none
	Within time.Duration  // how long the cup may wait for it; 0 where left out
}

// DefaultWithin is how long a cup may wait to be served where the routine says
// nothing; common practice, no source.
const DefaultWithin = 30 * time.Second

func (b Brew) within() time.Duration {
	if b.Within == 0 {
		return DefaultWithin
	}
	return b.Within
}

// Section is a stretch of the routine: from the start of its first part to
// that of the next section's.
type Section struct {
	Name  string
	Parts []Part
}

// Part is one thing said, or a pause in which nothing is. Parts come one after
// the other, in the order of the file; a part is free to move unless something
// below says otherwise.
type Part struct {
	Say    string         // "" of a pause
	Over   time.Duration  // 0 where it follows from the pace
	At     *time.Duration // when it begins; nil where it is free
	During *Ref           // begins with the step and, where it is no longer, ends within it
	After  *Ref           // begins when the step has ended, or later
	Before *Ref           // ends when the step begins, or sooner
	Hands  bool           // needs the hands too
}

// Ref names a step of a brew: 'second pour of left'.
type Ref struct {
	Step string // a cue's name, its id, or serving
	Brew string // id
}

// Serving is the name of a brew's serving in a Ref.
const Serving = "serving"

// String returns the reference as it is written.
func (r Ref) String() string { return r.Step + " of " + r.Brew }

// Parts returns the routine's parts in order, and the section of each.
func (r Routine) Parts() (parts []Part, section []int) {
	for i, s := range r.Sections {
		for _, p := range s.Parts {
			parts, section = append(parts, p), append(section, i)
		}
	}
	return parts, section
}

// Resolved is a routine with the recipes of its brews, by their place in
// Brews.
type Resolved struct {
	Routine
	Recipes []brew.Recipe
	Bar     brew.Bar
}

// Dry returns the routine as it is rehearsed without water: waits and
// drawdowns of more than Brief take Brief.
func (r Resolved) Dry() Resolved {
	out := r
	out.Recipes = make([]brew.Recipe, len(r.Recipes))
	for i, recipe := range r.Recipes {
		out.Recipes[i] = dry(recipe)
	}
	return out
}
