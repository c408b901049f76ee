package rehearsal

import (
	"fmt"

	"barline/brew"
	"barline/tui/draw"
	"barline/tui/stage"
)

// readyRows are the rows that stay ahead of a take: what it is, the keys.
const readyRows = 2

// drawReady tells what is about to be rehearsed, and what is to be ready.
func (p Page) drawReady(c *draw.Canvas) {
	stage.Title(c, stage.Box{W: p.width, H: min(p.height, 1)}, p.title(), p.opt.By, p.warning())
	p.drawRows(c, p.readyTexts(), p.lastReady())
	k := p.opt.Keys
	k.Down.SetEnabled(p.top < p.lastReady())
	k.Up.SetEnabled(p.top > 0)
	p.drawKeys(c, k.Ready())
}

// readyTexts are the rows that can be scrolled.
func (p Page) readyTexts() (out []stage.Text) {
	plan, opt := p.opt.Plan, p.run.Options()
	add := func(role draw.Role, format string, args ...any) {
		if format == "" {
			out = append(out, stage.Text{})
		}
		for _, row := range draw.Wrap(draw.OneLine(fmt.Sprintf(format, args...)), max(p.width, 1)) {
			out = append(out, stage.Text{Text: row, Role: role})
		}
	}
	add(draw.Strong, "from %s to %s, limit %s", brew.Clock(p.run.Begins()), brew.Clock(p.run.Due()), brew.Clock(plan.Limit))
	if p.opt.Dry {
		add(draw.Caution, "without water: drawdowns and waits over 5 s take 5 s; the take is kept apart")
	}
	if opt.Manual {
		add(draw.Plain, "a line begins with %s", p.opt.Keys.Line.Help().Key)
	} else {
		add(draw.Plain, "lines go on by themselves; %s begins the next one now", p.opt.Keys.Line.Help().Key)
	}
	if len(plan.Ready) > 0 {
		add(draw.Plain, "")
		setup := "to be ready in set-up time"
		if plan.Setup > 0 {
			setup += ", " + brew.Spoken(plan.Setup)
		}
		add(draw.Strong, "%s", setup)
		for _, text := range plan.Ready {
			add(draw.Plain, "[ ] %s", text)
		}
	}
	add(draw.Plain, "")
	add(draw.Strong, "sections")
	for i := opt.From; i <= opt.To; i++ {
		add(draw.Plain, "%5s  %s", brew.Clock(plan.Sections[i].Start), plan.Sections[i].Name)
	}
	return out
}

// lastReady is the topmost row at the end of scrolling.
func (p Page) lastReady() int { return max(len(p.readyTexts())-(p.height-readyRows), 0) }

// drawRows draws what is seen of a list below the title.
func (p Page) drawRows(c *draw.Canvas, rows []stage.Text, last int) {
	top := min(p.top, last)
	for i := 0; i < p.height-readyRows && top+i < len(rows); i++ {
		c.Text(0, 1+i, draw.Fit(rows[top+i].Text, p.width), rows[top+i].Role)
	}
}
