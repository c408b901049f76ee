package service

import (
	"strings"
	"time"

	"barline/brew/bar"
	"barline/tui/draw"
	"barline/tui/stage"
)

// picture returns the lanes on the time of day. Each order keeps its row as
// long as it lasts: that of its lane's key. Orders without one come last.
func (p Page) picture(c cast) draw.Picture {
	pic := draw.Picture{Now: p.opt.Opened + p.at(), Lanes: p.slots(), Rolling: true}
	if p.width < wide {
		pic.Column = 6 * time.Second
	}
	var keyless []draw.Lane
	for _, j := range p.live() {
		lane := p.lane(j, c)
		if i := strings.Index(laneKeys, p.lanes[j]); p.lanes[j] != "" {
			pic.Lanes[i] = lane
			continue
		}
		keyless = append(keyless, lane)
	}
	pic.Lanes = append(pic.Lanes, keyless...)
	if len(pic.Lanes) == 0 {
		pic.Lanes = []draw.Lane{{}}
	}
	return pic
}

// wide is from how many columns on a picture shows the next minutes at the
// usual scale.
const wide = 120

// slots returns an empty lane for each key up to the last that is in use.
func (p Page) slots() []draw.Lane {
	n := 0
	for _, j := range p.live() {
		if p.lanes[j] != "" {
			n = max(n, strings.Index(laneKeys, p.lanes[j])+1)
		}
	}
	out := make([]draw.Lane, n)
	for i := range out {
		out[i].Name = laneKeys[i : i+1]
	}
	return out
}

// lane returns how an order is drawn: its brew as it went and will go, and the
// chores around it.
func (p Page) lane(j int, c cast) draw.Lane {
	t := p.look.Tickets[j]
	var out draw.Lane
	if n := p.service.BrewOf(j); n >= 0 {
		out = stage.LaneOf(p.service.Lane(n), p.opt.Opened+t.Zero, func(beat int) bool { return p.isHollow(n, beat) })
	}
	for _, do := range t.Coming {
		if do.Cue < 0 || t.Brew < 0 {
			out.Spans = append(out.Spans, p.span(do))
		}
	}
	out.Name, out.Short, out.Note = p.name(j), p.lanes[j], p.noted(t)
	out.Planned, out.Chosen = t.Brew < 0, j == c.order
	out.Flash = j == p.flash.order && p.now < p.flash.until
	return out
}

// span returns how something to do is drawn.
func (p Page) span(do bar.Do) draw.Span {
	label := choreWord(do.Say)
	if cue, is := p.cue(&do); is {
		if label = cue.Label; label == "" {
			label = string(cue.Action)
		}
	}
	return draw.Span{Start: p.opt.Opened + do.Start, End: p.opt.Opened + do.End, Busy: do.Hands, Chore: do.Cue < 0, Label: label}
}

// noted is what stands right of a lane: whose it is, and when its cup is
// ready.
func (p Page) noted(t bar.TicketLook) string {
	ready := p.readyText(t)
	if people := p.look.People; len(people) > 1 && t.Person >= 0 {
		return draw.Fit(people[t.Person].Name, 4) + " " + ready
	}
	return ready
}
