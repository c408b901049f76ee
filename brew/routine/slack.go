package routine

import (
	"cmp"
	"slices"
	"time"
)

// Room is how long something may wait before the limit, a tie or a window is
// broken, all else keeping its order of work.
type Room struct {
	What string
	At   time.Duration // when it is written to begin
	Wait time.Duration
	Free time.Duration // how much of that moves no cup's end and not that of what is said
}

// Rooms returns the room of what is said and done in the best plan, the least
// first; none where that plan does not fit into the limit. What the routine
// pins to the clock itself has none and is left out.
func (s *Search) Rooms() (out []Room) {
	p, best := s.Eased()
	if !s.Found() || p.end(best) > p.routine.Limit {
		return nil
	}
	limited := p.Problem
	limited.Horizon = ticks(p.routine.Limit)
	slacks := limited.Slacks(best)
	parts, _ := p.routine.Parts()
	for j, acts := range slacks {
		for a, slack := range acts {
			act := p.Patterns[j].Acts[a]
			pinned := j < p.talk && p.Orders[j].Begun && act.Cue >= 0 || j == p.talk && parts[a].At != nil
			if pinned || len(act.Uses) == 0 {
				continue
			}
			out = append(out, Room{p.name(j, a), seconds(best.Starts[j][a]), seconds(slack.May), seconds(slack.Free)})
		}
	}
	slices.SortStableFunc(out, func(a, b Room) int {
		return cmp.Or(cmp.Compare(a.Wait, b.Wait), cmp.Compare(a.Free, b.Free), cmp.Compare(a.At, b.At))
	})
	return out
}

// name is what an act is called.
func (p *Problem) name(order, act int) string {
	name := p.Patterns[order].Acts[act].Name
	if order == p.talk {
		return name
	}
	return name + " of " + p.Patterns[order].Name
}
