package service

import (
	"fmt"
	"strings"
	"time"

	"barline/brew"
	"barline/brew/bar"
	"barline/brew/drift"
	"barline/tui/draw"
	"barline/tui/keys"
	"barline/tui/stage"

	tea "github.com/charmbracelet/bubbletea"
)

// read answers a key after the service.
func (p Page) read(k keys.Press) (Page, tea.Cmd) {
	switch m := p.opt.Keys; {
	case k.Is(m.Up):
		p.row = max(p.row-1, 0)
	case k.Is(m.Down):
		p.row = min(p.row+1, len(p.look.Tickets)-1)
	case k.Is(m.Open):
		return p.debrief()
	case k.Is(m.Leave):
		return p.close()
	}
	return p, nil
}

// DebriefMsg says which brew of the record the person wants to see, by its id.
type DebriefMsg struct{ ID string }

// debrief asks for the debrief of the chosen order's brew.
func (p Page) debrief() (Page, tea.Cmd) {
	n, id := p.look.Tickets[p.row].Brew, p.opt.ID
	if n < 0 || id == nil {
		return p, nil
	}
	return p, func() tea.Msg {
		if id := id(n); id != "" {
			return DebriefMsg{id}
		}
		return nil
	}
}

// topRow is the topmost row of the summary that is shown: the chosen one is.
func (p Page) topRow() int {
	shown := max(p.height-summaryRows, 1)
	return max(min(p.row-shown/2, len(p.look.Tickets)-shown), 0)
}

// summaryRows are the rows of the summary that stay: what it is, the heading,
// the keys.
const summaryRows = 4

// drawSummary tells what each order waited and how its brew was timed.
func (p Page) drawSummary(c *draw.Canvas) {
	stage.Title(c, stage.Box{W: p.width, H: 1}, p.opt.Title+", closed", p.day(p.at()), p.warning())
	c.Text(0, 1, draw.Fit(p.total(), p.width), draw.Strong)
	c.Text(0, 2, draw.Fit(p.heading(), p.width), draw.Faint)
	rows, height := p.summary(), max(p.height-summaryRows, 0)
	top := p.topRow()
	for i := 0; i < height && top+i < len(rows); i++ {
		c.Text(0, 3+i, draw.Fit(rows[top+i].Text, p.width), rows[top+i].Role)
	}
	if y := 4 + len(rows); y < p.height-1 {
		c.Text(0, y, draw.Fit("each brew is in the record, with its debrief; cups are read there, too", p.width), draw.Faint)
	}
	if p.height > 3 {
		k := p.opt.Keys
		k.Down.SetEnabled(p.row < len(rows)-1)
		k.Up.SetEnabled(p.row > 0)
		k.Open.SetEnabled(p.opt.ID != nil && p.look.Tickets[p.row].Brew >= 0)
		c.Help(p.height-1, k.Over())
	}
}

// total says in one line what the service came to.
func (p Page) total() string {
	served, waited, worst := 0, time.Duration(0), time.Duration(0)
	for _, t := range p.look.Tickets {
		if t.State == bar.OrderServed {
			wait := t.Ready - t.Placed
			served, waited, worst = served+1, waited+wait, max(worst, wait)
		}
	}
	if served == 0 {
		return fmt.Sprintf("%d orders, none served", len(p.look.Tickets))
	}
	return fmt.Sprintf("%d of %d orders served, waited %s on average, %s at most", served, len(p.look.Tickets), stage.Countdown(waited/time.Duration(served)), stage.Countdown(worst))
}

const (
	wideSummary = 70
	summaryName = 22
)

func (p Page) heading() string {
	if p.width >= wideSummary {
		return fmt.Sprintf("%3s  %-*s %8s %8s %8s  %s", "", summaryName, "order", "placed", "ready", "waited", "on time")
	}
	return "order: waited, on time"
}

// summary returns a row for each order, in order of arrival.
func (p Page) summary() (rows []stage.Text) {
	for _, t := range p.look.Tickets {
		ready, waited, role := "-", "-", draw.Plain
		if t.State == bar.OrderServed && t.Sure == bar.SurePast {
			ready, waited = p.day(t.Ready), brew.Clock(t.Ready-t.Placed)
		}
		marks := p.marksOf(t)
		if t.State == bar.OrderDropped {
			marks, role = draw.OneLine(t.Why), draw.Faint
		}
		name, lead := p.fullName(t), " "
		if t.Order == p.row {
			lead, role = ">", draw.Strong
		}
		if p.width >= wideSummary {
			name = draw.Fit(name, summaryName)
			name += strings.Repeat(" ", summaryName-draw.Width(name))
			rows = append(rows, stage.Text{Text: fmt.Sprintf("%s%2d  %s %8s %8s %8s  %s", lead, t.Order+1, name, p.day(t.Placed), ready, waited, marks), Role: role})
			continue
		}
		tail := ": " + waited + ", " + marks
		rows = append(rows, stage.Text{Text: lead + " " + draw.Fit(name, p.width-2-draw.Width(tail)) + tail, Role: role})
	}
	return rows
}

// fullName is an order's recipe with the guest's name.
func (p Page) fullName(t bar.TicketLook) string {
	name := p.service.DishOf(t.Order).Plan.Name
	if t.Name != "" {
		name = t.Name + ", " + name
	}
	return draw.OneLine(name)
}

// marksOf says how many of the marks of an order's brew were on time.
func (p Page) marksOf(t bar.TicketLook) string {
	if t.Brew < 0 {
		return "not brewed"
	}
	lane := p.service.Lane(t.Brew)
	good, all := 0, 0
	for n, b := range lane.Plan().Beats {
		state := lane.Beat(n)
		if !b.Asked {
			continue
		}
		all++
		if state.Status == brew.Marked && drift.Judge(state.Marked-b.Due, b.Window) == drift.OnTime {
			good++
		}
	}
	return fmt.Sprintf("%d of %d", good, all)
}
