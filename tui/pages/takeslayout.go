package pages

import (
	"barline/brew/routine"
)

// takesLayout is where the takes page shows what; a part without a height is
// not shown. It follows from the size and from how much there is to show.
type takesLayout struct {
	sections, said, line, list rect
	foot                       int
}

// The sizes from which on there is a picture of the drift, and from which on
// it stands beside the sections.
const (
	lineFrom   = 22
	lineBeside = 130
	leastPlot  = 5
	mostLine   = 16
)

// takesLayoutOf lays the page out for so many sections, lines of text and
// takes.
func takesLayoutOf(w, h, sections, said, takes int) takesLayout {
	l := takesLayout{foot: h}
	if h >= 6 {
		l.foot--
	}
	y, wide := min(1, h), w
	room := l.foot - y
	if w >= lineBeside && h >= lineFrom {
		wide = w * 3 / 5
		l.line = rect{wide + 2, y, w - wide - 2, min(room, 2*mostLine)}
	}
	least := min(takes+1, 4) // of the list
	if room < 6 {
		least = 0
	} else if h < lineFrom {
		least = 2
	}
	give := func(want int) rect {
		at := rect{0, y, wide, max(min(want, room-least), 0)}
		y, room = y+at.h, room-at.h
		return at
	}
	l.sections = give(sections + 2) // heads and the whole
	if l.line.h == 0 && h >= lineFrom {
		// The picture goes before the last of the words.
		said = min(said, max(room-least-leastPlot, 0))
	}
	l.said = give(said)
	if l.line.h == 0 && h >= lineFrom && room-least >= leastPlot {
		l.line = give(min(mostLine, room-least))
	}
	if room > takes+1 && least > 0 {
		y, room = y+1, room-1
	}
	l.list = rect{0, y, wide, room}
	return l
}

// page is how far a key scrolls the pairs, last how far it goes at most.
func (t Takes) page() int { return max(t.shown()-1, 1) }

func (t Takes) last() int { return max(len(t.rows)-t.shown(), 0) }

// shown is how many pairs are on the screen.
func (t Takes) shown() int {
	rows := t.height - 4
	if t.height >= 6 {
		rows--
	}
	return max(rows, 1)
}

// chosen returns the take that is chosen.
func (t Takes) chosen() (routine.Result, bool) {
	if t.at < 0 || t.at >= len(t.table.Takes) {
		return routine.Result{}, false
	}
	return t.table.Takes[t.at], true
}
