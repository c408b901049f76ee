package brew

import (
	"slices"
	"time"
)

// ContactBy returns how long water and coffee were together, from the first
// pour's start, given the moment of each edge. It is false where the method
// or the steps have no such end, or the given moments lack it. Press methods
// end with the last press, a cone and a flat bed with the last drawdown, lift
// or serve, whichever is earliest, a pot with serving, a cupping bowl with
// the break of its crust. Other methods take the first of these that they
// have.
func (p *Plan) ContactBy(moment func(Point) (time.Duration, bool)) (time.Duration, bool) {
	_, _, length, ok := p.contact(moment)
	return length, ok
}

// contact also returns the edges that the length lies between.
func (p *Plan) contact(moment func(Point) (time.Duration, bool)) (from, to Point, length time.Duration, ok bool) {
	first := slices.IndexFunc(p.Cues, func(c Cue) bool { return c.Action == Pour })
	if first < 0 {
		return from, to, 0, false
	}
	from = Point{first, StartEdge}
	begin, ok := moment(from)
	if !ok {
		return from, to, 0, false
	}
	to, end, ok := p.contactEnd(moment)
	return from, to, end - begin, ok
}

func (p *Plan) contactEnd(moment func(Point) (time.Duration, bool)) (Point, time.Duration, bool) {
	switch p.Method {
	case PressMethod, InvertedPress:
		return p.pressed(moment)
	case Cone, FlatBed:
		return p.earliest(moment, Drawdown, Lift, Serve)
	case Pot:
		return p.earliest(moment, Serve)
	case Cupping:
		return p.earliest(moment, Break)
	}
	if at, end, ok := p.pressed(moment); ok {
		return at, end, true
	}
	for _, a := range []Action{Drawdown, Serve, Break} {
		if at, end, ok := p.earliest(moment, a); ok {
			return at, end, true
		}
	}
	return Point{}, 0, false
}

// pressed returns the end of the last press: one that goes in two stages is
// not over after the first.
func (p *Plan) pressed(moment func(Point) (time.Duration, bool)) (at Point, end time.Duration, ok bool) {
	for i := len(p.Cues) - 1; i >= 0 && p.Cues[i].Action != Pour; i-- {
		if p.Cues[i].Action == Press {
			at = Point{i, EndEdge}
			end, ok = moment(at)
			return at, end, ok
		}
	}
	return at, 0, false
}

// earliest returns the first moment at which one of the actions ends contact,
// looking at the cues after the last pour.
func (p *Plan) earliest(moment func(Point) (time.Duration, bool), actions ...Action) (at Point, end time.Duration, found bool) {
	first := len(p.Cues)
	for first > 0 && p.Cues[first-1].Action != Pour {
		first--
	}
	for i := first; i < len(p.Cues); i++ {
		if !slices.Contains(actions, p.Cues[i].Action) {
			continue
		}
		edge := Point{i, StartEdge}
		if p.Cues[i].Action == Drawdown {
			edge.Edge = EndEdge
		}
		if t, ok := moment(edge); ok && (!found || t < end) {
			at, end, found = edge, t, true
		}
	}
	return at, end, found
}
