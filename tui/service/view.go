package service

import (
	"strings"

	"barline/tui/draw"
	"barline/tui/stage"
)

// Draw returns the page on a canvas of its size.
func (p Page) Draw() *draw.Canvas {
	c := draw.NewCanvas(p.width, p.height)
	if p.over {
		p.drawSummary(c)
		return c
	}
	stage.Draw(c, p.needs, p.view(), p.opt.Theme)
	p.drawHelp(c)
	p.drawChoices(c)
	return c
}

// needed gathers the longest texts that the page will show with this menu.
func (p Page) needed() stage.Needs {
	n := stage.LeastNeeds()
	n.Badge, n.Lanes = "8", usualLanes
	n.Below = len(p.service.People()) - 1
	name := strings.Repeat("n", nameWidth+2)
	if n.Below > 0 {
		name += ", " + strings.Repeat("n", p.longestPerson())
	}
	for _, d := range p.service.Menu() {
		n = n.WithPlan(name, d.Plan)
	}
	return n
}

// usualLanes are the rows of timeline that a rush needs: a lane a row, the
// clock and the ruler.
const usualLanes = 9

func (p Page) longestPerson() (most int) {
	for _, name := range p.service.People() {
		most = max(most, draw.Width(draw.Fit(name, nameWidth)))
	}
	return most
}

// view is what the screen shows.
func (p Page) view() stage.View {
	c := p.cast()
	answer, fresh := p.answered()
	v := stage.View{
		Title: p.title(), Aside: p.aside(), Warning: p.warning(), At: p.at(),
		Alarm: p.ask.what == closing || p.ask.what == stopping || p.ask.what == sure,
		Clock: p.day(p.at()),
		Care:  p.care(c), Below: p.others(c), Next: p.following(c), Picture: p.picture(c),
		Answer: answer, Fresh: fresh, Waits: p.waits(c), Ask: p.question(), Keys: p.footKeys(),
	}
	if c.order >= 0 {
		v.Badge, v.Lane = p.lanes[c.order], p.owned(c.person, p.name(c.order))
	}
	p.prompt(&v, c)
	return v
}
