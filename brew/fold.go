package brew

import (
	"slices"
	"time"
)

// fold is the state of a lane: everything follows from the plan and the
// standing events. Its methods change it in place; Lane copies it first.
type fold struct {
	started bool
	zero    time.Duration // of the lane on the timeline's clock
	from    time.Duration // what the lane's clock read at the start
	now     time.Duration // of the latest event, on the lane's clock

	cues  []cueState
	beats []BeatState

	last  int           // the beat marked last, -1 for none
	bound time.Duration // how early a nudge may move it

	ending  Ending
	endedAt time.Duration
	why     string
}

// cueState is what a live brew knows of one cue, on the lane's clock.
type cueState struct {
	begin  time.Duration // as marked, else as called
	finish time.Duration
	moved  time.Duration // its earliest start, where it was moved
	// skipped says that it was cut short: a mark of the beat that it shares
	// with the next cue is then the start of that one and no end of this.
	skipped bool
}

// newFold returns the state before the start: every beat is called as it is
// written.
func newFold(p *Plan) fold {
	f := fold{last: -1, cues: make([]cueState, len(p.Cues)), beats: make([]BeatState, len(p.Beats))}
	for i := range p.Cues {
		f.cues[i] = cueState{begin: p.Cues[i].Start, finish: p.Cues[i].End}
	}
	for n := range p.Beats {
		f.beats[n] = BeatState{Status: Waiting, Called: p.Beats[n].Due}
	}
	return f
}

func (f fold) clone() fold {
	f.cues, f.beats = slices.Clone(f.cues), slices.Clone(f.beats)
	return f
}

// reach moves the state on to a moment; what was called until then stays.
func (f *fold) reach(now time.Duration) { f.now = max(f.now, now) }

// apply folds an event that makes sense into the state.
func (f *fold) apply(p *Plan, e Event) Outcome {
	if e.Kind == EventStart {
		f.start(p, e)
		return taken()
	}
	f.reach(e.At - f.zero)
	outcome := taken()
	switch e.Kind {
	case EventMark:
		outcome = f.mark(p, e)
	case EventSkip:
		outcome.Cue = f.skip(p)
	case EventNudge:
		outcome.Beat = f.nudge(p)
	case EventMoved:
		f.cues[e.Cue].moved, outcome.Cue = e.To, e.Cue
	case EventZero:
		f.restart(p, e)
	case EventStop:
		f.end(p, Stopped, e.Text)
	case EventFinish:
		f.end(p, Finished, "")
	}
	if f.ending == Running {
		f.call(p)
	}
	return outcome
}

func (f *fold) start(p *Plan, e Event) {
	f.started, f.zero, f.from, f.now = true, e.At-e.From, e.From, e.From
	for n := range p.Beats {
		if p.Beats[n].Due < e.From {
			f.beats[n].Status = Passed
		}
	}
}

// restart takes the event's moment for the start. What a cue was moved to
// wait for is no later for that: on the new clock it comes earlier.
func (f *fold) restart(p *Plan, e Event) {
	was := *f
	*f = newFold(p)
	f.start(p, Event{At: e.At, From: was.from})
	for i := range f.cues {
		f.cues[i].moved = was.cues[i].moved - (f.zero - was.zero)
	}
}

func (f *fold) end(p *Plan, how Ending, why string) {
	f.ending, f.endedAt, f.why = how, f.now, why
	for n := range f.beats {
		if f.waits(p, n) {
			f.beats[n].Status = Unmarked
		}
	}
}

// waits reports whether beat n can still be marked.
func (f *fold) waits(p *Plan, n int) bool {
	return p.Beats[n].Asked && f.beats[n].Status == Waiting
}

// call works out anew when everything is called that has not been called
// yet. Cues depend only on cues before them, so one pass is enough.
func (f *fold) call(p *Plan) {
	hands := time.Duration(0) // when the last busy cue above ends
	for i := range p.Cues {
		c, s := &p.Cues[i], &f.cues[i]
		if s.begin > f.now {
			at := c.Start
			if c.Before >= 0 {
				at = f.cues[c.Before].finish + c.After
			}
			s.begin = max(at, hands, s.moved, f.now)
			if start := &f.beats[c.StartBeat]; start.Status == Waiting && (!c.shares() || p.Beats[c.StartBeat].isNext()) {
				start.Called = s.begin
			}
		}
		if !s.skipped {
			s.finish = f.finish(p, i)
		}
		if c.Hands == Busy {
			hands = s.finish
		}
	}
}

