package bar_test

import (
	"math"
	"testing"

	"barline/brew/bar"
)

func saturday(t testing.TB) bar.Day {
	p := load(t, "A1-sum-n04")
	for i := range p.Patterns {
		for a := range p.Patterns[i].Acts {
			p.Patterns[i].Acts[a].Cue = a
		}
		// The instance's resources are hands, brewer and kettle, as a kit's.
	}
	return bar.Day{Kit: bar.Kit{Brewers: 2}, Patterns: p.Patterns, Mix: []float64{2, 3, 1, 0.5}, Rates: []float64{5, 16, 22, 0, 8}, Seed: 4, Passing: 1}
}

// A day is what its seed makes it: every order is served once, no resource is
// ever over-booked, and the sums are those of the log.
func TestADayServesEveryOrder(t *testing.T) {
	for seed := range uint64(6) {
		d := saturday(t)
		d.Seed = seed
		out, err := d.Run()
		if err != nil {
			t.Fatal(err)
		}
		again, _ := d.Run()
		p := &bar.Problem{Resources: d.Kit.Resources(), Patterns: d.Patterns, Horizon: bar.MostHorizon, InTurn: true, Passing: -1}
		var pl bar.Plan
		wait := 0
		for i, s := range sorted(out.Log) {
			p.Orders = append(p.Orders, bar.Order{Pattern: s.Pattern, Placed: s.Placed})
			pl.Zeros, pl.Starts = append(pl.Zeros, s.Zero), append(pl.Starts, s.Starts)
			wait += s.Ready - s.Placed
			if s.Ready != sorted(again.Log)[i].Ready {
				t.Fatalf("seed %d: a day differs from itself", seed)
			}
		}
		sound(t, p, pl)
		orders, waits := 0, 0
		for _, h := range out.Hours {
			orders, waits = orders+h.Orders, waits+h.Wait
			for r, b := range h.Busy {
				if b < 0 || b > 1+1e-9 || b > h.Busy[h.Bottleneck] {
					t.Errorf("seed %d: resource %d busy for %g of an hour, %g the busiest", seed, r, b, h.Busy[h.Bottleneck])
				}
			}
		}
		if orders != len(out.Log) || out.Total.Orders != orders || waits != wait || out.Total.Wait != wait || orders < 25 {
			t.Errorf("seed %d: %d orders, %d in all, %d served; waits %d, %d, %d", seed, orders, out.Total.Orders, len(out.Log), waits, out.Total.Wait, wait)
		}
		if out.Hours[3].Orders != 0 {
			t.Errorf("seed %d: %d orders in an hour without any", seed, out.Hours[3].Orders)
		}
	}
}

func sorted(log []bar.Served) []bar.Served {
	out := append([]bar.Served(nil), log...)
	for i := range out {
		for k := i; k > 0 && out[k].Placed < out[k-1].Placed; k-- {
			out[k], out[k-1] = out[k-1], out[k]
		}
	}
	return out
}

// Orders come at their rate: over many seeds the mean count of an hour is its
// rate within four standard errors, a Poisson count having its mean for its
// variance.
func TestOrdersComeAtTheirRate(t *testing.T) {
	const days = 60
	sums := make([]float64, 5)
	d := saturday(t)
	d.Kit, d.Tries = bar.Kit{People: 3, Brewers: 9, Kettles: 3}, 1
	for seed := range uint64(days) {
		d.Seed = 100 + seed
		out, err := d.Run()
		if err != nil {
			t.Fatal(err)
		}
		for h := range sums {
			sums[h] += float64(out.Hours[h].Orders)
		}
	}
	for h, rate := range d.Rates {
		if mean := sums[h] / days; math.Abs(mean-rate) > 4*math.Sqrt(rate/days) {
			t.Errorf("hour %d: %g orders, the rate is %g", h+1, mean, rate)
		}
	}
}

// On a day too much for one pair of hands a second pair helps most, and the
// hands are what is busiest.
func TestWhatWouldHelpOnABusyDay(t *testing.T) {
	d := saturday(t)
	out, err := d.Run()
	if err != nil {
		t.Fatal(err)
	}
	changes, err := d.Changes()
	if err != nil {
		t.Fatal(err)
	}
	if len(changes) != 3 {
		t.Fatalf("%d changes", len(changes))
	}
	for _, c := range changes {
		t.Logf("%s: %.0f s instead of %.0f", c.What, c.Outcome.Total.Mean(), out.Total.Mean())
		if c.Outcome.Total.Orders != out.Total.Orders {
			t.Errorf("%s: %d orders, were %d", c.What, c.Outcome.Total.Orders, out.Total.Orders)
		}
	}
	if person := changes[1].Outcome.Total.Mean(); person >= out.Total.Mean() {
		t.Errorf("with one more person %g, without %g", person, out.Total.Mean())
	}
}

func TestAFaultyDayIsRefused(t *testing.T) {
	for want, spoil := range map[string]func(d *bar.Day){
		"3 shares for 4 recipes":                     func(d *bar.Day) { d.Mix = d.Mix[:3] },
		"press: a share of -1":                       func(d *bar.Day) { d.Mix = []float64{-1, 1, 1, 1} },
		"the shares add up to 0":                     func(d *bar.Day) { d.Mix = make([]float64, 4) },
		"hour 2: NaN orders, 0 to 1000 are possible": func(d *bar.Day) { d.Rates = []float64{1, math.NaN()} },
	} {
		d := saturday(t)
		spoil(&d)
		if _, err := d.Run(); err == nil || err.Error() != want {
			t.Errorf("%v, want %s", err, want)
		}
	}
}

// Over a whole day no order is passed by more than one that came later, though
// those that went ahead are long over when the plan is made again.
func TestOverADayNoOrderIsPassedTwice(t *testing.T) {
	once := 0
	for seed := range uint64(12) {
		d := saturday(t)
		d.Seed, d.Rates, d.Tries = seed, []float64{14, 24, 24}, 8
		out, err := d.Run()
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range out.Log {
			passed := 0
			for _, later := range out.Log {
				if later.Placed > o.Placed && later.Zero < o.Zero {
					passed++
				}
			}
			if passed > 1 {
				t.Errorf("seed %d: the order at %d, begun at %d, is passed by %d", seed, o.Placed, o.Zero, passed)
			}
			once += min(passed, 1)
		}
	}
	if once == 0 {
		t.Error("no order was passed at all")
	}
}
