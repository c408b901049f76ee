package page

import (
	"fmt"
	"math"
	"strings"

	"barline/brew/drift"
)

// area is where a control chart's values lie in its picture.
type area struct {
	width, height            float64
	left, right, top, bottom float64
	from, to                 int     // the first value drawn, and the one behind the last
	low, high                float64 // the values at the bottom and at the top
}

// from returns the first value that is drawn: the latest 2,000 are.
func (c chart) from() int { return max(0, len(c.series.Values)-drift.Latest) }

// area makes room for the limits and for what lies within nine sigma of the
// centre; without limits for all.
func (c chart) area() area {
	a := area{width: 720, left: 40, right: 672, top: 22, bottom: 192, height: 233, from: c.from(), to: len(c.series.Values)}
	a.low, a.high = math.Inf(1), math.Inf(-1)
	for _, v := range c.versions {
		for _, i := range v.Points {
			x := c.series.Values[i]
			if i >= a.from && (v.Withheld != "" || math.Abs(v.Limits.Z(x)) <= 9) {
				a.low, a.high = min(a.low, x), max(a.high, x)
			}
		}
		if v.Withheld == "" {
			a.low, a.high = min(a.low, v.Limits.Low), max(a.high, v.Limits.High)
		}
	}
	if span := a.high - a.low; span < 0.5 || math.IsInf(span, 0) || math.IsNaN(span) {
		middle := c.series.Values[len(c.series.Values)-1]
		a.low, a.high = middle-1, middle+1
	}
	return a
}

// below moves the area below rows of brackets; above leaves room for rows of
// the legend under it.
func (a area) below(rows int) area {
	by := 13 * float64(rows)
	a.top, a.bottom, a.height = a.top+by, a.bottom+by, a.height+by
	return a
}

func (a area) above(rows int) area {
	a.height += 15 * float64(rows)
	return a
}

func (a area) x(i int) float64 {
	return a.left + 6 + (float64(i-a.from)+0.5)/float64(a.to-a.from)*(a.right-a.left-12)
}

// y returns where a value lies; what is beyond the picture lies on its edge.
func (a area) y(v float64) float64 {
	share := (v - a.low) / (a.high - a.low)
	return a.bottom - 6 - max(0, min(share, 1))*(a.bottom-a.top-12)
}

// holds reports whether a value is in the picture.
func (a area) holds(v float64) bool { return a.low <= v && v <= a.high }

// frame draws the window, the scale and the days.
func (p *paper) frame(c chart, a area) {
	if w := c.series.Column.Window; c.series.Column.HasWindow {
		top, bottom := a.y(w.Late.Seconds()), a.y(-w.Early.Seconds())
		p.box("band", a.left, top, a.right-a.left, bottom-top)
	}
	step := stepOf(a.high - a.low)
	for k := math.Ceil(a.low / step); k*step <= a.high; k++ {
		p.line("rule", a.left, a.y(k*step), a.right, a.y(k*step))
		p.label("faint end", a.left-5, a.y(k*step)+4, scaled(k*step, step))
	}
	p.label("faint start", 2, a.top-6, c.series.Unit())
	p.line("edge", a.left, a.bottom, a.right, a.bottom)
	const days = 6
	last := -1
	for k := range days {
		i := a.from + k*(a.to-1-a.from)/(days-1)
		if i == last {
			continue
		}
		last = i
		anchor := "middle"
		switch k {
		case 0:
			anchor = "start"
		case days - 1:
			anchor = "end"
		}
		p.line("tick", a.x(i), a.bottom, a.x(i), a.bottom+4)
		p.label("faint "+anchor, a.x(i), a.bottom+28, c.series.Start(i).Format("2 Jan 2006"))
	}
}

// stepOf returns a step of 1, 2 or 5 times a power of ten that parts a span
// into three to seven.
func stepOf(span float64) float64 {
	step := math.Pow(10, math.Floor(math.Log10(span/3)))
	for _, k := range []float64{5, 2} {
		if span/(k*step) >= 3 {
			return k * step
		}
	}
	return step
}

// scaled writes a figure of the scale as finely as its step is.
func scaled(v, step float64) string {
	finest := max(0, int(math.Ceil(-math.Log10(step)-1e-9)))
	text := fmt.Sprintf("%+.*f", finest, v)
	if math.Abs(v) < step/2 {
		return "0"
	}
	return strings.Replace(text, "-", "−", 1)
}

// limits draws each version's limits over its own brews, its baseline below
// and, where there are several versions, where each begins.
func (p *paper) limits(c chart, a area) {
	for n, v := range c.versions {
		first, last := v.Points[0], v.Points[len(v.Points)-1]
		if last < a.from {
			continue
		}
		if first = max(first, a.from); n > 0 {
			p.line("split", a.x(first)-1, a.top, a.x(first)-1, a.bottom)
		}
		if v.Withheld != "" {
			continue
		}
		for class, at := range [...]float64{v.Limits.Low, v.Limits.Centre, v.Limits.High} {
			p.line([...]string{"limit", "centre", "limit"}[class], a.x(first)-3, a.y(at), a.x(last)+3, a.y(at))
		}
		if from, to := v.Points[v.From], v.Points[v.Judge-1]; to >= a.from {
			x1, x2 := a.x(max(from, a.from))-2, a.x(to)+2
			p.path("centre", at(x1, a.bottom+5)+"v6H"+places(x2)+"v-6")
			if n == len(c.versions)-1 {
				p.label("faint start", x2+4, a.bottom+14, "baseline")
			}
		}
	}
	p.limitLabels(c.newest(), a)
}

func (p *paper) limitLabels(v drift.Chart, a area) {
	if v.Withheld != "" {
		return
	}
	low, centre, high := a.y(v.Limits.Low), a.y(v.Limits.Centre), a.y(v.Limits.High)
	p.label("late start", a.right+4, high+4, amount(v.Limits.High))
	p.label("late start", a.right+4, low+4, amount(v.Limits.Low))
	if low-centre > 12 && centre-high > 12 {
		p.label("faint start", a.right+4, centre+4, amount(v.Limits.Centre))
	}
}

// points draws the values, each version's by its own shape; what is outside the
// limits has a cross over it, and what completes a rule a tick below.
func (p *paper) points(c chart, a area) {
	var out, ticks, beyond strings.Builder
	for n, v := range c.versions {
		older := len(c.versions) - 1 - n
		sign := shapes[older%len(shapes)]
		var dots strings.Builder
		for k, i := range v.Points {
			if i < a.from {
				continue
			}
			value := c.series.Values[i]
			x, y := a.x(i), a.y(value)
			switch judged := k >= v.Judge && v.Withheld == ""; {
			case !a.holds(value):
				beyond.WriteString(arrow(x, y, value > a.high))
			case judged && v.Limits.Out(value):
				out.WriteString(cross(x, y))
				fallthrough
			default:
				dots.WriteString(sign(x, y))
			}
			if k >= v.Judge && v.Withheld == "" && v.Rules[k-v.Judge] != 0 {
				ticks.WriteString(at(x, a.bottom-5) + "v5")
			}
		}
		p.path(dotted(older), dots.String())
	}
	p.path("out", out.String())
	p.path("beyond", beyond.String())
	p.path("tick", ticks.String())
}

// arrow points to a value beyond the picture.
func arrow(x, y float64, up bool) string {
	if up {
		return at(x, y-5) + "l4 7h-8z"
	}
	return at(x, y+5) + "l4 -7h-8z"
}
