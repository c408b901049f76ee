package routine

import (
	"slices"
	"time"

	"barline/brew"
)

// Options say which part of a routine is run, and how.
type Options struct {
	From, To int  // sections, both included
	Manual   bool // a line begins only with its mark; else lines go on by themselves
}

// Whole returns the options of a run from the first call of time to the last.
func (p *Plan) Whole() Options { return Options{To: len(p.Sections) - 1} }

// Ending says how a run ended; the zero Ending is that it has not.
type Ending string

// The endings of a run.
const (
	Running  Ending = ""
	Finished Ending = "finished" // time was called
	Stopped  Ending = "stopped"
)

// Run is one performance of a plan while it lasts: the fold of the events so
// far. It is a value: Apply returns a new one and leaves the old as it was.
//
// Moments are those of the routine's clock, which reads 0:00 at the first call
// of time, or the start of the section that the run begins with. Events name
// lanes: those of the cups in their order, then the hands', the talk's and
// the calls' (see Plan).
//
// What is said goes on by itself: a line is called behind the one before, as
// marked, else as called, but not before the cue that it is tied to, nor
// before its written start where the plan leaves a pause ahead of it. What has
// begun stays begun. A serving is called when its cup is ready, or later.
type Run struct {
	plan     *Plan
	opt      Options
	log      []brew.Event // all that was given, in order
	standing []brew.Event // of those, what was not taken back by a fold anew
	fold
}

// NewRun returns a run that has not started. Sections outside the plan are
// taken for the nearest.
func NewRun(p *Plan, opt Options) Run {
	last := len(p.Sections) - 1
	opt.From = max(min(opt.From, last), 0)
	opt.To = max(min(opt.To, last), opt.From)
	return Run{plan: p, opt: opt, fold: newFold(p, opt)}
}

// CallsLane is the number by which events name the calls of time.
func (p *Plan) CallsLane() int { return len(p.Cups) + 2 }

// Plan returns the plan that is run.
func (r Run) Plan() *Plan { return r.plan }

// Options returns what is run, and how.
func (r Run) Options() Options { return r.opt }

// Partial reports whether sections are left out.
func (r Run) Partial() bool { return r.opt.From > 0 || r.opt.To+1 < len(r.plan.Sections) }

// Begins returns what the clock reads when the run starts.
func (r Run) Begins() time.Duration { return r.plan.Sections[r.opt.From].Start }

// Due returns when the call of time at the end is written.
func (r Run) Due() time.Duration { return r.plan.Sections[r.opt.To].End }

// Events returns everything that happened, in order.
func (r Run) Events() []brew.Event { return slices.Clone(r.log) }

// Lanes returns the cups' lanes and the hands', each with its own events: a
// cup's are those of its brew in the journal.
func (r Run) Lanes() brew.Timeline { return r.lanes }

// Started reports whether time has been called.
func (r Run) Started() bool { return r.started }

// Ending returns how the run ended, when, and why where somebody said.
func (r Run) Ending() (how Ending, at time.Duration, why string) { return r.ending, r.endedAt, r.why }

// Apply folds one more event into the run. A refused event leaves the run as
// it is; every other one is kept. An event that comes with an earlier moment
// than the latest counts as happening at that of the latest.
//
//	EventMark   in the calls' lane: time is called, at the start and the end
//	EventMark   in the talk's lane: the next line begins
//	EventStart  in a cup's lane: water meets coffee
//	EventMark, EventSkip, EventNudge, EventUndo and so on in a cup's or the
//	            hands' lane, as brew.Lane has them
//	EventUndo   in the talk's lane: the latest line mark is taken back; in the
//	            calls' lane: the call at the end is
//	EventStop   in the calls' lane: the run is broken off
//	EventNote   in the calls' lane: words for the record
func (r Run) Apply(e brew.Event) (Run, brew.Outcome) {
	next := r
	next.log, next.standing, next.fold = slices.Clip(r.log), slices.Clip(r.standing), r.fold.clone()
	outcome := next.take(e)
	if outcome.Effect == brew.Refused {
		return r, outcome
	}
	return next, outcome
}

// Replay returns the run of a plan to which all these events happened. Where
// some are refused, which are left out, it returns the number of the first and
// why; else -1.
func Replay(p *Plan, opt Options, events []brew.Event) (r Run, first int, why string) {
	r, first = NewRun(p, opt), -1
	for n, e := range events {
		if outcome := r.take(e); outcome.Effect == brew.Refused && first < 0 {
			first, why = n, outcome.Why
		}
	}
	return r, first, why
}

// take folds an event into this very run.
func (r *Run) take(given brew.Event) brew.Outcome {
	e := given
	if r.started {
		e.At = max(e.At, r.now)
	}
	if e.Kind == brew.EventUndo && e.Lane >= r.plan.TalkLane() {
		return r.undo(given, e)
	}
	outcome := r.fold.apply(r.plan, r.opt, e)
	if outcome.Effect != brew.Refused {
		r.log, r.standing = append(r.log, given), append(r.standing, e)
	}
	return outcome
}

// undo takes back the latest line mark, or the call at the end, by folding
// what stands without it.
func (r *Run) undo(given, e brew.Event) brew.Outcome {
	i := r.undoable(e.Lane)
	if i < 0 {
		return refused("there is nothing to take back")
	}
	standing := slices.Delete(slices.Clone(r.standing), i, i+1)
	r.fold, r.standing = newFold(r.plan, r.opt), standing
	for _, s := range standing {
		r.fold.apply(r.plan, r.opt, s)
	}
	r.reach(r.plan, r.opt, e.At)
	r.log = append(r.log, given)
	return taken()
}

// undoable returns the standing event that an undo in the talk's or the calls'
// lane takes back, -1 for none.
func (r *Run) undoable(lane int) int {
	if lane == r.plan.TalkLane() && r.ending != Running || lane == r.plan.CallsLane() && r.ending != Finished {
		return -1
	}
	for i := len(r.standing) - 1; i >= 0; i-- {
		if s := r.standing[i]; s.Lane == lane && s.Kind == brew.EventMark {
			return i
		}
	}
	return -1
}

func refused(why string) brew.Outcome {
	return brew.Outcome{Effect: brew.Refused, Beat: -1, Cue: -1, Why: why}
}

func taken() brew.Outcome { return brew.Outcome{Effect: brew.Taken, Beat: -1, Cue: -1} }
