package service_test

import (
	"strings"
	"time"

	"barline/brew"
	"barline/brew/bar"
	"barline/tui/stage"
)

// glance checks what must be seen at a glance: whose lane it is, the action,
// by when or how long, and what comes next; and of each order, where there is
// room, when its cup is ready. What it should be is asked of the service here,
// not of the page.
func (s screen) glance(p *player) {
	s.t.Helper()
	if p.page.Over() {
		return
	}
	at, svc := p.page.At(), p.page.Service()
	look := svc.Look(at)
	need := func(ok bool, what string) {
		s.t.Helper()
		if !ok {
			s.t.Errorf("%s is not on the screen of %d by %d:\n%s", what, s.Width, s.Height, strings.Join(s.lines, "\n"))
		}
	}
	on, next := prompted(look)
	switch {
	case on != nil:
		need(s.shows(p.page.LaneKey(on.Order)), "the lane's key, "+p.page.LaneKey(on.Order)+",")
		if on.Cue >= 0 {
			cue := svc.DishOf(on.Order).Plan.Cues[on.Cue]
			need(s.shows(strings.ToUpper(string(cue.Action))), "the action, "+string(cue.Action)+",")
			need(s.spells(cue.Prompt), "the prompt, "+cue.Prompt+",")
		} else {
			need(s.spells(beginning(on.Say)), "the chore, "+on.Say+",")
		}
		if !on.Zero {
			need(s.shows(stage.Countdown(on.End-at)), "the time left, "+stage.Countdown(on.End-at)+",")
		}
	case next != nil:
		need(s.shows("WAIT"), "WAIT")
		need(s.spells("hands free until "+clock(next.Start)), "until when, "+clock(next.Start)+",")
		need(s.shows(stage.Countdown(next.Start-at)), "the time left")
	}
	if next != nil {
		need(s.spells(" in "+stage.Countdown(max(next.Start-at, 0))), "in how long the next comes")
		need(s.spells(beginning(next.Say)), "what comes next, "+next.Say+",")
	}
	for _, tk := range look.Tickets {
		if s.Width >= 80 && tk.State != bar.OrderServed && tk.State != bar.OrderDropped && len(look.Tickets) <= 6 && p.page.Quiet() {
			need(s.row(p.page.LaneKey(tk.Order), p.page.Ready(tk.Order)), "lane "+p.page.LaneKey(tk.Order)+" with "+p.page.Ready(tk.Order))
		}
	}
}

// prompted returns what began latest in anybody's hands, and what comes next
// for the one whose hands they are; where all are free, what comes first.
func prompted(l bar.Look) (on, next *bar.Do) {
	for _, d := range l.People {
		if d.Now != nil && (on == nil || d.Now.Start > on.Start) {
			on, next = d.Now, d.Next
		}
	}
	for _, d := range l.People {
		if on == nil && d.Next != nil && (next == nil || d.Next.Start < next.Start) {
			next = d.Next
		}
	}
	return on, next
}

// beginning is as much of a text as must be seen of a long chore.
func beginning(text string) string {
	words := strings.Fields(text)
	return strings.Join(words[:min(len(words), 4)], " ")
}

func clock(at time.Duration) string { return brew.Clock(opening + at) }

// row reports whether a row begins with a lane's key and ends with a text.
func (s screen) row(key, end string) bool {
	for _, line := range s.lines {
		line = strings.TrimLeft(line, " >")
		if strings.HasPrefix(line, key+" ") && strings.HasSuffix(strings.TrimRight(line, " "), end) {
			return true
		}
	}
	return false
}
