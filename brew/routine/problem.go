package routine

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"barline/brew"
	"barline/brew/bar"
)

// Steps says how far the planner may move the steps of a brew.
type Steps int

// A brew's steps stand at their written times, or may come later, or earlier
// too, within their windows. A rehearsal can follow the first two.
const (
	Exact Steps = iota
	Later
	Within
)

// Problem is a routine as the bar's planner sees it: an order for each brew,
// then one whose acts are what is said, all on one pair of hands and one voice.
type Problem struct {
	bar.Problem
	routine Resolved
	plans   []*brew.Plan
	cues    [][]int // of each brew, the act of each cue; -1 for a wait
	serving []int   // of each brew, its act; -1 for none
	talk    int     // the order of what is said
}

// least is how long a plan may become at the least, so that what does not fit
// into the limit can be planned and told.
const least = 30 * time.Minute

// NewProblem returns the problem of a routine without faults.
func NewProblem(r Resolved, steps Steps) *Problem {
	p := &Problem{routine: r, talk: len(r.Brews), plans: make([]*brew.Plan, len(r.Brews))}
	kit := bar.Kit{Brewers: r.Brewers, Kettles: r.Kettles}
	if kit.Brewers == 0 {
		kit.Brewers = len(r.Brews)
	}
	p.Problem = bar.Problem{Resources: kit.Resources(), Goal: bar.End, Passing: -1, Horizon: ticks(max(least, 3*r.Limit) + r.inTurn())}
	for i := range r.Brews {
		p.addBrew(i, steps)
	}
	p.addTalk()
	p.addLinks()
	return p
}

// inTurn returns how long all takes that is said and brewed, one after the other:
// whatever the limit, a plan has room for it.
func (r Resolved) inTurn() (sum time.Duration) {
	parts, _ := r.Parts()
	for _, p := range parts {
		sum += r.Length(p)
	}
	for i, b := range r.Brews {
		if plan, err := brew.NewPlan(r.Recipes[i], r.Bar); err == nil {
			sum += chores(plan) + plan.End + b.Serve
		}
	}
	return sum
}

// ticks returns a length in whole seconds, rounded up.
func ticks(d time.Duration) int { return int((d + time.Second - 1) / time.Second) }

func seconds(ticks int) time.Duration { return time.Duration(ticks) * time.Second }

// addBrew adds a brew as an order of a pattern of its own.
func (p *Problem) addBrew(i int, steps Steps) {
	b := p.routine.Brews[i]
	plan, err := brew.NewPlan(p.routine.Recipes[i], p.routine.Bar)
	if err != nil {
		panic(fmt.Sprintf("a routine with faults is planned: %v", err))
	}
	p.plans[i] = plan
	seen := *plan
	if b.Ready {
		seen.Prepare = nil
	}
	pat := bar.Read(&seen)
	pat.Name = b.ID
	p.cues = append(p.cues, actsOf(plan, pat))
	for a := range pat.Acts {
		close(&pat.Acts[a], steps)
	}
	for _, name := range b.Quiet {
		if cue, err := findCue(plan, name, b.ID); err == nil && p.cues[i][cue] >= 0 {
			act := &pat.Acts[p.cues[i][cue]]
			act.Uses = append(slices.Clone(act.Uses), bar.Voice)
		}
	}
	p.serving = append(p.serving, serve(&pat, plan, b))
	finish(&pat)
	p.add(pat, b.At)
}

// add adds an order of a pattern.
func (p *Problem) add(pat bar.Pattern, at *time.Duration) {
	o := bar.Order{Pattern: len(p.Patterns), Name: pat.Name}
	if at != nil {
		o.Begun, o.Zero = true, ticks(*at)
	}
	p.Patterns, p.Orders = append(p.Patterns, pat), append(p.Orders, o)
}

// actsOf returns the act of each cue, -1 for none.
func actsOf(plan *brew.Plan, pat bar.Pattern) []int {
	out := make([]int, len(plan.Cues))
	for cue := range out {
		out[cue] = slices.IndexFunc(pat.Acts, func(a bar.Act) bool { return a.Cue == cue })
	}
	return out
}

// close takes from a step's window what the planner may not use.
func close(a *bar.Act, steps Steps) {
	if a.Cue < 0 {
		return
	}
	switch steps {
	case Exact:
		a.Early, a.Late = 0, 0
	case Later:
		a.Early = 0
	}
}

