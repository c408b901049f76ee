package draw

import "math"

// Flag is what is special about a point of a control chart. Each has a shape
// of its own.
type Flag uint8

// The flags, from the least to the most important.
const (
	Unjudged  Flag = iota // of the baseline, or where there are no limits
	Judged                // and nothing special
	Pattern               // completes another pattern
	OneSided              // in a long run on one side
	Above                 // beyond the upper limit
	Below                 // beyond the lower one
	flagCount = iota
)

// ControlPoint is one value of a control chart.
type ControlPoint struct {
	Value   float64
	Version int // index into Control.Versions
	Flag    Flag
}

// ControlVersion is a version with the limits that its points are judged by.
type ControlVersion struct {
	Name              string
	Low, Centre, High float64
	Known             bool // false where there are no limits
}

// Control is values in the order of time against the limits of their version.
type Control struct {
	Points   []ControlPoint
	Versions []ControlVersion
}

// shapes are the characters of a chart: of each version by turns, first of its
// baseline and then of what is judged; of each flag from Pattern on.
type shapes struct {
	versions [3][2]rune
	flags    [flagCount]rune
}

var (
	blockShapes = shapes{[3][2]rune{{'○', '●'}, {'□', '■'}, {'◇', '◆'}}, [flagCount]rune{Pattern: '+', OneSided: '#', Above: '▲', Below: '▼'}}
	asciiShapes = shapes{[3][2]rune{{'a', 'A'}, {'b', 'B'}, {'c', 'C'}}, [flagCount]rune{Pattern: '+', OneSided: '#', Above: '^', Below: 'v'}}
	flagRoles   = [flagCount]Role{Faint, Plain, Busy, Caution, Late, Early}
)

func shapesFor(ascii bool) shapes {
	if ascii {
		return asciiShapes
	}
	return blockShapes
}

func (s shapes) of(p ControlPoint) rune {
	if p.Flag > Judged {
		return s.flags[p.Flag]
	}
	return s.versions[p.Version%len(s.versions)][p.Flag]
}

// Sign is a shape of a chart and what it means.
type Sign struct {
	Shapes string
	Means  string
}

// Legend returns the shapes that are in a chart, the versions' first.
func (c Control) Legend(ascii bool) []Sign {
	s := shapesFor(ascii)
	seen, flags := make([][2]bool, len(c.Versions)), [flagCount]bool{}
	for _, p := range c.Points {
		flags[p.Flag] = true
		if p.Flag <= Judged {
			seen[p.Version][p.Flag] = true
		}
	}
	var out []Sign
	for v, has := range seen {
		signs, name := s.versions[v%len(s.versions)], c.Versions[v].Name
		switch {
		case has[Unjudged] && !c.Versions[v].Known:
			out = append(out, Sign{string(signs[0]), name + ", not judged"})
		case has[Unjudged] && has[Judged]:
			out = append(out, Sign{string(signs[0]) + " " + string(signs[1]), name + ", baseline and judged"})
		case has[Unjudged]:
			out = append(out, Sign{string(signs[0]), name + ", baseline"})
		case has[Judged]:
			out = append(out, Sign{string(signs[1]), name})
		}
	}
	beyond := ""
	for _, f := range []Flag{Above, Below} {
		if flags[f] {
			beyond += string(s.flags[f]) + " "
		}
	}
	if beyond != "" {
		out = append(out, Sign{beyond[:len(beyond)-1], "beyond the limits"})
	}
	if flags[OneSided] {
		out = append(out, Sign{string(s.flags[OneSided]), "long run on one side"})
	}
	if flags[Pattern] {
		out = append(out, Sign{string(s.flags[Pattern]), "other pattern, not claimed"})
	}
	return out
}

// The least columns and rows in which a chart is drawn.
const (
	leastChart   = 8
	leastPlotted = 3
)

// Chart draws a control chart: each value a point whose shape says its version
// and what is special about it, the limits of each version as lines, - and . in
// the middle, and a bar where another version begins. Values beyond the picture
// stand at its edge. With single each point has a column and the latest are
// shown, else as many points share a column as it takes to show all. What is
// too small for a chart is blank.
func Chart(width, height int, c Control, single bool, label func(float64) string, ascii bool) *Canvas {
	p := newPlot(width, height, c, single, label)
	if len(p.control.Points) > 0 {
		p.label(label)
		p.lines()
		p.points(shapesFor(ascii))
	}
	return p.Canvas
}

// Charted returns how many points, the latest, a chart of that size shows.
func Charted(width, height int, c Control, single bool, label func(float64) string) int {
	return len(newPlot(width, height, c, single, label).control.Points)
}

