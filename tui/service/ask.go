package service

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"barline/brew"
	"barline/brew/bar"
	"barline/tui/draw"
	"barline/tui/keys"
	"barline/tui/stage"

	tea "github.com/charmbracelet/bubbletea"
)

// asking is what the page wants to know while the service goes on.
type asking int

const (
	nothing  asking = iota
	adding          // which recipe
	choosing        // which order
	sure            // whether it is meant
	closing         // whether to close the service
	stopping        // whether to stop what runs
	brewers         // one more or fewer
	kettle          // for how many minutes it is empty
	holding         // for how many minutes an order is held
	dosing          // of which recipe
	naming          // an order: its name, its cups, its coffee, one after the other
	noting
	people
	scaling // to which dose
)

// verb is what is to be done to an order.
type verb int

const (
	nameIt verb = iota
	holdIt
	moveIt
	remakeIt
	cancelIt
)

// ask is a question to the person and what it is about.
type ask struct {
	what  asking
	verb  verb
	order int
	dish  int
	field int // of a ticket
}

// types reports whether a line is being typed.
func (a ask) types() bool { return a.what >= naming }

// open asks something.
func (p Page) open(a ask) Page {
	p.ask, p.help = a, 0
	p.input.Reset()
	switch a.what {
	case naming:
		p.input.SetValue(ticketFields[a.field].now(p.service.Ticket(a.order)))
	case people:
		p.input.SetValue(strings.Join(p.service.People(), ", "))
	}
	p.input.Focus()
	return p
}

// answer gives a key to the question that a key answers.
func (p Page) answer(k keys.Press) (Page, tea.Cmd) {
	m, a := p.opt.Keys, p.ask
	switch {
	case a.what == sure || a.what == closing || a.what == stopping:
		p.ask = ask{}
		if k.Is(m.Yes) {
			return p.confirmed(a)
		}
	case k.Is(m.Back):
		p.ask = ask{}
	case a.what == brewers && k.Is(m.More):
		return p.brewer(1)
	case a.what == brewers && k.Is(m.Less):
		return p.brewer(-1)
	case a.what == kettle && isDigit(k):
		return p.fill(digit(k))
	case a.what == holding && isDigit(k):
		return p.hold(a.order, digit(k))
	case a.what == choosing && k.Is(m.Lane):
		if j := p.orderOf(k.String()); j >= 0 {
			return p.done(a.verb, j)
		}
	case (a.what == adding || a.what == dosing) && isDigit(k):
		return p.chosen(a, digit(k)-1)
	}
	return p, nil
}

// chosen takes the recipe that was chosen.
func (p Page) chosen(a ask, dish int) (Page, tea.Cmd) {
	switch menu := p.service.Menu(); {
	case dish < 0 || dish >= len(menu):
		return p, nil
	case a.what == adding:
		return p.place(dish)
	}
	return p.open(ask{what: scaling, dish: dish}), nil
}

func isDigit(k keys.Press) bool { s := k.String(); return len(s) == 1 && s[0] >= '0' && s[0] <= '9' }

func digit(k keys.Press) int { return int(k.String()[0] - '0') }

// typed edits the line; the service goes on meanwhile.
func (p Page) typed(k keys.Press) (Page, tea.Cmd) {
	ends, counts := k.Is(p.opt.Keys.Enter, p.opt.Keys.Back), false
	if p.guard, counts = p.guard.Admit(k, keys.Hold); ends && !counts {
		return p, nil
	}
	if !ends {
		p.input, _ = p.input.Update(k.KeyMsg)
		return p, nil
	}
	a, text := p.ask, draw.OneLine(strings.TrimSpace(p.input.Value()))
	p.ask = ask{}
	if !k.Is(p.opt.Keys.Enter) {
		return p, nil
	}
	return p.wrote(a, text)
}

// wrote takes the line that was typed.
func (p Page) wrote(a ask, text string) (Page, tea.Cmd) {
	switch {
	case a.what == naming:
		return p.named(a, text)
	case a.what == people:
		return p.atWork(text)
	case text == "":
		return p, nil
	case a.what == scaling:
		return p.scale(a.dish, text)
	}
	p, r, cmd := p.apply(bar.ServiceEvent{Kind: bar.BrewEvent, Order: a.order, Brew: brew.Event{Kind: brew.EventNote, Text: text}})
	if r.Effect == brew.Refused {
		return p, cmd
	}
	return p.say(p.name(a.order)+": noted", draw.Plain), cmd
}

// ticketField is one thing that is asked of an order.
type ticketField struct {
	prompt string
	now    func(bar.Ticket) string
	set    func(*bar.Ticket, string) error
}

