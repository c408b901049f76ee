package pages

import "barline/tui/draw"

// terminalLayout is where everything stands.
type terminalLayout struct {
	from, to int            // the rows of the screen that hold the parts
	parts    []*draw.Canvas // of the screen's width, a blank row between two
	tops     []int          // the row that each part begins in, counted from the first part
	stops    []terminalStop // what can stand at the top
	last     int            // the first stop from which on the rest is in sight
}

// terminalStop is a place to scroll to: a part, or one of the pieces in which
// a part is shown that is higher than the screen. It outlives a change of the
// screen's size.
type terminalStop struct{ part, piece int }

// room returns how many rows hold the parts.
func (l terminalLayout) room() int { return max(l.to-l.from, 1) }

func (p Terminal) layout() terminalLayout {
	l := terminalLayout{from: 1, to: p.height - 2}
	if p.height < leastFrame {
		l.from, l.to = 0, p.height
	}
	rows := 0
	for i, part := range p.report.Parts() {
		c := p.part(part)
		l.parts, l.tops = append(l.parts, c), append(l.tops, rows)
		for piece := 0; piece == 0 || piece*l.room() < c.Height; piece++ {
			l.stops = append(l.stops, terminalStop{i, piece})
		}
		rows += c.Height + 1
	}
	for l.last < len(l.stops)-1 && rows-1-l.row(l.last) > l.room() {
		l.last++
	}
	return l
}

// row returns the row that a stop puts at the top.
func (l terminalLayout) row(stop int) int {
	s := l.stops[stop]
	return l.tops[s.part] + s.piece*l.room()
}

// index returns the number of a stop: of the one before it where there are
// fewer pieces by now, and never of one behind the last.
func (l terminalLayout) index(at terminalStop) int {
	i := 0
	for i < l.last && (l.stops[i+1].part < at.part || l.stops[i+1].part == at.part && l.stops[i+1].piece <= at.piece) {
		i++
	}
	return i
}

// beside returns the stop that stands some stops behind another.
func (l terminalLayout) beside(at terminalStop, n int) terminalStop {
	return l.stops[max(0, min(l.index(at)+n, l.last))]
}

// top returns the first row that is shown at a stop.
func (l terminalLayout) top(at terminalStop) int { return l.row(l.index(at)) }

// shows reports whether all of a part is in sight at a stop.
func (l terminalLayout) shows(part int, at terminalStop) bool {
	top := l.top(at)
	return top <= l.tops[part] && l.tops[part]+l.parts[part].Height <= top+l.room()
}

// draws reports whether a part is drawn at a stop: where all of it is in sight,
// for a torn picture cannot be judged, or where it stands at the top.
func (l terminalLayout) draws(part int, at terminalStop) bool {
	return l.tops[part] <= l.top(at) || l.shows(part, at)
}

// turnTo turns to a part, unless all of it is in sight.
func (p Terminal) turnTo(name string) Terminal {
	if i := p.partNamed(name); !p.layout().shows(i, p.at) {
		p.at = terminalStop{part: i}
	}
	return p
}
