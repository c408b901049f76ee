package routine

import (
	"slices"
	"time"

	"barline/brew"
)

// fold is the state of a run: everything follows from the plan, the options
// and the standing events. Its methods change it in place; Run copies it
// first.
type fold struct {
	from    time.Duration // what the clock reads where the run begins
	planned []brew.Lane   // the cups', as the plan has them
	started bool
	now     time.Duration // of the latest event
	lanes   brew.Timeline // the cups', then the hands'
	lines   []lineState   // that have begun, from the run's first on

	ending  Ending
	endedAt time.Duration
	why     string
}

// lineState is what a run knows of a line that has begun.
type lineState struct {
	called time.Duration // when it was due by what came before
	begun  time.Duration // its mark, else its call
	marked bool
}

func newFold(p *Plan, opt Options) fold {
	f := fold{from: p.Sections[opt.From].Start}
	plans := make([]*brew.Plan, 0, len(p.Cups)+1)
	for _, c := range p.Cups {
		plans, f.planned = append(plans, c.Plan), append(f.planned, c.AsPlanned())
	}
	f.lanes, f.now = brew.NewTimeline(append(plans, p.Hands)...), f.from
	return f
}

func (f fold) clone() fold {
	f.lanes, f.lines = f.lanes.Own(), slices.Clone(f.lines)
	return f
}

// apply folds an event that happened at its moment into the state.
func (f *fold) apply(p *Plan, opt Options, e brew.Event) brew.Outcome {
	if why := f.refuses(p, e); why != "" {
		return refused(why)
	}
	if f.started && f.ending == Running {
		f.reach(p, opt, e.At)
	}
	switch e.Lane {
	case p.CallsLane():
		return f.call(p, opt, e)
	case p.TalkLane():
		return f.line(p, opt, e)
	}
	if f.entered(e) {
		return taken()
	}
	outcome := f.lanes.Take(e)
	if outcome.Effect == brew.Refused {
		return outcome
	}
	f.now = max(f.now, e.At)
	if e.Kind == brew.EventStart {
		f.move(p, e.Lane)
	}
	f.serve(p, f.now)
	return outcome
}

// refuses returns why the event makes no sense now, "" where it does.
func (f *fold) refuses(p *Plan, e brew.Event) string {
	closing := e.Kind == brew.EventFinish || e.Kind == brew.EventStop || e.Kind == brew.EventNote
	switch {
	case e.Lane < 0 || e.Lane > p.CallsLane():
		return "there is no such lane"
	case !f.started && (e.Lane != p.CallsLane() || e.Kind == brew.EventStop):
		return "it has not started"
	case f.ending != Running && !(closing && e.Lane <= p.HandsLane()) && e.Kind != brew.EventNote:
		return "it has ended"
	case e.Lane == p.CallsLane() && !slices.Contains([]brew.EventKind{brew.EventMark, brew.EventStop, brew.EventNote}, e.Kind),
		e.Lane == p.TalkLane() && e.Kind != brew.EventMark:
		return "there is no such event"
	}
	return ""
}

// entered reports whether an event is the start of a brew that was under way
// where the run begins, which has it already: a record keeps it with the brew.
func (f *fold) entered(e brew.Event) bool {
	lane := f.lanes.Lane(e.Lane)
	return e.Kind == brew.EventStart && e.From > 0 && lane.Started() && lane.Zero() == e.At-e.From
}

// call takes a call of time, a stop or a note.
func (f *fold) call(p *Plan, opt Options, e brew.Event) brew.Outcome {
	switch {
	case e.Kind == brew.EventNote:
	case e.Kind == brew.EventStop:
		f.ending, f.endedAt, f.why = Stopped, e.At, e.Text
	case !f.started:
		f.start(p, opt)
	default:
		f.ending, f.endedAt = Finished, e.At
	}
	f.now = max(f.now, e.At)
	return taken()
}

