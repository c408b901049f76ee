package brew

import (
	"slices"
	"time"
)

// Timeline is one or more lanes on one clock: a brew has one lane, a round of
// brews several. It is a value, as its lanes are.
type Timeline struct {
	lanes []Lane
}

// NewTimeline returns a timeline in which no lane has started.
func NewTimeline(plans ...*Plan) Timeline {
	t := Timeline{lanes: make([]Lane, len(plans))}
	for i, p := range plans {
		t.lanes[i] = NewLane(p)
	}
	return t
}

// TimelineOf returns the timeline of lanes that have been brewed already, or
// are being brewed.
func TimelineOf(lanes ...Lane) Timeline { return Timeline{lanes: slices.Clone(lanes)} }

// Lanes returns how many lanes there are.
func (t Timeline) Lanes() int { return len(t.lanes) }

// Lane returns lane i.
func (t Timeline) Lane(i int) Lane { return t.lanes[i] }

// Apply gives the event to its lane. An event for a lane that is not there is
// refused.
func (t Timeline) Apply(e Event) (Timeline, Outcome) {
	if e.Lane < 0 || e.Lane >= len(t.lanes) {
		return t, refused("there is no such lane")
	}
	lane, outcome := t.lanes[e.Lane].Apply(e)
	out := Timeline{lanes: slices.Clone(t.lanes)}
	out.lanes[e.Lane] = lane
	return out, outcome
}

// Own returns the timeline with nothing in common with it, for Take.
func (t Timeline) Own() Timeline {
	out := Timeline{lanes: slices.Clone(t.lanes)}
	for i, l := range out.lanes {
		out.lanes[i] = l.own()
	}
	return out
}

// Take gives the event to its lane as Apply does, but changes this very
// timeline: one that nobody else holds. It is for records that are read by the
// thousand.
func (t Timeline) Take(e Event) Outcome {
	if e.Lane < 0 || e.Lane >= len(t.lanes) {
		return refused("there is no such lane")
	}
	return t.lanes[e.Lane].take(e)
}

// Nearest returns the lane that a mark at a moment of the timeline's clock
// belongs to: the one whose waiting beat was called nearest to it. Of two
// that are equally near the preferred lane is taken, else the first. It is -1
// where nothing waits.
func (t Timeline) Nearest(at time.Duration, preferred int) int {
	best, least := -1, time.Duration(0)
	for i, l := range t.lanes {
		now := l.Elapsed(at)
		n := l.nearest(l.plan, now) // nothing waits once a lane has ended
		if !l.started || n < 0 {
			continue
		}
		off := (now - l.beats[n].Called).Abs()
		if best < 0 || off < least || off == least && i == preferred {
			best, least = i, off
		}
	}
	return best
}

// Ended reports whether every lane has ended.
func (t Timeline) Ended() bool {
	return !slices.ContainsFunc(t.lanes, func(l Lane) bool { return l.ending == Running })
}

// Undoable returns the lane with the latest mark or skip that can be taken
// back, -1 for none.
func (t Timeline) Undoable() int {
	best, latest := -1, time.Duration(0)
	for i, l := range t.lanes {
		n := l.undoable()
		if n < 0 || l.ending == Stopped {
			continue
		}
		if at := l.standing[n].At; best < 0 || at >= latest {
			best, latest = i, at
		}
	}
	return best
}
