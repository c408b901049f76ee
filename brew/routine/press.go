package routine

import (
	"cmp"
	"slices"
	"time"

	"barline/brew"
)

// Meant returns the event that a press of the brew's key means at a moment:
// the start of a brew, a mark in a lane, or a call of time, whichever was or
// will be called nearest; of two that are as near the earlier. While the start
// of a brew is pending, a press means nothing that is still far ahead: whoever
// comes late to the water means the water. It is false where it means nothing.
func (r Run) Meant(at time.Duration, source brew.Source) (brew.Event, bool) {
	e := brew.Event{Kind: brew.EventMark, Lane: r.plan.CallsLane(), At: at, Source: source}
	switch {
	case r.ending != Running:
		return brew.Event{}, false
	case !r.started:
		return e, true
	}
	best, wanted := nearest{at: at}, r.reached(at).Wanted(at) // a serving is put off as time goes by
	awaited := slices.ContainsFunc(wanted, func(c Wanted) bool { return c.Kind == brew.EventStart && c.Called <= at })
	for _, c := range wanted {
		if far := c.Called-at > brew.ZeroWithin; !(awaited && far) && best.take(c.Called) {
			e.Kind, e.Lane = c.Kind, c.Lane
		}
	}
	return e, true
}

// LineAhead returns by how much a mark in the talk's lane would let a line begin
// ahead of what it is tied to, 0 where it would not, and which line that is. Of
// a brew that has not started it is taken to start now.
func (r Run) LineAhead(at time.Duration) (line int, ahead time.Duration) {
	r = r.reached(at)
	if r.confirmed(r.plan, r.opt, at) >= 0 {
		return -1, 0
	}
	line, _, _ = r.nextLine(r.plan, r.opt, at)
	if line < 0 {
		return -1, 0
	}
	for _, t := range r.plan.Lines[line].Behind {
		moment, _ := r.tied(r.plan, t, at)
		ahead = max(ahead, moment-at)
	}
	return line, ahead
}

type nearest struct {
	at, called time.Duration
	any        bool
}

// take reports whether a call is nearer than those before it.
func (n *nearest) take(called time.Duration) bool {
	off, least := (n.at - called).Abs(), (n.at - n.called).Abs()
	if n.any && (off > least || off == least && called >= n.called) {
		return false
	}
	n.called, n.any = called, true
	return true
}

// Wanted is something that a run waits for: the start of a brew, a beat or the
// call of time.
type Wanted struct {
	Lane   int
	Beat   int            // of the lane's plan; -1 for the start of a brew and a call
	Kind   brew.EventKind // of the event that it waits for
	Called time.Duration  // when it was called, or will be as things stand
}

// Wanted returns everything that a press of the brew's key could mean at a
// moment, lane by lane.
func (r Run) Wanted(at time.Duration) (out []Wanted) {
	if !r.started || r.ending != Running {
		return nil
	}
	for i, c := range r.plan.Cups {
		if !r.lanes.Lane(i).Started() && r.runs(c.Zero) {
			out = append(out, Wanted{i, -1, brew.EventStart, c.Zero})
		}
	}
	for i := range r.lanes.Lanes() {
		out = append(out, r.waitingIn(i)...)
	}
	return append(out, Wanted{r.plan.CallsLane(), -1, brew.EventMark, r.callDue(at)})
}

// runs reports whether a moment of the plan belongs to what is run.
func (r Run) runs(written time.Duration) bool {
	return r.Begins() <= written && (written < r.Due() || r.opt.To+1 == len(r.plan.Sections))
}

// waitingIn returns the beats of a lane that wait for a mark.
func (r Run) waitingIn(i int) (out []Wanted) {
	lane := r.lanes.Lane(i)
	if how, _, _ := lane.Ending(); !lane.Started() || how != brew.Running {
		return nil
	}
	for n, b := range lane.Plan().Beats {
		if s := lane.Beat(n); b.Asked && s.Status == brew.Waiting && r.runs(r.written(r.plan, i, n)) {
			out = append(out, Wanted{i, n, brew.EventMark, lane.Zero() + s.Called})
		}
	}
	return out
}

// callDue returns when the call at the end is called: as written, or when what
// is said and done ends, if that is later.
func (r Run) callDue(now time.Duration) time.Duration {
	out := r.Due()
	for i, c := range r.plan.Cups {
		if !r.runs(c.Zero) && !r.lanes.Lane(i).Started() {
			continue
		}
		for cue := range c.Plan.Cues {
			if start, _ := r.planned[i].Span(cue); r.runs(c.Zero + start) {
				out = max(out, r.cueEnd(r.plan, i, cue, now))
			}
		}
	}
	for cue, c := range r.plan.Hands.Cues {
		if _, end := r.lanes.Lane(r.plan.HandsLane()).Span(cue); r.runs(c.Start) {
			out = max(out, end)
		}
	}
	return max(out, r.saidBy(now))
}

// saidBy returns when the last line of the run is over, as things stand.
func (r Run) saidBy(now time.Duration) time.Duration {
	f := r.fold.clone()
	for {
		k, at, _ := f.nextLine(r.plan, r.opt, now)
		if k < 0 {
			break
		}
		f.lines = append(f.lines, lineState{begun: at})
	}
	first, _ := r.opt.lines(r.plan)
	n := len(f.lines) - 1
	if n < 0 {
		return r.Begins()
	}
	return f.lines[n].begun + r.plan.Lines[first+n].Length
}

// Undoable returns the lane of a cup, or of the hands, with the latest mark or
// skip that can be taken back; -1 for none. Line marks and the call at the end
// are taken back by an undo in their own lanes.
func (r Run) Undoable() int { return r.lanes.Undoable() }

// Clock returns the events that the clock brings until a moment, in order:
// brews that end by themselves. Whoever runs a routine applies them before
// any event of that moment or later.
func (r Run) Clock(at time.Duration) (out []brew.Event) {
	for i := range r.plan.Cups {
		lane := r.lanes.Lane(i)
		if end, will := lane.EndsItself(); will && lane.Zero()+end <= at {
			out = append(out, brew.Event{Kind: brew.EventFinish, Lane: i, At: lane.Zero() + end, Source: brew.FromClock})
		}
	}
	slices.SortStableFunc(out, func(a, b brew.Event) int { return cmp.Compare(a.At, b.At) })
	return out
}

// Closing returns the events that end the brews under way when the run has
// ended: they are broken off.
func (r Run) Closing() (out []brew.Event) {
	if r.ending == Running {
		return nil
	}
	for i := range r.plan.Cups {
		lane := r.lanes.Lane(i)
		if how, _, _ := lane.Ending(); lane.Started() && how == brew.Running {
			out = append(out, brew.Event{Kind: brew.EventStop, Lane: i, At: r.endedAt, Source: brew.FromClock, Text: "the run has ended"})
		}
	}
	return out
}
