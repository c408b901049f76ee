package brew

import (
	"slices"
	"time"
)

// Ending says how a lane ended; the zero Ending is that it has not.
type Ending string

// The endings of a lane.
const (
	Running  Ending = ""
	Finished Ending = "finished"
	Stopped  Ending = "stopped"
)

// Lane is one brewer's line of cues while it is brewed: a plan and the fold
// of the events so far. A Lane is a value. Apply returns a new one and leaves
// the old as it was.
//
// Every cue has a called start and end. A pinned cue is called at its moment
// of the clock, or when the busy cue before it ends, if that is later. A cue
// that hangs is called behind the end of the one before, as marked, else as
// called, earlier as well as later, but not while the hands are busy. A cue's
// end is called its length behind its start, as marked, else as called. What
// has been called stays called: nothing is called in the past, and the clock
// never waits for a mark.
type Lane struct {
	plan     *Plan
	log      []Event       // all that happened, in order
	standing []Event       // of those, what was not taken back
	latest   time.Duration // of the timeline's clock: when the last of them happened
	fold
}

// NewLane returns a lane that has not started.
func NewLane(p *Plan) Lane { return Lane{plan: p, fold: newFold(p)} }

// Plan returns the plan that the lane follows.
func (l Lane) Plan() *Plan { return l.plan }

// Events returns everything that happened in the lane, in order.
func (l Lane) Events() []Event { return slices.Clone(l.log) }

// Started reports whether water has met coffee.
func (l Lane) Started() bool { return l.started }

// Zero returns the moment of the timeline's clock at which the lane's reads
// 0:00. It means nothing before the start.
func (l Lane) Zero() time.Duration { return l.zero }

// From returns what the lane's clock read at the start: more than zero where
// a brew was entered in the middle.
func (l Lane) From() time.Duration { return l.from }

// Elapsed returns a moment of the timeline's clock on the lane's own.
func (l Lane) Elapsed(at time.Duration) time.Duration { return at - l.zero }

// Ending returns how the lane ended, when on its own clock, and why where the
// person said.
func (l Lane) Ending() (how Ending, at time.Duration, why string) { return l.ending, l.endedAt, l.why }

// Beat returns what is known of the plan's beat n.
func (l Lane) Beat(n int) BeatState { return l.beats[n] }

// Span returns when the cue is on: from its start, as marked, else as called,
// to its end.
func (l Lane) Span(cue int) (start, end time.Duration) {
	return l.cues[cue].begin, l.cues[cue].finish
}

// Skipped reports whether the cue was skipped.
func (l Lane) Skipped(cue int) bool { return l.cues[cue].skipped }

// Last returns the beat that was marked last, or -1.
func (l Lane) Last() int { return l.last }

// Apply folds one more event into the lane. A refused event leaves the lane
// as it is; every other one is kept. Events come in the order of their
// moments: an earlier one counts as happening at the moment of the latest.
func (l Lane) Apply(e Event) (Lane, Outcome) {
	next := l.own()
	outcome := next.take(e)
	if outcome.Effect == Refused {
		return l, outcome
	}
	return next, outcome
}

// own returns the lane with nothing that take changes in common with it.
func (l Lane) own() Lane {
	l.log, l.standing, l.fold = slices.Clip(l.log), slices.Clip(l.standing), l.clone()
	return l
}

// Replay returns the lane of a plan to which all these events happened, as
// Apply gives it one after the other, but without a copy for each: for records
// that are read by the thousand. Where some are refused, which are left out,
// it returns the number of the first and why; else -1.
func Replay(p *Plan, events []Event) (l Lane, first int, why string) {
	l, first = NewLane(p), -1
	l.log, l.standing = make([]Event, 0, len(events)), make([]Event, 0, len(events))
	for n, e := range events {
		if outcome := l.take(e); outcome.Effect == Refused && first < 0 {
			first, why = n, outcome.Why
		}
	}
	return l, first, why
}

// take folds an event into this very lane. A refused one changes nothing.
func (l *Lane) take(given Event) Outcome {
	e := given
	if l.started {
		e.At = max(e.At, l.zero+l.now)
	}
	if why := l.refuses(e); why != "" {
		return refused(why)
	}
	l.log, l.latest = append(l.log, given), e.At
	if e.Kind == EventUndo {
		return l.undo(e)
	}
	l.standing = append(l.standing, e)
	return l.apply(l.plan, e)
}

