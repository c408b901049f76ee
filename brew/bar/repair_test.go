package bar_test

import "testing"

// A slip moves nothing by more than itself, and nothing sooner; without one
// the plan stays as it is.
func TestASlipMovesNothingByMoreThanItself(t *testing.T) {
	p := rush(t, 1)
	p.Orders = p.Orders[:6]
	pl := p.Ease(planned(t, p, nil, 3000))
	moved, repaired := 0, 0
	for now := 30; now < 1200; now += 23 {
		same, can := p.After(pl, now).Repair(pl)
		if !can || !same.Equal(pl) {
			t.Fatalf("at %d the plan changed for nothing", now)
		}
		for _, by := range []int{1, 3, 7} {
			q := p.After(pl, now)
			for j, o := range q.Orders {
				for _, f := range o.Fixed {
					if f.End > now {
						q.Did(j, f.Act, f.Start, f.End+by)
					}
				}
			}
			got, can := q.Repair(pl)
			if !can {
				continue
			}
			repaired++
			sound(t, q, got)
			for j := range got.Starts {
				for a, at := range got.Starts[j] {
					if d := at - pl.Starts[j][a]; d < 0 || d > by {
						t.Fatalf("at %d, a slip of %d: act %d of order %d moved by %d", now, by, a, j, d)
					} else if d > 0 {
						moved++
					}
				}
			}
		}
	}
	if moved == 0 || repaired < 60 {
		t.Errorf("%d repairs moved %d acts", repaired, moved)
	}
}
