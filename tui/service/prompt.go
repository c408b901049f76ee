package service

import (
	"slices"
	"strings"
	"time"

	"barline/brew"
	"barline/tui/stage"
)

// prompt fills in what is to be done.
func (p Page) prompt(v *stage.View, c cast) {
	cue, isCue := p.cue(c.on)
	switch {
	case c.on != nil && c.on.Zero && c.on.Late:
		v.On, v.Word, v.Prompt, v.Label = true, stage.Word(cue.Action), cue.Prompt, cue.Label
		v.Until = p.markKey(c.person) + " as water meets coffee"
		v.Clock = brew.Clock(0)
	case isCue:
		p.cuePrompt(v, c, cue)
	case c.on != nil:
		v.On, v.Word, v.Prompt = true, strings.ToUpper(choreWord(c.on.Say)), c.on.Say
		v.Left, v.Until = stage.Countdown(c.on.End-p.at()), "by "+p.day(c.on.End)
	case c.next != nil:
		v.Word, v.Lane = string(stage.WaitWord), ""
		v.Prompt = p.owned(c.person, "hands free until "+p.day(c.next.Start))
		v.Left = stage.Countdown(c.next.Start - p.at())
		v.Also = p.beside(c)
	case c.wait != nil:
		v.Word, v.Prompt = "MARK", "waiting for the mark: "+p.beatName(*c.wait)
	default:
		p.idle(v)
	}
}

// cuePrompt fills in a cue of a brew.
func (p Page) cuePrompt(v *stage.View, c cast, cue brew.Cue) {
	v.On, v.Word, v.Prompt, v.Label = true, stage.Word(cue.Action), cue.Prompt, cue.Label
	v.Clock = brew.Clock(p.at() - c.zero)
	v.Left, v.Until = stage.Countdown(c.on.End-p.at()), "by "+brew.Clock(c.on.End-c.zero)
	m, on := p.moment(c.on)
	switch {
	case !on:
		return
	case cue.Action == brew.Press:
		v.Amount = stage.Percent(m.Done)
	case m.HasReading:
		v.Amount = stage.Weight(m.Reading)
	}
	if cue.Action == brew.Pour || cue.Action == brew.Bypass && cue.OnScale {
		v.Also = append(v.Also, stage.Weight(m.ToGo)+" to go")
	}
	v.Also = append(v.Also, p.beside(c)...)
}

// idle is the prompt where nothing is to be done at all.
func (p Page) idle(v *stage.View) {
	v.Word, v.Badge, v.Next.Quiet = "OPEN", "", true
	add := p.opt.Keys.Add.Help().Key + " and a recipe's digit add an order"
	switch {
	case p.service.Closed():
		v.Word, v.Prompt = "CLOSED", "what runs is brewed to its end"
	case p.plans.fault != nil:
		v.Prompt = "no plan: " + p.plans.fault.Error()
	case len(p.live()) > 0 && p.plans.busy:
		v.Prompt = "planning"
	case len(p.live()) > 0:
		v.Prompt = "all that waits is held; " + add
	default:
		v.Prompt = add
	}
}

// beside is what goes on by itself in the lanes meanwhile, what ends next
// first.
func (p Page) beside(c cast) []string {
	type free struct {
		end  time.Duration
		text string
	}
	var all []free
	for _, t := range p.look.Tickets {
		for _, do := range t.Coming {
			cue, is := p.cue(&do)
			if is && !do.Hands && cue.Action != brew.Wait && do.Start <= p.at() && do.End > p.at() {
				all = append(all, free{do.End, p.name(t.Order) + ": " + cue.Name + " for " + stage.Countdown(do.End-p.at())})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b free) int { return int(a.end - b.end) })
	var out []string
	for _, f := range all {
		out = append(out, f.text)
	}
	return out
}
