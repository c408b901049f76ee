package bar_test

import (
	"testing"
	"time"

	"barline/brew"
	"barline/brew/bar"
)

// A table that is laid is a sound first plan of a service of its bowls, and a
// late pour moves nothing sooner and keeps the order of the crusts.
func TestATableIsServedAsItWasLaid(t *testing.T) {
	const bowls, lead = 6, 10
	plan := bar.Bowl(shippedMenu(t, "quayside-cupping")[0])
	laid, err := bar.NewTable(plan, bowls, 0, bar.Kit{}).Lay(3000)
	if err != nil {
		t.Fatal(err)
	}
	h := newShift(t, 0, bar.Opening{Menu: []*brew.Plan{plan}, Kit: bar.Kit{Brewers: bowls, Scales: bowls}, People: []string{"Ada"}, Steady: true})
	for range bowls {
		h.apply(bar.ServiceEvent{Kind: bar.OrderPlaced})
	}
	sch := laid.Schedule(h.s.DishOf(0), lead)
	p, numbers := h.s.Problem(0)
	if len(numbers) != bowls {
		t.Fatal(numbers)
	}
	pl := bar.Plan{}
	for _, slot := range sch.Slots {
		pl.Zeros, pl.Starts = append(pl.Zeros, slot.Zero), append(pl.Starts, slot.Starts)
	}
	sound(t, p, pl)
	h.adopt(sch, 0)
	for now := time.Duration(0); now < time.Hour; now += time.Second {
		for j := range bowls {
			late := time.Duration(0)
			if j == 2 {
				late = 3 * time.Second
			}
			if tk := h.ticket(now, j); tk.Brew < 0 && now >= time.Duration(lead+laid.Plan.Zeros[j])*time.Second+late {
				h.apply(h.s.Mark(j, now, brew.FromKey))
			}
		}
		for _, e := range h.s.Due(now) {
			h.apply(e)
		}
		h.replan(now)
		if r := h.s.Replan(now); r.Advance(50) {
			t.Fatalf("at %v a better plan is looked for", now)
		}
		if h.s.Look(now).Over {
			break
		}
	}
	last := time.Duration(0)
	for n := range h.s.Brews() {
		lane := h.s.Lane(n)
		for cue, c := range lane.Plan().Cues {
			if c.Action != brew.Break {
				continue
			}
			start, _ := lane.Span(cue)
			if at := lane.Zero() + start; at <= last || start < c.Start || start > c.Start+10*time.Second {
				t.Errorf("bowl %d: the crust is broken at %v, %v after its pour", n+1, at, start)
			} else {
				last = at
			}
		}
	}
	if h.s.Brews() != bowls {
		t.Errorf("%d bowls were poured", h.s.Brews())
	}
}
