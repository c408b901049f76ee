package main

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"barline/brew"
	"barline/brew/bar"
)

// servicePlainHelp says what lines a plain service understands.
const servicePlainHelp = "empty: mark, N mark order N, 'a D name' add recipe D, 'x N why' cancel, 'r N' remake, 'h N' hold or let go, 'h N M' hold for M minutes, 'm N' move up, " +
	"'t N name' name, 'n N text' note, 's N' skip, 'z N' zero again, 'e N' the latest mark 1 s earlier, u undo, f chore done, " +
	"'b N' brewers out, 'k N' kettle empty for N minutes, 'p names' at work, parted by commas, 'd D dose' dose of recipe D, q close"

// plainVerbs are the lines that name an order, a recipe or a number.
var plainVerbs = map[string]bar.ServiceKind{
	"a": bar.OrderPlaced, "x": bar.OrderCancelled, "r": bar.OrderRemade, "h": bar.OrderHeld, "m": bar.OrderMovedUp, "t": bar.OrderNamed,
	"n": bar.BrewEvent, "s": bar.BrewEvent, "z": bar.BrewEvent, "e": bar.BrewEvent, "b": bar.KitChanged, "k": bar.KettleEmpty, "d": bar.MenuChanged,
}

// plainBrews are those of them that happen to a brew.
var plainBrews = map[string]brew.EventKind{"n": brew.EventNote, "s": brew.EventSkip, "z": brew.EventZero, "e": brew.EventNudge}

// key does what a line asks for.
func (p *plainService) key(line string) {
	verb, rest, _ := strings.Cut(line, " ")
	rest = strings.TrimSpace(rest)
	at := p.at()
	if mark, err := strconv.Atoi(verb); err == nil {
		p.apply(p.s.Mark(mark-1, at, brew.FromKey))
		return
	}
	switch verb {
	case "":
		p.mark(at)
	case "u":
		if e, why := p.s.Undo(at); why != "" {
			p.say("%s", why)
		} else {
			p.apply(e)
		}
	case "f":
		p.choreDone(at)
	case "p":
		p.atWork(at, rest)
	case "q":
		p.quit(at)
	default:
		p.named(line, verb, rest, at)
	}
}

// named does what a line asks for that names an order, a recipe or a number.
func (p *plainService) named(line, verb, rest string, at time.Duration) {
	number, more, _ := strings.Cut(rest, " ")
	n, err := strconv.Atoi(number)
	kind, known := plainVerbs[verb]
	if !known || err != nil {
		p.say("%q is none of %s", line, servicePlainHelp)
		return
	}
	e := bar.ServiceEvent{Kind: kind, At: at, Source: brew.FromKey, Order: n - 1, Text: more}
	switch kind {
	case bar.OrderPlaced:
		e.Ticket, e.Order, e.Text = bar.Ticket{Dish: n - 1, Name: more}, 0, ""
	case bar.OrderNamed:
		if n < 1 || n > p.s.Orders() {
			p.say("there is no such order")
			return
		}
		e.Ticket, e.Text = p.s.Ticket(n-1), ""
		e.Ticket.Name = more
	case bar.OrderHeld:
		if e, err = p.held(e, more); err != nil {
			p.say("%s", err)
			return
		}
	case bar.BrewEvent:
		e.Brew, e.Text = brew.Event{Kind: plainBrews[verb], Text: more}, ""
	case bar.KitChanged:
		e.Out = bar.Kit{Brewers: n}
	case bar.KettleEmpty:
		e.Until = at + time.Duration(n)*time.Minute
	case bar.MenuChanged:
		if e.Dish, e.Plan, err = p.scaled(n-1, more); err != nil {
			p.say("%s", err)
			return
		}
	}
	p.apply(e)
}

// mark marks the nearest beat over all lanes.
func (p *plainService) mark(at time.Duration) {
	prompted := -1
	if d := p.s.Look(at).People[0]; d.Now != nil {
		prompted = d.Now.Order
	}
	if t, any := p.s.Nearest(at, prompted, -1); any {
		p.apply(p.s.Mark(t.Order, at, brew.FromKey))
	} else {
		p.say("nothing waits for a mark")
	}
}

// quit closes the service; asked again it stops what runs.
func (p *plainService) quit(at time.Duration) {
	if p.s.Orders() == 0 {
		p.left = true
		return
	}
	if !p.s.Closed() {
		p.apply(bar.ServiceEvent{Kind: bar.ServiceClosed, At: at, Source: brew.FromKey})
		return
	}
	for _, t := range p.s.Look(at).Tickets {
		if t.State != bar.OrderServed && t.State != bar.OrderDropped {
			p.apply(bar.ServiceEvent{Kind: bar.OrderCancelled, At: at, Source: brew.FromKey, Order: t.Order, Text: "the service was left"})
		}
	}
}

// held makes the event that holds an order, for as many minutes as are said, or
// lets go one that is held.
func (p *plainService) held(e bar.ServiceEvent, minutes string) (bar.ServiceEvent, error) {
	e.Text = ""
	if n := e.Order; minutes == "" && n >= 0 && n < p.s.Orders() && p.s.Look(e.At).Tickets[n].State == bar.OrderHeldBack {
		e.Kind = bar.OrderReleased
		return e, nil
	}
	if minutes == "" {
		return e, nil
	}
	n, err := strconv.Atoi(minutes)
	if err != nil || n < 1 {
		return e, fmt.Errorf("%q is no number of minutes", minutes)
	}
	e.Until = e.At + time.Duration(n)*time.Minute
	return e, nil
}

// scaled returns a dish of the menu with another dose.
func (p *plainService) scaled(dish int, dose string) (int, *brew.Plan, error) {
	menu := p.s.Menu()
	switch {
	case dish < 0 || dish >= len(menu):
		return 0, nil, errors.New("there is no such recipe")
	case p.opt.Scale == nil:
		return 0, nil, errors.New("its dose cannot be changed here")
	}
	plan, err := p.opt.Scale(menu[dish].Plan, dose)
	return dish, plan, err
}

// choreDone says that the chore that was called is done already.
func (p *plainService) choreDone(at time.Duration) {
	for _, d := range p.s.Look(at).People {
		if d.Now != nil && d.Now.Cue < 0 {
			p.apply(bar.ServiceEvent{Kind: bar.ChoreDone, At: at, Source: brew.FromKey, Order: d.Now.Order, Act: d.Now.Act})
			return
		}
	}
	p.say("no chore is called")
}

// atWork says who is at work now.
func (p *plainService) atWork(at time.Duration, line string) {
	var names []string
	for _, name := range strings.Split(line, ",") {
		if name = strings.TrimSpace(name); name != "" {
			names = append(names, name)
		}
	}
	p.apply(bar.ServiceEvent{Kind: bar.PeopleChanged, At: at, Source: brew.FromKey, People: names})
}
