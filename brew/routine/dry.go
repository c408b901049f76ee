package routine

import (
	"time"

	"barline/brew"
)

// Brief is how long waits and drawdowns take in a rehearsal without water.
const Brief = 5 * time.Second

// dry returns the recipe as it is rehearsed without water: whatever the hands
// wait for takes Brief at most, a gap that no step fills too. Steps keep their
// order. Of the recipe's faults it knows nothing: it must be sound.
func dry(r brew.Recipe) brew.Recipe {
	plan, err := brew.NewPlan(r, brew.Bar{})
	if err != nil {
		return r
	}
	short := newShortened(plan)
	out := r
	out.Steps = append([]brew.Step(nil), r.Steps...)
	for i, c := range plan.Cues {
		s := &out.Steps[i]
		s.Over = short.at(c.End) - short.at(c.Start)
		switch s.Anchor {
		case brew.At:
			s.Offset = short.at(c.Start)
		case brew.After:
			s.Offset = short.at(c.Start) - short.at(plan.Cues[c.Before].End)
		}
	}
	return out
}

// shortened maps moments of a plan to those of its dry rehearsal.
type shortened struct{ idle []span }

type span struct{ from, to time.Duration }

// newShortened finds the stretches in which the hands have nothing to do.
func newShortened(p *brew.Plan) shortened {
	var s shortened
	var free time.Duration // since when the hands are free
	for _, c := range p.Cues {
		if c.Hands != brew.Busy {
			continue
		}
		s.wait(free, c.Start)
		free = c.End
	}
	s.wait(free, p.End)
	return s
}

// wait adds a stretch from which something is cut.
func (s *shortened) wait(from, to time.Duration) {
	if to-from > Brief {
		s.idle = append(s.idle, span{from, to})
	}
}

// at returns a moment on the dry clock. A stretch is not cut at one end: what
// begins or ends within it keeps its share of what is left.
func (s shortened) at(t time.Duration) time.Duration {
	out := t
	for _, w := range s.idle {
		switch {
		case t >= w.to:
			out -= w.to - w.from - Brief
		case t > w.from:
			kept := time.Duration(float64(t-w.from) / float64(w.to-w.from) * float64(Brief))
			out -= t - w.from - kept.Truncate(time.Millisecond)
		}
	}
	return out
}
