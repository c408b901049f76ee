package service_test

import (
	"errors"
	"reflect"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/bar"
)

// Nothing is planned while a key is answered: that takes its time.
func TestPlansAreLookedForInCommands(t *testing.T) {
	p := opened(t, 80, 24, alone(t))
	p.slow = true
	p.order("2", 5).press("f20", 8)
	ready := func() bar.Sure { return p.page.Service().Look(p.page.At()).Tickets[0].Sure }
	if got := ready(); got != bar.SureNot {
		t.Errorf("without its commands the page knows that the cup is %s", got)
	}
	if p.settle(); ready() != bar.SurePlanned {
		t.Errorf("when they have been run, it is %q", ready())
	}
}

// A plan that was made before something happened is not adopted.
func TestAPlanThatKnowsTooLittleIsMadeAgain(t *testing.T) {
	p := opened(t, 80, 24, alone(t))
	p.slow = true
	p.order("2", 5)
	cmds := p.cmds
	p.cmds = nil
	p.order("1", 8)
	for _, msg := range results(cmds) {
		if name := reflect.TypeOf(msg).Name(); name != "tickMsg" {
			p.send(msg)
		}
	}
	if got := p.page.Service().Look(p.page.At()).Tickets[0].Sure; got != bar.SureNot {
		t.Errorf("a plan was adopted that knew of one order: its cup is %s", got)
	}
	p.settle()
	for _, tk := range p.page.Service().Look(p.page.At()).Tickets {
		if tk.Sure != bar.SurePlanned {
			t.Errorf("order %d is not planned", tk.Order)
		}
	}
}

// Where things are otherwise than when the plan was made, a plan that gains
// enough is shown at once, whatever it changes: the first one that comes back.
func TestWhatAChangeGainsIsUsedAtOnce(t *testing.T) {
	for name, change := range map[string]func(p *player){
		"a person more":     func(p *player) { p.press("p", 9).write(", Bo", 10).press("enter", 12) },
		"an order less":     func(p *player) { p.press("x", 9).press("2", 10).press("y", 12) },
		"an order held":     func(p *player) { p.press("h", 9).press("2", 10).press("0", 12) },
		"an order moved up": func(p *player) { p.press("m", 9).press("3", 12) },
	} {
		t.Run(name, func(t *testing.T) {
			p := opened(t, 80, 24, alone(t)).order("1446", 5)
			ready := func(order int) time.Duration { return p.page.Service().Look(p.page.At()).Tickets[order].Ready }
			before := ready(2)
			p.slow = true
			change(p)
			cmds := p.cmds
			p.cmds = nil
			for _, msg := range results(cmds) {
				if reflect.TypeOf(msg).Name() == "plannedMsg" {
					p.send(msg)
				}
			}
			if after := ready(2); after >= before-time.Minute {
				t.Errorf("the third cup is ready at %v, it was at %v", after, before)
			}
		})
	}
}

// What the search finds behind the person's back is adopted only where the
// plan says more, or gains enough and leaves the next seconds alone.
func TestTheNextSecondsAreLeftAlone(t *testing.T) {
	p := opened(t, 80, 24, alone(t)).order("142635", 5).serve(200)
	var was []bar.Do
	for at := 201.0; at < 400; at++ {
		look := p.page.Service().Look(p.page.At())
		count := p.page.Service().Count()
		p.serve(at)
		now := p.page.Service().Look(p.page.At())
		if p.page.Service().Count()-count > 1 {
			continue // more than a plan: something happened
		}
		was = was[:0]
		for _, tk := range look.Tickets {
			for _, do := range tk.Coming {
				if do.Start < look.At+20*time.Second && do.End > now.At && tk.Brew < 0 {
					was = append(was, do)
				}
			}
		}
		for _, do := range was {
			if got, any := startOf(now, do); any && got != do.Start && !do.Late {
				t.Fatalf("at %v %s of order %d moved from %v to %v", at, do.Name, do.Order, do.Start, got)
			}
		}
	}
}

func startOf(l bar.Look, do bar.Do) (time.Duration, bool) {
	for _, d := range l.Tickets[do.Order].Coming {
		if d.Act == do.Act {
			return d.Start, true
		}
	}
	return 0, false
}

