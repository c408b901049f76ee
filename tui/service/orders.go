package service

import (
	"time"

	"barline/brew"
	"barline/brew/bar"
	"barline/tui/draw"
	"barline/tui/keys"

	tea "github.com/charmbracelet/bubbletea"
)

// choose asks which order is meant. To name one just behind its adding is to name
// that one.
func (p Page) choose(k keys.Press) Page {
	m, v := p.opt.Keys, verb(0)
	switch {
	case k.Is(m.Name):
		v = nameIt
	case k.Is(m.Hold):
		v = holdIt
	case k.Is(m.First):
		v = moveIt
	case k.Is(m.Remake):
		v = remakeIt
	default:
		v = cancelIt
	}
	if len(p.live()) == 0 {
		return p.say("there is no order", draw.Faint)
	}
	if added := p.justAdded(); v == nameIt && added >= 0 {
		return p.open(ask{what: naming, order: added})
	}
	return p.open(ask{what: choosing, verb: v})
}

// live returns the orders that are not over.
func (p Page) live() (out []int) {
	for j, t := range p.look.Tickets {
		if !gone(t) {
			out = append(out, j)
		}
	}
	return out
}

// place adds an order.
func (p Page) place(dish int) (Page, tea.Cmd) {
	p.ask = ask{}
	p, r, cmd := p.apply(bar.ServiceEvent{Kind: bar.OrderPlaced, Ticket: bar.Ticket{Dish: dish}})
	if r.Effect == brew.Refused {
		return p, cmd
	}
	p = p.say(p.name(r.Order)+" added; "+p.opt.Keys.Name.Help().Key+" names it", draw.Plain)
	p.notice.added = r.Order + 1
	return p, cmd
}

// justAdded returns the order that the page says was added, -1 where it says so
// no longer.
func (p Page) justAdded() int {
	if p.now-p.notice.at >= noticeFor {
		return -1
	}
	return p.notice.added - 1
}

// done does to an order what was asked for.
func (p Page) done(v verb, order int) (Page, tea.Cmd) {
	p.ask = ask{}
	t := p.look.Tickets[order]
	e, told := bar.ServiceEvent{Order: order}, ""
	switch v {
	case nameIt:
		return p.open(ask{what: naming, order: order}), nil
	case holdIt:
		if t.State != bar.OrderHeldBack {
			return p.open(ask{what: holding, order: order}), nil
		}
		e.Kind, told = bar.OrderReleased, "let go"
	case moveIt:
		e.Kind, told = bar.OrderMovedUp, p.movedText(t)
	case remakeIt, cancelIt:
		return p.open(ask{what: sure, verb: v, order: order}), nil
	}
	p, r, cmd := p.apply(e)
	if r.Effect == brew.Refused {
		return p, cmd
	}
	return p.say(p.name(order)+" "+told, draw.Plain), cmd
}

// movedText says what becomes of an order that is moved up: what has its brewer
// is not passed.
func (p Page) movedText(t bar.TicketLook) string {
	if t.State == bar.OrderHeldBack {
		return "is let go, and goes before what is not begun"
	}
	return "goes before what is not begun"
}

// hold keeps an order back for so many minutes; none is until it is let go.
func (p Page) hold(order, minutes int) (Page, tea.Cmd) {
	p.ask = ask{}
	e, told := bar.ServiceEvent{Kind: bar.OrderHeld, Order: order}, "held"
	if minutes > 0 {
		e.Until = p.at() + time.Duration(minutes)*time.Minute
		told += " until " + p.day(e.Until)
	}
	p, r, cmd := p.apply(e)
	if r.Effect == brew.Refused {
		return p, cmd
	}
	return p.say(p.name(order)+" "+told, draw.Plain), cmd
}

// confirmed does what destroys something, now that it has been asked.
func (p Page) confirmed(a ask) (Page, tea.Cmd) {
	p.ask = ask{}
	e, told := bar.ServiceEvent{Kind: bar.OrderCancelled, Order: a.order}, "cancelled"
	switch {
	case a.what == closing:
		return p.closeService()
	case a.what == stopping:
		return p.stop()
	case a.verb == remakeIt:
		e.Kind, told = bar.OrderRemade, "is made again"
	}
	name := p.name(a.order)
	p, r, cmd := p.apply(e)
	if r.Effect == brew.Refused {
		return p, cmd
	}
	return p.say(name+" "+told, draw.Plain), cmd
}
