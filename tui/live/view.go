package live

import (
	"fmt"
	"strings"

	"barline/brew"
	"barline/tui/draw"
	"barline/tui/stage"
)

// Draw returns the page on a canvas of its size.
func (p Page) Draw() *draw.Canvas {
	c := draw.NewCanvas(p.width, p.height)
	switch p.phase {
	case preparing:
		p.drawReady(c)
	case debriefing:
		p.drawDebrief(c)
	default:
		p.drawLive(c)
	}
	return c
}

func (p Page) drawLive(c *draw.Canvas) { stage.Draw(c, p.needs, p.view(), p.opt.Theme) }

// view is what the live screen shows.
func (p Page) view() stage.View {
	s := p.scene()
	_, on := s.cue()
	answer, fresh := p.answer()
	return stage.View{
		Title: p.opt.Title, Aside: p.circumstances(), Warning: p.warning(), At: s.at,
		Clock: brew.Clock(p.clock(s.at)), Alarm: p.asking == leaving, Amount: s.amount(),
		Word: s.word(), On: on, Left: s.left(),
		Lane: p.name(s.lane), Label: s.label(), Prompt: s.prompt(), Until: s.until(), Also: []string{s.toGo(), s.beside()},
		Next: s.following(), Care: s.care(), Picture: p.picture(s.at),
		Answer: answer, Fresh: fresh, Waits: p.waits(s.at), Ask: p.question(), Keys: p.runningKeys(),
	}
}

// needed gathers the longest texts that the lanes of the page will ever show.
func (p Page) needed() stage.Needs {
	n := stage.LeastNeeds()
	for i, plan := range p.opt.Plans {
		n = n.WithPlan(p.name(i), plan)
	}
	return n
}

// warning says that the brew is not being saved, and why.
func (p Page) warning() string {
	if err := p.Unsaved(); err != nil {
		return "! not saved: " + strings.ReplaceAll(err.Error(), "\n", "; ")
	}
	return ""
}

// circumstances says by whom, of which kind and how fast.
func (p Page) circumstances() string {
	var words []string
	if p.opt.Kind != "" && p.opt.Kind != "service" {
		words = append(words, p.opt.Kind)
	}
	if p.opt.Speed != 1 {
		words = append(words, fmt.Sprintf("at speed %g", p.opt.Speed))
	}
	if p.opt.By != "" {
		words = append(words, "by "+p.opt.By)
	}
	return strings.Join(words, ", ")
}
