package service

import (
	"fmt"
	"strings"
	"time"

	"barline/brew/bar"
	"barline/tui/draw"
	"barline/tui/stage"
)

// picture returns the lanes on the time of day. Each order keeps its row as
// long as it lasts: that of its lane's key. Orders without one come last.
func (p Page) picture(c cast) draw.Picture {
	pic := draw.Picture{Now: p.opt.Opened + p.at(), Lanes: p.slots(), Rolling: true, Day: true}
	pic.Column = column(p.width)
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

// column returns what a column holds, so that some five minutes are shown on
// any screen but a narrow one.
func column(width int) time.Duration {
	const beside, minutes = 30, 300 // columns beside the time, seconds of it
	for _, seconds := range []int{2, 4} {
		if (width-beside)*seconds >= minutes {
			return time.Duration(seconds) * time.Second
		}
	}
	return 6 * time.Second
}

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
		out = stage.LaneOf(p.service.Lane(n), p.opt.Opened+t.Zero, func(beat int) bool { return p.record.IsHollow(n, beat) })
		if last := len(out.Stair) - 1; last >= 0 {
			out.Stair = append(out.Stair, draw.Level{At: out.Stair[last].At}) // no water stands behind the brew's end
		}
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

// roomy is from how many columns on there is room for how far an order is, in
// words; on any other screen its bar says that.
const roomy = 120

// noted is what stands right of a lane: whose it is, when its cup is ready,
// and how far it is.
func (p Page) noted(t bar.TicketLook) string {
	ready := p.readyText(t)
	if p.width >= roomy && ready != string(t.State) {
		ready = fmt.Sprintf("%-6s %s", ready, t.State)
	}
	if people := p.look.People; len(people) > 1 && t.Person >= 0 {
		return fmt.Sprintf("%-*s %s", min(p.longestPerson(), 4), draw.Fit(people[t.Person].Name, 4), ready)
	}
	return ready
}
