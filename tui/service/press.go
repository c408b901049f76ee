package service

import (
	"barline/brew"
	"barline/tui/draw"
	"barline/tui/keys"

	tea "github.com/charmbracelet/bubbletea"
)

// press gives a key to whoever waits for one. Marks are taken whatever is
// asked, but for a key that is a letter of the line being typed.
func (p Page) press(k keys.Press) (Page, tea.Cmd) {
	if p.ask.types() && !marksWhileTyping(k) {
		return p.typed(k)
	}
	m, hold, counts := p.opt.Keys, keys.Hold, false
	if k.Is(m.Nudge, m.More, m.Less) {
		hold = keys.Tap
	}
	if p.guard, counts = p.guard.Admit(k, hold); !counts && !k.Is(m.Up, m.Down) {
		return p, nil
	}
	switch {
	case p.over:
		return p.read(k)
	case k.Is(m.Mark):
		return p.mark(k)
	case p.ask.what != nothing:
		return p.answer(k)
	case k.Is(m.Lane):
		return p.markLane(k)
	case k.Is(m.Help):
		p.help++
		return p, nil
	case p.help > 0 && k.Is(m.Back):
		p.help = 0
		return p, nil
	}
	return p.act(k)
}

// marksWhileTyping reports whether a mark key can be no part of a text.
func marksWhileTyping(k keys.Press) bool { return k.Type == tea.KeyPgDown && !k.Paste }

// source is what a mark key says about where it came from.
func source(k keys.Press) brew.Source {
	if k.String() == "pgdown" {
		return brew.FromFootSwitch
	}
	return brew.FromKey
}

// mark marks the nearest beat over all lanes, or over those of the person whose
// key it is.
func (p Page) mark(k keys.Press) (Page, tea.Cmd) {
	person := p.opt.Keys.marker(k.String(), len(p.service.People()))
	t, any := p.service.Nearest(p.at(), p.cast().order, person)
	if !any {
		return p.say("nothing waits for a mark", draw.Faint), nil
	}
	if t.Tie {
		p.flash = flash{t.Order, p.now + flashFor}
	}
	return p.marked(t.Order, source(k))
}

// markLane marks in the lane whose key it is.
func (p Page) markLane(k keys.Press) (Page, tea.Cmd) {
	j := p.orderOf(k.String())
	if j < 0 {
		return p.say("no order has lane "+k.String(), draw.Faint), nil
	}
	return p.marked(j, brew.FromKey)
}

// marked marks an order's brew at this moment: its zero, or its nearest beat.
func (p Page) marked(order int, from brew.Source) (Page, tea.Cmd) {
	p, r, cmd := p.apply(p.service.Mark(order, p.at(), from))
	switch {
	case r.Effect == brew.Stray:
		p = p.say(p.name(order)+": "+r.Why+"; the mark moves nothing", draw.Faint)
	case r.Effect == brew.Taken:
		p.notice = notice{at: p.now} // how it fell is worked out anew at each frame
	}
	return p, cmd
}

// act answers any other key while the service goes on.
func (p Page) act(k keys.Press) (Page, tea.Cmd) {
	switch m := p.opt.Keys; {
	case k.Is(m.Add):
		return p.open(ask{what: adding}), nil
	case k.Is(m.Undo):
		return p.undo()
	case k.Is(m.Done):
		return p.choreDone()
	case k.Is(m.Skip):
		return p.brewed("skipped", brew.Event{Kind: brew.EventSkip})
	case k.Is(m.Zero):
		return p.brewed("0:00 is now", brew.Event{Kind: brew.EventZero})
	case k.Is(m.Nudge):
		return p.nudge()
	case k.Is(m.Note):
		return p.note()
	case k.Is(m.Name, m.Hold, m.First, m.Remake, m.Cancel):
		return p.choose(k), nil
	case k.Is(m.Brewers):
		return p.open(ask{what: brewers}), nil
	case k.Is(m.Kettle):
		return p.open(ask{what: kettle}), nil
	case k.Is(m.People):
		return p.open(ask{what: people}), nil
	case k.Is(m.Dose) && p.opt.Scale != nil:
		return p.open(ask{what: dosing}), nil
	case k.Is(m.Leave):
		return p.leave()
	}
	return p, nil
}
