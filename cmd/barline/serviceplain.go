package main

import (
	"bufio"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"barline/brew"
	"barline/brew/bar"
	"barline/tui"
	"barline/tui/draw"
	"barline/tui/live"
)

// plainService is a service that is said as lines.
type plainService struct {
	*serving
	out  io.Writer
	s    bar.Service
	pace live.Pace
	n    int            // events handed to the keeper
	said map[int]string // what each person was told last
	told map[int]time.Duration
	gave map[bar.Giving]bool
	left bool // before anything happened
}

// plainService calls a service as lines of text until it is over.
func (a *app) plainService(s *serving) error {
	p := a.plainly(s, tui.ASCII(a.stdout, a.getenv))
	for i, d := range p.s.Menu() {
		p.say("%d %s", i+1, d.Plan.Name)
	}
	lines := linesOf(a.stdin)
	for !p.over() {
		if err := p.step(); err != nil {
			return err
		}
		wake := time.NewTimer(p.wait())
		select {
		case line, more := <-lines:
			if !more {
				lines = nil
				line = "q"
			}
			p.key(draw.OneLine(strings.TrimSpace(line)))
		case <-wake.C:
		}
		wake.Stop()
	}
	p.say("the service is over: %s, %s", counted(p.s.Orders(), "order"), counted(p.s.Brews(), "brew"))
	return nil
}

// plainly returns a service that is about to be said.
func (a *app) plainly(s *serving, out io.Writer) *plainService {
	return &plainService{
		serving: s, out: out, s: s.opt.Service, n: s.opt.Service.Count(),
		pace: live.Pace{Zero: s.opt.Zero, Speed: s.opt.Speed}, said: map[int]string{}, told: map[int]time.Duration{}, gave: map[bar.Giving]bool{},
	}
}

// over reports whether there is nothing left to do: the service was closed and
// all is over, or it was left before anything happened.
func (p *plainService) over() bool {
	return p.left || p.s.Closed() && p.s.Look(p.at()).Over
}

// linesOf returns the lines of a stream as they come; it is closed at its end.
func linesOf(r io.Reader) chan string {
	lines := make(chan string)
	go func() {
		defer close(lines)
		for s := bufio.NewScanner(r); s.Scan(); {
			lines <- s.Text()
		}
	}()
	return lines
}

func (p *plainService) at() time.Duration { return p.pace.At(p.opt.Now()) }

// say writes a line with the service's clock.
func (p *plainService) say(format string, args ...any) {
	fmt.Fprintf(p.out, "[%s] %s\n", brew.Clock(p.at()), fmt.Sprintf(format, args...))
}

// wait returns how long nothing changes by itself.
func (p *plainService) wait() time.Duration {
	at := p.at()
	next := at + time.Second
	if l := p.s.Look(at); l.HasChange {
		next = min(next, l.Changes)
	}
	return max(time.Duration(float64(next-at)/p.pace.Speed), time.Millisecond)
}

// step lets the clock do what it does and says what is to be done.
func (p *plainService) step() error {
	at := p.at()
	for _, e := range p.s.Due(at) {
		p.apply(e)
	}
	l := p.s.Look(at)
	if l.Stale {
		p.plan(at)
		l = p.s.Look(at)
	}
	for i, d := range l.People {
		p.call(i, d)
	}
	for _, t := range l.Tickets {
		p.promise(t)
	}
	return nil
}

// plan makes the plan again and adopts it.
func (p *plainService) plan(at time.Duration) {
	r := p.s.Replan(at)
	sch, ok := r.Kept()
	for end := p.opt.Now() + time.Second; !ok && p.opt.Now() < end && r.Advance(slice); {
		sch, ok = r.Best()
	}
	if sch, ok = r.Best(); ok {
		p.apply(bar.ServiceEvent{Kind: bar.PlanAdopted, At: at, Source: brew.FromClock, Schedule: &sch})
		p.yields(sch.Gives)
	}
}

// call says what a person has to do, once, or that the hands are free and
// until when.
func (p *plainService) call(person int, d bar.Duty) {
	text := ""
	switch {
	case d.Now != nil:
		text = p.whose(d.Now.Order) + ": " + d.Now.Say
		if d.Now.Zero {
			text += ", which starts its clock"
		}
	case d.Next != nil:
		text = "hands free until " + brew.Clock(d.Next.Start) + ", then " + p.whose(d.Next.Order) + ": " + d.Next.Say
	default:
		return
	}
	if d.Name != "" && len(p.s.People()) > 1 {
		text = d.Name + ", " + text
	}
	if p.said[person] != text {
		p.said[person] = text
		p.say("%s", text)
	}
}

// yields says which running brew gives way, once, and by how much at the first
// thing that does.
func (p *plainService) yields(gives []bar.Giving) {
	first := map[int]bool{}
	for _, g := range gives {
		if first[g.Order] || p.gave[g] {
			first[g.Order] = true
			continue
		}
		p.gave[g], first[g.Order] = true, true
		text := p.whose(g.Order) + " gives way"
		if g.For >= 0 {
			text += " to " + p.whose(g.For)
		}
		text += ": " + p.s.DishOf(g.Order).Pattern.Acts[g.Act].Name + " comes " + brew.Spoken(seconds(g.Late)) + " behind its window"
		if g.Cup > 0 {
			text += ", its cup " + brew.Spoken(seconds(g.Cup)) + " later"
		}
		p.say("%s", text)
	}
}

// whose names an order.
func (p *plainService) whose(order int) string {
	name := strconv.Itoa(order + 1)
	if t := p.s.Ticket(order); t.Name != "" {
		name += " " + t.Name
	}
	return name + ", " + p.s.DishOf(order).Plan.Name
}

// promise says when an order will be ready, where that has changed by more
// than a guest would not mind.
func (p *plainService) promise(t bar.TicketLook) {
	before, told := p.told[t.Order]
	if t.Sure == bar.SureNot || told && (t.Ready-before).Abs() < time.Minute {
		return
	}
	p.told[t.Order] = t.Ready
	if t.Sure != bar.SurePast {
		p.say("%s: ready at %s", p.whose(t.Order), clockTime(p.opt.Opened+t.Ready))
	}
}

// clockTime writes a time of day.
func clockTime(d time.Duration) string {
	d %= 24 * time.Hour
	return fmt.Sprintf("%02d:%02d", int(d.Hours()), int(d.Minutes())%60)
}

// apply folds an event, says why where it is refused, and has it kept where it
// is not.
func (p *plainService) apply(e bar.ServiceEvent) bar.Result {
	next, r := p.s.Apply(e)
	if r.Effect == brew.Refused {
		p.say("%s", r.Why)
		return r
	}
	p.s = next
	n := p.n
	p.n++
	if err := p.keeper.Append(n, e, r, p.opt.Zero); err != nil {
		p.say("not saved: %s", err)
	}
	if r.Effect == brew.Stray {
		p.say("%s; the mark moves nothing", r.Why)
	}
	for _, h := range r.Brews {
		if h.Event.Kind == brew.EventMark && h.Outcome.Beat >= 0 {
			p.say("marked: %s, %s", p.whose(p.s.OrderOf(h.Brew)), p.s.Lane(h.Brew).Plan().Beats[h.Outcome.Beat].Name)
		}
	}
	return r
}
