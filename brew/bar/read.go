package bar

import (
	"time"

	"barline/brew"
)

// What a chore is taken for where the recipe says nothing; common practice,
// no source.
const (
	DefaultChore = 10  // ticks a thing to prepare takes
	DefaultFloat = 120 // ticks it may be done away from the brew
)

// Read returns a plan as the bar sees it: what to prepare, the steps but for
// the waits, and what to do afterwards. A step may begin within the window of
// its start, counted from the brew's own zero, which is the first step's
// start. Pours and bypasses need the kettle, busy steps a pair of hands. What
// is to be prepared may be done early by its float, DefaultFloat where it has
// none; what is to be done afterwards, where it has a length, as much later;
// the rest of it is advice, for which no time is set aside. The brewer is taken from the last thing to
// prepare to the last to do, the scale from the first step to the last that
// is on it. The cup is ready when it has been served, or else with the last
// step.
func Read(p *brew.Plan) Pattern {
	r := reader{plan: p, out: Pattern{Name: p.Name}, act: make([]int, len(p.Cues))}
	r.prepare()
	r.steps()
	r.afterwards()
	r.keep()
	return r.out
}

type reader struct {
	plan   *brew.Plan
	out    Pattern
	act    []int // of each cue, -1 for none
	chores int   // to prepare
	placed int   // acts ahead of those to do afterwards
}

// ticks returns a duration in whole seconds, rounded.
func ticks(d time.Duration) int { return int(d.Round(time.Second) / time.Second) }

func (r *reader) add(a Act) { r.out.Acts = append(r.out.Acts, a) }

// behindLast returns the act just added, as what the next stands behind.
func (r *reader) behindLast() []int {
	if len(r.out.Acts) == 0 {
		return nil
	}
	return []int{len(r.out.Acts) - 1}
}

// prepare sets the chores one behind the other, the last up to the zero.
func (r *reader) prepare() {
	start := 0
	for _, c := range r.plan.Prepare {
		start -= choreLength(c)
	}
	for _, c := range r.plan.Prepare {
		length := choreLength(c)
		r.add(Act{Name: c.Do, Uses: choreUses(c), Start: start, Length: length, Early: float(c), Behind: r.behindLast(), Cue: -1})
		start += length
	}
	r.chores = len(r.plan.Prepare)
}

func choreLength(c brew.Chore) int {
	if c.Over > 0 {
		return ticks(c.Over)
	}
	return DefaultChore
}

// float returns how far a chore may move from its brew.
func float(c brew.Chore) int {
	if c.Float > 0 {
		return ticks(c.Float)
	}
	return DefaultFloat
}

// choreUses returns what a chore needs.
func choreUses(c brew.Chore) []int {
	switch c.Uses {
	case brew.UsesKettle:
		return []int{Kettle}
	case brew.UsesBoth:
		return []int{Hands, Kettle}
	case brew.UsesNothing:
		return nil
	}
	return []int{Hands}
}

func (r *reader) steps() {
	for i, c := range r.plan.Cues {
		if c.Action == brew.Wait {
			r.act[i] = -1
			continue
		}
		r.act[i] = len(r.out.Acts)
		a := Act{Name: c.Name, Uses: uses(c), Start: ticks(c.Start), Length: ticks(c.End) - ticks(c.Start), Behind: r.behind(i), Cue: i}
		if w := r.plan.Beats[c.StartBeat].Window; i > 0 {
			a.Early, a.Late = ticks(w.Early), ticks(w.Late)
		}
		r.add(a)
	}
	r.placed = len(r.out.Acts)
}

// uses returns what a step needs.
func uses(c brew.Cue) []int {
	var out []int
	if c.Hands == brew.Busy {
		out = append(out, Hands)
	}
	if c.Action == brew.Pour || c.Action == brew.Bypass {
		out = append(out, Kettle)
	}
	return out
}

// behind returns the acts that end before the cue begins and are not behind
// one another.
func (r *reader) behind(i int) (out []int) {
	covered := map[int]bool{}
	var cover func(a int)
	cover = func(a int) {
		for _, b := range r.out.Acts[a].Behind {
			covered[b] = true
			cover(b)
		}
	}
	start := ticks(r.plan.Cues[i].Start)
	for a := len(r.out.Acts) - 1; a >= 0; a-- {
		if act := r.out.Acts[a]; act.Start+act.Length <= start && !covered[a] {
			out = append(out, a)
			cover(a)
		}
	}
	return out
}

func (r *reader) afterwards() {
	at := ticks(r.plan.End)
	for _, c := range r.plan.Afterwards {
		if c.Over == 0 {
			continue
		}
		r.add(Act{Name: c.Do, Uses: choreUses(c), Start: at, Length: ticks(c.Over), Late: float(c), Behind: r.ended(at), Cue: -1})
		at += ticks(c.Over)
	}
}

// ended returns the acts that end by a tick and that no other stands behind.
func (r *reader) ended(at int) (out []int) {
	last := map[int]bool{}
	for a, act := range r.out.Acts {
		last[a] = act.Start+act.Length <= at
		for _, b := range act.Behind {
			last[b] = false
		}
	}
	for a := range r.out.Acts {
		if last[a] {
			out = append(out, a)
		}
	}
	return out
}

// keep sets when the cup is ready and how long brewer and scale are kept.
func (r *reader) keep() {
	served, last, weighed := -1, -1, -1
	for i, c := range r.plan.Cues {
		a := r.act[i]
		if a < 0 {
			continue
		}
		if c.Action == brew.Serve {
			served = a
		}
		if last < 0 || r.ends(a) >= r.ends(last) {
			last = a
		}
		if c.OnScale {
			weighed = a
		}
	}
	r.out.Done = last
	if served >= 0 {
		r.out.Done = served
	}
	to := last
	if len(r.out.Acts) > r.placed {
		to = len(r.out.Acts) - 1
	}
	r.out.Holds = append(r.out.Holds, Hold{Brewer, max(r.chores-1, 0), to})
	if weighed >= 0 {
		r.out.Holds = append(r.out.Holds, Hold{Scale, min(r.chores, weighed), weighed})
	}
}

func (r *reader) ends(a int) int { return r.out.Acts[a].Start + r.out.Acts[a].Length }
