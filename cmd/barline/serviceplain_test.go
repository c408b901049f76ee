package main

import (
	"io"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/bar"
)

// A plain service does what each of its lines asks for.
func TestThePlainLinesOfAService(t *testing.T) {
	b := newBench(t)
	open, _, _ := b.aService()
	plan := open.Menu[0]
	kept := func(p *plainService) (kinds []bar.ServiceKind) {
		t.Helper()
		r := p.keeper.recorder
		if r == nil {
			return nil
		}
		for _, e := range r.Round().Events {
			kinds = append(kinds, bar.ServiceKind(e.Kind))
		}
		return kinds
	}
	for _, c := range []struct {
		lines string
		check func(p *plainService) bool
	}{
		{"a 1 Ben;t 1 Cleo", func(p *plainService) bool { return p.s.Ticket(0).Name == "Cleo" }},
		{"a 1;h 1", func(p *plainService) bool {
			tk := p.s.Look(p.at()).Tickets[0]
			return tk.State == bar.OrderHeldBack && tk.Until == 0
		}},
		{"a 1;h 1 10", func(p *plainService) bool {
			tk := p.s.Look(p.at()).Tickets[0]
			return tk.State == bar.OrderHeldBack && (tk.Until-p.at()-10*time.Minute).Abs() < time.Second
		}},
		{"a 1;h 1;h 1", func(p *plainService) bool { return p.s.Look(p.at()).Tickets[0].State == bar.OrderWaiting }},
		{"a 1;h 1 soon", func(p *plainService) bool { return p.s.Look(p.at()).Tickets[0].State == bar.OrderWaiting }},
		{"a 1;a 1;h 2;m 2", func(p *plainService) bool {
			l := p.s.Look(p.at())
			return l.Queue[0] == 1 && l.Tickets[1].State == bar.OrderWaiting
		}},
		{"p Ada, Ben", func(p *plainService) bool { return len(p.s.People()) == 2 && p.s.People()[1] == "Ben" }},
		{"p", func(p *plainService) bool { return len(p.s.People()) == 1 }},
		{"a 1;1;n 1 thin stream", func(p *plainService) bool {
			events := p.s.Lane(0).Events()
			return events[len(events)-1].Kind == brew.EventNote && events[len(events)-1].Text == "thin stream"
		}},
		{"a 1;1;z 1", func(p *plainService) bool {
			events := p.s.Lane(0).Events()
			return events[len(events)-1].Kind == brew.EventZero
		}},
		{"a 1;1;1;e 1", func(p *plainService) bool {
			events := p.s.Lane(0).Events()
			return events[len(events)-1].Kind == brew.EventNudge
		}},
		{"a 1;1;s 1", func(p *plainService) bool {
			events := p.s.Lane(0).Events()
			return events[len(events)-1].Kind == brew.EventSkip
		}},
		{"a 1;1;u", func(p *plainService) bool { return p.s.BrewOf(0) == -1 && p.s.Brews() == 1 }},
		{"a 1;x 1 the guest left", func(p *plainService) bool { return p.s.Look(p.at()).Tickets[0].Why == "the guest left" }},
		{"a 1;r 1", func(p *plainService) bool { return p.s.Orders() == 2 }},
		{"d 1 12 g", func(p *plainService) bool { return p.s.Menu()[0].Plan.Dose.String() == "12 g" }},
		{"d 1 much", func(p *plainService) bool { return p.s.Menu()[0].Plan == plan }},
		{"d 4 20 g;t 4 Ben;f;w 1;h 9;k x", func(p *plainService) bool { return p.s.Count() == 0 }},
		{"k 3", func(p *plainService) bool { return p.s.KettleEmpty() > p.at() }},
		{"b 1", func(p *plainService) bool { _, out := p.s.Kit(); return out.Brewers == 1 }},
		{"q", func(p *plainService) bool { return p.left }},
		{"a 1;q", func(p *plainService) bool { return p.s.Closed() && len(kept(p)) == 2 }},
	} {
		card := &card{app: b.app, names: []string{"quayside-press"}, plans: []*brew.Plan{plan}, policy: brew.MarksAsked, texts: map[*brew.Plan][]byte{plan: nil}}
		s, err := b.app.servingOf(open, card, "service", 1, "bar", "bar")
		must(t, err)
		var out strings.Builder
		p := b.app.plainly(s, io.Writer(&out))
		for _, line := range strings.Split(c.lines, ";") {
			b.clock.Advance(time.Second)
			p.key(line)
		}
		if !c.check(p) {
			t.Errorf("%q:\n%s", c.lines, out.String())
		}
		must(t, s.keeper.close(b.env))
		must(t, s.book.close())
	}
}

// A chore that is called can be told to be done.
func TestAPlainChoreIsDone(t *testing.T) {
	b := newBench(t)
	open, _, _ := b.aService()
	card := &card{app: b.app, policy: brew.MarksAsked, texts: map[*brew.Plan][]byte{}}
	s, err := b.app.servingOf(open, card, "service", 1, "bar", "bar")
	must(t, err)
	p := b.app.plainly(s, io.Discard)
	p.key("a 1")
	must(t, p.step())
	b.clock.Advance(2 * time.Second)
	must(t, p.step())
	before := p.s.Count()
	if d := p.s.Look(p.at()).People[0]; d.Now == nil || d.Now.Cue >= 0 {
		t.Fatalf("no chore is called: %+v", d)
	}
	if p.key("f"); p.s.Count() != before+1 {
		t.Error("it is not done")
	}
	must(t, s.keeper.close(b.env))
	must(t, s.book.close())
}
