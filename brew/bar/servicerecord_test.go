package bar_test

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/bar"
)

// cutOff returns the records of a shift as a kill at a moment leaves them: each
// ends somewhere in the last three seconds, the round's not ahead of a start.
func cutOff(t *testing.T, h *shift, r *rand.Rand, now time.Duration) (round []brew.Event, brews [][]brew.Event) {
	t.Helper()
	until := func() time.Duration { return now - time.Duration(r.IntN(3000))*time.Millisecond }
	end := until()
	for nth, e := range h.log {
		if !e.Recorded() || e.At > end {
			continue
		}
		record, err := e.Record(nth)
		if err != nil {
			t.Fatal(err)
		}
		round = append(round, record)
	}
	brews = make([][]brew.Event, h.s.Brews())
	for n := range brews {
		own := until()
		for _, b := range h.made {
			if b.Brew == n && b.Event.At <= own {
				brews[n] = append(brews[n], b.Event)
			}
		}
	}
	return round, brews
}

// killed returns a moment of a shift, half of the time right behind one at which
// a brew was stopped.
func killed(h *shift, r *rand.Rand) time.Duration {
	stops := slices.DeleteFunc(slices.Clone(h.made), func(b bar.Happening) bool { return b.Event.Kind != brew.EventStop })
	if len(stops) > 0 && r.IntN(2) == 0 {
		return stops[r.IntN(len(stops))].Event.At + 1500*time.Millisecond
	}
	return time.Duration(r.Int64N(int64(h.s.Latest())))
}

// Wherever a kill cuts the records of a service off, each of them somewhere
// else, it can be told from them and goes on: no brew's own record refuses what
// the service makes of it.
func TestAServiceGoesOnFromRecordsThatEndAnywhere(t *testing.T) {
	services := 6
	if testing.Short() {
		services = 2
	}
	met := map[brew.EventKind]int{}
	retimed, notes := 0, 0
	for seed := range services {
		h, r := rushHour(t, uint64(seed)), rand.New(rand.NewPCG(uint64(seed), 9))
		for range 12 {
			now := killed(h, r)
			round, brews := cutOff(t, h, r, now)
			first, err := bar.ReplayService(h.opening, round, brews)
			if err != nil {
				t.Fatalf("seed %d, cut off at %v: %v", seed, now, err)
			}
			now = max(now, first.Latest()) + 5*time.Second
			records := map[int]brew.Lane{}
			for n, events := range brews {
				if n >= first.Brews() || len(events) == 0 {
					continue
				}
				lane, _, _ := brew.Replay(first.Lane(n).Plan(), events)
				if how, _, _ := lane.Ending(); how == brew.Running {
					brews[n] = append(events, brew.Event{Kind: brew.EventNote, Lane: n, At: now, Source: brew.FromClock, Text: "taken up again"})
					notes++
				}
			}
			s, err := bar.ReplayService(h.opening, round, brews)
			if err != nil {
				t.Fatalf("seed %d, taken up at %v: %v", seed, now, err)
			}
			for n := range s.Brews() {
				records[n], _, _ = brew.Replay(s.Lane(n).Plan(), brews[n])
			}
			give := func(n int, e brew.Event) {
				if len(brews) <= n || len(brews[n]) == 0 {
					return // it was cut off before its record began
				}
				lane, o := records[n].Apply(e)
				if o.Effect == brew.Refused {
					t.Fatalf("seed %d, taken up at %v: brew %d's record refuses %s at %v: %s", seed, now, n, e.Kind, e.At, o.Why)
				}
				records[n] = lane
				met[e.Kind]++
			}
			for n, stop := range s.Unended(brews) {
				give(n, stop)
			}
			if s.Look(now).Stale {
				retimed++
			}
			for end := now + 40*time.Second; now < end; now += time.Second {
				s = onward(t, s, now, give)
			}
			for n, lane := range records {
				is, _, _ := s.Lane(n).Ending()
				if was, _, _ := lane.Ending(); len(brews) > n && len(brews[n]) > 0 && was != is {
					t.Fatalf("seed %d: brew %d is %q, its record says %q", seed, n, is, was)
				}
			}
		}
	}
	if met[brew.EventMoved] == 0 || met[brew.EventStop] == 0 || met[brew.EventMark] == 0 || met[brew.EventFinish] == 0 || retimed == 0 || notes == 0 {
		t.Errorf("too little happened: %v, %d stale, %d taken up", met, retimed, notes)
	}
}

