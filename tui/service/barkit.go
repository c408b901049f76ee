package service

import (
	"fmt"
	"strings"
	"time"

	"barline/brew"
	"barline/brew/bar"
	"barline/tui/draw"

	tea "github.com/charmbracelet/bubbletea"
)

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
