package routine

import (
	"time"

	"barline/brew"
)

// Grace is how long after a line has gone on by itself a mark still means that
// line, not the next, at the least: of a long line it is a quarter; common
// practice, no source.
const Grace = 2 * time.Second

// grace returns how long a mark still means a line that has gone on by itself.
func (l Line) grace() time.Duration { return max(Grace, l.Length/4) }

// lines returns the first line of the run, and one past its last.
func (opt Options) lines(p *Plan) (first, end int) {
	last := p.Sections[opt.To]
	return p.Sections[opt.From].First, last.First + last.Lines
}

// line lets the next line begin, or confirms the one that has just begun by
// itself.
func (f *fold) line(p *Plan, opt Options, e brew.Event) brew.Outcome {
	if n := f.confirmed(p, opt, e.At); n >= 0 {
		f.lines[n].begun, f.lines[n].marked = e.At, true
		f.now = max(f.now, e.At)
		return taken()
	}
	k, at, _ := f.nextLine(p, opt, e.At)
	if k < 0 {
		return refused("there is nothing left to say")
	}
	f.lines = append(f.lines, lineState{called: at, begun: e.At, marked: true})
	f.now = max(f.now, e.At)
	return taken()
}

// confirmed returns which of the lines that have begun a mark at a moment still
// means, because it has just begun by itself; -1 for none.
func (f *fold) confirmed(p *Plan, opt Options, at time.Duration) int {
	first, _ := opt.lines(p)
	n := len(f.lines) - 1
	if n < 0 || f.lines[n].marked || at-f.lines[n].begun > p.Lines[first+n].grace() {
		return -1
	}
	return n
}

// nextLine returns the line that has not begun yet, when it is called as
// things stand, and whether it can begin then: not before the brew that it is
// tied to has started. It is -1 where nothing is left to say.
func (f *fold) nextLine(p *Plan, opt Options, now time.Duration) (line int, at time.Duration, can bool) {
	first, end := opt.lines(p)
	k := first + len(f.lines)
	if k >= end {
		return -1, 0, false
	}
	at = p.Sections[opt.From].Start
	if n := len(f.lines) - 1; n >= 0 {
		at = f.lines[n].begun + p.Lines[k-1].Length
	}
	l, can := p.Lines[k], true
	if l.Fixed {
		at = max(at, l.Start)
	}
	for _, t := range l.Behind {
		moment, known := f.tied(p, t, now)
		at, can = max(at, moment), can && known
	}
	return k, at, can
}

// pausesAhead reports whether the plan leaves a pause ahead of a line that
// neither the line before nor a tie is the reason of.
func (p *Plan) pausesAhead(k int) bool {
	natural := time.Duration(0)
	if k > 0 {
		natural = p.Lines[k-1].End()
	}
	for _, t := range p.Lines[k].Behind {
		natural = max(natural, p.edge(t))
	}
	return p.Lines[k].Start > natural
}

// edge returns when a tie's edge is written.
func (p *Plan) edge(t Tie) time.Duration {
	start, end := p.span(t.Lane, t.Cue)
	if t.Edge == brew.EndEdge {
		return end
	}
	return start
}

// span returns when a cue is written, on the routine's clock: as the plan has
// it, with what it moves.
func (p *Plan) span(lane, cue int) (start, end time.Duration) {
	if lane == p.HandsLane() {
		c := p.Hands.Cues[cue]
		return c.Start, c.End
	}
	c := p.Cups[lane]
	start, end = c.Plan.Cues[cue].Start, c.Plan.Cues[cue].End
	if len(c.Moves) > 0 {
		start, end = c.AsPlanned().Span(cue)
	}
	return c.Zero + start, c.Zero + end
}

// tied returns when a tie's edge is, as marked, else as called, and whether
// its brew has started.
func (f *fold) tied(p *Plan, t Tie, now time.Duration) (at time.Duration, known bool) {
	lane := f.lanes.Lane(p.HandsLane())
	zero, known := lane.Zero(), lane.Started()
	if t.Lane < p.HandsLane() {
		lane, zero, known = f.cup(t.Lane), f.zero(p, t.Lane, now), f.begun(p, t.Lane)
	}
	start, end := lane.Span(t.Cue)
	if t.Edge == brew.EndEdge {
		start = end
	}
	return zero + start, known
}

// AsPlanned returns the cup's lane as it goes where every mark comes when it is
// called: with what the plan moves.
func (c Cup) AsPlanned() brew.Lane {
	l, _ := brew.NewLane(c.Plan).Apply(brew.Event{Kind: brew.EventStart})
	for _, m := range c.Moves {
		l, _ = l.Apply(brew.Event{Kind: brew.EventMoved, Cue: m.Cue, To: m.To})
	}
	return l
}
