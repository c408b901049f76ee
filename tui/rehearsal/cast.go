package rehearsal

import (
	"slices"
	"time"

	"barline/brew"
)

// act is something that is done at a moment of the routine's clock: a cue of a
// cup or of the hands, the start of a brew that has not begun, or the call of
// time at the end.
type act struct {
	lane       int
	cue        int // -1 of the call
	start, end time.Duration
	begins     bool // it starts a brew, which waits for its mark
}

// on reports whether it is to be done at a moment. The start of a brew is
// until it is marked.
func (a act) on(at time.Duration) bool { return a.start <= at && (a.begins || at < a.end) }

// acts returns everything that is done in the take, lane by lane.
func (p Page) acts() (out []act) {
	plan := p.opt.Plan
	for i, c := range plan.Cups {
		switch lane := p.lanes.Lane(i); {
		case lane.Started():
			out = append(out, actsOf(i, lane, func(brew.Cue) bool { return true })...)
		case p.runs(c.Zero):
			out = append(out, act{i, 0, c.Zero, c.Zero + c.Plan.Cues[0].Length(), true})
		}
	}
	out = append(out, actsOf(plan.HandsLane(), p.lanes.Lane(plan.HandsLane()), func(c brew.Cue) bool { return p.runs(c.Start) })...)
	if p.look.Next.Lane == plan.CallsLane() {
		start := p.look.At + p.look.Next.In
		out = append(out, act{plan.CallsLane(), -1, start, start, false})
	}
	return out
}

// actsOf returns the cues of a lane that are neither skipped nor left out.
func actsOf(i int, lane brew.Lane, runs func(brew.Cue) bool) (out []act) {
	if how, _, _ := lane.Ending(); how != brew.Running {
		return nil
	}
	for n, c := range lane.Plan().Cues {
		if start, end := lane.Span(n); !lane.Skipped(n) && runs(c) {
			out = append(out, act{i, n, lane.Zero() + start, lane.Zero() + end, false})
		}
	}
	return out
}

// runs reports whether what is written for a moment belongs to the take.
func (p Page) runs(written time.Duration) bool {
	whole := p.run.Options().To+1 == len(p.opt.Plan.Sections)
	return p.run.Begins() <= written && (written < p.run.Due() || whole)
}

// cueOf returns the cue of an act; the zero one of a call.
func (p Page) cueOf(a act) brew.Cue {
	if a.cue < 0 {
		return brew.Cue{Prompt: "Call time", Action: "time", Hands: brew.Busy}
	}
	return p.lanes.Lane(a.lane).Plan().Cues[a.cue]
}

// cast is what is prompted: what the hands do, what they do next, and what
// goes on by itself meanwhile.
type cast struct {
	now, next *act
	free      []act // what ends next first
	ends      bool  // nothing is left but to call time
}

// cast finds the prompt at this moment: of what the hands do, what began
// latest.
func (p Page) cast() (c cast) {
	at := p.at()
	for _, a := range p.acts() {
		busy := p.cueOf(a).Hands == brew.Busy
		switch {
		case busy && a.on(at) && (c.now == nil || a.start > c.now.start):
			c.now = &a
		case busy && a.start > at && (c.next == nil || a.start < c.next.start):
			c.next = &a
		case !busy && a.on(at) && p.cueOf(a).Action != brew.Wait:
			c.free = append(c.free, a)
		}
	}
	c.behindStart(p, at)
	slices.SortStableFunc(c.free, func(a, b act) int { return int(a.end - b.end) })
	c.ends = p.phase == running && c.now == nil && c.next == nil && p.callDue()
	return c
}

// behindStart takes what follows in a brew whose start is awaited for what the
// hands do next, as if it started now.
func (c *cast) behindStart(p Page, at time.Duration) {
	if c.now == nil || !c.now.begins {
		return
	}
	lane := p.opt.Plan.Cups[c.now.lane].AsPlanned()
	for n, cue := range lane.Plan().Cues {
		if start, end := lane.Span(n); n > 0 && cue.Hands == brew.Busy && (c.next == nil || at+start < c.next.start) {
			c.next = &act{c.now.lane, n, at + start, at + end, false}
			return
		}
	}
}

// callDue reports whether time waits to be called.
func (p Page) callDue() bool {
	for _, w := range p.look.Pending {
		if w.Lane == p.opt.Plan.CallsLane() {
			return true
		}
	}
	return false
}

// lane returns the lane of the cup or the hands that is prompted, else that
// comes next, else that goes on by itself; -1 for none.
func (c cast) lane() int {
	switch {
	case c.now != nil:
		return c.now.lane
	case c.next != nil && c.next.cue >= 0:
		return c.next.lane
	case len(c.free) > 0:
		return c.free[0].lane
	}
	return -1
}

// laneName returns what a lane is called.
func (p Page) laneName(lane int) string {
	switch plan := p.opt.Plan; {
	case lane < 0 || lane == plan.CallsLane():
		return ""
	case lane == plan.TalkLane():
		return "talk"
	case lane == plan.HandsLane():
		return "hands"
	default:
		return plan.Cups[lane].ID
	}
}

// ofCup is the name of a cup's lane, "" of any other, whose prompts say
// themselves what they are for.
func (p Page) ofCup(lane int) string {
	if lane == p.opt.Plan.HandsLane() {
		return ""
	}
	return p.laneName(lane)
}

// laneLead puts a lane's name before something.
func (p Page) laneLead(lane int) string {
	if name := p.laneName(lane); name != "" {
		return name + ": "
	}
	return ""
}
