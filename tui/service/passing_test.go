package service_test

import (
	"testing"
)

// However often plans are made again, no order is passed by more than one that
// came later: those that have begun count on.
func TestNoOrderIsPassedTwiceInAService(t *testing.T) {
	for _, digits := range []string{"66254331", "34162311", "13133426"} {
		p := opened(t, 80, 24, narrow(t))
		for i, d := range digits {
			p.serve(2+100*float64(i)).order(string(d), p.page.At().Seconds()+0.5)
		}
		p.serve(4000)
		tickets := p.page.Service().Look(p.page.At()).Tickets
		for j, one := range tickets {
			passed := 0
			for _, later := range tickets[j+1:] {
				if !one.HasZero || !later.HasZero {
					t.Fatalf("orders %s: order %d or one after it was never brewed", digits, j)
				}
				if later.Zero < one.Zero {
					passed++
				}
			}
			if passed > 1 {
				t.Errorf("orders %s: order %d is passed by %d later ones", digits, j, passed)
			}
		}
	}
}
