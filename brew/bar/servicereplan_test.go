package bar_test

import (
	"slices"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/bar"
)

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
