package bar

// Round returns the problem of serving orders with what the kit has, by the
// bar's own criterion: least waiting, then the earliest end, no order passed
// by more than one later one, equal recipes in order of arrival. Orders stand
// in order of arrival. There is time for all of them one after another, but
// never for more than MostHorizon.
func (k Kit) Round(patterns []Pattern, orders []Order) *Problem {
	p := &Problem{Resources: k.Resources(), Patterns: patterns, Orders: orders, InTurn: true, Passing: 1}
	for j, o := range orders {
		p.Horizon = max(p.Horizon, o.Placed) + p.pattern(j).extent()
	}
	p.Horizon = min(p.Horizon, MostHorizon)
	return p
}

// extent returns how long a brew takes at the most, if it has the bar to
// itself.
func (pat *Pattern) extent() int {
	first, last := 0, 0
	for _, a := range pat.Acts {
		first, last = min(first, a.Start-a.Early), max(last, a.Start+a.Late+a.Length)
	}
	return last - first
}
