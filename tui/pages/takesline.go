package pages

import (
	"time"

	"barline/brew"
	"barline/brew/routine"
	"barline/tui/draw"
)

// lineSigns are what stands for a mark of the hands, of what is said, of the
// bed and for the call of time.
var lineSigns = map[bool]map[routine.Voice]rune{
	false: {routine.OfHands: '●', routine.OfTalk: '○', routine.OfBed: '▪', routine.OfCall: '◆'},
	true:  {routine.OfHands: '@', routine.OfTalk: 'o', routine.OfBed: '#', routine.OfCall: '*'},
}

// lineLegend says what the signs mean.
func lineLegend(ascii bool) string {
	s := lineSigns[ascii]
	return string(s[routine.OfHands]) + " hands  " + string(s[routine.OfTalk]) + " talk  " + string(s[routine.OfBed]) + " bed  " + string(s[routine.OfCall]) + " time"
}

// lineLeft is the width of the figures beside the picture.
const lineLeft = 8

// drawLine draws the drift that built up through a take: time runs left to
// right as it is written, what stands above the line was late.
func (t Takes) drawLine(c *draw.Canvas, r routine.Result) {
	points := r.Line()
	c.Text(0, 0, draw.Fit("drift of the take, late above the line", c.Width), draw.Faint)
	if legend := lineLegend(t.ascii); draw.Width(legend)+42 <= c.Width {
		c.Right(c.Width, 0, legend, draw.Faint)
	}
	p := plotOf(points, r, c.Width, c.Height)
	if p.height < 3 || p.width < 10 || len(points) == 0 {
		return
	}
	p.frame(c)
	for i, section := range r.Plan.Sections {
		if x := p.x(section.Start); i > r.Options.From && i <= r.Options.To {
			for y := 1; y <= p.height; y++ {
				c.Set(x, y, '|', draw.Faint)
			}
		}
	}
	for x := lineLeft; x < lineLeft+p.width; x++ {
		c.Set(x, p.y(0), '-', draw.Faint)
	}
	for i := range points[1:] {
		p.join(c, points[i], points[i+1])
	}
	for _, at := range points {
		c.Set(p.x(at.Written), p.y(at.Drift), lineSigns[t.ascii][at.Voice], draw.Strong)
	}
}

// join draws the way from one point to the next.
func (p plot) join(c *draw.Canvas, a, b routine.Point) {
	from, to := p.x(a.Written), p.x(b.Written)
	for x := from + 1; x < to; x++ {
		share := float64(x-from) / float64(to-from)
		c.Set(x, p.y(a.Drift+time.Duration(share*float64(b.Drift-a.Drift))), '.', draw.Free)
	}
}

// plot maps times and drifts to cells.
type plot struct {
	from, to      time.Duration // written
	low, high     time.Duration // drift
	width, height int
}

// plotOf fits a picture around points, zero among them; at the least two
// seconds of drift are shown.
func plotOf(points []routine.Point, r routine.Result, width, height int) plot {
	p := plot{from: r.Began, to: r.Plan.Sections[r.Options.To].End, low: -time.Second, high: time.Second, width: width - lineLeft, height: height - 2}
	for _, at := range points {
		p.low, p.high = min(p.low, at.Drift), max(p.high, at.Drift)
	}
	return p
}

func (p plot) x(at time.Duration) int {
	share := float64(at-p.from) / float64(max(p.to-p.from, 1))
	return lineLeft + max(min(int(share*float64(p.width-1)+0.5), p.width-1), 0)
}

func (p plot) y(drift time.Duration) int {
	share := float64(p.high-drift) / float64(p.high-p.low)
	return 1 + max(min(int(share*float64(p.height-1)+0.5), p.height-1), 0)
}

// frame writes the figures: the largest and the least drift and zero, and the
// clock below.
func (p plot) frame(c *draw.Canvas) {
	for _, d := range []time.Duration{p.low, p.high, 0} {
		c.Right(lineLeft-1, p.y(d), draw.Fit(brew.Signed(d), lineLeft-1), draw.Faint)
	}
	last := -10
	for at := p.from; at <= p.to; at += time.Minute {
		if x := p.x(at); x-last >= 7 && x+4 <= c.Width {
			c.Text(x, c.Height-1, brew.Clock(at), draw.Faint)
			last = x
		}
	}
}
