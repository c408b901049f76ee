package draw

import (
	"cmp"
	"time"
)

// Picture is what the timeline shows. All moments are on one clock, that of
// the timeline: a lane's own zero has been added by the caller.
type Picture struct {
	Lanes    []Lane
	Now      time.Duration // where the playhead stands
	Still    bool          // no playhead: a plan, or a brew that is over
	From, To time.Duration // the time shown; where To is not after From, Shown is asked
	Column   time.Duration // what a column holds where not all fits; 0 is taken as four seconds
	Rolling  bool          // the playhead stands at a sixth, however little is still to come
	Day      bool          // moments are those of a day, which begins anew at midnight
}

// Lane is one brewer's line of cues.
type Lane struct {
	Name     string
	Floating bool    // the lane's zero is not known yet: its cues are drawn light
	Planned  bool    // its zero is only planned: its cues are drawn light
	Chosen   bool    // the lane to look at: its bar is twice as high, and it is always shown
	Flash    bool    // its name stands out for a moment
	Note     string  // right of the time
	Short    string  // with its note, where there is no room for the lane; its name where empty
	Spans    []Span  // in order of their starts
	Marks    []Mark  // in any order
	Stair    []Level // the water, in order of time; empty for none
}

// Span is a cue on the clock: [Start, End).
type Span struct {
	Start, End time.Duration
	Busy       bool   // needs the hands: drawn solid, a free one thin
	Chore      bool   // is around the brew, not of it: drawn low
	Label      string // written under the span where there is room
}

// on reports whether the span is on at a moment.
func (s Span) on(now time.Duration) bool { return s.Start <= now && now < s.End }

// Mark is an asked beat: where it was due, and where it fell.
type Mark struct {
	At          time.Duration // when it happened; where it is due if it has not
	Due         time.Duration // where it was called
	Early, Late time.Duration // the window around Due, neither below zero
	State       MarkState
	Hollow      bool // the key was pressed, but the record does not hold it yet
}

// MarkState is how a beat came out.
type MarkState uint8

// The states of marks.
const (
	Pending  MarkState = iota // not marked yet
	Timely                    // inside its window
	TooEarly                  // ahead of it
	TooLate                   // behind it
	Unmarked                  // jumped over, which is no error
	Skipped                   // its cue was skipped
)

// Level is one point of the water stair; between two points the water rises
// in a straight line, at two points of one moment at once.
type Level struct {
	At    time.Duration
	Grams float64
}

const (
	coarsest = 4 * time.Second  // that a column may hold, unless all is still
	overrun  = 15 * time.Second // by which a picture grows that runs past its end
)

// Shown returns the time to show on a number of columns: all of it if a
// column then holds no more than Column or the picture is still, else as much
// as fits at that scale, with the playhead at about a third. It moves on by
// whole columns, so that what stands still in time stands still on the screen
// between two moves. To is always after From.
func (p Picture) Shown(columns int) (from, to time.Duration) {
	from, to = p.whole()
	columns = max(columns, 1)
	column := cmp.Or(p.Column, coarsest)
	length := time.Duration(columns) * column
	if p.Rolling {
		start := (p.Now/column - time.Duration(columns/6)) * column
		return start, start + length
	}
	if p.Still || to-from <= length {
		return from, to
	}
	behind := (p.Now-from)/column - time.Duration(columns/3)
	last := (to - length - from + column - 1) / column
	start := from + max(0, min(behind, last))*column
	return start, start + length
}

// whole returns the time that holds zero, all that is in the picture, and
// the playhead.
func (p Picture) whole() (from, to time.Duration) {
	for _, l := range p.Lanes {
		for _, s := range l.Spans {
			from, to = min(from, s.Start), max(to, s.End)
		}
		for _, m := range l.Marks {
			from, to = min(from, m.At), max(to, m.At)
		}
		for _, v := range l.Stair {
			from, to = min(from, v.At), max(to, v.At)
		}
	}
	if !p.Still {
		from = min(from, p.Now)
		if p.Now >= to {
			to = (p.Now/overrun + 1) * overrun
		}
	}
	if to <= from {
		to = from + time.Minute
	}
	return from, to
}

// axis lays time along columns of the screen.
type axis struct {
	left, columns int
	from, to      time.Duration
}

// halves is how many half columns there are: bars and the playhead are drawn
// that fine.
func (a axis) halves() int { return 2 * a.columns }

// half returns the half column in which a moment lies, counted from the left
// end; it may lie outside.
func (a axis) half(t time.Duration) int {
	t = max(a.from-1, min(t, a.to))
	return floorDiv(int64(t-a.from)*int64(a.halves()), int64(a.to-a.from))
}

// column returns the column of the screen in which a moment lies, and
// whether it is shown.
func (a axis) column(t time.Duration) (int, bool) {
	h := a.half(t)
	return a.left + floorDiv(int64(h), 2), h >= 0 && h < a.halves()
}

// moment returns the middle of a column counted from the left end.
func (a axis) moment(column int) time.Duration {
	return a.from + (a.to-a.from)*time.Duration(2*column+1)/time.Duration(a.halves())
}

func floorDiv(a, b int64) int {
	q := a / b
	if a%b < 0 {
		q--
	}
	return int(q)
}
