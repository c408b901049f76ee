package bar_test

import (
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/bar"
	"barline/recipes"
)

// shippedMenu returns the plans of shipped recipes by their stems.
func shippedMenu(t testing.TB, stems ...string) []*brew.Plan {
	t.Helper()
	shelf, err := recipes.NewShelf(nil, brew.Bar{})
	if err != nil {
		t.Fatal(err)
	}
	var out []*brew.Plan
	for _, stem := range stems {
		e, err := shelf.Find(stem)
		if err != nil {
			t.Fatal(err)
		}
		p, err := brew.NewPlan(e.Document.Recipe(), brew.Bar{})
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, p)
	}
	return out
}

// shift plays a service: it is the page and the persons in one.
type shift struct {
	t       *testing.T
	seed    uint64
	opening bar.Opening
	s       bar.Service
	r       *rand.Rand
	log     []bar.ServiceEvent
	made    []bar.Happening
	plans   int // adopted
	gives   int
	moved   int
	better  int             // plans that took a kept one's place
	skip    map[[2]int]bool // beats that nobody will mark
	off     map[[2]int]time.Duration
}

func newShift(t *testing.T, seed uint64, o bar.Opening) *shift {
	return &shift{t: t, seed: seed, opening: o, s: o.Service(), r: rand.New(rand.NewPCG(seed, 3)), skip: map[[2]int]bool{}, off: map[[2]int]time.Duration{}}
}

func (h *shift) fatalf(format string, args ...any) {
	h.t.Helper()
	h.t.Fatalf("seed %d at %v: "+format, append([]any{h.seed, h.s.Latest()}, args...)...)
}

// apply folds an event in and fails where it touched what is past.
func (h *shift) apply(e bar.ServiceEvent) bar.Result {
	h.t.Helper()
	before := h.s
	next, result := h.s.Apply(e)
	if result.Effect == brew.Refused {
		return result
	}
	h.s, h.log, h.made = next, append(h.log, e), append(h.made, result.Brews...)
	if next.Orders() < before.Orders() {
		h.fatalf("%d orders became %d", before.Orders(), next.Orders())
	}
	for n := range before.Brews() {
		if e.Kind != bar.BrewEvent || before.BrewOf(e.Order) != n {
			h.untouched(before.Lane(n), next.Lane(n), e)
		}
	}
	for _, b := range result.Brews {
		if b.Event.Kind == brew.EventMoved {
			h.moved++
		}
	}
	return result
}

// untouched fails where a brew that an event was not about lost its zero or
// anything that had begun.
func (h *shift) untouched(was, is brew.Lane, e bar.ServiceEvent) {
	h.t.Helper()
	if was.Started() != is.Started() || was.Zero() != is.Zero() {
		h.fatalf("%s moved a running brew's zero", e.Kind)
	}
	for cue := range was.Plan().Cues {
		a, b := was.Span(cue)
		c, d := is.Span(cue)
		if a <= was.Elapsed(e.At) && (a != c || b != d) {
			h.fatalf("%s moved a cue that had begun from [%v, %v) to [%v, %v)", e.Kind, a, b, c, d)
		}
	}
	for n := range was.Plan().Beats {
		if b := was.Beat(n); b.Status == brew.Marked && b != is.Beat(n) {
			h.fatalf("%s changed a mark", e.Kind)
		}
	}
}

// replan makes the plan again where it is stale, checks it by the independent
// checker and adopts it.
func (h *shift) replan(now time.Duration) {
	h.t.Helper()
	if !h.s.Look(now).Stale {
		return
	}
	r := h.s.Replan(now)
	sch, ok := r.Kept()
	for nodes := 0; !ok && nodes < 200_000 && r.Err() == nil; nodes += 150 {
		more := r.Advance(150)
		if sch, ok = r.Best(); !more {
			break
		}
	}
	if !ok {
		h.fatalf("no plan: %v\n%+v", r.Err(), r.Orders)
	}
	sound(h.t, r.Problem, r.Plan(sch))
	h.adopt(sch, now)
	if h.r.IntN(3) == 0 {
		h.stays(sch, now)
	}
	if h.r.IntN(4) == 0 {
		h.improve(r, now)
	}
}

// improve searches on and adopts what is worth it.
func (h *shift) improve(r *bar.Replan, now time.Duration) {
	h.t.Helper()
	r.Advance(150)
	if sch, ok := r.Best(); ok && r.Worth(now) {
		sound(h.t, r.Problem, r.Plan(sch))
		h.adopt(sch, now)
		h.better++
	}
}

