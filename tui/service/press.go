package service

import (
	"fmt"
	"strings"
	"time"

	"barline/brew"
	"barline/brew/bar"
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

// brewed tells the prompted brew that something happened to it.
func (p Page) brewed(told string, e brew.Event) (Page, tea.Cmd) {
	order := p.cast().order
	if order < 0 || p.service.BrewOf(order) < 0 {
		return p.say("no brew is prompted", draw.Faint), nil
	}
	p, r, cmd := p.apply(bar.ServiceEvent{Kind: bar.BrewEvent, Order: order, Brew: e})
	if r.Effect == brew.Refused {
		return p, cmd
	}
	if h := r.Brews[0]; e.Kind == brew.EventSkip && h.Outcome.Cue >= 0 {
		told += ": " + p.service.Lane(h.Brew).Plan().Cues[h.Outcome.Cue].Name
	}
	return p.say(p.name(order)+": "+told, draw.Plain), cmd
}

// choreDone says that the chore that is prompted is done already.
func (p Page) choreDone() (Page, tea.Cmd) {
	do := p.cast().on
	if do == nil || do.Cue >= 0 {
		return p.say("no chore is prompted", draw.Faint), nil
	}
	p, r, cmd := p.apply(bar.ServiceEvent{Kind: bar.ChoreDone, Order: do.Order, Act: do.Act})
	if r.Effect == brew.Refused {
		return p, cmd
	}
	return p.say(p.name(do.Order)+": done", draw.Plain), cmd
}

// undo takes back the latest start, mark or skip.
func (p Page) undo() (Page, tea.Cmd) {
	e, why := p.service.Undo(p.at())
	if why != "" {
		return p.say(why, draw.Faint), nil
	}
	p, r, cmd := p.apply(e)
	if r.Effect == brew.Refused {
		return p, cmd
	}
	told := "taken back"
	for _, h := range r.Brews {
		if h.Outcome.Beat >= 0 {
			told += ": " + p.service.Lane(h.Brew).Plan().Beats[h.Outcome.Beat].Name
		}
	}
	return p.say(p.name(e.Order)+": "+told, draw.Plain), cmd
}

// nudge moves the latest mark a second earlier.
func (p Page) nudge() (Page, tea.Cmd) {
	if !p.record.any {
		return p.say("there is no mark to move", draw.Faint), nil
	}
	order := p.service.OrderOf(p.record.latest.brew)
	p, r, cmd := p.apply(bar.ServiceEvent{Kind: bar.BrewEvent, Order: order, Brew: brew.Event{Kind: brew.EventNudge}})
	if r.Effect != brew.Refused {
		p.notice = notice{at: p.now}
	}
	return p, cmd
}

// note opens the line for a note to the prompted brew, else to the latest one
// that was marked.
func (p Page) note() (Page, tea.Cmd) {
	order := p.cast().order
	if order < 0 || p.service.BrewOf(order) < 0 {
		if order = -1; p.record.any {
			order = p.service.OrderOf(p.record.latest.brew)
		}
	}
	if order < 0 || p.service.BrewOf(order) < 0 {
		return p.say("no brew has begun", draw.Faint), nil
	}
	return p.open(ask{what: noting, order: order}), nil
}

// choose asks which order is meant.
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
	return p.say(p.name(r.Order)+" added; "+p.opt.Keys.Name.Help().Key+" names it", draw.Plain), cmd
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
		e.Kind, told = bar.OrderHeld, "held"
		if t.State == bar.OrderHeldBack {
			e.Kind, told = bar.OrderReleased, "let go"
		}
	case moveIt:
		e.Kind, told = bar.OrderMovedUp, "is next"
	case remakeIt, cancelIt:
		return p.open(ask{what: sure, verb: v, order: order}), nil
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

// brewer takes one brewer out of use, or back into it.
func (p Page) brewer(by int) (Page, tea.Cmd) {
	_, out := p.service.Kit()
	out.Brewers -= by
	p, r, cmd := p.apply(bar.ServiceEvent{Kind: bar.KitChanged, Out: out})
	if r.Effect == brew.Refused {
		return p, cmd
	}
	return p.say(p.brewersText(), draw.Plain), cmd
}

// brewersText says how many brewers are in use.
func (p Page) brewersText() string {
	all, out := p.service.Kit()
	all.Brewers = max(all.Brewers, 1)
	return fmt.Sprintf("%d of %d brewers in use", all.Brewers-out.Brewers, all.Brewers)
}

// fill says for how many minutes a kettle gives no water; none is that it is
// full.
func (p Page) fill(minutes int) (Page, tea.Cmd) {
	p.ask = ask{}
	until := p.at() + time.Duration(minutes)*time.Minute
	p, r, cmd := p.apply(bar.ServiceEvent{Kind: bar.KettleEmpty, Until: until})
	switch {
	case r.Effect == brew.Refused:
		return p, cmd
	case minutes == 0:
		return p.say("the kettle is full", draw.Plain), cmd
	}
	return p.say("a kettle is empty until "+p.day(until), draw.Plain), cmd
}

// atWork says who is at work now.
func (p Page) atWork(line string) (Page, tea.Cmd) {
	var names []string
	for _, name := range strings.Split(line, ",") {
		if name = strings.TrimSpace(name); name != "" {
			names = append(names, name)
		}
	}
	p, r, cmd := p.apply(bar.ServiceEvent{Kind: bar.PeopleChanged, People: names})
	if r.Effect == brew.Refused {
		return p, cmd
	}
	return p.say("at work: "+strings.Join(names, ", "), draw.Plain), cmd
}
