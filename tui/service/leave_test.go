package service_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"barline/brew"
	"barline/brew/bar"
	"barline/tui/service"
)

// A service that is closed takes no more orders; what runs is brewed to its
// end, and then the summary stands there.
func TestClosingLetsWhatRunsGoOn(t *testing.T) {
	p := opened(t, 80, 24, alone(t))
	order, _ := p.order("12", 5).begin()
	p.press("q", p.now(1))
	if p.page.Service().Closed() {
		t.Fatal("one key closes the service")
	}
	p.press("y", p.now(1))
	s := p.page.Service()
	if how, _, _ := s.Lane(0).Ending(); !s.Closed() || how != brew.Running {
		t.Fatalf("closed: %v, the brew is %q", s.Closed(), how)
	}
	if st := s.Look(p.page.At()).Tickets[1-order].State; st != bar.OrderDropped {
		t.Errorf("the order that had not begun is %s", st)
	}
	p.order("1", p.now(1))
	if p.page.Service().Orders() != 2 {
		t.Error("a closed service takes an order")
	}
	p.serve(p.now(400))
	if sc := seen(p); !sc.spells("1 of 2 orders served") || !sc.spells("the service was closed") {
		t.Errorf("there is no summary:\n%s", strings.Join(sc.lines, "\n"))
	}
	if p.press("q", p.now(1)); !p.left {
		t.Error("q does not leave")
	}
}

// numbered is alone with a record that numbers its brews.
func numbered(t testing.TB) service.Options {
	opt := alone(t)
	opt.ID = func(brew int) string { return fmt.Sprint("brew ", brew) }
	return opt
}

// From the summary the debrief of each brew can be reached, of an order that was
// not brewed none.
func TestTheSummaryLeadsToDebriefs(t *testing.T) {
	p := opened(t, 80, 24, numbered(t))
	order, _ := p.order("122", 5).begin()
	p.press("x", p.now(1)).press("3", p.now(1)).press("y", p.now(1)).serve(p.now(900))
	p.press("q", p.now(1))
	if !p.page.Over() {
		p.press("y", p.now(1))
	}
	want := []string{}
	for j := range 3 {
		sc := seen(p)
		brewed := p.page.Service().BrewOf(j)
		if sc.spells("enter its debrief, readings") != (brewed >= 0) {
			t.Errorf("order %d has brew %d:\n%s", j, brewed, strings.Join(sc.lines, "\n"))
		}
		if brewed >= 0 {
			want = append(want, fmt.Sprint("brew ", brewed))
		}
		p.press("enter", p.now(1)).press("down", p.now(1))
	}
	if len(want) != 2 || !slices.Equal(p.asks, want) || p.left {
		t.Errorf("asked for %q, want %q; order %d began first", p.asks, want, order)
	}
	for range 4 {
		p.press("up", p.now(1))
	}
	if p.press("enter", p.now(1)); p.asks[len(p.asks)-1] != want[0] {
		t.Errorf("at the top it asks for %q", p.asks)
	}
}

// On a low screen the chosen order is among those that are shown.
func TestTheChosenOrderIsSeen(t *testing.T) {
	p := opened(t, 40, 8, numbered(t)).order("111111", 5).press("q", 20).press("y", 21).press("q", 22)
	p.press("y", 23)
	for n := range 6 {
		rows := 0
		for _, line := range seen(p).lines {
			if strings.HasPrefix(line, "> ") {
				rows++
			}
		}
		if rows != 1 {
			t.Errorf("order %d: %d rows are chosen:\n%s", n+1, rows, strings.Join(seen(p).lines, "\n"))
		}
		p.press("down", p.now(1))
	}
}

func TestLeavingAtOnceIsAskedAgain(t *testing.T) {
	p := opened(t, 80, 24, alone(t)).order("1", 5).serve(85).press("q", 86).press("y", 87).press("q", 88)
	if how, _, _ := p.page.Service().Lane(0).Ending(); how != brew.Running {
		t.Fatal("three keys stop a brew")
	}
	p.press("y", 89)
	how, _, why := p.page.Service().Lane(0).Ending()
	if how != brew.Stopped || why != "the service was left" || p.left {
		t.Errorf("it ended %q, %q; the page was left: %v", how, why, p.left)
	}
}

func TestAnEmptyServiceIsLeftWithOneKey(t *testing.T) {
	if p := opened(t, 80, 24, alone(t)).press("q", 5); !p.left {
		t.Error("it is not left")
	}
}
