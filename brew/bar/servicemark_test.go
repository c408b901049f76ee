package bar_test

import (
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/bar"
)

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
