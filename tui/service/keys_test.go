package service_test

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"barline/brew"
	"barline/brew/bar"
	"barline/tui/draw"
	"barline/tui/service"

	"github.com/charmbracelet/bubbles/key"
)

// begin lets the service go on until the first brew has begun, and returns its
// order and its lane's key.
func (p *player) begin() (order int, lane string) {
	p.t.Helper()
	for at := math.Ceil(p.page.At().Seconds()) + 1; at < 600; at++ {
		if p.serve(at); p.page.Service().Brews() > 0 {
			order = p.page.Service().OrderOf(0)
			return order, p.page.LaneKey(order)
		}
	}
	p.t.Fatal("no brew has begun")
	return 0, ""
}

// now is the moment that the page has reached, in seconds, and some more.
func (p *player) now(more float64) float64 { return p.page.At().Seconds() + more }

// kinds counts what happened, as the recorder was told.
func (k *keeping) kinds() map[bar.ServiceKind]int {
	out := map[bar.ServiceKind]int{}
	for _, e := range k.events {
		out[e.Kind]++
	}
	return out
}

// recorded returns a player of a service with a recorder.
func recorded(t testing.TB, opt service.Options) (*player, *keeping) {
	k := newKeeping()
	opt.Recorder = k
	return opened(t, 80, 24, opt), k
}

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

// Marks are taken while the page asks for something that is no text.
func TestMarksAreTakenWhileSomethingIsAsked(t *testing.T) {
	for name, keys := range map[string][]string{"which recipe": {"a"}, "which order": {"x"}, "is it meant": {"x", "1"}, "how many brewers": {"b"}, "close": {"q"}, "all keys": {"?"}} {
		t.Run(name, func(t *testing.T) {
			p := opened(t, 80, 24, alone(t)).order("1", 5).serve(85)
			at := 86.0
			for _, k := range keys {
				p.press(k, at)
				at += 0.5
			}
			before := p.marks()
			p.press(" ", 93)
			if got := p.marks(); got != before+1 {
				t.Errorf("%d marks, want %d", got, before+1)
			}
		})
	}
}

// A foot switch that sends page-down marks even while a line is typed.
func TestPageDownMarksWhileALineIsTyped(t *testing.T) {
	p := opened(t, 80, 24, alone(t)).order("1", 5).serve(85).press("t", 86).press("1", 87).write("Cl", 88)
	before := p.marks()
	p.press("pgdown", 93).write("eo", 94).press("enter", 95)
	if got := p.marks(); got != before+1 {
		t.Errorf("%d marks, want %d", got, before+1)
	}
	if got := p.page.Service().Ticket(0).Name; got != "Cleo" {
		t.Errorf("the order is called %q", got)
	}
}

// marks counts the starts and marks that stand in all brews.
func (p *player) marks() (n int) {
	s := p.page.Service()
	for i := range s.Brews() {
		lane := s.Lane(i)
		n++
		for b := range lane.Plan().Beats {
			if lane.Beat(b).Status == brew.Marked {
				n++
			}
		}
	}
	return n
}

func TestADigitMarksItsLane(t *testing.T) {
	p := opened(t, 80, 24, alone(t)).order("22", 5).serve(50)
	p.press("2", 52)
	s := p.page.Service()
	if s.BrewOf(1) < 0 || s.BrewOf(0) >= 0 {
		t.Errorf("order 2 has brew %d, order 1 has %d", s.BrewOf(1), s.BrewOf(0))
	}
	p.press("7", 53)
	if sc := seen(p); !sc.spells("no order has lane 7") {
		t.Errorf("a lane that is not there is not told of:\n%s", strings.Join(sc.lines, "\n"))
	}
}

// A lane keeps its key as long as its order lasts; then the key is free.
func TestLanesKeepTheirKeys(t *testing.T) {
	p := opened(t, 80, 24, alone(t)).order("142", 5)
	p.press("x", 10).press("2", 11).press("y", 12)
	if got := p.page.LaneKey(0) + p.page.LaneKey(2); got != "13" {
		t.Errorf("lanes %s after the second one was cancelled, want 13", got)
	}
	p.order("1", 15)
	if got := p.page.LaneKey(3); got != "2" {
		t.Errorf("the next order has lane %s, want 2", got)
	}
}