// ticketFields are asked for one after the other.
var ticketFields = []ticketField{
	{"name or ticket", func(t bar.Ticket) string { return t.Name }, func(t *bar.Ticket, text string) error { t.Name = text; return nil }},
	{"cups", func(t bar.Ticket) string {
		if t.Cups == 0 {
			return ""
		}
		return strconv.Itoa(t.Cups)
	}, func(t *bar.Ticket, text string) error {
		n, err := strconv.Atoi(text)
		if text == "" {
			n, err = 0, nil
		}
		if err != nil || n < 0 || n > 20 {
			return fmt.Errorf("%q is not a number of cups between 1 and 20", text)
		}
		t.Cups = n
		return nil
	}},
	{"coffee", func(t bar.Ticket) string { return t.Coffee }, func(t *bar.Ticket, text string) error { t.Coffee = text; return nil }},
}

// named takes one field of an order's ticket and asks for the next.
func (p Page) named(a ask, text string) (Page, tea.Cmd) {
	t := p.service.Ticket(a.order)
	if err := ticketFields[a.field].set(&t, text); err != nil {
		return p.open(a).say(err.Error(), draw.Caution), nil
	}
	var cmd tea.Cmd
	p.notice = notice{} // what was wrong with the last try is mended
	if t != p.service.Ticket(a.order) {
		p, _, cmd = p.apply(bar.ServiceEvent{Kind: bar.OrderNamed, Order: a.order, Ticket: t})
	}
	if a.field++; a.field < len(ticketFields) {
		return p.open(a), cmd
	}
	return p.say(p.name(a.order)+" is written down", draw.Plain), cmd
}

// scaledMsg is a recipe with another dose, or what is wrong with the dose.
type scaledMsg struct {
	dish int
	plan *brew.Plan
	err  error
}

func (p Page) scale(dish int, dose string) (Page, tea.Cmd) {
	plan, scale := p.service.Menu()[dish].Plan, p.opt.Scale
	return p, func() tea.Msg {
		scaled, err := scale(plan, dose)
		return scaledMsg{dish, scaled, err}
	}
}

func (p Page) scaled(msg scaledMsg) (Page, tea.Cmd) {
	if msg.err != nil {
		return p.say(msg.err.Error(), draw.Caution), nil
	}
	p, r, cmd := p.apply(bar.ServiceEvent{Kind: bar.MenuChanged, Dish: msg.dish, Plan: msg.plan})
	if r.Effect == brew.Refused {
		return p, cmd
	}
	return p.say(fmt.Sprintf("%s: %s from the next start on", msg.plan.Name, msg.plan.Dose), draw.Plain), cmd
}

// question returns what the page asks, nil for nothing.
func (p Page) question() *stage.Ask {
	a := p.ask
	back := p.opt.Keys.Back.Help().Key + " back"
	yes := p.opt.Keys.Yes.Help().Key
	one := func(texts ...string) *stage.Ask { return &stage.Ask{Texts: texts} }
	line := func(label string) *stage.Ask { return &stage.Ask{Texts: []string{label + ": "}, Typed: &p.input} }
	switch a.what {
	case adding:
		return one("add which? Its digit, " + back)
	case dosing:
		return one("the dose of which? Its digit, " + back)
	case choosing:
		return one(verbs[a.verb] + " which? The key of its lane, " + back)
	case sure:
		what := fmt.Sprintf("%s %s? ", verbs[a.verb], p.name(a.order))
		if p.service.BrewOf(a.order) >= 0 && p.look.Tickets[a.order].State == bar.OrderBrewing {
			return one(what+"Its brew is stopped. "+yes+" does it, any other key does not", what+"It is stopped. "+yes+", or any other key", what+yes+", or not")
		}
		return one(what+yes+" does it, any other key does not", what+yes+", or not")
	case closing:
		return one(
			fmt.Sprintf("Close? %s cancels what has not begun; what runs is brewed to its end", yes),
			"Close? "+yes+"; what runs goes on", "Close? "+yes+", or not")
	case stopping:
		return one("Stop what runs and leave? "+yes+" does it, any other key does not", "Stop what runs? "+yes+", or not")
	case brewers:
		return one(p.brewersText()+": + one more, - one fewer, "+back, p.brewersText()+": + - "+back)
	case kettle:
		return one("the kettle is empty for how many minutes? 1-9, 0 it is full, "+back, "kettle empty, minutes: 1-9, 0 full")
	case holding:
		return one("hold "+p.name(a.order)+" for how many minutes? 1-9, 0 until it is let go, "+back, "hold, minutes: 1-9, 0 until let go")
	case naming:
		return line(p.name(a.order) + ", " + ticketFields[a.field].prompt)
	case noting:
		return line("note to " + p.name(a.order))
	case people:
		return line("who is at work")
	case scaling:
		return line("dose of " + p.service.Menu()[a.dish].Plan.Name)
	}
	return nil
}

var verbs = [...]string{nameIt: "name", holdIt: "hold", moveIt: "move up", remakeIt: "remake", cancelIt: "cancel"}

func (p Page) menuChoices() (out []string) {
	for i, name := range p.short[:min(len(p.short), 9)] {
		out = append(out, strconv.Itoa(i+1)+" "+name)
	}
	return out
}

func (p Page) orderChoices() (out []string) {
	for _, j := range p.live() {
		if p.lanes[j] != "" {
			out = append(out, p.name(j))
		}
	}
	slices.Sort(out)
	return out
}
