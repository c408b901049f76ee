package service

import (
	"barline/brew/bar"
	"barline/tui/draw"

	tea "github.com/charmbracelet/bubbletea"
)

// leave closes the service, or leaves the page where it is closed: both are
// asked where something runs or waits.
func (p Page) leave() (Page, tea.Cmd) {
	switch {
	case p.look.Over && p.service.Orders() == 0:
		return p.close()
	case p.look.Over:
		return p.closeService()
	case p.service.Closed():
		return p.open(ask{what: stopping}), nil
	}
	return p.open(ask{what: closing}), nil
}

// closeService takes no more orders; what has not begun is cancelled.
func (p Page) closeService() (Page, tea.Cmd) {
	p, _, cmd := p.apply(bar.ServiceEvent{Kind: bar.ServiceClosed})
	return p.say("closed; what runs is brewed to its end", draw.Plain), cmd
}

// stop ends the brews that run, and so the service.
func (p Page) stop() (Page, tea.Cmd) {
	var cmds []tea.Cmd
	for _, t := range p.look.Tickets {
		if !gone(t) {
			var cmd tea.Cmd
			p, _, cmd = p.apply(bar.ServiceEvent{Kind: bar.OrderCancelled, Order: t.Order, Text: "the service was left"})
			cmds = append(cmds, cmd)
		}
	}
	return p, tea.Batch(cmds...)
}
