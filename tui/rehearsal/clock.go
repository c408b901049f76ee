package rehearsal

import (
	"time"

	"barline/brew"
	"barline/brew/routine"
	"barline/tui/draw"
	"barline/tui/live"
	"barline/tui/stage"

	tea "github.com/charmbracelet/bubbletea"
)

// start sets the clock going, through the count-in where there is one. It
// reads where the first section that is run begins.
func (p Page) start() (Page, tea.Cmd) {
	zero := p.now + p.opt.CountIn
	p.pace = live.Pace{Zero: zero, Speed: p.opt.Speed}
	p.pace.Zero -= p.pace.When(p.run.Begins()) - zero
	p.phase, p.fresh = counting, true
	p.rung = p.at()
	return p.reach(p.now)
}

// reach moves the page on to a moment of the machine's clock: the count-in
// ends, cues ring, lines go on, brews end by themselves.
func (p Page) reach(machine time.Duration) (Page, tea.Cmd) {
	p.now = max(p.now, machine)
	if p.phase != counting && p.phase != running {
		return p, nil
	}
	var cmds []tea.Cmd
	if p.phase == counting && p.at() >= p.run.Begins() {
		var cmd tea.Cmd
		p.phase = running
		p, _, cmd = p.fold(brew.Event{Kind: brew.EventMark, Lane: p.opt.Plan.CallsLane(), At: p.run.Begins(), Source: brew.FromKey})
		p.rung = p.run.Begins() - 1
		cmds = append(cmds, cmd)
	}
	if p.phase == running {
		cmds = append(cmds, p.ring())
		p.rung = p.at()
		for _, e := range p.run.Clock(p.at()) {
			var cmd tea.Cmd
			p, _, cmd = p.fold(e)
			cmds = append(cmds, cmd)
		}
		p = p.watch(p.at())
	}
	return p, tea.Batch(cmds...)
}

// sleep sets the alarm for the moment at which the picture changes next, as a
// deadline, so that lateness does not add up.
func (p Page) sleep(cmd tea.Cmd) (Page, tea.Cmd) {
	p.tick++
	if p.phase != counting && p.phase != running {
		return p, cmd
	}
	deadline, tick, now, slept, fresh := p.pace.When(p.changes()), tickMsg{n: p.tick}, p.opt.Now, p.opt.Slept, p.fresh
	p.fresh = false
	alarm := func() tea.Msg {
		if fresh && slept != nil {
			slept() // what was slept before the start is no part of the take
		}
		time.Sleep(deadline - now())
		tick.at = now()
		if slept != nil {
			tick.slept = slept()
		}
		return tick
	}
	return p, tea.Batch(cmd, alarm)
}

// changes returns the moment of the routine's clock at which the picture
// changes next: what the run names, the next second of the clock, the
// announcement of a cue, the turn of a countdown, a wait that grows, the end of
// a notice.
func (p Page) changes() time.Duration {
	at := p.at()
	next := at + time.Second - floorMod(at, time.Second)
	sooner := func(moment time.Duration) {
		if moment > at && moment < next {
			next = moment
		}
	}
	if p.phase == counting {
		sooner(p.run.Begins())
	}
	if p.look.HasChange {
		sooner(p.look.Changes)
	}
	if wait := p.look.Standing; wait.Waiting {
		sooner(at + waitStep - wait.By%waitStep)
	}
	sooner(p.pace.At(p.notice.at + noticeFor))
	for _, a := range p.acts() {
		sooner(a.start - p.opt.Ahead)
	}
	c := p.cast()
	if c.now != nil {
		sooner(at + stage.Turn(c.now.end-at))
	}
	if c.next != nil {
		sooner(at + stage.Turn(c.next.start-at))
	}
	if p.look.NextLine >= 0 && !p.look.Waits {
		sooner(at + stage.Turn(p.look.NextIn))
	}
	return next
}

// waitStep is how far the figure of what is pending moves at once: as often as
// a weight does.
const waitStep = 200 * time.Millisecond

// floorMod is the remainder that is never negative.
func floorMod(a, b time.Duration) time.Duration { return (a%b + b) % b }

// lateBell is how late a bell may be.
const lateBell = 250 * time.Millisecond

// Strokes of the bell.
const (
	aheadStrokes  = 1
	cueStrokes    = 2
	minuteStrokes = 3 // a minute is left, or none
)

// ring returns the strokes for what the clock has passed since it last rang.
// Lines are not rung for: nobody may be interrupted by a bell while speaking.
func (p Page) ring() tea.Cmd {
	if p.opt.Bell == nil {
		return nil
	}
	strokes, at := 0, p.at()
	since := max(p.rung, p.pace.At(p.now-lateBell)-1)
	passed := func(moment time.Duration) bool { return since < moment && moment <= at }
	for _, a := range p.acts() {
		switch {
		case p.cueOf(a).Action == brew.Wait:
		case passed(a.start):
			strokes = max(strokes, cueStrokes)
		case a.start > at && passed(a.start-p.opt.Ahead):
			strokes = max(strokes, aheadStrokes)
		}
	}
	if limit := p.opt.Plan.Limit; passed(limit-routine.Minute) || passed(limit) {
		strokes = minuteStrokes
	}
	if strokes == 0 {
		return nil
	}
	bell := p.opt.Bell
	return func() tea.Msg { bell(strokes); return nil }
}

// minuteCall says in words what the bell rang for: that a minute is left, or
// none.
func (p Page) minuteCall() string {
	limit, at := p.opt.Plan.Limit, p.at()
	within := func(moment time.Duration) bool { return moment <= at && at < moment+minuteCallFor }
	switch {
	case p.phase != running:
	case within(limit - routine.Minute):
		return "ONE MINUTE LEFT"
	case within(limit):
		return "THE TIME IS UP"
	}
	return ""
}

// minuteCallFor is how long its words stand.
const minuteCallFor = 10 * time.Second

// overslept keeps in the take's record that the machine slept, and tells it:
// the clock has gone on, but nobody was called.
func (p Page) overslept(msg tickMsg) (Page, tea.Cmd) {
	if msg.slept == "" || p.phase != running {
		return p, nil
	}
	p, reached := p.reach(msg.at)
	p, _, cmd := p.apply(brew.Event{Kind: brew.EventNote, Lane: p.opt.Plan.CallsLane(), Source: brew.FromClock, Text: msg.slept})
	return p.say("! "+msg.slept, draw.Caution), tea.Batch(reached, cmd)
}