// The record tells all that happened, each event once and in its order, and
// the same service comes out of it again.
func TestTheRecordGivesTheSameService(t *testing.T) {
	p, k := recorded(t, together(t))
	p.order("142635", 5).serve(120).press("x", 121).press("5", 122).press("y", 123).serve(200)
	p.press("h", 201).press("6", 202).press("0", 203).press("u", 204).serve(260)
	got := p.page.Service()
	if len(k.events) != got.Count() {
		t.Fatalf("%d events in the record, %d happened", len(k.events), got.Count())
	}
	again := bench(t, 6, "Ada", "Bo")
	for n := range len(k.events) {
		var r bar.Result
		if again, r = again.Apply(k.events[n]); r.Effect == brew.Refused {
			t.Fatalf("event %d, %s, is refused: %s", n, k.events[n].Kind, r.Why)
		}
		if !reflect.DeepEqual(r, k.results[n]) {
			t.Fatalf("event %d, %s, does\n%+v\nnot\n%+v", n, k.events[n].Kind, r, k.results[n])
		}
	}
	if at := p.page.At(); !reflect.DeepEqual(again.Look(at), got.Look(at)) {
		t.Error("another service comes out")
	}
}

// A service that was cut off goes on with what is known of it.
func TestAServiceIsTakenUp(t *testing.T) {
	p := opened(t, 80, 24, alone(t)).order("142", 5).serve(130)
	opt := alone(t)
	opt.Service = p.page.Service()
	next := opened(t, 80, 24, opt)
	if at := next.page.At(); at < p.page.Service().Latest() {
		t.Errorf("it goes on at %v, before the latest event at %v", at, p.page.Service().Latest())
	}
	next.serve(200)
	for j := range 3 {
		if a, b := p.page.LaneKey(j), next.page.LaneKey(j); a != b {
			t.Errorf("order %d had lane %s, and has %s", j, a, b)
		}
	}
	if next.page.Service().Count() <= p.page.Service().Count() {
		t.Error("nothing goes on")
	}
}

// A mark is hollow until the record holds it.
func TestAMarkIsHollowUntilItIsSafe(t *testing.T) {
	p, _ := recorded(t, alone(t))
	p.order("1", 5).serve(85)
	p.slow = true
	p.press(" ", 93.4)
	if s := seen(p); !s.spells("[ ] 1 press: bloom, end") || !s.spells("○") {
		t.Error("it is not hollow")
	}
	if s := seen(p.settle()); !s.spells("[x] 1 press: bloom, end") || s.spells("○") {
		t.Error("it stays hollow")
	}
}

// The page goes when the record has answered for everything.
func TestLeavingWaitsForTheRecord(t *testing.T) {
	p, _ := recorded(t, alone(t))
	p.order("1", 5).serve(400)
	p.slow = true
	p.press("q", 401).press("y", 402).press("q", 404)
	msgs := results(p.cmds)
	p.cmds = nil
	for _, msg := range msgs {
		switch reflect.TypeOf(msg).Name() {
		case "LeftMsg":
			t.Error("it leaves at once")
		case "savedMsg":
			p.send(msg)
		}
	}
	if p.settle(); !p.left {
		t.Error("it does not leave when the record has answered")
	}
}

// What could not be kept is told, with the reason.
func TestAFailingRecordIsTold(t *testing.T) {
	opt := alone(t)
	opt.Recorder = unplugged{}
	p := opened(t, 80, 24, opt).order("1", 5)
	if err := p.page.Unsaved(); !errors.Is(err, errDisk) {
		t.Errorf("unsaved: %v", err)
	}
	if s := seen(p.serve(94)); !s.spells("[ ] 1 press: bloom, end") {
		t.Error("a mark that is not kept is shown as safe")
	}
}

// Two strokes ring for something to do, one ahead of it; nothing rings for
// what goes on by itself.
func TestTheBellRings(t *testing.T) {
	var rung []int
	opt := alone(t)
	opt.Bell = func(n int) { rung = append(rung, n) }
	p := opened(t, 80, 24, opt).order("2", 5)
	start := time.Duration(0)
	for _, do := range p.page.Service().Look(p.page.At()).Tickets[0].Coming {
		if do.Hands && do.Start > p.page.At()+20*time.Second {
			start = do.Start
			break
		}
	}
	p.wait((start - 6*time.Second).Seconds())
	rung = nil
	p.wait((start - 5*time.Second).Seconds() + 0.01)
	if len(rung) != 1 || rung[0] != 1 {
		t.Errorf("ahead of it %v rang", rung)
	}
	p.wait(start.Seconds() - 0.01)
	rung = nil
	p.press("f20", start.Seconds()+0.01)
	if len(rung) != 1 || rung[0] != 2 {
		t.Errorf("at it %v rang", rung)
	}
}

// The bell rings once for a brew that is to begin, however long it waits.
func TestTheBellDoesNotNag(t *testing.T) {
	var rung []int
	opt := alone(t)
	opt.Bell = func(n int) { rung = append(rung, n) }
	p := opened(t, 80, 24, opt).order("1", 5).serve(84)
	rung = nil
	p.wait(110)
	if !reflect.DeepEqual(rung, []int{2}) {
		t.Errorf("%v rang while the brew waited to begin, want two strokes once", rung)
	}
}
