package draw

import (
	"math"
	"strconv"
)

// PlanePoint is a point of a plane, with how far it may be off to each side.
type PlanePoint struct{ X, Y, UX, UY float64 }

// Plane is points in a plane: what was before, what is aimed at, what is now,
// and a box with a name. Figures are in the axes' units.
type Plane struct {
	Past         []PlanePoint
	Aim          *PlanePoint // one coordinate of 0 makes it a line; nil for none
	Now          *PlanePoint // nil for none
	Low, High    PlanePoint  // corners of the box
	Box          string      // its name
	XName, YName string      // of the axes
}

// planeSigns are the characters of a plane: its shapes have meanings that do
// not rest on colour.
type planeSigns struct{ past, aim, now rune }

var (
	blockPlane = planeSigns{'○', 'X', '●'}
	asciiPlane = planeSigns{'o', 'X', '@'}
)

func planeSignsFor(ascii bool) planeSigns {
	if ascii {
		return asciiPlane
	}
	return blockPlane
}

// Legend returns the shapes that are in a plane.
func (p Plane) Legend(ascii bool) []Sign {
	s := planeSignsFor(ascii)
	var out []Sign
	if p.Now != nil {
		out = append(out, Sign{string(s.now), "this cup (= its ±)"})
	}
	if p.Aim != nil {
		out = append(out, Sign{string(s.aim), "aim"})
	}
	if len(p.Past) > 0 {
		out = append(out, Sign{string(s.past), "before"})
	}
	return out
}

// The least columns and rows in which a plane is drawn.
const (
	leastPlaneWidth  = 20
	leastPlaneHeight = 7
)

// PlaneFits reports whether a plane of a size is drawn at all.
func PlaneFits(width, height int) bool { return width >= leastPlaneWidth && height >= leastPlaneHeight }

// Draw draws a plane: the box as an outline with its name, the points as
// shapes, the point of now with bars as long as it may be off, figures along
// both axes. The picture holds every point. What is too small for one is blank.
func (p Plane) Draw(width, height int, ascii bool) *Canvas {
	v := p.view(width, height)
	if !PlaneFits(width, height) {
		return v.Canvas
	}
	v.axes(p)
	v.box(p)
	s := planeSignsFor(ascii)
	for _, at := range p.Past {
		v.Set(v.column(at.X), v.row(at.Y), s.past, Faint)
	}
	v.name(p)
	if p.Aim != nil {
		v.aim(*p.Aim, s.aim)
	}
	if p.Now != nil {
		v.now(*p.Now, s.now)
	}
	return v.Canvas
}

// planeView is a plane being drawn: what its columns and rows span.
type planeView struct {
	*Canvas
	left, top    int // where the points begin: below the name of their axis
	rows         int // of them
	x, y         [2]float64
	xStep, yStep float64 // between figures
}

// view works out what the picture spans: room around the box, and all points.
func (p Plane) view(width, height int) planeView {
	v := planeView{Canvas: NewCanvas(width, height), left: 5, top: 1, rows: height - 2}
	v.x = [2]float64{2*p.Low.X - p.High.X, 2*p.High.X - p.Low.X}
	room := 1.5 * (p.High.Y - p.Low.Y)
	if v.rows < fewRows {
		room /= 2
	}
	v.y = [2]float64{p.Low.Y - room, p.High.Y + room}
	hold := func(at PlanePoint) {
		for span, x := range map[*[2]float64]float64{&v.x: at.X, &v.y: at.Y} {
			if room := (span[1] - span[0]) / 20; x != 0 {
				span[0], span[1] = math.Min(span[0], x-room), math.Max(span[1], x+room)
			}
		}
	}
	for _, at := range p.Past {
		hold(at)
	}
	for _, at := range []*PlanePoint{p.Aim, p.Now} {
		if at != nil {
			hold(*at)
		}
	}
	v.xStep = stepFor(v.x[1]-v.x[0], (width-v.left)/6)
	v.yStep = stepFor(v.y[1]-v.y[0], max(v.rows/3, 3)) // two figures at the least
	return v
}

// fewRows is below how many there is less room around the box, so that a row
// stands for less.
const fewRows = 8