// serve adds the serving behind the last cue, and returns its act; -1 for
// none.
func serve(pat *bar.Pattern, plan *brew.Plan, b Brew) int {
	if b.Serve == 0 {
		return -1
	}
	var behind []int
	for i, a := range pat.Acts {
		if a.Cue >= 0 {
			behind = append(behind, i)
		}
	}
	pat.Acts = append(pat.Acts, bar.Act{
		Name: Serving, Uses: []int{bar.Hands}, Start: ticks(plan.End), Length: ticks(b.Serve), Late: ticks(b.within()), Behind: behind, Cue: -1,
	})
	pat.Done = len(pat.Acts) - 1
	return pat.Done
}

// finish makes a brew ready only when all of it is done, clearing away too:
// with an act of no length behind all the others.
func finish(pat *bar.Pattern) {
	var behind []int
	end, late := 0, 0
	for i, a := range pat.Acts {
		behind = append(behind, i)
		end, late = max(end, a.Start+a.Length), max(late, a.Late)
	}
	pat.Done = len(pat.Acts)
	pat.Acts = append(pat.Acts, bar.Act{Name: "done", Start: end, Late: late, Behind: behind, Cue: -1})
}

// addTalk adds what is said as an order with its zero at that of the routine.
func (p *Problem) addTalk() {
	parts, _ := p.routine.Parts()
	pat := bar.Pattern{Name: "talk", Done: len(parts) - 1}
	start := 0
	for i, part := range parts {
		a := bar.Act{Name: partName(i, part), Uses: []int{bar.Voice}, Start: start, Length: ticks(p.routine.Length(part)), Late: p.Horizon - start, Cue: -1}
		if part.Hands {
			a.Uses = []int{bar.Hands, bar.Voice}
		}
		if part.At != nil {
			a.Start, a.Late = ticks(*part.At), 0
		}
		if i > 0 {
			a.Behind = []int{i - 1}
		}
		start = max(start, a.Start) + a.Length
		pat.Acts = append(pat.Acts, a)
	}
	zero := time.Duration(0)
	p.add(pat, &zero)
}

// addLinks adds the ties of what is said, and that all is served together.
func (p *Problem) addLinks() {
	parts, _ := p.routine.Parts()
	for i, part := range parts {
		length := ticks(p.routine.Length(part))
		if part.During != nil {
			at := p.place(*part.During)
			p.link(at.order, at.act, p.talk, i, at.start)
			p.link(p.talk, i, at.order, at.act, -at.start-max(at.length-length, 0))
		}
		if part.After != nil {
			at := p.place(*part.After)
			p.link(at.order, at.act, p.talk, i, at.start+at.length)
		}
		if part.Before != nil {
			at := p.place(*part.Before)
			p.link(p.talk, i, at.order, at.act, length-at.start)
		}
	}
	for i, a := range p.serving {
		for j, b := range p.serving {
			if p.routine.Together > 0 && i != j && a >= 0 && b >= 0 {
				p.link(i, a, j, b, -ticks(p.routine.Together))
			}
		}
	}
}

func (p *Problem) link(from, fromAct, to, toAct, least int) {
	p.Links = append(p.Links, bar.Link{From: from, FromAct: fromAct, To: to, ToAct: toAct, Least: least})
}

func (p *Problem) length(order, act int) int {
	return p.Patterns[p.Orders[order].Pattern].Acts[act].Length
}

// place is where a step stands for the planner: so long after the start of an
// act, for so long. A wait has no act of its own, so it stands behind the act
// above it.
type place struct{ order, act, start, length int }

func (p *Problem) place(r Ref) place {
	order := p.routine.brewOf(r.Brew)
	if strings.EqualFold(r.Step, Serving) {
		act := p.serving[order]
		return place{order, act, 0, p.length(order, act)}
	}
	cue, _ := findCue(p.plans[order], r.Step, r.Brew)
	cues, of := p.plans[order].Cues, cue
	for of > 0 && p.cues[order][of] < 0 {
		of--
	}
	from, to := cues[cue].Start, cues[cue].End
	return place{order, max(p.cues[order][of], 0), whole(from) - whole(cues[of].Start), whole(to) - whole(from)}
}

// whole returns a moment of a recipe's clock in whole seconds, as the planner
// rounds it.
func whole(d time.Duration) int { return int(d.Round(time.Second) / time.Second) }

// namedBy is how many of its words a part is called by.
const namedBy = 4

// partName is what a part is called: its first words.
func partName(i int, p Part) string {
	if p.Say == "" {
		return fmt.Sprintf("part %d, a pause", i+1)
	}
	var words []string
	for w := range strings.FieldsSeq(p.Say) {
		if words = append(words, w); len(words) > namedBy {
			words[namedBy] = "…"
			break
		}
	}
	text := strings.Join(words, " ")
	return fmt.Sprintf("part %d, \"%s\"", i+1, text)
}