// refuses returns why the event makes no sense now, "" where it does.
func (l Lane) refuses(e Event) string {
	switch e.Kind {
	case EventNote:
		return ""
	case EventStart:
		if l.started {
			return "it has started already"
		}
		return ""
	case EventUndo:
		return l.refusesUndo()
	}
	switch now := e.At - l.zero; {
	case !l.started:
		return "it has not started"
	case l.ending != Running:
		return "it has ended"
	case e.Kind == EventZero:
		return l.refusesZero(now)
	case e.Kind == EventNudge:
		return l.refusesNudge()
	case e.Kind == EventMoved:
		return l.refusesMove(e.Cue, now)
	case e.Kind == EventSkip && l.skippable(l.plan, now) < 0:
		return "there is nothing left to skip"
	case !slices.Contains([]EventKind{EventMark, EventSkip, EventStop, EventFinish}, e.Kind):
		return "there is no such event"
	}
	return ""
}

func (l Lane) refusesUndo() string {
	switch {
	case !l.started:
		return "it has not started"
	case l.undoable() < 0:
		return "there is nothing to take back"
	case l.ending == Stopped:
		return "it has ended"
	}
	return ""
}

func (l Lane) refusesZero(now time.Duration) string {
	if now-l.from > ZeroWithin {
		return "zero can be set again only in the first " + Spoken(ZeroWithin)
	}
	if l.last >= 0 || slices.ContainsFunc(l.standing, func(e Event) bool { return e.Kind == EventSkip }) {
		return "zero cannot be set again after a mark"
	}
	return ""
}

func (l Lane) refusesMove(cue int, now time.Duration) string {
	if cue < 0 || cue >= len(l.cues) {
		return "there is no such cue"
	}
	if l.cues[cue].begin <= now {
		return "it has begun already"
	}
	return ""
}

func (l Lane) refusesNudge() string {
	if l.last < 0 {
		return "there is no mark to move"
	}
	if l.beats[l.last].Marked-Nudge < l.bound {
		return "it would pass the beat before"
	}
	return ""
}

// undoable returns the index of the latest standing mark or skip, -1 for none.
func (l Lane) undoable() int {
	for i := len(l.standing) - 1; i >= 0; i-- {
		if k := l.standing[i].Kind; k == EventMark || k == EventSkip {
			return i
		}
	}
	return -1
}

// undo takes back the latest mark or skip by folding what stands without it:
// the state is what it would be had the event never come. With it go a finish
// that it brought about and, if it marked a beat, the nudges that moved it.
func (l *Lane) undo(e Event) Outcome {
	i, marked := l.undoable(), l.last
	before, after := l.standing[:i], l.standing[i+1:]
	l.fold, l.standing = newFold(l.plan), slices.Clone(before)
	for _, s := range before {
		l.apply(l.plan, s)
	}
	outcome := taken()
	if l.last != marked {
		outcome.Beat = marked
	}
	for _, s := range after {
		if s.Kind == EventFinish || s.Kind == EventNudge && outcome.Beat >= 0 {
			continue
		}
		l.standing = append(l.standing, s)
		l.apply(l.plan, s)
	}
	l.reach(e.At - l.zero)
	return outcome
}

// EndsItself returns the moment of the lane's clock at which the brew
// finishes if nothing more happens: with the end of its last cue when no beat
// is waiting for a mark, else some time after the last call or the last event,
// whichever is later: whoever takes a brew up late must have the time to mark.
// It is false before the start and after the end.
func (l Lane) EndsItself() (time.Duration, bool) {
	if !l.started || l.ending != Running {
		return 0, false
	}
	var last, called time.Duration
	waiting := false
	for i := range l.cues {
		last = max(last, l.cues[i].finish)
	}
	for n := range l.beats {
		called = max(called, l.beats[n].Called)
		waiting = waiting || l.waits(l.plan, n)
	}
	if waiting {
		return max(called, l.latest-l.zero) + FinishAfter, true
	}
	return max(last, l.now), true
}

// Contact returns how long water and coffee were together, by marks where
// there are, by calls otherwise, and whether both edges that it lies between
// were marked. It is false where the plan has no such time or the brew did
// not get that far.
func (l Lane) Contact() (length time.Duration, marked, ok bool) {
	from, to, length, ok := l.plan.contact(func(p Point) (time.Duration, bool) {
		at, end := l.Span(p.Cue)
		if p.Edge == EndEdge {
			at = end
		}
		reached := l.started && (l.ending == Running || at <= l.endedAt)
		return at, reached && l.beats[l.plan.beatOf(p)].Status != Passed
	})
	return length, ok && l.sure(from) && l.sure(to), ok
}

// sure reports whether an edge was marked, as the brew's own start is.
func (l Lane) sure(p Point) bool {
	return p == Point{0, StartEdge} || l.beats[l.plan.beatOf(p)].Status == Marked
}
