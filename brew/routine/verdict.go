package routine

import (
	"fmt"

	"barline/brew"
)

// Verdict returns what the search says against the routine, as faults at its
// places: an error where it is impossible, a warning where it does not fit
// into the limit, or where nothing is known yet.
func (s *Search) Verdict() brew.Faults {
	one := func(sev brew.Severity, p brew.Place, hint, format string, args ...any) brew.Faults {
		return brew.Faults{{Severity: sev, Place: p, Message: fmt.Sprintf(format, args...), Hint: hint}}
	}
	switch {
	case s.Impossible():
		return s.against(one)
	case !s.Found():
		return one(brew.Warning, at("sections"), "fix fewer starts, or tie less to steps", "no way to perform it was found; there may be one")
	}
	plan := s.Plan()
	if over := plan.End - plan.Limit; over > 0 {
		p := plan.Rules.Penalty(plan.Limit, plan.End)
		sure := "it was found to end at %s at the soonest, %s over the limit: %s"
		if s.Proven() {
			sure = "it cannot end before %s, %s over the limit: %s"
		}
		return one(brew.Warning, at("limit"), "barline plan says what would have to move", sure, clock(plan.End), brew.Spoken(over), p)
	}
	return nil
}

// against says why a routine is impossible.
func (s *Search) against(one func(brew.Severity, brew.Place, string, string, ...any) brew.Faults) (out brew.Faults) {
	clashes := Why(s.routine)
	if len(clashes) == 0 {
		return s.knotted(one)
	}
	for _, c := range clashes {
		out = append(out, one(brew.Error, c.Where[len(c.Where)-1], "move one of them, or leave its start to the planner", "impossible: %s", c)...)
	}
	return out
}

// knotted says which ties and times contradict each other.
func (s *Search) knotted(one func(brew.Severity, brew.Place, string, string, ...any) brew.Faults) brew.Faults {
	bonds := s.routine.knot()
	var what []string
	for _, b := range bonds {
		what = append(what, b.what)
	}
	switch n := len(bonds); n {
	case 0:
		return one(brew.Error, at("sections"), "untie a part, or leave a start to the planner", "impossible: what is tied to steps and times contradicts itself")
	case 1:
		return one(brew.Error, bonds[0].at, "untie it, or let it come later", "impossible: %s is sooner than what comes before it allows", what[0])
	default:
		return one(brew.Error, bonds[n-1].at, "untie one of them, or let it come at another time", "impossible: %s contradict each other, in the order of the file", listed(what))
	}
}
