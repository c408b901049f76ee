package live

import (
	"strconv"
	"time"

	"barline/brew/drift"
	"barline/tui/draw"
)

// drawMark tells what the latest key did, or how the last mark fell; to the
// right, which beat waits. Where there is no room for both, the key's answer
// gives way to the beat that waits when it has been read.
func (p Page) drawMark(c *draw.Canvas, l layout, s scene) {
	b := l[markPart]
	if b.h == 0 {
		return
	}
	if warning := p.warning(); warning != "" && l[titlePart].h == 0 && l[helpPart].h == 0 {
		c.Text(b.x, b.y, draw.Fit(warning, b.w), draw.Caution)
		return
	}
	n, fresh := p.answer()
	waits := p.waits(s)
	switch {
	case n.text == "" && waits == "" && l[helpPart].h == 0:
		c.Help(b.y, p.runningKeys())
	case draw.Width(n.text)+2+draw.Width(waits) <= b.w:
		c.Text(b.x, b.y, n.text, n.role)
		c.Right(b.w, b.y, waits, draw.Plain)
	case waits != "" && !fresh:
		c.Text(b.x, b.y, draw.Fit(waits, b.w), draw.Plain)
	default:
		c.Text(b.x, b.y, draw.Fit(n.text, b.w), n.role)
	}
}

// answer returns what the latest key did, else how the last mark fell, and
// whether that is news.
func (p Page) answer() (n notice, fresh bool) {
	n = p.notice
	fresh = n.at > 0 && p.now-n.at < noticeFor
	if n.text == "" || !fresh {
		n = p.judged(p.latest())
	}
	return n, fresh
}

// judged is the notice that tells how a beat was marked, with a box that
// fills when the record holds it. Without a beat it is empty. A long name is
// cut, so that the figure is not.
func (p Page) judged(lane, beat int) notice {
	if beat < 0 {
		return notice{}
	}
	box := "[x] "
	if p.isHollow(lane, beat) {
		box = "[ ] "
	}
	l := p.timeline.Lane(lane)
	w := drift.OfMark(l, beat)
	name := lead(p.name(lane)) + l.Plan().Beats[beat].Name
	name = draw.Fit(name, p.width-draw.Width(box+" "+w.String()))
	return notice{box + name + " " + w.String(), verdictRole(w.Cup), p.now}
}

// waits says which beat was called and waits for its mark.
func (p Page) waits(s scene) string {
	w := p.pending(s.at)
	if w.beat < 0 {
		return ""
	}
	name := lead(p.name(w.lane)) + p.opt.Plans[w.lane].Beats[w.beat].Name
	rest := ", for " + Countdown(w.since.Truncate(time.Second))
	if w.more > 0 {
		rest += ", and " + strconv.Itoa(w.more) + " more"
	}
	const word = "pending: "
	return word + draw.Fit(name, p.width-draw.Width(word+rest)) + rest
}

// drawFoot draws the line being typed, the question being asked, or the keys.
func (p Page) drawFoot(c *draw.Canvas, l layout) {
	b := l[helpPart]
	if p.asking != nothing {
		y := p.height - 1 // a question must be seen on any screen
		drawOver(c, y, "", []string{""}, draw.Plain)
		p.drawQuestion(c, y)
		return
	}
	warning := p.warning()
	switch {
	case b.h == 0:
	case warning != "" && l[titlePart].h == 0:
		c.Text(0, b.y, draw.Fit(warning, p.width), draw.Caution)
	default:
		c.Help(b.y, p.runningKeys())
	}
}

// drawQuestion draws what the page asks for.
func (p Page) drawQuestion(c *draw.Canvas, y int) {
	switch p.asking {
	case leaving:
		yes := p.opt.Keys.Yes.Help().Key
		c.Text(0, y, fitting(p.width,
			"Stop the brew? "+yes+" stops it, any other key goes on",
			"Stop? "+yes+" stops it, any other key goes on",
			"Stop? "+yes+", or go on"), draw.Caution)
	case reason:
		drawInput(c, y, fitting(p.width/2, "why stopped (enter leaves it out): ", "why stopped: ", "why: "), p.input)
	case noting:
		drawInput(c, y, "note: ", p.input)
	}
}
