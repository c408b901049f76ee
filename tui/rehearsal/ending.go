package rehearsal

import (
	"time"

	"barline/brew"
	"barline/brew/routine"
	"barline/tui/draw"
	"barline/tui/keys"

	tea "github.com/charmbracelet/bubbletea"
)

// earlyCall is how long before it is due a call of time at the end is taken
// without a question.
const earlyCall = 5 * time.Second

// callTime calls time, or asks whether to where something is still to come.
func (p Page) callTime(source brew.Source) (Page, tea.Cmd) {
	if n := p.look.Next; n.Lane >= 0 && !(n.Lane == p.opt.Plan.CallsLane() && n.In <= earlyCall) {
		p.ask = calling
		return p, nil
	}
	return p.called(source)
}

// called calls time, which ends the take.
func (p Page) called(source brew.Source) (Page, tea.Cmd) {
	p, _, cmd := p.apply(brew.Event{Kind: brew.EventMark, Lane: p.opt.Plan.CallsLane(), Source: source})
	p, closed := p.ended()
	return p, tea.Batch(cmd, closed)
}

// ended opens the end page where the take is over. Its brews under way are
// broken off when it is left, so that a call can be taken back.
func (p Page) ended() (Page, tea.Cmd) {
	if how, _, _ := p.run.Ending(); how == routine.Running {
		return p, nil
	}
	p.phase, p.ask, p.top = over, nothing, 0
	p.told = p.result()
	return p, nil
}

// answered takes the answer to a question; any other key goes on.
func (p Page) answered(k keys.Press) (Page, tea.Cmd) {
	m, asked := p.opt.Keys, p.ask
	p.ask = nothing
	switch {
	case asked == calling && k.Is(m.Yes):
		return p.called(brew.FromKey)
	case asked == stopping && k.Is(m.Yes):
		return p.stop()
	case asked == stopping && k.Is(m.Again):
		p, cmd := p.stop()
		p, more := p.again()
		return p, tea.Batch(cmd, more)
	}
	return p, nil
}

// stop breaks the take off.
func (p Page) stop() (Page, tea.Cmd) {
	p, _, cmd := p.apply(brew.Event{Kind: brew.EventStop, Lane: p.opt.Plan.CallsLane()})
	p, _ = p.ended()
	return p, cmd
}

// seal breaks off the brews under way of a take that is over: nothing of it
// can change any more.
func (p Page) seal() (Page, tea.Cmd) {
	var cmds []tea.Cmd
	for _, e := range p.run.Closing() {
		var cmd tea.Cmd
		p, _, cmd = p.fold(e)
		cmds = append(cmds, cmd)
	}
	return p, tea.Batch(cmds...)
}

// again begins the next take.
func (p Page) again() (Page, tea.Cmd) {
	p, sealed := p.seal()
	p.takes = append(p.takes[:len(p.takes):len(p.takes)], p.result())
	p.take++
	p.record = p.record.next()
	p, cmd := p.anew().start()
	return p, tea.Batch(sealed, cmd)
}

// read answers a key on the end page.
func (p Page) read(k keys.Press) (Page, tea.Cmd) {
	switch m := p.opt.Keys; {
	case k.Is(m.Again):
		return p.again()
	case k.Is(m.Leave):
		p, sealed := p.seal()
		p, cmd := p.close()
		return p, tea.Batch(sealed, cmd)
	case k.Is(m.Undo):
		return p.reopen()
	default:
		return p.scroll(k, p.lastTold()), nil
	}
}

// reopen takes the call of time back: the take goes on.
func (p Page) reopen() (Page, tea.Cmd) {
	p, outcome, cmd := p.apply(brew.Event{Kind: brew.EventUndo, Lane: p.opt.Plan.CallsLane()})
	if outcome.Effect != brew.Refused {
		p.phase, p.rung = running, p.at()
		p = p.say("the call of time is taken back", draw.Plain)
	}
	return p, cmd
}
