package bar

import "barline/brew"

// Bowl returns a bowl's plan without what is to be prepared and done
// afterwards: all of a table is prepared before its first pour.
func Bowl(p *brew.Plan) *brew.Plan {
	out := *p
	out.Prepare, out.Afterwards = nil, nil
	return &out
}

// Schedule returns a table that is planned as the first plan of a service of
// its bowls (see Bowl), one order each as they are poured, the first of them
// after a lead of so many ticks.
func (l Laid) Schedule(d Dish, lead int) Schedule {
	var out Schedule
	acts := l.Problem.Patterns[0].Acts
	for j, zero := range l.Plan.Zeros {
		slot := Slot{Order: j, Zero: zero + lead}
		for _, act := range d.Pattern.Acts {
			at := zero + act.Start // of a wait: when it may begin at the soonest
			for _, b := range act.Behind {
				at = max(at, slot.Starts[b]-lead+d.Pattern.Acts[b].Length)
			}
			for k := range acts {
				if act.Cue >= 0 && acts[k].Cue == act.Cue {
					at = l.Plan.Starts[j][k]
				}
			}
			slot.Starts = append(slot.Starts, at+lead)
		}
		out.Slots = append(out.Slots, slot)
	}
	return out
}
