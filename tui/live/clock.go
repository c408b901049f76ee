package live

import (
	"time"

	"barline/brew"
	"barline/tui/stage"

	tea "github.com/charmbracelet/bubbletea"
)

// start runs the clock, through the count-in where there is one.
func (p Page) start() (Page, tea.Cmd) {
	p.pace.Zero = p.now + p.opt.CountIn
	p.phase, p.fresh = counting, true
	return p.reach(p.now)
}

// reach moves the page on to a moment of the machine's clock: the count-in
// ends, cues ring, brews end by themselves.
func (p Page) reach(machine time.Duration) (Page, tea.Cmd) {
	p.now = max(p.now, machine)
	var cmds []tea.Cmd
	if p.phase == counting && p.now >= p.pace.Zero {
		var cmd tea.Cmd
		p.phase = brewing
		for lane := range p.timeline.Lanes() {
			p, cmd = p.fold(brew.Event{Kind: brew.EventStart, Lane: lane, At: 0, From: p.opt.From, Source: brew.FromKey})
			cmds = append(cmds, cmd)
		}
		p.rung = -1
	}
	if p.phase == brewing {
		cmds = append(cmds, p.ring())
		p.rung = p.pace.At(p.now)
		var cmd tea.Cmd
		p, cmd = p.finish()
		cmds = append(cmds, cmd)
	}
	return p, tea.Batch(cmds...)
}

// finish ends the lanes whose time has come. While a person who stops the
// brew types why, it does not finish.
func (p Page) finish() (Page, tea.Cmd) {
	if p.phase != brewing || p.asking == reason {
		return p, nil
	}
	var cmds []tea.Cmd
	for i := range p.timeline.Lanes() {
		lane := p.timeline.Lane(i)
		if due, ok := lane.EndsItself(); ok && lane.Elapsed(p.pace.At(p.now)) >= due {
			var cmd tea.Cmd
			p, cmd = p.fold(brew.Event{Kind: brew.EventFinish, Lane: i, At: lane.Zero() + due, Source: brew.FromClock})
			cmds = append(cmds, cmd)
		}
	}
	if p.timeline.Ended() {
		p = p.openDebrief()
	}
	return p, tea.Batch(cmds...)
}

// sleep sets the alarm for the moment at which the picture changes next. The
// alarm is a deadline, worked out anew each time, so that lateness does not
// add up.
func (p Page) sleep(cmd tea.Cmd) (Page, tea.Cmd) {
	next, runs := p.stirs()
	if p.phase == debriefing && runs && next == p.wakes {
		return p, cmd // a key meanwhile sets no second alarm, which would sleep for a minute
	}
	p.tick++
	if !runs {
		return p, cmd
	}
	p.wakes = next
	deadline, tick, now, slept := p.pace.When(next), tickMsg{brew: p.pace.Zero, n: p.tick}, p.opt.Now, p.opt.Slept
	fresh := p.fresh
	p.fresh = false
	alarm := func() tea.Msg {
		if fresh && slept != nil {
			slept() // what was slept before the start is no part of the brew
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

// stirs returns the moment of the timeline at which the picture changes by
// itself; false where it stands still until a key.
func (p Page) stirs() (time.Duration, bool) {
	if p.phase == debriefing {
		_, at, runs := p.cooling()
		return at, runs
	}
	return p.changes(), p.Busy()
}

// changes returns the moment of the timeline at which the picture changes
// next: what the engine names, the next second of the clock or of a countdown,
// the announcement of a cue, the end of a notice.
func (p Page) changes() time.Duration {
	at := p.pace.At(p.now)
	next := at + time.Second - floorMod(p.clock(at), time.Second)
	sooner := func(moment time.Duration) {
		if moment > at && moment < next {
			next = moment
		}
	}
	if p.phase == counting {
		sooner(0)
	}
	sooner(p.pace.At(p.notice.at + noticeFor))
	for i := range p.timeline.Lanes() {
		lane := p.timeline.Lane(i)
		if !lane.Started() {
			continue
		}
		m := lane.At(lane.Elapsed(at))
		if m.HasChange {
			sooner(lane.Zero() + m.Changes)
		}
		if m.On >= 0 {
			sooner(at + stage.Turn(m.Left))
		}
		if m.Next >= 0 {
			sooner(at + stage.Turn(m.NextIn))
			sooner(at + m.NextIn - p.opt.Ahead)
		}
	}
	return next
}

// base is the moment of the timeline that the clock shows as 0:00: with one
// lane the lane's own zero, so that a brew reads its own time wherever it was
// entered and after its zero was set again; else that of the timeline.
func (p Page) base() time.Duration {
	if p.timeline.Lanes() != 1 {
		return 0
	}
	if lane := p.timeline.Lane(0); lane.Started() {
		return lane.Zero()
	}
	return -p.opt.From
}

// clock returns what the large clock shows at a moment of the timeline.
func (p Page) clock(at time.Duration) time.Duration { return at - p.base() }

// own returns what the large clock shows at a moment of a lane.
func (p Page) own(lane int, at time.Duration) time.Duration {
	if l := p.timeline.Lane(lane); l.Started() {
		return p.clock(l.Zero() + at)
	}
	return p.clock(at - p.opt.From)
}

// floorMod is the remainder that is never negative.
func floorMod(a, b time.Duration) time.Duration { return (a%b + b) % b }

// lateBell is how late a bell may be; what was passed longer ago, as while the
// program was stopped, is not rung for any more.
const lateBell = 250 * time.Millisecond

// ring returns the strokes for what the clock has passed since it last rang:
// two for a cue, one for its announcement.
func (p Page) ring() tea.Cmd {
	if p.opt.Bell == nil {
		return nil
	}
	strokes, at := 0, p.pace.At(p.now)
	since := max(p.rung, p.pace.At(p.now-lateBell)-1)
	passed := func(moment time.Duration) bool { return since < moment && moment <= at }
	for i := range p.timeline.Lanes() {
		lane := p.timeline.Lane(i)
		if !p.running(i) {
			continue
		}
		for n, cue := range lane.Plan().Cues {
			start, _ := lane.Span(n)
			start += lane.Zero()
			switch {
			case cue.Action == brew.Wait:
			case passed(start):
				strokes = max(strokes, 2)
			case start > at && passed(start-p.opt.Ahead):
				strokes = max(strokes, 1)
			}
		}
	}
	if strokes == 0 {
		return nil
	}
	bell := p.opt.Bell
	return func() tea.Msg { bell(strokes); return nil }
}
