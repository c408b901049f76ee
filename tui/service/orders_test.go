package service_test

import (
	"slices"
	"strings"
	"testing"

	"barline/brew"
	"barline/brew/bar"
)

func TestAnOrderIsAddedWithTwoKeysAndPlanned(t *testing.T) {
	p, k := recorded(t, alone(t))
	p.press("a", 5)
	if got := p.page.Service().Orders(); got != 0 {
		t.Fatalf("%d orders after one key", got)
	}
	p.press("2", 5.5).wait(7)
	s := p.page.Service()
	if s.Orders() != 1 || s.DishOf(0).Plan.Name != "Quayside cone" {
		t.Fatalf("%d orders, the first one of %s", s.Orders(), s.DishOf(0).Plan.Name)
	}
	if got := k.kinds(); got[bar.OrderPlaced] != 1 || got[bar.PlanAdopted] == 0 {
		t.Errorf("the recorder was told %v", got)
	}
	if l := s.Look(p.page.At()); l.Tickets[0].Sure != bar.SurePlanned || l.Stale {
		t.Errorf("it is ready %v, and the plan is stale: %v", l.Tickets[0].Sure, l.Stale)
	}
}

// A digit that no recipe has, and a key that ends the question, add nothing.
func TestNoOrderIsAddedByAnythingElse(t *testing.T) {
	p, _ := recorded(t, alone(t))
	p.press("a", 5).press("9", 6).press("0", 7).press("esc", 8).press("2", 9)
	if got := p.page.Service().Orders(); got != 0 {
		t.Errorf("%d orders", got)
	}
}

// What destroys something is asked, and only yes does it.
func TestCancellingIsAsked(t *testing.T) {
	p, _ := recorded(t, alone(t))
	order, lane := p.order("12", 5).begin()
	running := func() bool { how, _, _ := p.page.Service().Lane(0).Ending(); return how == brew.Running }
	p.press("x", p.now(1)).press(lane, p.now(1))
	if !running() {
		t.Fatal("two keys stop a brew")
	}
	if p.press("n", p.now(1)); !running() {
		t.Fatal("no stops a brew")
	}
	p.press("x", p.now(1)).press(lane, p.now(1)).press("y", p.now(1))
	how, _, why := p.page.Service().Lane(0).Ending()
	if how != brew.Stopped || why != "cancelled" {
		t.Errorf("it ended %s, %s", how, why)
	}
	if l := p.page.Service().Look(p.page.At()); l.Tickets[1-order].State == bar.OrderDropped {
		t.Error("the other order is cancelled, too")
	}
}

func TestARemadeOrderIsNext(t *testing.T) {
	p := opened(t, 80, 24, alone(t))
	order, lane := p.order("124", 5).begin()
	p.press("r", p.now(1)).press(lane, p.now(1)).press("y", p.now(1))
	l := p.page.Service().Look(p.page.At())
	if len(l.Tickets) != 4 || l.Tickets[3].RemakeOf != order || slices.Index(l.Queue, 3) > 1 {
		t.Errorf("%d orders, the queue is %v", len(l.Tickets), l.Queue)
	}
}

func TestAnOrderIsHeldAndLetGo(t *testing.T) {
	p := opened(t, 80, 24, alone(t)).order("12", 5).press("h", 8).press("2", 9).press("0", 10)
	state := func() bar.State { return p.page.Service().Look(p.page.At()).Tickets[1].State }
	if got := state(); got != bar.OrderHeldBack {
		t.Errorf("it is %s", got)
	}
	if p.press("h", 11).press("2", 12); state() != bar.OrderWaiting {
		t.Errorf("it is %s", state())
	}
}

// A hold may have an end: the order is planned behind it, and let go by itself.
func TestAnOrderIsHeldForSomeMinutes(t *testing.T) {
	p := opened(t, 80, 24, alone(t)).order("12", 5).press("h", 8).press("2", 9)
	if sc := seen(p); !sc.spells("for how many minutes?") {
		t.Errorf("it does not ask for how long:\n%s", strings.Join(sc.lines, "\n"))
	}
	p.press("3", 10).wait(11)
	tk := p.page.Service().Look(p.page.At()).Tickets[1]
	if tk.State != bar.OrderHeldBack || tk.Until != sec(190) || tk.Sure != bar.SurePlanned || tk.Zero < tk.Until {
		t.Errorf("%+v", tk)
	}
	if sc := seen(p); !sc.spells("held until 8:18:10") {
		t.Errorf("it does not say until when:\n%s", strings.Join(sc.lines, "\n"))
	}
	if got := p.page.Ready(1); !strings.HasSuffix(got, "?") {
		t.Errorf("the guest is told %q, want a time", got)
	}
	p.wait(200)
	if tk := p.page.Service().Look(p.page.At()).Tickets[1]; tk.State == bar.OrderHeldBack {
		t.Errorf("it is held still at %v", p.page.At())
	}
}

// Moved up, an order that is held is let go.
func TestAHeldOrderThatIsMovedUpIsLetGo(t *testing.T) {
	p := opened(t, 80, 24, alone(t)).order("124", 5).press("h", 8).press("3", 9).press("0", 10).press("m", 12).press("3", 13)
	l := p.page.Service().Look(p.page.At())
	if l.Tickets[2].State == bar.OrderHeldBack || slices.Index(l.Queue, 2) > 1 {
		t.Errorf("it is %s, the queue is %v", l.Tickets[2].State, l.Queue)
	}
	if sc := seen(p); !sc.spells("is let go, and goes before") {
		t.Errorf("it does not say so:\n%s", strings.Join(sc.lines, "\n"))
	}
}

func TestAnOrderMovesUp(t *testing.T) {
	p := opened(t, 80, 24, alone(t)).order("124", 5).press("m", 9).press("3", 10)
	// The first one is being prepared already.
	if got := p.page.Service().Look(p.page.At()).Queue; got[1] != 2 {
		t.Errorf("the queue is %v", got)
	}
}

func TestAnOrderIsNamed(t *testing.T) {
	p := opened(t, 80, 24, alone(t)).order("12", 5).press("t", 20).press("1", 21)
	p.write("Cleo", 22).press("enter", 23).write("2x", 24).press("enter", 25)
	if s := seen(p); !s.spells(`"2x" is not a number of cups between 1 and 20`) {
		t.Errorf("a wrong number is not told of:\n%s", strings.Join(s.lines, "\n"))
	}
	p.write("2", 26).press("enter", 27).write("washed", 28).press("enter", 29)
	if got, want := p.page.Service().Ticket(0), (bar.Ticket{Dish: 0, Name: "Cleo", Cups: 2, Coffee: "washed"}); got != want {
		t.Errorf("%+v, want %+v", got, want)
	}
	if s := seen(p.wait(37)); !s.spells("1 Cleo") {
		t.Error("the lane has not the name")
	}
}

// As long as the page says that an order was added and how it is named, the key
// names that one.
func TestAnOrderIsNamedAsItIsAdded(t *testing.T) {
	p := opened(t, 80, 24, alone(t)).order("12", 5).press("t", 8).write("Dara", 9).press("enter", 10)
	if got := p.page.Service().Ticket(1).Name; got != "Dara" {
		t.Errorf("the order that came last is called %q", got)
	}
	p.press("esc", 11).order("1", 12).press("h", 13).press("1", 14).press("0", 15).press("t", 16).press("1", 17).write("Cleo", 18).press("enter", 19)
	if got := p.page.Service().Ticket(0).Name; got != "Cleo" {
		t.Errorf("behind another notice the order chosen is called %q", got)
	}
}