func TestATenthOrderHasALetter(t *testing.T) {
	p := opened(t, 80, 24, alone(t)).order("1111111111", 5)
	if got := p.page.LaneKey(9); got != "A" {
		t.Errorf("its lane is %q, want A", got)
	}
}

// Of two beats that are equally near, the prompted lane's is marked, and that
// lane flashes for a second.
func TestATieGoesToThePromptedLaneWhichFlashes(t *testing.T) {
	p := opened(t, 80, 24, alone(t)).order("22", 5).serve(50).press("1", 60).press("2", 60)
	p.wait(69).press(" ", 69.5)
	if !inverse(p) {
		t.Error("nothing flashes")
	}
	if p.wait(70.6); inverse(p) {
		t.Error("it still flashes after a second")
	}
	p.press(" ", 80)
	if inverse(p) {
		t.Error("a mark that was no tie flashes")
	}
}

func inverse(p *player) bool {
	c := p.page.Draw()
	for y := range c.Height {
		for x := range c.Width {
			if c.At(x, y).Role == draw.Inverse {
				return true
			}
		}
	}
	return false
}

// With two persons each mark key is a person's own: where something else waits
// for each of them, each key marks what is theirs.
func TestEachPersonHasAMarkKey(t *testing.T) {
	tried := 0
	for at := 90.0; at < 400 && tried < 5; at += 7 {
		p := opened(t, 80, 24, together(t)).order("1426", 5).serve(at)
		now := p.page.At() + sec(0.5)
		hers, any := p.page.Service().Nearest(now, -1, 0)
		his, too := p.page.Service().Nearest(now, -1, 1)
		if !any || !too || hers.Order == his.Order {
			continue
		}
		tried++
		for key, target := range map[string]bar.Target{" ": hers, "enter": his} {
			q, k := recorded(t, service.Options{Service: p.page.Service()})
			q.slow = true
			q.press(key, now.Seconds()).settle()
			if e, any := k.events[p.page.Service().Count()]; !any || e.Kind != bar.BrewEvent || e.Order != target.Order {
				t.Errorf("at %v s %q did %s to order %d, want a mark of order %d", at, key, e.Kind, e.Order, target.Order)
			}
		}
	}
	if tried == 0 {
		t.Error("there was no moment at which something else waits for each")
	}
}

// Of more persons than there are keys, those without share the last one.
func TestPersonsWithoutAKeyShareTheLast(t *testing.T) {
	for people, want := range map[int][]int{1: {-1, -1, -1}, 2: {0, 1, -1}, 3: {0, 1, 2}, 4: {0, 1, -1}} {
		if got := service.DefaultKeys().Markers(people); !slices.Equal(got, want) {
			t.Errorf("%d persons have the keys %v, want %v", people, got, want)
		}
	}
}

