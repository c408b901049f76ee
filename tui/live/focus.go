package live

import (
	"cmp"
	"time"

	"barline/brew"
)

// claim is how much a lane calls for the person: the lower, the more.
type claim struct {
	class int
	rank  time.Duration
}

// The classes of claims.
const (
	busyOn    = iota // hands are needed now: the latest to have begun first
	calledOn         // a cue is coming: the next one first
	freeOn           // something goes on by itself: what ends next first
	markAwait        // a beat waits for its mark
	idle
)

// focus returns the lane whose prompt is large.
func (p Page) focus(at time.Duration) int {
	best, least := 0, claim{class: idle + 1}
	for i := range p.timeline.Lanes() {
		if !p.running(i) {
			continue
		}
		c := claimOf(p.timeline.Lane(i), at)
		if cmp.Or(cmp.Compare(c.class, least.class), cmp.Compare(c.rank, least.rank)) < 0 {
			best, least = i, c
		}
	}
	return best
}

func claimOf(lane brew.Lane, at time.Duration) claim {
	m := lane.At(lane.Elapsed(at))
	switch {
	case m.On >= 0 && lane.Plan().Cues[m.On].Hands == brew.Busy:
		start, _ := lane.Span(m.On)
		return claim{busyOn, m.At - start}
	case m.Next >= 0:
		return claim{calledOn, m.NextIn}
	case m.On >= 0:
		return claim{freeOn, m.Left}
	case m.Pending >= 0:
		return claim{markAwait, -lane.Beat(m.Pending).Called}
	}
	return claim{class: idle}
}

// running reports whether a lane has not ended.
func (p Page) running(lane int) bool {
	how, _, _ := p.timeline.Lane(lane).Ending()
	return how == brew.Running
}

// latest returns the lane and the beat of the mark that was made last; the
// beat is -1 where there is none.
func (p Page) latest() (lane, beat int) {
	beat = -1
	var when time.Duration
	for i := range p.timeline.Lanes() {
		l := p.timeline.Lane(i)
		n := l.Last()
		if n < 0 {
			continue
		}
		if at := l.Zero() + l.Beat(n).Raw; beat < 0 || at >= when {
			lane, beat, when = i, n, at
		}
	}
	return lane, beat
}

// called is a cue of a lane and how long until it is called.
type called struct {
	lane, cue int // the cue is -1 where none is coming
	in        time.Duration
}

// next returns the cue that is called next in any lane; of several at the
// same moment the one in the preferred lane.
func (p Page) next(at time.Duration, preferred int) called {
	best := called{cue: -1}
	for i := range p.timeline.Lanes() {
		lane := p.timeline.Lane(i)
		m := lane.At(lane.Elapsed(at))
		if m.Next < 0 {
			continue
		}
		if best.cue < 0 || m.NextIn < best.in || m.NextIn == best.in && i == preferred {
			best = called{i, m.Next, m.NextIn}
		}
	}
	return best
}

// warned returns the next cue with words of care that is called within a
// time.
func (p Page) warned(at, within time.Duration) called {
	best := called{cue: -1, in: within + 1}
	for i := range p.timeline.Lanes() {
		lane := p.timeline.Lane(i)
		if !p.running(i) {
			continue
		}
		for n, cue := range lane.Plan().Cues {
			start, _ := lane.Span(n)
			if in := start - lane.Elapsed(at); cue.Caution != "" && in > 0 && in < best.in {
				best = called{i, n, in}
			}
		}
	}
	return best
}

// pending is a beat that was called and waits for its mark.
type pending struct {
	lane, beat int           // the beat is -1 for none
	since      time.Duration // it was called
	more       int           // others that wait, too
}

// pending returns the beat that has waited longest in any lane.
func (p Page) pending(at time.Duration) pending {
	best := pending{beat: -1}
	for i := range p.timeline.Lanes() {
		lane := p.timeline.Lane(i)
		m := lane.At(lane.Elapsed(at))
		if m.Pending < 0 || !lane.Started() {
			continue
		}
		best.more += m.PendingCount
		if since := m.At - lane.Beat(m.Pending).Called; best.beat < 0 || since > best.since {
			best.lane, best.beat, best.since = i, m.Pending, since
		}
	}
	best.more = max(best.more-1, 0)
	return best
}