// finish returns when cue i ends. The end is called with the cue, but not one
// that is asked as the start of the next alone: that is called with that cue,
// which may have been made to wait; this one ends by itself then.
func (f *fold) finish(p *Plan, i int) time.Duration {
	c, s := &p.Cues[i], &f.cues[i]
	end, own := &f.beats[c.EndBeat], s.finish
	if own > f.now {
		own = max(s.begin+c.Length(), f.now)
	}
	switch next := p.Beats[c.EndBeat].isNext(); {
	case next && end.Status == Waiting:
		return max(own, s.begin)
	case next && end.Called > own:
		return max(min(end.At(), own), s.begin)
	case !next && end.Called > f.now:
		end.Called = max(s.begin+c.Length(), f.now)
	}
	// A start marked after its end was called leaves nothing between.
	return max(end.At(), s.begin)
}

// mark gives the mark to the asked beat nearest in called time that is still
// waiting. Those called before it were jumped over. A mark for which the
// person cannot have been ready is stray.
func (f *fold) mark(p *Plan, e Event) Outcome {
	n := f.nearest(p, f.now)
	if n < 0 {
		return strayMark("no beat is waiting for a mark")
	}
	cue, ready := f.ready(p, n)
	if f.now < ready {
		if p.Beats[n].Has(cue, EndEdge) {
			return strayMark("too early: " + p.Cues[cue].Name + " has not been called")
		}
		return strayMark("too early: " + p.Cues[cue].Name + " is not done")
	}
	f.jump(p, n)
	f.bound = max(f.from, ready)
	if f.last >= 0 {
		f.bound = max(f.bound, f.beats[f.last].Marked)
	}
	b := &f.beats[n]
	b.Status, b.Marked, b.Raw, b.Weight = Marked, f.now, f.now, e.Weight
	f.last = n
	f.settle(p)
	out := taken()
	out.Beat = n
	return out
}

// nearest returns the waiting asked beat called nearest to a moment, the
// earlier of two that are equally near, -1 for none.
func (f *fold) nearest(p *Plan, at time.Duration) int {
	best := -1
	for n := range f.beats {
		if f.waits(p, n) && (best < 0 || nearer(at, f.beats[n].Called, f.beats[best].Called)) {
			best = n
		}
	}
	return best
}

// nearer reports whether a is nearer to the moment than b, or as near and
// before it.
func nearer(at, a, b time.Duration) bool {
	da, db := (at - a).Abs(), (at - b).Abs()
	return da < db || da == db && a < b
}

// ready returns from when on beat n can be marked, and the cue that says so:
// an end once the cue itself has been called, a start once the busy cue ahead
// has ended; -1 for none.
func (f *fold) ready(p *Plan, n int) (cue int, moment time.Duration) {
	b := &p.Beats[n]
	if end := b.endOf(); end >= 0 {
		return end, f.cues[end].begin
	}
	for i := b.Cue - 1; i >= 0; i-- {
		if p.Cues[i].Hands == Busy {
			return i, f.cues[i].finish
		}
	}
	return -1, f.from
}

// jump leaves unmarked every asked beat that was called before beat n and
// still waits.
func (f *fold) jump(p *Plan, n int) {
	for i := range f.beats {
		b := &f.beats[i]
		before := b.Called < f.beats[n].Called || b.Called == f.beats[n].Called && i < n
		if before && f.waits(p, i) {
			b.Status = Unmarked
		}
	}
}

// settle lets the cue that starts with the last marked beat begin with its
// mark; ends follow when the rest is called. A cue that shares the beat but
// was held up begins when it is called, unless that had come by the time of
// the mark, or the mark was asked for the start alone of one that was moved.
func (f *fold) settle(p *Plan) {
	b, mark := &p.Beats[f.last], &f.beats[f.last]
	start := b.startOf()
	if start < 0 || f.cues[start].skipped {
		return
	}
	s := &f.cues[start]
	moved := b.isNext() && s.begin == s.moved
	if s.begin <= mark.Raw || !p.Cues[start].shares() || moved {
		s.begin = mark.Marked
	}
}

// nudge moves the mark that was made last.
func (f *fold) nudge(p *Plan) int {
	f.beats[f.last].Marked -= Nudge
	f.settle(p)
	return f.last
}

// skippable returns the cue that a skip would end: the one that is on, else
// the next; -1 for none.
func (f *fold) skippable(p *Plan, at time.Duration) int {
	m := f.moment(p, at)
	if m.On >= 0 {
		return m.On
	}
	return m.Next
}

// skip ends the cue that is on, or the next. Its beats are skipped, but a
// beat that it shares with a cue that asks for it as well stays for that one.
func (f *fold) skip(p *Plan) int {
	i := f.skippable(p, f.now)
	s := &f.cues[i]
	s.begin, s.finish, s.skipped = min(s.begin, f.now), f.now, true
	for _, at := range [...]Point{{i, StartEdge}, {i, EndEdge}} {
		n := p.beatOf(at)
		b := &f.beats[n]
		if b.Status != Waiting {
			continue
		}
		b.Called = min(b.Called, f.now)
		if !p.Beats[n].askedBeside(at) {
			b.Status = Skipped
		}
	}
	return i
}
