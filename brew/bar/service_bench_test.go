package bar_test

import (
	"testing"
	"time"

	"barline/brew"
	"barline/brew/bar"
)

// busyService is a service of twelve orders for one person, three minutes in,
// with two brews that run.
func busyService(b *testing.B) (bar.Service, time.Duration) {
	s := bar.NewService(shippedMenu(b, "quayside-press", "quayside-cone", "quayside-quick", "quayside-flat-bed"), bar.Kit{Brewers: 3}, []string{"Ada"})
	apply := func(e bar.ServiceEvent) {
		next, r := s.Apply(e)
		if r.Effect == brew.Refused {
			b.Fatal(e.Kind, r.Why)
		}
		s = next
	}
	for j := range 12 {
		apply(bar.ServiceEvent{Kind: bar.OrderPlaced, Ticket: bar.Ticket{Dish: j % 4}})
	}
	for now := time.Duration(0); now < 3*time.Minute; now += time.Second {
		if s.Look(now).Stale {
			r := s.Replan(now)
			sch, ok := r.Kept()
			for !ok && r.Advance(200) {
				sch, ok = r.Best()
			}
			apply(bar.ServiceEvent{Kind: bar.PlanAdopted, At: now, Schedule: &sch})
		}
		for _, w := range s.Look(now).Waiting {
			apply(s.Mark(w.Order, now, brew.FromKey))
			break
		}
	}
	return s, 3 * time.Minute
}

// What a screen asks at each frame.
func BenchmarkServiceLook(b *testing.B) {
	s, now := busyService(b)
	b.ReportAllocs()
	for b.Loop() {
		s.Look(now)
	}
}

// The plan after a slip: the one in force, kept as far as it can be, and
// adopted.
func BenchmarkServicePlanAfterASlip(b *testing.B) {
	s, now := busyService(b)
	for b.Loop() {
		r := s.Replan(now + 4*time.Second)
		sch, ok := r.Kept()
		if !ok {
			b.Fatal(r.Err())
		}
		s.Apply(bar.ServiceEvent{Kind: bar.PlanAdopted, At: now + 4*time.Second, Schedule: &sch})
	}
}

// The first plan after one more order.
func BenchmarkServicePlanAfterAnOrder(b *testing.B) {
	s, now := busyService(b)
	s, _ = s.Apply(bar.ServiceEvent{Kind: bar.OrderPlaced, At: now, Ticket: bar.Ticket{Dish: 1}})
	for b.Loop() {
		r := s.Replan(now)
		for ok := false; !ok && r.Advance(20); {
			_, ok = r.Best()
		}
	}
}
