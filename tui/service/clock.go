package service

import (
	"time"

	"barline/brew"
	"barline/brew/bar"
	"barline/tui/draw"
	"barline/tui/stage"

	tea "github.com/charmbracelet/bubbletea"
)

// reach moves the page on to a moment of the machine's clock: brews end by
// themselves, cues ring, a plan that knows too little is made again.
func (p Page) reach(machine time.Duration) (Page, tea.Cmd) {
	if p.over {
		p.now = max(p.now, machine)
		return p, nil
	}
	before := p.look
	p.now = max(p.now, machine)
	var cmds []tea.Cmd
	for _, e := range p.service.Due(p.at()) {
		var cmd tea.Cmd
		p, _, cmd = p.fold(e)
		cmds = append(cmds, cmd)
	}
	p = p.seen()
	cmds = append(cmds, p.ring(before))
	p.rung = p.at()
	return p, tea.Batch(cmds...)
}

// finished opens the summary when a service that was closed has nothing left
// to do.
func (p Page) finished() Page {
	if p.service.Closed() && p.look.Over && !p.over {
		p.over, p.ask, p.row = true, ask{}, 0
	}
	return p
}

// sleep sets the alarm for the moment at which the picture changes next, as a
// deadline, so that lateness does not add up.
func (p Page) sleep(cmd tea.Cmd) (Page, tea.Cmd) {
	p = p.finished()
	p, planning := p.replan()
	p.tick++
	if p.over {
		return p, cmd
	}
	deadline, tick, now, slept := p.pace.When(p.changes()), tickMsg{n: p.tick}, p.opt.Now, p.opt.Slept
	alarm := func() tea.Msg {
		time.Sleep(deadline - now())
		tick.at = now()
		if slept != nil {
			tick.slept = slept()
		}
		return tick
	}
	return p, tea.Batch(cmd, planning, alarm)
}

// changes returns the moment of the service's clock at which the picture
// changes next: what the service names, the next second of the clocks and of a
// countdown, the announcement of a cue, the end of a notice.
func (p Page) changes() time.Duration {
	at := p.at()
	next := at + time.Second - (p.opt.Opened+at)%time.Second
	sooner := func(moment time.Duration) {
		if moment > at && moment < next {
			next = moment
		}
	}
	if p.look.HasChange {
		sooner(p.look.Changes)
	}
	sooner(p.pace.At(p.notice.at + noticeFor))
	sooner(p.pace.At(p.flash.until))
	c := p.cast()
	if c.timed {
		sooner(at + time.Second - floorMod(at-c.zero, time.Second))
	}
	if c.on != nil {
		sooner(at + stage.Turn(c.on.End-at))
	}
	if c.next != nil {
		sooner(at + stage.Turn(c.next.Start-at))
		sooner(c.next.Start - p.opt.Ahead)
	}
	return next
}

// floorMod is the remainder that is never negative.
func floorMod(a, b time.Duration) time.Duration { return (a%b + b) % b }

// lateBell is how late a bell may be.
const lateBell = 250 * time.Millisecond

// ring returns the strokes for what the clock has passed since it last rang:
// two for something to do, one for its announcement. before is the service as
// it was looked at last.
func (p Page) ring(before bar.Look) tea.Cmd {
	if p.opt.Bell == nil {
		return nil
	}
	strokes, at := 0, p.at()
	since := max(p.rung, p.pace.At(p.now-lateBell)-1)
	passed := func(moment time.Duration) bool { return since < moment && moment <= at }
	for _, t := range before.Tickets {
		for _, do := range t.Coming {
			switch {
			case !do.Hands:
			case passed(do.Start):
				strokes = max(strokes, 2)
			case do.Start > at && passed(do.Start-p.opt.Ahead):
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

// overslept keeps in the records of the brews that run that the machine slept,
// and tells it: the clock has gone on, but nobody was called.
func (p Page) overslept(msg tickMsg) (Page, tea.Cmd) {
	if msg.slept == "" || p.over {
		return p, nil
	}
	p, reached := p.reach(msg.at)
	cmds := []tea.Cmd{reached}
	for _, t := range p.look.Tickets {
		if t.State == bar.OrderBrewing {
			var cmd tea.Cmd
			p, _, cmd = p.apply(bar.ServiceEvent{Kind: bar.BrewEvent, Order: t.Order, Source: brew.FromClock, Brew: brew.Event{Kind: brew.EventNote, Text: msg.slept}})
			cmds = append(cmds, cmd)
		}
	}
	return p.say("! "+msg.slept, draw.Caution), tea.Batch(cmds...)
}
