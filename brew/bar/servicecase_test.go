package bar_test

import (
	"reflect"
	"slices"
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
