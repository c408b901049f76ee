package routine

import (
	"slices"
	"strings"
	"time"

	"barline/brew"
	"barline/brew/bar"
)

// Plan is a routine on the clock, which reads 0:00 at the first call of time.
// It holds all that a rehearsal and its record need. It is not changed once
// it is built.
type Plan struct {
	Name     string
	Version  string // a hash of what is done and when, not of the words
	Limit    time.Duration
	Setup    time.Duration // 0 where nobody said
	Rules    Rules         // filled
	Assumed  []string      // rules that nobody wrote
	Sections []Stretch
	Lines    []Line
	Cups     []Cup
	Hands    *brew.Plan    // what the hands do beside the brews, as one more lane
	Tasks    []Task        // of each cue of Hands
	Ready    []string      // what is prepared in set-up time
	End      time.Duration // when all is done, and time is called
}

// Stretch is a section on the clock.
type Stretch struct {
	Name       string
	Start, End time.Duration
	First      int // of its lines
	Lines      int // how many
}

// Line is one part of what is said on the clock.
type Line struct {
	Section int
	Words   string // "" of a pause
	Start   time.Duration
	Length  time.Duration
	Fixed   bool // begins no sooner than written: it is pinned, or the plan leaves a pause ahead of it
	Behind  []Tie
	Note    string // what it is tied to, in words; "" where it is free
}

// End returns when the line is over.
func (l Line) End() time.Duration { return l.Start + l.Length }

// Tie says that a line begins no sooner than an edge of a cue.
type Tie struct {
	Lane int // of a cup, or Plan.HandsLane
	Cue  int
	Edge brew.Edge
}

// Cup is one brew on the clock.
type Cup struct {
	ID      string
	Recipe  string
	Plan    *brew.Plan
	Zero    time.Duration // when water meets coffee
	Moves   []Move        // cues that come later than the recipe has them
	Serving int           // its cue in Hands; -1 for none
	Within  time.Duration // how long it may wait to be served
}

// Move is a cue that comes later than the recipe has it.
type Move struct {
	Cue int
	To  time.Duration // on the brew's own clock
}

// Task is what a cue of the plan's hands is: which cup's, and whether it
// serves it.
type Task struct {
	Cup    int
	Serves bool
}

// HandsLane is the number of the lane that Hands is, behind those of the cups.
func (p *Plan) HandsLane() int { return len(p.Cups) }

// TalkLane is the number by which events name what is said.
func (p *Plan) TalkLane() int { return len(p.Cups) + 1 }

// Section returns the section of that name, or whose number it is from 1; -1
// for none.
func (p *Plan) Section(name string) int {
	name = strings.TrimSpace(name)
	return slices.IndexFunc(p.Sections, func(s Stretch) bool { return strings.EqualFold(s.Name, name) })
}

// plan puts the routine on the clock as the planner has it.
func (p *Problem) plan(best bar.Plan) *Plan {
	r := p.routine
	out := &Plan{Name: r.Name, Limit: r.Limit, Setup: r.Setup}
	out.Rules, out.Assumed = r.Rules.Filled(r.Limit)
	for i := range r.Brews {
		out.Cups = append(out.Cups, p.cup(best, i))
	}
	p.hands(best, out)
	p.talks(best, out)
	for k := range out.Lines {
		out.Lines[k].Fixed = out.Lines[k].Fixed || out.pausesAhead(k)
	}
	out.End = p.end(best)
	out.sections(r.Routine)
	out.Version = out.version()
	return out
}

// end returns when the last act ends.
func (p *Problem) end(best bar.Plan) time.Duration {
	end := 0
	for j, starts := range best.Starts {
		for a, start := range starts {
			end = max(end, start+p.length(j, a))
		}
	}
	return seconds(end)
}

func (p *Problem) cup(best bar.Plan, i int) Cup {
	b, plan := p.routine.Brews[i], p.plans[i]
	c := Cup{ID: b.ID, Recipe: b.Recipe, Plan: plan, Zero: seconds(best.Zeros[i]), Serving: -1, Within: b.within()}
	for cue, act := range p.cues[i] {
		if act < 0 {
			continue
		}
		if late := best.Starts[i][act] - best.Zeros[i] - p.Patterns[i].Acts[act].Start; late > 0 {
			c.Moves = append(c.Moves, Move{cue, plan.Cues[cue].Start + seconds(late)})
		}
	}
	return c
}

// talks puts what is said on the clock.
func (p *Problem) talks(best bar.Plan, out *Plan) {
	parts, section := p.routine.Parts()
	for i, part := range parts {
		out.Lines = append(out.Lines, Line{
			Section: section[i], Words: part.Say, Start: seconds(best.Starts[p.talk][i]), Length: p.routine.Length(part),
			Fixed: part.At != nil, Behind: p.behind(part, out), Note: note(part),
		})
	}
}

// behind returns the edges that a part begins no sooner than.
func (p *Problem) behind(part Part, out *Plan) (ties []Tie) {
	add := func(r *Ref, e brew.Edge) {
		if r == nil {
			return
		}
		i := p.routine.brewOf(r.Brew)
		if strings.EqualFold(r.Step, Serving) {
			ties = append(ties, Tie{out.HandsLane(), out.Cups[i].Serving, e})
			return
		}
		cue, _ := findCue(p.plans[i], r.Step, r.Brew)
		ties = append(ties, Tie{i, cue, e})
	}
	add(part.During, brew.StartEdge)
	add(part.After, brew.EndEdge)
	return ties
}

// note says what a part is tied to.
func note(p Part) string {
	var words []string
	for _, t := range []struct {
		word string
		ref  *Ref
	}{{"during", p.During}, {"after", p.After}, {"before", p.Before}} {
		if t.ref != nil {
			words = append(words, t.word+" "+t.ref.String())
		}
	}
	return strings.Join(words, ", ")
}

// sections places the sections: each begins with its first line and ends where
// the next begins; the first begins with the clock, the last ends with it.
func (p *Plan) sections(r Routine) {
	for i, s := range r.Sections {
		first := slices.IndexFunc(p.Lines, func(l Line) bool { return l.Section == i })
		start := p.Lines[first].Start
		if i == 0 {
			start = 0
		} else {
			p.Sections[i-1].End = start
		}
		p.Sections = append(p.Sections, Stretch{Name: s.Name, Start: start, End: p.End, First: first, Lines: len(s.Parts)})
	}
}
