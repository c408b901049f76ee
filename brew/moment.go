package brew

import (
	"math"
	"time"
)

// Moment is what a lane shows at one moment of its clock.
type Moment struct {
	At     time.Duration
	On     int           // the cue to follow: the busy one that is on, else the free one; -1 for none
	Beside int           // a free cue that goes on beside it; -1 for none
	Left   time.Duration // until On ends
	Done   float64       // how much of On's length has passed, 0 to 1
	Next   int           // the cue that is called next; -1 for none
	NextIn time.Duration // until then

	Reading    Mass // what the scale should read, if HasReading
	HasReading bool
	ToGo       Mass // of the pour that is on

	Pending      int // the first beat that was called and waits for a mark; -1 for none
	PendingCount int

	Changes   time.Duration // when the picture changes next, if HasChange
	HasChange bool
}

// finest is how often a figure that moves by itself may change: five times a
// second is as fast as it can be read; common practice, no source.
const finest = 200 * time.Millisecond

// At returns what the plan as written shows at a moment. It does not allocate.
func (p *Plan) At(t time.Duration) Moment {
	return p.moment(t, func(i int) (start, end time.Duration) { return p.Cues[i].Start, p.Cues[i].End })
}

// At returns what the lane shows at a moment of its own clock, from the
// latest event on: nothing once it has ended. It does not allocate.
func (l Lane) At(t time.Duration) Moment {
	if l.ending != Running {
		return Moment{At: t, On: -1, Beside: -1, Next: -1, Pending: -1}
	}
	m := l.moment(l.plan, t)
	if !l.started {
		return m
	}
	for n := range l.beats {
		called := l.beats[n].Called
		if called > t || !l.waits(l.plan, n) {
			continue
		}
		if m.Pending < 0 || called < l.beats[m.Pending].Called {
			m.Pending = n
		}
		m.PendingCount++
	}
	if at, ok := l.EndsItself(); ok {
		m.change(at)
	}
	return m
}

func (f *fold) moment(p *Plan, t time.Duration) Moment {
	return p.moment(t, func(i int) (start, end time.Duration) { return f.cues[i].begin, f.cues[i].finish })
}

// moment asks every cue: a recipe has a dozen, so looking at all of them
// costs less than keeping them in order while marks move them.
func (p *Plan) moment(t time.Duration, span func(int) (start, end time.Duration)) Moment {
	m := Moment{At: t, On: -1, Beside: -1, Next: -1, Pending: -1}
	latest := -1
	for i := range p.Cues {
		start, end := span(i)
		if start > t {
			if m.Next < 0 || start-t < m.NextIn {
				m.Next, m.NextIn = i, start-t
			}
			m.change(start)
			continue
		}
		latest = i
		if t < end {
			m.change(end)
			m.meet(i)
		}
	}
	if latest < 0 {
		return m
	}
	m.Reading, m.HasReading = p.Cues[latest].Scale, p.Cues[latest].OnScale
	if m.On >= 0 {
		start, end := span(m.On)
		m.follow(&p.Cues[m.On], start, end)
	}
	return m
}

// Over reports whether no cue is on or to come.
func (m Moment) Over() bool { return m.On < 0 && m.Next < 0 }

// meet adds a cue that is on. It is the one to follow: a later cue begins
// only once the hands are free, so what was on before it is a free cue.
func (m *Moment) meet(i int) { m.Beside, m.On = m.On, i }

// follow fills in how far the cue that is on should be.
func (m *Moment) follow(c *Cue, start, end time.Duration) {
	m.Left = end - m.At
	m.Done = float64(m.At-start) / float64(end-start)
	switch c.Action {
	case Pour, Bypass:
		if c.OnScale {
			m.pour(c, start, end)
		}
	case Press:
		m.step(start, max(finest, parts(end-start, 100)))
	}
}

// pour works out the scale's reading of this moment: it moves in whole grams,
// at most five times a second, and is exact when the pour ends.
func (m *Moment) pour(c *Cue, start, end time.Duration) {
	amount := c.Scale - c.From
	each := max(finest, parts((end-start)*time.Duration(Gram), int64(amount))) // a gram, or what flows in a fifth of a second
	passed := (m.At - start) / each * each
	reached := math.Round(float64(amount) * float64(passed) / float64(end-start))
	m.Reading, m.HasReading = c.From+Mass(reached)/Gram*Gram, true
	m.ToGo = c.Scale - m.Reading
	m.step(start, each)
}

// parts returns one of n equal parts of a length, rounded up, so that n parts
// are not done before the whole is.
func parts(length time.Duration, n int64) time.Duration {
	return (length + time.Duration(n) - 1) / time.Duration(n)
}

// step notes the next of a row of equal steps from the start as a change.
func (m *Moment) step(start, each time.Duration) {
	m.change(start + ((m.At-start)/each+1)*each)
}

func (m *Moment) change(at time.Duration) {
	if at > m.At && (!m.HasChange || at < m.Changes) {
		m.Changes, m.HasChange = at, true
	}
}
