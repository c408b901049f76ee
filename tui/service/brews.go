package service

import (
	"barline/brew"
	"barline/brew/bar"
	"barline/tui/draw"

	tea "github.com/charmbracelet/bubbletea"
)

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