func TestAStartIsTakenBack(t *testing.T) {
	p, k := recorded(t, alone(t))
	p.order("1", 5).serve(85)
	if p.page.Service().BrewOf(0) < 0 {
		t.Fatal("the brew has not begun")
	}
	p.press("u", 88)
	if p.page.Service().BrewOf(0) >= 0 || k.kinds()[bar.StartTakenBack] != 1 {
		t.Errorf("brew %d, %v", p.page.Service().BrewOf(0), k.kinds())
	}
	p.press("u", 90)
	if s := seen(p); !s.spells("there is nothing to take back") {
		t.Error("it is not told that there is nothing more")
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

func TestABrewerGoesOutAndComesBack(t *testing.T) {
	p := opened(t, 80, 24, narrow(t)).order("12", 5).press("b", 8).press("-", 9)
	if _, out := p.page.Service().Kit(); out.Brewers != 1 {
		t.Errorf("%d brewers are out, want 1", out.Brewers)
	}
	if s := seen(p); !s.spells("1 of 4 brewers out") || !s.spells("3 of 4 brewers in use") {
		t.Errorf("it is not told:\n%s", strings.Join(s.lines, "\n"))
	}
	p.press("+", 10)
	if _, out := p.page.Service().Kit(); out.Brewers != 0 {
		t.Errorf("%d brewers are out, want 0", out.Brewers)
	}
	if p.press("+", 11); p.page.Service().Count() == 0 {
		t.Error("nothing happened")
	}
}

func TestTheKettleIsEmpty(t *testing.T) {
	p, k := recorded(t, alone(t))
	p.order("12", 5).press("k", 8).press("3", 9)
	if s := seen(p); !s.spells("a kettle is empty until 8:18:09") {
		t.Errorf("it is not told:\n%s", strings.Join(s.lines, "\n"))
	}
	if s := seen(p.wait(20)); !s.spells("Window table, kettle empty until 8:18:09") {
		t.Errorf("it is forgotten:\n%s", strings.Join(s.lines, "\n"))
	}
	if got := k.kinds()[bar.KettleEmpty]; got != 1 {
		t.Errorf("%d events", got)
	}
	for _, tk := range p.page.Service().Look(p.page.At()).Tickets {
		if tk.HasZero && tk.Zero < sec(189) {
			t.Errorf("order %d pours at %v from an empty kettle", tk.Order, tk.Zero)
		}
	}
	if p.press("k", 21).press("0", 22); !seen(p).spells("the kettle is full") {
		t.Error("it is not full again")
	}
}

func TestPersonsComeAndGo(t *testing.T) {
	p := opened(t, 80, 24, alone(t)).order("1426", 5)
	alone := p.page.Service().Look(p.page.At()).Tickets[3].Ready
	p.press("p", 9).write(", Bo", 10).press("enter", 12).wait(13)
	if got := p.page.Service().People(); !slices.Equal(got, []string{"Ada", "Bo"}) {
		t.Fatalf("at work: %q", got)
	}
	if both := p.page.Service().Look(p.page.At()).Tickets[3].Ready; both >= alone {
		t.Errorf("the last cup is ready at %v with two, at %v with one", both, alone)
	}
	if s := seen(p); !s.spells("space Ada's mark enter Bo's mark") {
		t.Error("the keys do not say whose is whose")
	}
}

func TestADoseCountsFromTheNextStart(t *testing.T) {
	var asked string
	opt := alone(t)
	opt.Scale = func(plan *brew.Plan, dose string) (*brew.Plan, error) {
		asked = dose
		scaled := *plan
		scaled.Dose = 20 * brew.Gram
		return &scaled, nil
	}
	p := opened(t, 80, 24, opt).order("1", 5).serve(20).order("1", 25)
	p.press("d", 30).press("1", 31).write("20 g", 32).press("enter", 33).wait(34)
	s := p.page.Service()
	if asked != "20 g" || s.DishOf(0).Plan.Dose == 20*brew.Gram || s.DishOf(1).Plan.Dose != 20*brew.Gram {
		t.Errorf("asked for %q, doses %s and %s", asked, s.DishOf(0).Plan.Dose, s.DishOf(1).Plan.Dose)
	}
}

func TestAnEditedFileCountsFromTheNextStart(t *testing.T) {
	opt := alone(t)
	now := menu(t)
	opt.Menu = func() []*brew.Plan { return now }
	p := opened(t, 80, 24, opt).order("1", 5).serve(20)
	edited := *now[0]
	edited.Dose = 15 * brew.Gram
	now = slices.Clone(now)
	now[0] = &edited
	p.order("1", 25).wait(27)
	s := p.page.Service()
	if s.DishOf(0).Plan.Dose == 15*brew.Gram || s.DishOf(1).Plan.Dose != 15*brew.Gram {
		t.Errorf("doses %s and %s", s.DishOf(0).Plan.Dose, s.DishOf(1).Plan.Dose)
	}
	if !seen(p).spells("Quayside press was edited") {
		t.Error("it is not told")
	}
}

func TestANoteIsKept(t *testing.T) {
	p := opened(t, 80, 24, alone(t)).order("1", 5).serve(85).press("n", 86).write("slow kettle", 87).press("enter", 90)
	var notes []string
	for _, e := range p.page.Service().Lane(0).Events() {
		if e.Kind == brew.EventNote {
			notes = append(notes, e.Text)
		}
	}
	if !slices.Equal(notes, []string{"slow kettle"}) {
		t.Errorf("notes %q", notes)
	}
}

func TestSkipNudgeAndZeroGoToThePromptedBrew(t *testing.T) {
	p := opened(t, 80, 24, alone(t)).order("1", 5).serve(85).press("z", 87)
	p.press(" ", 95).press("e", 96)
	kinds := map[brew.EventKind]int{}
	for _, e := range p.page.Service().Lane(0).Events() {
		kinds[e.Kind]++
	}
	if kinds[brew.EventZero] != 1 || kinds[brew.EventNudge] != 1 {
		t.Errorf("%v", kinds)
	}
	p.serve(128).press("s", 129)
	if !seen(p).spells("1 press: skipped: ") {
		t.Error("a skip is not told")
	}
}

func TestAChoreIsDoneEarly(t *testing.T) {
	p, k := recorded(t, alone(t))
	p.order("2", 5).wait(35).press("f", 36)
	if k.kinds()[bar.ChoreDone] != 1 {
		t.Errorf("%v", k.kinds())
	}
}

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

// Every key has a help, and no key does two things at once.
func TestKeysAreBoundOnce(t *testing.T) {
	k := service.DefaultKeys()
	for name, keys := range map[string][]key.Binding{"serving": k.Serving(), "choosing": k.Choosing(), "counting": k.Counting(), "over": k.Over()} {
		taken := map[string]string{}
		for _, b := range keys {
			if b.Help().Key == "" || b.Help().Desc == "" {
				t.Errorf("%s: %v has no help", name, b.Keys())
			}
			for _, key := range b.Keys() {
				if was, twice := taken[key]; twice {
					t.Errorf("%s: %q is for %q and %q", name, key, was, b.Help().Desc)
				}
				taken[key] = b.Help().Desc
			}
		}
	}
}

// Every key can be found on a screen of any of the sizes, page by page.
func TestTheHelpNamesEveryKey(t *testing.T) {
	for _, size := range sizes {
		p := opened(t, 80, 24, alone(t)).order("142", 5).serve(150)
		p.page = p.page.Resize(size.w, size.h)
		found := ""
		for i := range 20 {
			p.press("?", 151+float64(i))
			found += " " + strings.Join(strings.Fields(strings.Join(p.page.Draw().Lines(), " ")), " ")
		}
		for _, b := range service.DefaultKeys().Serving() {
			if text := b.Help().Key + " " + b.Help().Desc; b.Help().Key != "d" && !strings.Contains(found, text) {
				t.Errorf("%s: %q is on no page of the help", size, text)
			}
		}
	}
}

// The mark that is asked for is the key of the one who is asked.
func TestAPersonIsAskedForTheirOwnKey(t *testing.T) {
	asked := map[string]bool{}
	p := opened(t, 80, 24, together(t)).order("1426", 5)
	for at := 30.0; at < 200; at += 3 {
		for _, line := range seen(p.wait(at)).lines {
			for key, who := range map[string]string{"space": "Ada, ", "enter": "Bo, "} {
				if !strings.Contains(line, key+" as water meets coffee") {
					continue
				}
				asked[who] = true
				if key == "space" {
					p.press(" ", p.now(0.2))
				}
				if !strings.HasPrefix(line, who) {
					t.Errorf("at %v s %s is named: %s", at, key, line)
				}
			}
		}
	}
	if !asked["Bo, "] {
		t.Errorf("asked were %v", asked)
	}
}

// However little room the cues leave, what can be chosen is seen, and the help's
// last line stands alone.
func TestChoicesAndHelpAreSeenOnACrowdedScreen(t *testing.T) {
	opt := alone(t)
	opt.Service = bench(t, 3, "Ada", "Bo", "Cleo")
	p := opened(t, 40, 12, opt).order("123", 5).wait(20)
	p.press("a", 21)
	if sc := seen(p); !sc.spells("1 press") {
		t.Errorf("the recipes are not shown:\n%s", strings.Join(sc.lines, "\n"))
	}
	p.press("esc", 22).press("?", 23)
	last := strings.TrimSpace(seen(p).lines[11])
	if !regexp.MustCompile(`^(page \d+ of \d+, \? more, )?esc closes$`).MatchString(last) {
		t.Errorf("the last line is %q", last)
	}
}
