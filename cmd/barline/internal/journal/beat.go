package journal

import (
	"time"

	"barline/brew"
)

// Beat is what became of one beat of a brew: a row of the cache and of the
// CSV. Moments are on the lane's clock.
type Beat struct {
	Beat    int // its number in the plan
	Key     string
	Owner   brew.Owner
	Asked   bool
	Status  brew.Status
	Window  brew.Window
	Written time.Duration
	Called  time.Duration
	Marked  *time.Duration // nil where it was not marked
	Weight  *brew.Mass     // what the scale read at the mark; nil where nobody said
}

// beatsOf returns the rows of a lane.
func beatsOf(l brew.Lane) []Beat {
	p := l.Plan()
	out := make([]Beat, len(p.Beats))
	for n, b := range p.Beats {
		s := l.Beat(n)
		out[n] = Beat{Beat: n, Key: b.Key, Owner: b.Owner, Asked: b.Asked, Status: s.Status, Window: b.Window,
			Written: b.Due, Called: s.Called, Weight: s.Weight}
		if s.Status == brew.Marked {
			marked := s.Marked
			out[n].Marked = &marked
		}
	}
	return out
}