// plot is a chart being drawn.
type plot struct {
	*Canvas
	control   Control
	left, top int     // where the points begin
	rows      int     // of them
	low, high float64 // what the rows span
}

// newPlot returns the chart's measures, with the points that it shows: none
// where it is too small for any.
func newPlot(width, height int, c Control, single bool, label func(float64) string) plot {
	p := plot{Canvas: NewCanvas(width, height), control: c}
	if p.Width < leastChart || p.Height < leastPlotted {
		p.control.Points = nil
	}
	if len(p.control.Points) == 0 {
		return p
	}
	for _, v := range p.figures() {
		p.left = max(p.left, Width(label(v))+1)
	}
	if p.columns() < leastChart {
		p.left = 0
	}
	if n := len(c.Points) - p.columns(); single && n > 0 {
		p.control.Points = c.Points[n:]
	}
	if p.Height > 5 && p.changes() {
		p.top = 1
	}
	p.rows = p.Height - p.top
	p.span()
	return p
}

// changes reports whether another version begins among the points.
func (p *plot) changes() bool {
	for i := range p.control.Points {
		if p.begins(i) && i > 0 {
			return true
		}
	}
	return false
}

// begins reports whether point i is the first of a stretch of its version.
func (p *plot) begins(i int) bool {
	points := p.control.Points
	return i == 0 || points[i].Version != points[i-1].Version
}

// around is how far the picture reaches to each side of the centre, where the
// limits stand at 3: with limits of three sigma, four of them.
const around = 4

// span works out what the rows span: a third more than the limits to each side of
// the centre, or where no limits are known all values.
func (p *plot) span() {
	p.low, p.high = math.Inf(1), math.Inf(-1)
	for _, point := range p.control.Points {
		if v := p.control.Versions[point.Version]; v.Known {
			p.low, p.high = min(p.low, v.Centre-(v.Centre-v.Low)*around/3), max(p.high, v.Centre+(v.High-v.Centre)*around/3)
		}
	}
	if p.low > p.high {
		for _, point := range p.control.Points {
			p.low, p.high = min(p.low, point.Value), max(p.high, point.Value)
		}
	}
	if p.low >= p.high {
		p.low, p.high = p.low-1, p.high+1
	}
}

// row returns the row of a value; one beyond the picture is at its edge.
func (p *plot) row(v float64) int {
	share := (p.high - v) / (p.high - p.low)
	return p.top + int(max(0, min(share, 1))*float64(p.rows-1)+0.5)
}

// figures are the values that are written beside their rows: the latest limits,
// or what the picture spans where there are none.
func (p *plot) figures() []float64 {
	points := p.control.Points
	if latest := p.control.Versions[points[len(points)-1].Version]; latest.Known {
		return []float64{latest.High, latest.Low, latest.Centre}
	}
	p.span()
	return []float64{p.high, p.low}
}

// label writes the figures, where they have room.
func (p *plot) label(label func(float64) string) {
	for _, v := range p.figures() {
		if y := p.row(v); p.left > 1 && p.At(p.left-2, y).Rune == 0 {
			p.Right(p.left-1, y, label(v), Faint)
		}
	}
}

// columns is how many columns the points have.
func (p *plot) columns() int { return p.Width - p.left }

// column returns the column of point i: up to three apart where there is room.
func (p *plot) column(i int) int {
	n := len(p.control.Points)
	if n > p.columns() {
		return p.left + i*p.columns()/n
	}
	return p.left + i*min(p.columns()/n, 3)
}

// lines draws the limits, and where versions begin.
func (p *plot) lines() {
	named := 0 // up to which column names reach
	for i, point := range p.control.Points {
		x, v := p.column(i), p.control.Versions[point.Version]
		until := p.left + p.columns()
		if i+1 < len(p.control.Points) {
			until = max(p.column(i+1), x+1)
		}
		for ; v.Known && x < until; x++ {
			p.Set(x, p.row(v.Centre), '.', Faint)
			p.Set(x, p.row(v.High), '-', Faint)
			p.Set(x, p.row(v.Low), '-', Faint)
		}
	}
	for i, point := range p.control.Points {
		if !p.begins(i) || p.top == 0 {
			continue
		}
		x, name := p.column(i), p.control.Versions[point.Version].Name
		if x >= named && x+Width(name) <= p.Width {
			named = p.Text(x, 0, name, Faint) + 1
		}
		for y := p.top; i > 0 && y < p.Height; y++ {
			p.Set(x, y, '|', Faint)
		}
	}
}

// points draws the points, those of more importance over the others.
func (p *plot) points(s shapes) {
	for f := range Flag(flagCount) {
		for i, point := range p.control.Points {
			if point.Flag == f {
				p.Set(p.column(i), p.row(point.Value), s.of(point), flagRoles[f])
			}
		}
	}
}
