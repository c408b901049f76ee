package service_test

import (
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/bar"
	"barline/tui/service"
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
	for _, d := range look.People {
		own := d.Now == on && on != nil || on == nil && d.Next == next
		if row := s.other(d, at); len(look.People) > 1 && (on != nil || next != nil) && row == own {
			s.t.Errorf("a row of %s's own is there: %t, but it is %t that the prompt is theirs:\n%s", d.Name, row, own, strings.Join(s.lines, "\n"))
		}
	}
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
			need(s.timed(on.End-at), "the time left, "+stage.Countdown(on.End-at)+",")
		}
	case next != nil:
		need(s.shows("WAIT"), "WAIT")
		need(s.spells("hands free until "+clock(next.Start)), "until when, "+clock(next.Start)+",")
		need(s.timed(next.Start-at), "the time left")
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

// timed reports whether a countdown is there, large or in words.
func (s screen) timed(left time.Duration) bool {
	return s.shows(stage.Countdown(left)) || s.spells(" "+stage.Countdown(left)+" ")
}

// other reports whether a row tells what somebody does beside the prompt.
func (s screen) other(d bar.Duty, at time.Duration) bool {
	switch {
	case d.Now != nil && d.Now.Zero:
		return s.spells(d.Name + ", mark as water meets coffee: ")
	case d.Now != nil:
		return s.spells(d.Name + ", " + stage.Countdown(d.Now.End-at) + " left: ")
	case d.Next != nil:
		return s.spells(d.Name + ", free for " + stage.Countdown(d.Free) + ": ")
	}
	return s.spells(d.Name + ", hands free")
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

// row reports whether a row begins with a lane's key and has a text at its end.
func (s screen) row(key, text string) bool {
	for _, line := range s.lines {
		line = strings.TrimLeft(line, " >")
		if i := strings.LastIndex(line, " "+text); strings.HasPrefix(line, key+" ") && i > len(line)-30 {
			return true
		}
	}
	return false
}

// What must be seen at a glance is there all along a service, whoever is at
// work.
func TestTheGlanceHoldsAllAlong(t *testing.T) {
	for name, c := range map[string]struct {
		opt    func(testing.TB) service.Options
		orders string
	}{"one person": {alone, "1425"}, "two persons": {together, "1425"}, "two persons with the same": {together, "2222"}} {
		t.Run(name, func(t *testing.T) {
			p := opened(t, 80, 24, c.opt(t)).order(c.orders, 5)
			for at := 20.0; at < 700; at += 2.1 {
				p.serve(at)
				for _, size := range sizes {
					c := p.page.Resize(size.w, size.h).Draw()
					if s := (screen{t, c, c.Lines()}); !s.cautioned() {
						s.glance(p)
					}
				}
				if t.Failed() {
					t.Fatalf("at %v s", at)
				}
			}
		})
	}
}

// cautioned reports whether words of caution take rows of the lanes.
func (s screen) cautioned() bool { return s.spells("! ") }

// In ASCII mode there is nothing that a terminal might not have, and the lane
// to look at is still plain to see.
func TestInASCIIModeAllIsASCII(t *testing.T) {
	opt := together(t)
	opt.Theme.ASCII = true
	p := opened(t, 80, 24, opt).order("1425", 5)
	for at := 20.0; at < 400; at += 13 {
		p.serve(at)
		for _, size := range sizes {
			text := strings.Join(p.page.Resize(size.w, size.h).Draw().Lines(), "\n")
			if i := strings.IndexFunc(text, func(r rune) bool { return r > 126 }); i >= 0 {
				t.Fatalf("at %v s on %s there is %q:\n%s", at, size, text[i:i+3], text)
			}
			if on, _ := prompted(p.page.Service().Look(p.page.At())); on != nil && size.w >= 80 && !strings.Contains(text, ">"+p.page.LaneKey(on.Order)) {
				t.Fatalf("at %v s on %s the lane to look at is not to be seen:\n%s", at, size, text)
			}
		}
	}
}
