package live

import (
	"fmt"
	"strings"
	"time"

	"barline/brew"
	"barline/tui/draw"
)

// Draw returns the page on a canvas of its size.
func (p Page) Draw() *draw.Canvas {
	c := draw.NewCanvas(p.width, p.height)
	switch p.phase {
	case preparing:
		p.drawReady(c)
	case debriefing:
		p.drawDebrief(c)
	default:
		p.drawLive(c)
	}
	return c
}

func (p Page) drawLive(c *draw.Canvas) {
	l, s := p.layout(), p.scene()
	p.drawTitle(c, l[titlePart])
	p.drawClock(c, l, s)
	timed := p.drawAction(c, l[actionPart], s, l[detailPart].h > 1)
	p.drawDetail(c, l[detailPart], s, timed)
	p.drawNext(c, l[nextPart], s)
	if b := l[linePart]; b.h > 0 {
		c.Draw(0, b.y, draw.Timeline(b.w, b.h, p.picture(s.at), p.opt.Theme.ASCII))
	}
	p.drawMark(c, l, s)
	p.drawFoot(c, l)
	p.drawCare(c, l, s)
}

// layout returns where the parts of the live page stand.
func (p Page) layout() layout { return lay(p.width, p.height, p.needs, p.opt.Theme.ASCII) }

// drawTitle says what is brewed, by whom, and what is out of the ordinary.
// That the record fails stands before all else.
func (p Page) drawTitle(c *draw.Canvas, b box) {
	if b.h == 0 {
		return
	}
	left, role, right := p.opt.Title, draw.Plain, p.circumstances()
	if warning := p.warning(); warning != "" {
		left, role, right = warning, draw.Caution, p.opt.Title
	}
	end := c.Text(0, b.y, draw.Fit(left, p.width), role)
	if room := p.width - end - 2; room >= min(draw.Width(right), leastTitle) {
		c.Right(p.width, b.y, draw.Fit(right, room), draw.Faint)
	}
}

// leastTitle is how much of a text must be seen for it to be worth showing.
const leastTitle = 8

// warning says that the brew is not being saved, and why.
func (p Page) warning() string {
	if err := p.Unsaved(); err != nil {
		return "! not saved: " + strings.ReplaceAll(err.Error(), "\n", "; ")
	}
	return ""
}

// circumstances says by whom, of which kind and how fast.
func (p Page) circumstances() string {
	var words []string
	if p.opt.Kind != "" && p.opt.Kind != "service" {
		words = append(words, p.opt.Kind)
	}
	if p.opt.Speed != 1 {
		words = append(words, fmt.Sprintf("at speed %g", p.opt.Speed))
	}
	if p.opt.By != "" {
		words = append(words, "by "+p.opt.By)
	}
	return strings.Join(words, ", ")
}

// drawClock draws the clock and, to the right, the weight of this second or
// how far the press should be. On a screen of one row the action is there,
// too.
func (p Page) drawClock(c *draw.Canvas, l layout, s scene) {
	clock, role, b := brew.Clock(p.clock(s.at)), draw.Strong, l[clockPart]
	if p.asking == leaving {
		role = draw.Caution
	}
	if l[actionPart].h == 0 {
		clock += " " + s.word()
	}
	amount, ascii := s.amount(), p.opt.Theme.ASCII
	if draw.FaceFor(p.needs.clock+" "+p.needs.weight, b.w, b.h, ascii) < draw.Face(b.h) {
		amount = bare(amount)
	}
	f := draw.FaceFor(clock+" "+compact(amount), b.w, b.h, ascii) // smaller where it is later than was thought
	p.large(c, b, f, clock, role, f, amount, draw.Water)
}

// drawAction draws the action and, to the right, the seconds until it ends or
// until the next begins, and reports whether these found room. A long word is
// smaller, so that they do; where it would be no larger than the other rows,
// and they may stand in the row of details, they give way.
func (p Page) drawAction(c *draw.Canvas, b box, s scene, elsewhere bool) (timed bool) {
	if b.h == 0 {
		return false
	}
	role := draw.Now
	if _, on := s.cue(); !on {
		role = draw.Plain
	}
	tall, ascii := draw.Face(b.h), p.opt.Theme.ASCII
	room := b.w - draw.FiguresWidth(compact(p.needs.left), tall) - 2
	f := draw.FaceFor(s.word(), room, b.h, ascii)
	if f == draw.Line && elsewhere {
		f = draw.FaceFor(s.word(), b.w, b.h, ascii)
	}
	return p.large(c, b, f, s.word(), role, tall, s.left(), draw.Plain)
}

