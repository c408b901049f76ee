package bar

import (
	"slices"

	"barline/brew"
)

// actKind says what an act of a dish is.
type actKind int

const (
	choreBefore actKind = iota
	cueAct
	gapAct // time that must pass between two cues; nobody does it
	choreAfter
)

// NewDish reads a plan as a service plans it. It differs from Read in what a
// live lane can do: a cue may be called later than it is written, within the
// window of its start, but never sooner; and what hangs behind another cue
// comes as much later as that one does. So waits are acts too, which nobody
// does.
func NewDish(p *brew.Plan) Dish {
	r := dishReader{reader: reader{plan: p, out: Pattern{Name: p.Name}, act: make([]int, len(p.Cues))}, busy: -1}
	r.prepare()
	r.note(choreBefore)
	r.cues()
	r.placed = len(r.out.Acts)
	r.afterwards()
	r.note(choreAfter)
	r.keepWork()
	return Dish{Plan: p, Pattern: r.out, kinds: r.kinds}
}

type dishReader struct {
	reader
	kinds []actKind
	busy  int // the act of the last busy cue, -1 for none
}

// note says what the acts added since the last note are.
func (r *dishReader) note(k actKind) {
	for len(r.kinds) < len(r.out.Acts) {
		r.kinds = append(r.kinds, k)
	}
}

func (r *dishReader) cues() {
	for i, c := range r.plan.Cues {
		behind := r.behindCue(i)
		a := Act{Name: c.Name, Uses: uses(c), Start: ticks(c.Start), Length: ticks(c.End) - ticks(c.Start), Behind: behind, Cue: i}
		switch {
		case c.Action == brew.Wait:
			a.Late = hour
		case i > 0:
			a.Late = ticks(r.plan.Beats[c.StartBeat].Window.Late)
		}
		if c.Action == brew.Skim && r.plan.Method == brew.Cupping {
			a.Late = max(a.Late, r.tasted()-a.Start-a.Length)
		}
		r.act[i] = len(r.out.Acts)
		r.add(a)
		r.note(cueAct)
		if c.Hands == brew.Busy {
			r.busy = r.act[i]
		}
	}
}

// tasted returns when the bowl is first tasted: up to then it is skimmed when
// there is a hand free, as a Table has it; zero where it never is.
func (r *dishReader) tasted() int {
	for _, c := range r.plan.Cues {
		if c.Action == brew.Taste {
			return ticks(c.Start)
		}
	}
	return 0
}

// behindCue returns the acts that end before cue i is called, and adds the
// gap between it and the one it hangs on, where there is any.
func (r *dishReader) behindCue(i int) []int {
	c := &r.plan.Cues[i]
	if i == 0 {
		return r.behindLast()
	}
	var behind []int
	if r.busy >= 0 {
		behind = append(behind, r.busy)
	}
	if c.Before < 0 {
		return behind
	}
	on := r.act[c.Before]
	if c.After > 0 {
		from := ticks(r.plan.Cues[c.Before].End)
		r.add(Act{Name: "wait", Start: from, Length: max(ticks(c.Start)-from, 0), Late: hour, Behind: []int{on}, Cue: -1})
		r.note(gapAct)
		on = len(r.out.Acts) - 1
	}
	if !slices.Contains(behind, on) {
		behind = append(behind, on)
	}
	return behind
}

// keepWork sets the holds and what makes the cup ready as Read does: waits do
// not count.
func (r *dishReader) keepWork() {
	all := slices.Clone(r.act)
	for i, c := range r.plan.Cues {
		if c.Action == brew.Wait {
			r.act[i] = -1
		}
	}
	r.keep()
	r.act = all
}

// Chore returns what the act asks for where it is a chore, and whether it is.
func (d Dish) Chore(act int) (brew.Chore, bool) {
	if act < len(d.Plan.Prepare) {
		return d.Plan.Prepare[act], true
	}
	if d.kinds[act] != choreAfter {
		return brew.Chore{}, false
	}
	n := 0
	for a := range act {
		if d.kinds[a] == choreAfter {
			n++
		}
	}
	for _, c := range d.Plan.Afterwards {
		if c.Over == 0 {
			continue
		}
		if n == 0 {
			return c, true
		}
		n--
	}
	return brew.Chore{}, false
}

// first returns the act of the plan's first cue, whose start is the zero.
func (d Dish) first() int { return len(d.Plan.Prepare) }

// say returns what an act asks the person to do.
func (d Dish) say(act int) string {
	if c, is := d.Chore(act); is {
		return c.Do
	}
	if cue := d.Pattern.Acts[act].Cue; cue >= 0 {
		return d.Plan.Cues[cue].Prompt
	}
	return d.Pattern.Acts[act].Name
}