// start sets the clock going where the run begins, with the brews that are
// under way there. One that is over by then is no brew of this run.
func (f *fold) start(p *Plan, opt Options) {
	from := f.from
	f.started, f.now = true, from
	for i, c := range p.Cups {
		if c.Zero < from && from < f.ready(p, i, from) {
			f.begin(brew.Event{Kind: brew.EventStart, Lane: i, At: from, From: from - c.Zero, Source: brew.FromClock})
			f.move(p, i)
		}
	}
	f.begin(brew.Event{Kind: brew.EventStart, Lane: p.HandsLane(), At: from, From: from, Source: brew.FromClock})
	f.reach(p, opt, from)
}

// begin gives the lanes an event that follows from others.
func (f *fold) begin(e brew.Event) { f.lanes.Take(e) }

// move lets the cues of a cup come as late as the plan has them.
func (f *fold) move(p *Plan, cup int) {
	for _, m := range p.Cups[cup].Moves {
		f.begin(brew.Event{Kind: brew.EventMoved, Lane: cup, At: f.now, Cue: m.Cue, To: m.To, Source: brew.FromClock})
	}
}

// reach moves the state on to a moment: what is called until then has been
// called.
func (f *fold) reach(p *Plan, opt Options, now time.Duration) {
	f.now = max(f.now, now)
	f.serve(p, f.now)
	if opt.Manual {
		return
	}
	for {
		k, at, can := f.nextLine(p, opt, f.now)
		if k < 0 || !can || at > f.now {
			return
		}
		f.lines = append(f.lines, lineState{called: at, begun: at})
	}
}

// serve lets each serving come when its cup is ready, and no sooner than it is
// written. That of a brew which has not started is put off as time goes by.
func (f *fold) serve(p *Plan, now time.Duration) {
	hands := f.lanes.Lane(p.HandsLane())
	for i, c := range p.Cups {
		if c.Serving < 0 {
			continue
		}
		ready := f.ready(p, i, now)
		begin, _ := hands.Span(c.Serving)
		waits := begin > now || !f.begun(p, i)
		if want := max(ready, p.Hands.Cues[c.Serving].Start); waits && want != begin {
			f.begin(brew.Event{Kind: brew.EventMoved, Lane: p.HandsLane(), At: min(now, begin-1), Cue: c.Serving, To: ready, Source: brew.FromClock})
			hands = f.lanes.Lane(p.HandsLane())
		}
	}
}

// ready returns when the last cue of a cup ends, as cueEnd has it.
func (f *fold) ready(p *Plan, cup int, now time.Duration) time.Duration {
	lane, last := f.cup(cup), time.Duration(0)
	for cue := range p.Cups[cup].Plan.Cues {
		_, end := lane.Span(cue)
		last = max(last, end)
	}
	return f.zero(p, cup, now) + last
}

// cueEnd returns when a cue of a cup ends, on the routine's clock: of one that
// has not been started, as if it started now.
func (f *fold) cueEnd(p *Plan, cup, cue int, now time.Duration) time.Duration {
	_, end := f.cup(cup).Span(cue)
	return f.zero(p, cup, now) + end
}

// cup returns a cup's lane: of one that has not been started, as planned.
func (f *fold) cup(i int) brew.Lane {
	if lane := f.lanes.Lane(i); lane.Started() {
		return lane
	}
	return f.planned[i]
}

// begun reports whether a cup has been started, here or before the run begins.
func (f *fold) begun(p *Plan, cup int) bool {
	return f.lanes.Lane(cup).Started() || p.Cups[cup].Zero < f.from
}

// zero returns when a cup's clock reads 0:00, or will at the soonest.
func (f *fold) zero(p *Plan, cup int, now time.Duration) time.Duration {
	lane, written := f.lanes.Lane(cup), p.Cups[cup].Zero
	switch {
	case lane.Started():
		return lane.Zero()
	case f.begun(p, cup):
		return written
	}
	return max(written, now)
}

// written returns when a beat of a lane is written, on the routine's clock: as
// the plan has it, with what it moves.
func (f *fold) written(p *Plan, lane, beat int) time.Duration {
	if lane == p.HandsLane() {
		return p.Hands.Beats[beat].Due
	}
	return p.Cups[lane].Zero + f.planned[lane].Beat(beat).Called
}
