package brew

import "time"

// laid is a step placed on the written clock and on the scale.
type laid struct {
	start, end time.Duration
	before     int // the step it hangs behind, -1 for none
	busy       int // the busy step above that ends last, -1 for none
	assumed    bool
	added      Mass // water this step brings to the coffee
	water      Mass // on the coffee in all when it ends
	scale      Mass // what the scale reads when it ends
	onScale    bool // whether there is a reading when it ends
	wasOn      bool // whether there was one when it began
	bypass     Mass // in the server in all when it ends
	closed     bool // sealed when it begins
}

// lay places the steps one after another. It takes any recipe, a faulty one
// too: what cannot be is left as it was written, for the checks to name.
//
// A step hangs behind whatever ends last among the steps above it. That is
// the step just before, unless that one runs inside a free step that goes on
// after it: what follows a swirl during a drawdown waits for the drawdown.
func lay(r Recipe) []laid {
	out := make([]laid, len(r.Steps))
	now := laid{onScale: true}
	last, busy := -1, -1 // the step, and the busy step, that ends last so far
	for i, s := range r.Steps {
		l := now
		l.wasOn, l.before, l.busy = now.onScale, last, busy
		l.place(s, out)
		l.weigh(s)
		l.measure(s)
		out[i] = l
		if last < 0 || l.end >= out[last].end {
			last = i
		}
		if s.hands() == Busy && (busy < 0 || l.end >= out[busy].end) {
			busy = i
		}
		now = l
		now.closed = s.Action == Seal || now.closed && s.Action != Open
	}
	return out
}

// place sets the start from the anchor.
func (l *laid) place(s Step, above []laid) {
	l.start = 0
	if l.before >= 0 {
		l.start = above[l.before].end
	}
	switch s.Anchor {
	case At:
		l.start = s.Offset
	case After:
		l.start += s.Offset
	}
}

// weigh follows the water to the coffee, to the server and on the scale.
func (l *laid) weigh(s Step) {
	l.added = 0
	switch s.Action {
	case Pour:
		l.added = s.Amount
		if s.To {
			l.added = s.Amount - l.scale
		}
		l.water += l.added
		l.scale += l.added
	case Bypass: // into the server, which stands on the scale where anything does
		l.bypass += s.Amount
		if l.onScale {
			l.scale += s.Amount
		}
	case Tare:
		l.scale, l.onScale = 0, true
	case Lift, Flip:
		l.scale, l.onScale = 0, false
	}
}

// measure sets the end from the step's length, its action's usual one, or the
// usual flow.
func (l *laid) measure(s Step) {
	u := s.usual()
	l.assumed = s.Over == 0 && u.Assumed
	length := u.Over
	switch {
	case s.Over > 0:
		length = s.Over
	case s.held > 0:
		length = s.held
	case s.Action == Pour:
		length = usualPour(l.added)
	case s.Action == Bypass:
		length = usualPour(s.Amount)
	}
	l.end = l.start + length
}

// earliest returns the first moment at which step i may begin, and the step
// above that says so: not before the step above it does, and behind every
// busy one.
func earliest(steps []laid, i int) (blocker int, moment time.Duration) {
	if b := steps[i].busy; b >= 0 && steps[b].end > steps[i-1].start {
		return b, steps[b].end
	}
	return i - 1, steps[i-1].start
}