// large draws one text to the left and one to the right, both standing on the
// lowest row, and reports whether there was room for the right one. It is
// smaller where it is longer than was thought.
func (p Page) large(c *draw.Canvas, b box, f draw.Face, left string, leftRole draw.Role, g draw.Face, right string, rightRole draw.Role) bool {
	ascii := p.opt.Theme.ASCII
	end := figure(c, 0, b.bottom()-int(f), f, left, leftRole, ascii)
	if g = draw.FaceFor(compact(right), b.w-end-2, int(g), ascii); g > draw.Line {
		right = compact(right)
	}
	from := b.w - draw.FiguresWidth(right, g)
	if right == "" || end+1 > from {
		return false
	}
	figure(c, from, b.bottom()-int(g), g, right, rightRole, ascii)
	return true
}

// figure draws a text in a face and returns the column behind it.
func figure(c *draw.Canvas, x, y int, f draw.Face, text string, role draw.Role, ascii bool) int {
	if f == draw.Line {
		return c.Text(x, y, draw.Fit(text, c.Width-x), role)
	}
	r := draw.Figures(text, f, role, ascii)
	c.Draw(x, y, r)
	return x + r.Width
}

// drawDetail draws what to do and by when; timed is that the seconds left
// stand above it already.
func (p Page) drawDetail(c *draw.Canvas, b box, s scene, timed bool) {
	if b.h == 0 {
		return
	}
	left := s.left()
	if timed || left == "" {
		left = ""
	} else {
		left += " left"
	}
	for i, text := range s.details(b.w, b.h, left) {
		c.Text(b.x, b.y+i, text, draw.Strong)
	}
}

// drawNext says what comes next and in how long; just before, it stands out.
func (p Page) drawNext(c *draw.Canvas, b box, s scene) {
	if b.h == 0 {
		return
	}
	lines, role := s.nexts(b.w, b.h)
	for i, text := range lines {
		c.Text(b.x, b.y+i, text, role)
	}
}

// drawCare draws words of caution. What they need beyond their rows they take
// from the timeline; while their cue is still to come, from all below it, so
// that they can be read whole. Why a cue is done so may take the timeline's
// first row, whose clock is there in large figures.
func (p Page) drawCare(c *draw.Canvas, l layout, s scene) {
	text, role, ahead := s.care()
	b, end := l[carePart], l[linePart].bottom()
	if role != draw.Caution {
		rows := b.h
		if b.h > 0 && b.bottom() == l[linePart].y && l[linePart].h > 2 {
			rows++
		}
		drawOver(c, b.y, "", wrap(text, b.w, rows), role)
		return
	}
	if ahead {
		end = p.height
	}
	if p.asking != nothing {
		end = min(end, p.height-1)
	}
	drawOver(c, b.y, "! ", turned(draw.Wrap(text, b.w-2), end-b.y, s.at), role)
}

// drawOver draws lines instead of whatever stands there, the first one with a
// lead.
func drawOver(c *draw.Canvas, y int, lead string, lines []string, role draw.Role) {
	for i, line := range lines {
		for x := range c.Width {
			c.Set(x, y+i, 0, draw.Plain)
		}
		if i == 0 {
			c.Text(0, y, lead, role)
		}
		c.Text(draw.Width(lead), y+i, line, role)
	}
}

// turned returns those of the lines that are to be seen at a moment: n of them
// at a time, all of them one after the other.
func turned(lines []string, n int, at time.Duration) []string {
	if n <= 0 || len(lines) <= n {
		return lines[:min(len(lines), max(n, 0))]
	}
	pages := (len(lines) + n - 1) / n
	from := n * int(floorMod(at/turnAfter, time.Duration(pages)))
	return lines[from:min(from+n, len(lines))]
}

// turnAfter is how long it takes to read some lines.
const turnAfter = 4 * time.Second