// onward lets a service go on for a second: what ends by itself, a mark where
// one is due, a plan where it is stale.
func onward(t *testing.T, s bar.Service, now time.Duration, give func(int, brew.Event)) bar.Service {
	t.Helper()
	apply := func(e bar.ServiceEvent) {
		next, r := s.Apply(e)
		if r.Effect == brew.Refused {
			t.Fatalf("%s at %v: %s", e.Kind, now, r.Why)
		}
		s = next
		for _, b := range r.Brews {
			if b.Begun == nil {
				give(b.Brew, b.Event)
			}
		}
	}
	for _, e := range s.Due(now) {
		apply(e)
	}
	waits := slices.DeleteFunc(s.Look(now).Waiting, func(w bar.Waiting) bool { return w.Beat < 0 })
	if len(waits) > 0 {
		apply(s.Mark(waits[0].Order, now, brew.FromKey))
	}
	if s.Look(now).Stale {
		r := s.Replan(now)
		sch, ok := r.Kept()
		for more := true; more && !ok; {
			more = r.Advance(150)
			sch, ok = r.Best()
		}
		if ok {
			apply(bar.ServiceEvent{Kind: bar.PlanAdopted, At: now, Source: brew.FromClock, Schedule: &sch})
		}
	}
	return s
}

// A start was taken back, and the kill came before its brew's record was told:
// what is said of that brew is no word of its order's next.
func TestABrewWhoseStartWasTakenBackIsStoppedInItsRecord(t *testing.T) {
	h := opened(t, 1, "Ada")
	h.brewIt(at(20), brew.EventStart, 0)
	h.do(at(22), bar.StartTakenBack, 0)
	round, _ := cutOff(t, h, rand.New(rand.NewPCG(1, 1)), at(60))
	note := brew.Event{Kind: brew.EventNote, At: at(30), Source: brew.FromClock, Text: "taken up again"}
	brews := [][]brew.Event{{h.made[0].Event, note}}
	s, err := bar.ReplayService(h.opening, round, brews)
	if err != nil {
		t.Fatal(err)
	}
	if stop := s.Unended(brews)[0]; stop.Kind != brew.EventStop || stop.At != at(22) || s.BrewOf(0) != -1 {
		t.Errorf("stop %+v, brew %d", stop, s.BrewOf(0))
	}
	if s.Latest() != at(30) || s.Count() != len(h.log)+1 {
		t.Errorf("%d events until %v", s.Count(), s.Latest())
	}
	ended := [][]brew.Event{{h.made[0].Event, note, h.made[len(h.made)-1].Event}}
	if got := s.Unended(ended); len(got) != 0 {
		t.Errorf("a brew whose record has its end: %+v", got)
	}
}

// A plan was kept and the kill came before the cue that it moved was: as its own
// record has it, the cue does not wait, so that a plan is to be made anew.
func TestWhatAPlanMovedAndNoRecordTellsMakesItStale(t *testing.T) {
	h := opened(t, 2, "Ada")
	h.brewIt(at(20), brew.EventStart, 0)
	h.brewIt(at(21), brew.EventStart, 1)
	h.replan(at(21))
	now := at(22)
	round, brews := cutOff(t, h, rand.New(rand.NewPCG(1, 1)), now+at(3))
	whole, err := bar.ReplayService(h.opening, round, brews)
	if err != nil || h.moved == 0 || whole.Look(now).Stale {
		t.Fatalf("%v, %d moved, stale %v", err, h.moved, whole.Look(now).Stale)
	}
	for n := range brews {
		brews[n] = slices.DeleteFunc(brews[n], func(e brew.Event) bool { return e.Kind == brew.EventMoved })
	}
	s, err := bar.ReplayService(h.opening, round, brews)
	if err != nil || !s.Look(now).Stale {
		t.Errorf("%v, stale %v", err, s.Look(now).Stale)
	}
	for n, events := range brews {
		lane, _, _ := brew.Replay(s.Lane(n).Plan(), events)
		if got := len(s.Lane(n).Events()); got != len(lane.Events()) {
			t.Errorf("brew %d has %d events, its record %d", n, got, len(lane.Events()))
		}
	}
}