func (h *shift) adopt(sch bar.Schedule, now time.Duration) {
	h.t.Helper()
	if got := h.apply(bar.ServiceEvent{Kind: bar.PlanAdopted, At: now, Source: brew.FromClock, Schedule: &sch}); got.Effect != brew.Taken {
		h.fatalf("the plan was refused: %s", got.Why)
	}
	h.plans, h.gives = h.plans+1, h.gives+len(sch.Gives)
	for _, g := range sch.Gives {
		if act := h.s.DishOf(g.Order).Pattern.Acts[g.Act]; h.s.BrewOf(g.Order) < 0 || act.Cue < 0 || g.Late <= 0 {
			h.fatalf("%s of order %d gives way", act.Name, g.Order)
		}
	}
	if h.s.Look(now).Stale {
		h.fatalf("a plan that was just adopted is stale")
	}
}

// stays fails where a plan made again with nothing new is another one, or the
// lanes do not call what it says.
func (h *shift) stays(sch bar.Schedule, now time.Duration) {
	h.t.Helper()
	again, ok := h.s.Replan(now).Kept()
	if !ok || !reflect.DeepEqual(again.Slots, sch.Slots) {
		h.fatalf("planned again without an event:\n%+v (%v) instead of\n%+v", again.Slots, ok, sch.Slots)
	}
	for _, slot := range sch.Slots {
		n := h.s.BrewOf(slot.Order)
		if n < 0 {
			continue
		}
		lane := h.s.Lane(n)
		for a, act := range h.s.DishOf(slot.Order).Pattern.Acts {
			if act.Cue < 0 {
				continue
			}
			start, _ := lane.Span(act.Cue)
			if how, _, _ := lane.Ending(); how != brew.Running || start <= lane.Elapsed(now) {
				continue
			}
			if called := lane.Zero() + start; (called - time.Duration(slot.Starts[a])*time.Second).Abs() > time.Second/2 {
				h.fatalf("order %d: %s is called at %v, planned at %d", slot.Order, act.Name, called, slot.Starts[a])
			}
		}
	}
}

// tick lets the clock do what it does, and the persons what they do, at a
// moment.
func (h *shift) tick(now time.Duration) {
	h.t.Helper()
	for _, e := range h.s.Due(now) {
		h.apply(e)
	}
	look := h.s.Look(now)
	for _, w := range look.Waiting {
		if at, marks := h.marks(w); marks && at <= now {
			h.apply(h.s.Mark(w.Order, now, brew.FromKey))
			break
		}
	}
	h.replan(now)
}

// marks returns when the persons mark a beat or a zero, and whether they do.
func (h *shift) marks(w bar.Waiting) (time.Duration, bool) {
	key := [2]int{w.Order, w.Beat}
	if _, drawn := h.off[key]; !drawn {
		h.off[key] = time.Duration(h.r.ExpFloat64() * float64(3*time.Second))
		h.skip[key] = w.Beat >= 0 && h.r.IntN(8) == 0
	}
	return w.Called + h.off[key], !h.skip[key]
}

// rushHour is twelve orders, with slips, cancellations and a brewer lost.
func rushHour(t *testing.T, seed uint64) *shift {
	menu := shippedMenu(t, "quayside-press", "quayside-cone", "quayside-quick", "quayside-flat-bed")
	people := []string{"A"}
	if seed%2 == 1 {
		people = append(people, "B")
	}
	h := newShift(t, seed, bar.Opening{Menu: menu, Kit: bar.Kit{Brewers: 3}, People: people})
	var due []time.Duration
	at := time.Duration(0)
	for range 12 {
		due = append(due, at)
		at += time.Duration(h.r.ExpFloat64() * float64(70*time.Second))
	}
	lost := time.Duration(h.r.IntN(600)) * time.Second
	for now := time.Duration(0); now < 4*time.Hour; now += time.Second + time.Duration(h.r.IntN(1500))*time.Millisecond {
		for len(due) > 0 && due[0] <= now {
			h.apply(bar.ServiceEvent{Kind: bar.OrderPlaced, At: now, Ticket: bar.Ticket{Dish: h.r.IntN(len(menu))}})
			due = due[1:]
		}
		if lost > 0 && now >= lost {
			h.apply(bar.ServiceEvent{Kind: bar.KitChanged, At: now, Out: bar.Kit{Brewers: 1}})
			lost = 0
		}
		h.surprise(now)
		h.tick(now)
		if len(due) == 0 && h.s.Look(now).Over {
			return h
		}
	}
	h.fatalf("the service never ended: %+v", h.s.Look(h.s.Latest()).Tickets)
	return nil
}