// stepFor returns the least of 1, 2 and 5 by powers of ten that divides a span
// into at most so many parts.
func stepFor(span float64, most int) float64 {
	least := span / float64(max(most, 1))
	ten := math.Pow(10, math.Floor(math.Log10(least)))
	for _, by := range []float64{1, 2, 5} {
		if ten*by >= least {
			return ten * by
		}
	}
	return ten * 10
}

// column and row return the cell of a coordinate; one beyond the picture is at
// its edge.
func (v planeView) column(x float64) int {
	return v.left + cellOf((x-v.x[0])/(v.x[1]-v.x[0]), v.Width-v.left)
}

func (v planeView) row(y float64) int {
	return v.top + cellOf((v.y[1]-y)/(v.y[1]-v.y[0]), v.rows)
}

func cellOf(share float64, cells int) int {
	return int(max(0, min(share, 1))*float64(cells-1) + 0.5)
}

// axes writes the figures along the axes and the axes' names.
func (v planeView) axes(p Plane) {
	for y := math.Ceil(v.y[0]/v.yStep) * v.yStep; y <= v.y[1]; y += v.yStep {
		v.Right(v.left-1, v.row(y), figureOf(y, v.yStep), Faint)
	}
	free := v.left
	last := v.Width - Width(p.XName) - 1
	for x := math.Ceil(v.x[0]/v.xStep) * v.xStep; x <= v.x[1]; x += v.xStep {
		text := figureOf(x, v.xStep)
		if at := v.column(x) - Width(text)/2; at >= free && at+Width(text) < last {
			free = v.Text(at, v.Height-1, text, Faint) + 1
		}
	}
	v.Right(v.Width, v.Height-1, p.XName, Faint)
	v.Text(v.left, 0, p.YName, Faint)
}

// figureOf writes a figure of an axis, to the decimals that its step has.
func figureOf(x, step float64) string {
	decimals := 0
	for ; decimals < 3 && math.Abs(math.Round(step)-step) > 1e-9; decimals++ {
		step *= 10
	}
	return strconv.FormatFloat(x, 'f', decimals, 64)
}

// box draws the box's outline and its name.
func (v planeView) box(p Plane) {
	left, right := v.column(p.Low.X), v.column(p.High.X)
	top, bottom := v.row(p.High.Y), v.row(p.Low.Y)
	for x := left; x <= right; x++ {
		v.Set(x, top, '-', Faint)
		v.Set(x, bottom, '-', Faint)
	}
	for y := top; y <= bottom; y++ {
		edge := '|'
		if y == top || y == bottom {
			edge = '+'
		}
		v.Set(left, y, edge, Faint)
		v.Set(right, y, edge, Faint)
	}
}

// name writes the box's name into its lower edge, or below it.
func (v planeView) name(p Plane) {
	left, right, y := v.column(p.Low.X), v.column(p.High.X), v.row(p.Low.Y)
	if right-left > Width(p.Box)+2 {
		v.Text(left+2, y, p.Box, Faint)
	} else if y+1 < v.top+v.rows {
		v.Text(left, y+1, p.Box, Faint)
	}
}

// aim draws what is aimed at: a point, or a line of them.
func (v planeView) aim(at PlanePoint, sign rune) {
	switch {
	case at.X == 0:
		for x := v.left; x < v.Width; x += 4 {
			v.Set(x, v.row(at.Y), sign, Water)
		}
	case at.Y == 0:
		for y := v.top; y < v.top+v.rows; y += 2 {
			v.Set(v.column(at.X), y, sign, Water)
		}
	default:
		v.Set(v.column(at.X), v.row(at.Y), sign, Water)
	}
}

// now draws the point of now over all others, with its bars.
func (v planeView) now(at PlanePoint, sign rune) {
	x, y := v.column(at.X), v.row(at.Y)
	for i := v.column(at.X - at.UX); i <= v.column(at.X+at.UX); i++ {
		v.Set(i, y, '=', Now)
	}
	for i := v.row(at.Y + at.UY); i <= v.row(at.Y-at.UY); i++ {
		v.Set(x, i, ':', Now)
	}
	v.Set(x, y, sign, Strong)
}
