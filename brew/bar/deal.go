package bar

import (
	"cmp"
	"slices"
)

// Deal returns who does each act of a plan that needs hands, as numbers from
// zero, -1 for acts that need none: the one who did the brew's act before,
// where that one is free, else whoever is. A sound plan always has enough:
// intervals of which no more than so many overlap can be dealt to so many.
func (p *Problem) Deal(pl Plan, hands int) [][]int {
	type piece struct{ order, act, from, to int }
	var all []piece
	out := make([][]int, len(p.Orders))
	for j := range p.Orders {
		for a, act := range p.pattern(j).Acts {
			out[j] = append(out[j], -1)
			if slices.Contains(act.Uses, hands) {
				all = append(all, piece{j, a, pl.Starts[j][a], pl.Starts[j][a] + p.length(j, a)})
			}
		}
	}
	slices.SortFunc(all, func(a, b piece) int {
		return cmp.Or(cmp.Compare(a.from, b.from), cmp.Compare(a.order, b.order), cmp.Compare(a.act, b.act))
	})
	until := make([]int, p.Resources[hands].Capacity) // until when each is busy
	last := make([]int, len(p.Orders))                // who did the order's act before
	for _, x := range all {
		who := last[x.order]
		if until[who] > x.from {
			who = slices.IndexFunc(until, func(t int) bool { return t <= x.from })
		}
		if who < 0 { // more at once than there are: what was done was done
			continue
		}
		out[x.order][x.act], last[x.order], until[who] = who, who, x.to
	}
	return out
}
