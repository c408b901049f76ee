package bar_test

import (
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/bar"
)

// quick is a short recipe with one of everything: two asked beats, a chore
// before and one after.
func quickCone(t testing.TB) *brew.Plan {
	t.Helper()
	p, err := brew.NewPlan(brew.Recipe{
		Name: "Cone", Method: brew.Cone, Dose: 15 * brew.Gram, Water: 200 * brew.Gram, Temperature: 93, Grind: "medium",
		Window:  &brew.Window{Early: 3 * time.Second, Late: 10 * time.Second},
		Prepare: []brew.Chore{{Do: "Grind", Over: 20 * time.Second}},
		Steps: []brew.Step{
			{Action: brew.Pour, Amount: 50 * brew.Gram, Over: 10 * time.Second, Label: "bloom"},
			{Action: brew.Wait, Over: 20 * time.Second},
			{Action: brew.Pour, Amount: 150 * brew.Gram, Over: 20 * time.Second},
			{Action: brew.Swirl, Anchor: brew.At, Offset: 60 * time.Second, Over: 5 * time.Second},
			{Action: brew.Lift, Anchor: brew.After, Offset: 15 * time.Second, Over: 5 * time.Second},
		},
		Afterwards: []brew.Chore{{Do: "Rinse the cone", Over: 10 * time.Second}},
	}, brew.Bar{})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// opened is a service of one recipe with so many orders placed at once, and
// planned.
func opened(t *testing.T, orders int, people ...string) *shift {
	t.Helper()
	h := newShift(t, 0, bar.Opening{Menu: []*brew.Plan{quickCone(t)}, Kit: bar.Kit{Brewers: 2, Kettles: len(people)}, People: people})
	for range orders {
		h.apply(bar.ServiceEvent{Kind: bar.OrderPlaced, Source: brew.FromKey})
	}
	h.replan(0)
	return h
}

func at(seconds int) time.Duration { return time.Duration(seconds) * time.Second }

// do applies an event of a kind to an order, and plans again.
func (h *shift) do(now time.Duration, kind bar.ServiceKind, order int) bar.Result {
	h.t.Helper()
	r := h.apply(bar.ServiceEvent{Kind: kind, At: now, Source: brew.FromKey, Order: order})
	h.replan(now)
	return r
}

// brewIt applies what happens to an order's brew, and plans again.
func (h *shift) brewIt(now time.Duration, kind brew.EventKind, order int) bar.Result {
	h.t.Helper()
	r := h.apply(bar.ServiceEvent{Kind: bar.BrewEvent, At: now, Source: brew.FromKey, Order: order, Brew: brew.Event{Kind: kind}})
	h.replan(now)
	return r
}

func (h *shift) ticket(now time.Duration, order int) bar.TicketLook {
	return h.s.Look(now).Tickets[order]
}

// An order goes from waiting to served, and what the person does and does next
// follows it.
func TestAnOrderIsWaitingPreparingBrewingServingServed(t *testing.T) {
	h := opened(t, 1, "Ada")
	l := h.s.Look(0)
	if d := l.People[0]; d.Name != "Ada" || d.Now == nil || d.Now.Say != "Grind" || d.Next == nil || !d.Next.Zero || d.Free != 0 {
		t.Errorf("at the start: %+v", d)
	}
	if tk := l.Tickets[0]; tk.State != bar.OrderWaiting || tk.Sure != bar.SurePlanned || tk.Ready != at(20+85) || tk.Zero != at(20) {
		t.Errorf("at the start: %+v", tk)
	}
	if tk := h.ticket(at(12), 0); tk.State != bar.OrderPreparing || tk.Person != 0 {
		t.Errorf("while it is ground: %+v", tk)
	}
	h.brewIt(at(25), brew.EventStart, 0)
	l = h.s.Look(at(40))
	if tk := l.Tickets[0]; tk.State != bar.OrderBrewing || tk.Sure != bar.SureFirm || tk.Ready != at(25+85) || tk.Zero != at(25) || tk.Brew != 0 {
		t.Errorf("while it brews: %+v", tk)
	}
	if d := l.People[0]; d.Now != nil || d.Next == nil || d.Next.Name != "second pour" || d.Free != at(15) || d.Next.May != at(10) {
		t.Errorf("in the lull: %+v", d)
	}
	if w := l.Waiting; len(w) != 1 || w[0].Order != 0 || w[0].Called != at(35) || w[0].Person != 0 {
		t.Errorf("waits for a mark: %+v", w)
	}
	h.brewIt(at(76), brew.EventMark, 0) // the second pour's end
	for _, e := range h.s.Due(at(112)) {
		h.apply(e)
	}
	if tk := h.ticket(at(112), 0); tk.State != bar.OrderServing || tk.Sure != bar.SurePast {
		t.Errorf("while the cone is rinsed: %+v", tk)
	}
	l = h.s.Look(at(300))
	if l.Tickets[0].State != bar.OrderServed || !l.Over || len(l.Tickets[0].Coming) != 0 {
		t.Errorf("at the end: %+v", l.Tickets[0])
	}
	if r := h.do(at(300), bar.OrderCancelled, 0); r.Why != "it is served already" {
		t.Errorf("cancelled at the end: %q", r.Why)
	}
}

// What a slip has used up of a window is gone: a pour that hangs on one that
// ended eight seconds late may wait two of its ten.
func TestASlipUsesUpTheWindow(t *testing.T) {
	h := opened(t, 1, "Ada")
	h.brewIt(at(20), brew.EventStart, 0)
	h.brewIt(at(38), brew.EventMark, 0)
	if d := h.s.Look(at(38)).People[0].Next; d.Name != "second pour" || d.Start != at(58) || d.May != at(2) {
		t.Errorf("next: %+v", d)
	}
}

// What each event does to an order that waits and to one whose brew runs.
func TestWhatHappensToRunningBrews(t *testing.T) {
	for name, c := range map[string]struct {
		event   bar.ServiceEvent
		waiting bar.State // of order 1
		running bar.State // of order 0
		stopped bool      // the brew of order 0
		orders  int
	}{
		"cancelling stops a brew":                {bar.ServiceEvent{Kind: bar.OrderCancelled}, bar.OrderWaiting, bar.OrderDropped, true, 2},
		"cancelling another leaves it alone":     {bar.ServiceEvent{Kind: bar.OrderCancelled, Order: 1}, bar.OrderDropped, bar.OrderBrewing, false, 2},
		"remaking stops it and adds an order":    {bar.ServiceEvent{Kind: bar.OrderRemade}, bar.OrderWaiting, bar.OrderDropped, true, 3},
		"holding another leaves it alone":        {bar.ServiceEvent{Kind: bar.OrderHeld, Order: 1}, bar.OrderHeldBack, bar.OrderBrewing, false, 2},
		"a brewer lost leaves it its own":        {bar.ServiceEvent{Kind: bar.KitChanged, Out: bar.Kit{Brewers: 2}}, bar.OrderWaiting, bar.OrderBrewing, false, 2},
		"an empty kettle leaves it going":        {bar.ServiceEvent{Kind: bar.KettleEmpty, Until: at(200)}, bar.OrderWaiting, bar.OrderBrewing, false, 2},
		"another person leaves it going":         {bar.ServiceEvent{Kind: bar.PeopleChanged, People: []string{"Ben"}}, bar.OrderWaiting, bar.OrderBrewing, false, 2},
		"another recipe leaves it its plan":      {bar.ServiceEvent{Kind: bar.MenuChanged, Plan: quickCone(t)}, bar.OrderWaiting, bar.OrderBrewing, false, 2},
		"closing leaves it, and drops the other": {bar.ServiceEvent{Kind: bar.ServiceClosed}, bar.OrderDropped, bar.OrderBrewing, false, 2},
		"stopping it drops its order":            {bar.ServiceEvent{Kind: bar.BrewEvent, Brew: brew.Event{Kind: brew.EventStop, Text: "spilt"}}, bar.OrderWaiting, bar.OrderDropped, true, 2},
		"a start taken back waits again":         {bar.ServiceEvent{Kind: bar.StartTakenBack}, bar.OrderWaiting, bar.OrderPreparing, true, 2},
	} {
		t.Run(name, func(t *testing.T) {
			h := opened(t, 2, "Ada")
			h.brewIt(at(20), brew.EventStart, 0)
			plan := h.s.Lane(0).Plan()
			c.event.At, c.event.Source = at(21), brew.FromKey
			if r := h.apply(c.event); r.Effect != brew.Taken {
				t.Fatalf("refused: %s", r.Why)
			}
			h.replan(at(21))
			l := h.s.Look(at(21))
			how, _, why := h.s.Lane(0).Ending()
			if l.Tickets[0].State != c.running || l.Tickets[1].State != c.waiting || (how == brew.Stopped) != c.stopped || h.s.Orders() != c.orders {
				t.Errorf("running %s, waiting %s, brew %q, %d orders", l.Tickets[0].State, l.Tickets[1].State, how, h.s.Orders())
			}
			if c.stopped && (why == "" || l.Tickets[0].State == bar.OrderDropped && l.Tickets[0].Why == "") {
				t.Errorf("no reason: %q, %q", why, l.Tickets[0].Why)
			}
			if h.s.Lane(0).Plan() != plan {
				t.Error("the brew got another plan")
			}
		})
	}
}

// What makes no sense is refused, says why, and changes nothing.
func TestWhatMakesNoSenseInAServiceIsRefused(t *testing.T) {
	h := opened(t, 2, "Ada")
	h.brewIt(at(20), brew.EventStart, 0)
	brewEvent := func(order int, kind brew.EventKind) bar.ServiceEvent {
		return bar.ServiceEvent{Kind: bar.BrewEvent, Order: order, Brew: brew.Event{Kind: kind}}
	}
	for want, e := range map[string]bar.ServiceEvent{
		"there is no such recipe":                                     {Kind: bar.OrderPlaced, Ticket: bar.Ticket{Dish: 1}},
		"there is no such order":                                      {Kind: bar.OrderCancelled, Order: 2},
		"its brew has begun":                                          {Kind: bar.OrderHeld},
		"that moment is past":                                         {Kind: bar.OrderHeld, Order: 1, Until: at(21)},
		"it is not held":                                              {Kind: bar.OrderReleased, Order: 1},
		"its brew has begun already":                                  brewEvent(0, brew.EventStart),
		"its brew has not begun":                                      brewEvent(1, brew.EventMark),
		"what must wait is said by the plan":                          brewEvent(0, brew.EventMoved),
		"there is nothing to take back":                               brewEvent(0, brew.EventUndo),
		"there are only 2 brewers":                                    {Kind: bar.KitChanged, Out: bar.Kit{Brewers: 3}},
		"one kettle must stay; say until when it is empty":            {Kind: bar.KitChanged, Out: bar.Kit{Kettles: 1}},
		"fewer than none cannot be out of use":                        {Kind: bar.KitChanged, Out: bar.Kit{Scales: -1}},
		"somebody must be at work":                                    {Kind: bar.PeopleChanged},
		"there is no such chore":                                      {Kind: bar.ChoreDone, Order: 1, Act: 1},
		"it is not its time":                                          {Kind: bar.ChoreDone, Act: 0},
		"there is no plan":                                            {Kind: bar.PlanAdopted},
		"the plan is for another recipe":                              {Kind: bar.PlanAdopted, Schedule: &bar.Schedule{Slots: []bar.Slot{{Order: 1}}}},
		"the plan is for an order that is not there":                  {Kind: bar.PlanAdopted, Schedule: &bar.Schedule{Slots: []bar.Slot{{Order: 7}}}},
		"there is no such event":                                      {Kind: "dance"},
		"a service lasts a day":                                       {Kind: bar.OrderPlaced, At: 28 * time.Hour},
		"a service takes orders for a day; close it and open another": {Kind: bar.OrderPlaced, At: 25 * time.Hour},
		"the plan goes beyond a day":                                  {Kind: bar.PlanAdopted, Schedule: &bar.Schedule{Slots: []bar.Slot{{Order: 1, Zero: 1 << 40, Starts: make([]int, 8)}}}},
		"a start can be taken back only in the first 15 s":            {Kind: bar.StartTakenBack, At: at(36)},
	} {
		before := h.s
		e.At = max(e.At, at(22))
		next, r := h.s.Apply(e)
		if r.Effect != brew.Refused || r.Why != want || !reflect.DeepEqual(next, before) {
			t.Errorf("%s: %s %q", want, r.Effect, r.Why)
		}
	}
	h.do(at(40), bar.OrderCancelled, 1)
	if r := h.do(at(41), bar.OrderCancelled, 1); r.Why != "it is cancelled already" {
		t.Errorf("cancelled twice: %q", r.Why)
	}
	h.apply(bar.ServiceEvent{Kind: bar.ServiceClosed, At: at(42)})
	for _, kind := range []bar.ServiceKind{bar.OrderPlaced, bar.OrderRemade} {
		if r := h.do(at(43), kind, 0); r.Why != "the service is closed" {
			t.Errorf("%s: %q", kind, r.Why)
		}
	}
}

// A mark goes to what was called nearest to it over all lanes; a tie to the
// prompted lane; a zero counts once its last chore has begun.
func TestAMarkGoesToTheNearestOverAllLanes(t *testing.T) {
	h := opened(t, 2, "Ada")
	if _, any := h.s.Nearest(0, -1, -1); any {
		t.Error("a mark is taken before anything is prepared")
	}
	if got, _ := h.s.Nearest(at(18), -1, -1); got != (bar.Target{Order: 0, Kind: brew.EventStart}) {
		t.Errorf("while it is ground: %+v", got)
	}
	h.brewIt(at(20), brew.EventStart, 0)
	h.brewIt(at(20), brew.EventStart, 1) // by its digit, in the same moment
	for prompted, want := range map[int]bar.Target{0: {Order: 0, Kind: brew.EventMark, Tie: true}, 1: {Order: 1, Kind: brew.EventMark, Tie: true}} {
		if got, _ := h.s.Nearest(at(31), prompted, -1); got != want {
			t.Errorf("prompted %d: %+v", prompted, got)
		}
	}
	h.brewIt(at(30), brew.EventMark, 0)
	if got, _ := h.s.Nearest(at(31), 0, -1); got.Order != 1 || got.Tie {
		t.Errorf("of the one that is left: %+v", got)
	}
}

// Each person's key reaches their own lanes, and others' only where they have
// none.
func TestAPersonsKeyReachesTheirOwnLanes(t *testing.T) {
	h := opened(t, 2, "Ada", "Ben")
	h.brewIt(at(20), brew.EventStart, 0)
	h.brewIt(at(20), brew.EventStart, 1)
	l := h.s.Look(at(29))
	if l.Tickets[0].Person == l.Tickets[1].Person || len(l.People) != 2 {
		t.Fatalf("both lanes are %d's", l.Tickets[0].Person)
	}
	for j := range 2 {
		if got, _ := h.s.Nearest(at(31), 1-j, l.Tickets[j].Person); got.Order != j {
			t.Errorf("the key of order %d's person marks order %d", j, got.Order)
		}
	}
	h.apply(bar.ServiceEvent{Kind: bar.OrderCancelled, At: at(32), Order: 1})
	if got, any := h.s.Nearest(at(33), -1, 1-l.Tickets[0].Person); !any || got.Order != 0 {
		t.Errorf("who has no lane marks %+v", got)
	}
}

// Of several zeros that were called the prompted one is begun, and the zero's
// call stays where it was while the plan is made again.
func TestAZeroIsCalledOnAndOn(t *testing.T) {
	h := opened(t, 2, "Ada", "Ben")
	for now := 1; now <= 60; now++ {
		h.replan(at(now))
	}
	w := h.s.Look(at(60)).Waiting
	if len(w) != 2 || w[0].Beat != -1 || w[0].Called != at(20) {
		t.Fatalf("waiting: %+v", w)
	}
	for j := range 2 {
		if got, _ := h.s.Nearest(at(60), j, -1); got != (bar.Target{Order: j, Kind: brew.EventStart, Tie: true}) {
			t.Errorf("prompted %d: %+v", j, got)
		}
	}
	if tk := h.ticket(at(60), 0); tk.Zero < at(55) || tk.Ready-tk.Zero != at(85) || !tk.Coming[0].Late {
		t.Errorf("overdue: %+v", tk)
	}
	if tk := h.ticket(at(63), 0); tk.Zero != at(63) || tk.Ready != at(63+85) || tk.Coming[0].Start != at(63) {
		t.Errorf("overdue between two plans: %+v", tk)
	}
	if h.plans < 8 || h.plans > 12 {
		t.Errorf("%d plans in 40 s, one each 5 s is wanted", h.plans)
	}
}

// While an order that does not run is overdue, no cue of one that runs waits
// for it.
func TestWhatIsOverdueMovesNoRunningBrew(t *testing.T) {
	h := opened(t, 2, "Ada")
	h.brewIt(at(20), brew.EventStart, 0)
	h.brewIt(at(30), brew.EventMark, 0)
	for now := 31; now < 100; now++ {
		h.replan(at(now))
	}
	for cue, c := range h.s.Lane(0).Plan().Cues {
		if start, _ := h.s.Lane(0).Span(cue); start < c.Start || start > c.Start+at(10) {
			t.Errorf("%s is called at %v, written at %v, which may be 10 s later", c.Name, start, c.Start)
		}
	}
}

// Two brews that were begun in one moment need the hands at once: one gives
// way, it is said which, and its drift is carried.
func TestWhereTwoBrewsCollideOneIsMoved(t *testing.T) {
	h := opened(t, 2, "Ada")
	h.brewIt(at(20), brew.EventStart, 0)
	h.brewIt(at(22), brew.EventStart, 1)
	l := h.s.Look(at(22))
	if len(l.Gives) == 0 || h.moved == 0 {
		t.Fatalf("%d gave way, %d cues were moved", len(l.Gives), h.moved)
	}
	if d := h.s.Look(at(31)).People[0].Now; d == nil || d.Order != 1 || d.Name != "bloom" {
		t.Errorf("while both pour, of which the first is done: %+v", d)
	}
	moved := slices.ContainsFunc(h.made, func(b bar.Happening) bool { return b.Event.Kind == brew.EventMoved && b.Event.Source == brew.FromClock })
	busy := map[int]int{}
	for n := range 2 {
		lane := h.s.Lane(n)
		for cue, c := range lane.Plan().Cues {
			start, end := lane.Span(cue)
			for s := (lane.Zero() + start) / time.Second; c.Hands == brew.Busy && cue > 0 && s < (lane.Zero()+end)/time.Second; s++ {
				busy[int(s)]++
			}
		}
	}
	for s, n := range busy {
		if n > 1 {
			t.Errorf("%d things at once in second %d", n, s)
		}
	}
	if !moved {
		t.Error("nothing was moved by the clock")
	}
	if !slices.ContainsFunc(l.Tickets[1-l.Gives[0].Order].Coming, func(d bar.Do) bool { return d.May > 0 }) {
		t.Error("where one gives way no slack is told of any")
	}
	// Once the one in its way is cancelled, what had to wait need not any more.
	giver := l.Gives[0].Order
	h.do(at(24), bar.OrderCancelled, 1-giver)
	for cue, c := range h.s.Lane(giver).Plan().Cues {
		if start, _ := h.s.Lane(giver).Span(cue); start != c.Start {
			t.Errorf("%s is still called at %v, written at %v", c.Name, start, c.Start)
		}
	}
}

// A brew that is late by no more than its slack moves nothing of any other by
// more than that.
func TestASlipWithinSlackStaysSmall(t *testing.T) {
	checked := 0
	for _, late := range []int{1, 2, 4} {
		h := opened(t, 4, "Ada")
		now := 0
		for ; now < 600; now++ {
			l := h.s.Look(at(now))
			for _, w := range l.Waiting {
				before := timings(h.s.Look(at(now)))
				slack := least(l.Tickets[w.Order].Coming)
				if at(now) < w.Called+at(late) || w.Beat >= 0 && at(late) > slack {
					continue
				}
				h.apply(h.s.Mark(w.Order, at(now), brew.FromKey))
				h.replan(at(now))
				for key, was := range before {
					if is, still := timings(h.s.Look(at(now)))[key]; still && w.Beat >= 0 && (is-was).Abs() > at(late) {
						t.Errorf("late by %d at %d: act %v moved from %v to %v", late, now, key, was, is)
					}
				}
				checked++
			}
			for _, e := range h.s.Due(at(now)) {
				h.apply(e)
			}
			h.replan(at(now))
		}
	}
	if checked < 20 {
		t.Errorf("%d slips", checked)
	}
}

// timings are the starts of what is to come, by order and act.
func timings(l bar.Look) map[[2]int]time.Duration {
	out := map[[2]int]time.Duration{}
	for _, tk := range l.Tickets {
		for _, d := range tk.Coming {
			if d.Start > l.At {
				out[[2]int{tk.Order, d.Act}] = d.Start
			}
		}
	}
	return out
}

func least(coming []bar.Do) time.Duration {
	out := time.Hour
	for _, d := range coming {
		out = min(out, d.May)
	}
	return out
}

// Orders are remade first in the queue, moved up, held until a moment and let
// go, and wait for a brewer.
func TestTheQueueOfAService(t *testing.T) {
	h := opened(t, 3, "Ada")
	h.do(0, bar.OrderMovedUp, 2)
	if q := h.s.Look(0).Queue; !slices.Equal(q, []int{2, 0, 1}) {
		t.Errorf("moved up: %v", q)
	}
	r := h.do(at(1), bar.OrderRemade, 1)
	if tk := h.ticket(at(1), 3); r.Order != 3 || tk.RemakeOf != 1 || h.ticket(at(1), 1).Why != "remade" {
		t.Errorf("remade: %+v", tk)
	}
	if q := h.s.Look(at(1)).Queue; !slices.Contains(q[:2], 3) {
		t.Errorf("remade: %v", q)
	}
	h.apply(bar.ServiceEvent{Kind: bar.OrderHeld, At: at(2), Order: 0, Until: at(400)})
	h.replan(at(2))
	if tk := h.ticket(at(2), 0); tk.State != bar.OrderHeldBack || tk.Until != at(400) || tk.Coming[0].Start < at(400) {
		t.Errorf("held: %+v", tk)
	}
	h.apply(bar.ServiceEvent{Kind: bar.OrderHeld, At: at(2), Order: 3, Until: at(300)})
	h.replan(at(2))
	for j, until := range map[int]int{0: 400, 3: 300} {
		if tk := h.ticket(at(2), j); len(tk.Coming) == 0 || tk.Coming[0].Start < at(until) {
			t.Errorf("of two that are held: %+v", tk)
		}
	}
	h.do(at(3), bar.OrderReleased, 3)
	h.do(at(3), bar.OrderReleased, 0)
	if tk := h.ticket(at(3), 0); tk.State != bar.OrderWaiting || tk.Coming[0].Start >= at(400) {
		t.Errorf("let go: %+v", tk)
	}
	h.do(at(4), bar.OrderHeld, 0)
	if tk := h.ticket(at(4), 0); tk.Sure != bar.SureNot {
		t.Errorf("held without an end: %+v", tk)
	}
	h.apply(bar.ServiceEvent{Kind: bar.KitChanged, At: at(5), Out: bar.Kit{Brewers: 2}})
	h.replan(at(5))
	if tk := h.ticket(at(5), 3); tk.Sure != bar.SureNot {
		t.Errorf("without a brewer: %+v", tk)
	}
	h.apply(bar.ServiceEvent{Kind: bar.KitChanged, At: at(6)})
	h.replan(at(6))
	if tk := h.ticket(at(6), 3); tk.Sure != bar.SurePlanned {
		t.Errorf("with brewers again: %+v", tk)
	}
}

// A changed recipe counts for orders of which nothing has begun.
func TestAChangedRecipeCountsFromTheNextStart(t *testing.T) {
	h := opened(t, 2, "Ada")
	stronger := *quickCone(t)
	stronger.Dose = 17 * brew.Gram
	h.apply(bar.ServiceEvent{Kind: bar.MenuChanged, At: at(5), Plan: &stronger})
	h.replan(at(5))
	if a, b := h.s.DishOf(0).Plan.Dose, h.s.DishOf(1).Plan.Dose; a != 15*brew.Gram || b != 17*brew.Gram {
		t.Errorf("begun with %v, not begun with %v", a, b)
	}
	r := h.brewIt(at(20), brew.EventStart, 1)
	if b := r.Brews[0].Begun; b == nil || b.Plan != &stronger || b.Person != "Ada" || b.Order != 1 {
		t.Errorf("begun: %+v", b)
	}
}

// Taking back goes from the latest start, mark or skip to the one before.
func TestUndoTakesBackTheLatest(t *testing.T) {
	h := opened(t, 1, "Ada")
	h.brewIt(at(20), brew.EventStart, 0)
	h.brewIt(at(31), brew.EventMark, 0)
	e, why := h.s.Undo(at(32))
	if why != "" || e.Kind != bar.BrewEvent {
		t.Fatalf("%+v, %q", e, why)
	}
	h.apply(e)
	if b := h.s.Look(at(32)).Waiting; len(b) != 1 {
		t.Errorf("waiting again: %+v", b)
	}
	e, why = h.s.Undo(at(33))
	if why != "" || e.Kind != bar.StartTakenBack {
		t.Fatalf("%+v, %q", e, why)
	}
	h.apply(e)
	if how, _, why := h.s.Lane(0).Ending(); how != brew.Stopped || !strings.Contains(why, "taken back") || h.s.BrewOf(0) != -1 {
		t.Errorf("%s, %q, brew %d", how, why, h.s.BrewOf(0))
	}
	if _, why := h.s.Undo(at(34)); why != "there is nothing to take back" {
		t.Errorf("after that: %q", why)
	}
	h.replan(at(34))
	h.brewIt(at(40), brew.EventStart, 0)
	if _, why := h.s.Undo(at(56)); why != "a start can be taken back only in the first 15 s" {
		t.Errorf("a start that is long ago: %q", why)
	}
	if h.s.Brews() != 2 || h.s.BrewOf(0) != 1 || h.s.OrderOf(1) != 0 {
		t.Errorf("%d brews, the order's is %d", h.s.Brews(), h.s.BrewOf(0))
	}
	h.brewIt(at(51), brew.EventMark, 0)
	h.brewIt(at(92), brew.EventMark, 0)
	for _, e := range h.s.Due(at(140)) {
		h.apply(e)
	}
	if _, why := h.s.Undo(at(240)); why != "there is nothing to take back that is not long over" {
		t.Errorf("of a brew that is long over: %q", why)
	}
}

// A chore is taken for done at its time; a mark says that it was sooner or
// later.
func TestAChoreIsDoneAtItsTimeUnlessMarked(t *testing.T) {
	h := opened(t, 1, "Ada")
	if r := h.apply(bar.ServiceEvent{Kind: bar.ChoreDone, At: at(8), Order: 0, Act: 0}); r.Effect != brew.Taken {
		t.Fatal(r.Why)
	}
	h.replan(at(8))
	if tk := h.ticket(at(8), 0); tk.Zero != at(8) {
		t.Errorf("ground at 8, begins at %v", tk.Zero)
	}
	late := opened(t, 1, "Ada")
	late.apply(bar.ServiceEvent{Kind: bar.ChoreDone, At: at(27), Order: 0, Act: 0})
	late.replan(at(27))
	if tk := late.ticket(at(27), 0); tk.Zero != at(27) || tk.Coming[0].Cue != 0 {
		t.Errorf("ground at 27: %+v", tk.Coming[0])
	}
	begun := opened(t, 1, "Ada")
	begun.brewIt(at(10), brew.EventStart, 0)
	if l := begun.s.Look(at(12)); l.People[0].Now.Name != "bloom" || l.Tickets[0].Coming[0].Name != "bloom" {
		t.Errorf("begun while it is ground: %+v", l.Tickets[0].Coming[0])
	}
}

// What was prepared for an order that is held would stand too long: it is to
// be prepared again.
func TestWhatIsHeldIsPreparedAgain(t *testing.T) {
	h := opened(t, 1, "Ada")
	if tk := h.ticket(at(12), 0); tk.State != bar.OrderPreparing {
		t.Fatalf("%s", tk.State)
	}
	h.do(at(12), bar.OrderHeld, 0)
	if tk := h.ticket(at(40), 0); tk.State != bar.OrderHeldBack {
		t.Errorf("held: %s", tk.State)
	}
	h.do(at(60), bar.OrderReleased, 0)
	if tk := h.ticket(at(60), 0); len(tk.Coming) == 0 || tk.Coming[0].Say != "Grind" || tk.Coming[0].Start < at(60) || tk.Zero < at(80) {
		t.Errorf("let go: %+v", tk)
	}
}

// While a kettle is empty no pour that has not begun is planned, and what a
// running brew must wait for it is said.
func TestAnEmptyKettleHoldsPoursUp(t *testing.T) {
	h := opened(t, 2, "Ada")
	h.brewIt(at(20), brew.EventStart, 0)
	h.apply(bar.ServiceEvent{Kind: bar.KettleEmpty, At: at(32), Until: at(90)})
	h.replan(at(32))
	l := h.s.Look(at(32))
	for _, tk := range l.Tickets {
		for _, d := range tk.Coming {
			if (d.Name == "bloom" || d.Name == "second pour") && d.Start < at(90) && d.Start > at(32) {
				t.Errorf("order %d: %s at %v, the kettle is empty", tk.Order, d.Name, d.Start)
			}
		}
	}
	if len(l.Gives) == 0 || l.Gives[0].Order != 0 || l.Gives[0].Late != 30 || l.Gives[0].For != -1 {
		t.Errorf("gives %+v, want the second pour 30 s behind its window", l.Gives)
	}
	h.apply(bar.ServiceEvent{Kind: bar.KettleEmpty, At: at(40)}) // it is full again
	h.replan(at(40))
	if start, _ := h.s.Lane(0).Span(2); start > at(40) {
		t.Errorf("the kettle is full at 40, the pour due by 60 is called %v behind the start", start)
	}
}

// What has its brewer does not wait for what has none, whoever was moved up:
// else neither could go on.
func TestWhoHasTheBrewerGoesFirst(t *testing.T) {
	h := newShift(t, 0, bar.Opening{Menu: shippedMenu(t, "quayside-press"), People: []string{"Ada"}})
	for range 2 {
		h.apply(bar.ServiceEvent{Kind: bar.OrderPlaced})
	}
	for act := range 4 {
		h.apply(bar.ServiceEvent{Kind: bar.ChoreDone, At: at(act), Act: act})
	}
	h.apply(bar.ServiceEvent{Kind: bar.ChoreDone, At: at(5), Order: 1})
	h.do(at(6), bar.OrderMovedUp, 1)
	first, second := h.ticket(at(6), 0), h.ticket(at(6), 1)
	if first.Zero >= second.Zero || second.Zero < first.Ready {
		t.Errorf("with one brewer the first begins at %v and is ready at %v, the other begins at %v", first.Zero, first.Ready, second.Zero)
	}
}

// With a brewer out of use there is one lane less.
func TestABrewerOutIsOneLaneLess(t *testing.T) {
	h := opened(t, 2, "Ada", "Ben")
	if a, b := h.ticket(0, 0), h.ticket(0, 1); b.Zero >= a.Ready {
		t.Fatalf("with two brewers %v and %v", a.Ready, b.Zero)
	}
	h.apply(bar.ServiceEvent{Kind: bar.KitChanged, Out: bar.Kit{Brewers: 1}})
	h.replan(0)
	if a, b := h.ticket(0, 0), h.ticket(0, 1); b.Zero < a.Ready {
		t.Errorf("with one brewer the first is ready at %v, the other begins at %v", a.Ready, b.Zero)
	}
	if all, out := h.s.Kit(); all.Brewers != 2 || out.Brewers != 1 {
		t.Errorf("%+v, %+v out", all, out)
	}
}

// Of zeros that were called one after the other the prompted one is begun, not
// the one that was called last.
func TestThePromptedZeroIsBegun(t *testing.T) {
	h := opened(t, 1, "Ada", "Ben")
	h.apply(bar.ServiceEvent{Kind: bar.OrderPlaced, At: at(5)})
	for now := 5; now <= 60; now++ {
		h.replan(at(now))
	}
	if w := h.s.Look(at(60)).Waiting; len(w) != 2 || w[0].Called == w[1].Called {
		t.Fatalf("waiting: %+v", w)
	}
	for j := range 2 {
		if got, _ := h.s.Nearest(at(60), j, -1); got.Order != j || got.Kind != brew.EventStart || !got.Tie {
			t.Errorf("prompted %d: %+v", j, got)
		}
	}
}

// A dish has an act for each cue and each gap, behind what it is called behind;
// a cue may come later, as its window says, and never sooner.
func TestADishIsWhatALaneCanDo(t *testing.T) {
	d := bar.NewDish(quickCone(t))
	for i, want := range []bar.Act{
		{Name: "Grind", Uses: []int{bar.Hands}, Start: -20, Length: 20, Early: bar.DefaultFloat, Cue: -1},
		{Name: "bloom", Uses: []int{bar.Hands, bar.Kettle}, Length: 10, Behind: []int{0}, Cue: 0},
		{Name: "wait", Start: 10, Length: 20, Late: 3600, Behind: []int{1}, Cue: 1},
		{Name: "second pour", Uses: []int{bar.Hands, bar.Kettle}, Start: 30, Length: 20, Late: 10, Behind: []int{1, 2}, Cue: 2},
		{Name: "swirl", Uses: []int{bar.Hands}, Start: 60, Length: 5, Late: 10, Behind: []int{3}, Cue: 3},
		{Name: "wait", Start: 65, Length: 15, Late: 3600, Behind: []int{4}, Cue: -1},
		{Name: "lift", Uses: []int{bar.Hands}, Start: 80, Length: 5, Late: 10, Behind: []int{4, 5}, Cue: 4},
		{Name: "Rinse the cone", Uses: []int{bar.Hands}, Start: 85, Length: 10, Late: bar.DefaultFloat, Behind: []int{6}, Cue: -1},
	} {
		if i >= len(d.Pattern.Acts) || !equalActs(d.Pattern.Acts[i], want) {
			t.Errorf("act %d: %+v, want %+v", i, d.Pattern.Acts[i], want)
		}
	}
	if len(d.Pattern.Acts) != 8 || d.Pattern.Done != 6 {
		t.Errorf("%d acts, ready with number %d", len(d.Pattern.Acts), d.Pattern.Done)
	}
	if holds := []bar.Hold{{Resource: bar.Brewer, From: 0, To: 7}, {Resource: bar.Scale, From: 1, To: 4}}; !slices.Equal(d.Pattern.Holds, holds) {
		t.Errorf("holds %+v, want %+v", d.Pattern.Holds, holds)
	}
	for act, want := range map[int]string{0: "Grind", 7: "Rinse the cone", 3: "", 5: ""} {
		if c, is := d.Chore(act); c.Do != want || is != (want != "") {
			t.Errorf("chore %d: %q, %v", act, c.Do, is)
		}
	}
}

// What a running brew calls goes before a zero that waits for its mark.
func TestACueGoesBeforeAZeroThatWaits(t *testing.T) {
	h := opened(t, 2, "Ada")
	h.brewIt(at(20), brew.EventStart, 0)
	zero := h.ticket(at(20), 1).Zero
	for now := zero + time.Second; now < zero+at(60); now += time.Second {
		l := h.s.Look(now)
		d := l.People[0].Now
		if start, end := h.s.Lane(0).Span(3); now >= at(20)+start && now < at(20)+end {
			if d == nil || d.Name != "swirl" || d.Order != 0 {
				t.Errorf("at %v: %+v", now, d)
			}
			return
		}
		if d == nil || !d.Zero || !d.Late || d.Order != 1 {
			if d == nil || d.Order != 0 {
				t.Errorf("at %v: %+v", now, d)
			}
		}
	}
	t.Error("the two never met")
}