// surprise is something out of the ordinary, now and then.
func (h *shift) surprise(now time.Duration) {
	n := h.s.Orders()
	if n == 0 || h.r.IntN(35) != 0 {
		return
	}
	j := h.r.IntN(n)
	switch h.r.IntN(12) {
	case 0, 1:
		h.apply(bar.ServiceEvent{Kind: bar.OrderCancelled, At: now, Order: j, Text: "the guest left"})
	case 2:
		if h.s.Orders() < 16 {
			h.apply(bar.ServiceEvent{Kind: bar.OrderRemade, At: now, Order: j})
		}
	case 3:
		h.apply(bar.ServiceEvent{Kind: bar.OrderHeld, At: now, Order: j, Until: now + time.Duration(h.r.IntN(120))*time.Second})
	case 4:
		h.apply(bar.ServiceEvent{Kind: bar.OrderMovedUp, At: now, Order: j})
	case 5:
		h.apply(bar.ServiceEvent{Kind: bar.KettleEmpty, At: now, Until: now + time.Duration(h.r.IntN(90))*time.Second})
	case 6:
		h.apply(bar.ServiceEvent{Kind: bar.PeopleChanged, At: now, People: []string{"A", "B"}[:1+h.r.IntN(2)]})
	case 7:
		if e, why := h.s.Undo(now); why == "" {
			h.apply(e)
		}
	case 8:
		h.apply(bar.ServiceEvent{Kind: bar.BrewEvent, At: now, Order: j, Brew: brew.Event{Kind: brew.EventSkip}})
	case 9:
		h.apply(bar.ServiceEvent{Kind: bar.BrewEvent, At: now, Order: j, Brew: brew.Event{Kind: brew.EventZero}})
	case 10:
		h.apply(bar.ServiceEvent{Kind: bar.BrewEvent, At: now, Order: j, Brew: brew.Event{Kind: brew.EventNudge}})
	case 11:
		if t := h.s.Look(now).Tickets[j]; len(t.Coming) > 0 && t.Coming[0].Cue < 0 {
			h.apply(bar.ServiceEvent{Kind: bar.ChoreDone, At: now, Order: j, Act: t.Coming[0].Act})
		}
	}
}

// In services with slips, cancellations and a brewer lost every plan is sound
// by the independent checker, no order is lost, what runs is not touched, a
// plan made again without an event is the same, and the record gives the same
// service.
func TestServicesStaySound(t *testing.T) {
	services := 20
	switch {
	case campaign:
		services = 1000
	case testing.Short():
		services = 3
	}
	plans, gives, moved, served, brews, better := 0, 0, 0, 0, 0, 0
	for seed := range services {
		h := rushHour(t, uint64(seed))
		plans, gives, moved, brews = plans+h.plans, gives+h.gives, moved+h.moved, brews+h.s.Brews()
		served, better = served+accounted(h), better+h.better
		again := recorded(t, h)
		now := h.s.Latest()
		if !reflect.DeepEqual(again.Look(now), h.s.Look(now)) {
			t.Fatalf("seed %d: the record gives another service", seed)
		}
	}
	t.Logf("%d services: %d plans, %d for the better, %d gave way, %d cues moved, %d brews, %d served", services, plans, better, gives, moved, brews, served)
	if plans < 40*services || moved == 0 || gives == 0 || better == 0 || served < 8*services {
		t.Errorf("too little happened")
	}
}

// recorded returns the service as its record gives it: the events of the
// round, and those of each brew.
func recorded(t *testing.T, h *shift) bar.Service {
	t.Helper()
	var round []brew.Event
	for nth, e := range h.log {
		if !e.Recorded() {
			continue
		}
		r, err := e.Record(nth)
		if err != nil {
			t.Fatal(err)
		}
		round = append(round, r)
	}
	brews := make([][]brew.Event, h.s.Brews())
	for _, b := range h.made {
		brews[b.Brew] = append(brews[b.Brew], b.Event)
	}
	s, err := bar.ReplayService(h.opening, round, brews)
	if err != nil {
		t.Fatalf("seed %d: %v", h.seed, err)
	}
	return s
}

// accounted fails unless every order was served or dropped for a reason, and
// every brew ended, and returns how many were served.
func accounted(h *shift) (served int) {
	h.t.Helper()
	for _, t := range h.s.Look(h.s.Latest()).Tickets {
		switch {
		case t.State == bar.OrderServed:
			served++
		case t.State != bar.OrderDropped || t.Why == "":
			h.fatalf("order %d is %s", t.Order, t.State)
		}
	}
	for n := range h.s.Brews() {
		own := slices.DeleteFunc(slices.Clone(h.made), func(b bar.Happening) bool { return b.Brew != n })
		var events []brew.Event
		for _, b := range own {
			events = append(events, b.Event)
		}
		lane, first, why := brew.Replay(h.s.Lane(n).Plan(), events)
		if first >= 0 || !reflect.DeepEqual(lane.Events(), h.s.Lane(n).Events()) {
			h.fatalf("brew %d cannot be told from what was said of it: %s", n, why)
		}
		if how, _, why := lane.Ending(); how == brew.Running || how == brew.Stopped && why == "" {
			h.fatalf("brew %d ended as %q, %q", n, how, why)
		}
	}
	return served
}
