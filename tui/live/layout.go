package live

import (
	"slices"
	"strings"
	"time"

	"barline/brew"
	"barline/tui/draw"
)

// box is a rectangle of cells; one without height is not drawn.
type box struct{ x, y, w, h int }

// bottom returns the row behind the box.
func (b box) bottom() int { return b.y + b.h }

// part is one of the things on the live page.
type part int

// The parts, from above.
const (
	titlePart part = iota
	gapTitle
	clockPart // clock to the left, weight to the right
	gapClock
	actionPart // action to the left, seconds to the right
	gapAction
	detailPart
	nextPart
	carePart
	gapCare
	linePart // the timeline
	gapLine
	markPart
	helpPart
	parts
)

// layout is where everything stands. It follows from the size and from the
// longest texts the brew will ever show, never from the moment, so that
// nothing moves while a person reads it.
type layout [parts]box

// needs are the longest texts of a brew.
type needs struct {
	clock, weight, left string // in large figures
	words               []string
	prompts             []need
}

// need is the prompt of a cue with what must stand beside it.
type need struct {
	lead   string // whose it is
	prompt string
}

// needed gathers what the lanes of the page will ever show.
func (p Page) needed() needs {
	n := needs{clock: "0:00", weight: "00%", words: []string{string(waitWord)}, left: "00 s"}
	longer := func(text *string, other string) {
		if draw.FiguresWidth(compact(other), draw.Tall) > draw.FiguresWidth(compact(*text), draw.Tall) {
			*text = other
		}
	}
	for i, plan := range p.opt.Plans {
		longer(&n.clock, brew.Clock(plan.End+brew.FinishAfter))
		end := time.Duration(0)
		for _, c := range plan.Cues {
			longer(&n.left, Countdown(c.Start-end)) // the gap before it
			end = max(end, c.End)
			if c.OnScale {
				longer(&n.weight, compact(weight(c.Scale)))
			}
			n.words = append(n.words, word(c.Action))
			longer(&n.left, Countdown(c.Length()))
			n.prompts = append(n.prompts, need{p.name(i), c.Prompt})
		}
	}
	return n
}

// clockFits reports whether the clock and the weight fit beside each other in
// figures of a height. Small figures do without the weight's unit if need be.
func (n needs) clockFits(width, height int, ascii bool) bool {
	fits := func(weight string) bool {
		return draw.FaceFor(n.clock+" "+weight, width, height, ascii) == draw.Face(height)
	}
	return fits(n.weight) || height == int(draw.Short) && fits(bare(n.weight))
}

// bare is a weight without its unit.
func bare(weight string) string { return strings.TrimRight(weight, " g") }

// wordFits reports whether any of the words fits in figures of a height; those
// that do not are smaller.
func (n needs) wordFits(width, height int, ascii bool) bool {
	return slices.ContainsFunc(n.words, func(w string) bool { return draw.FaceFor(w, width, height, ascii) == draw.Face(height) })
}

// A brew that runs late can need this much more for a time than its plan
// does.
const slack = "0"

// detailRows returns how many rows the prompt takes with the time it is to be
// done by: one where both always fit, else some for the prompt and one for
// the time.
func (n needs) detailRows(width int) int {
	return n.rows(width, func(p need) string { return lead(p.lead) + p.prompt + ", by " + n.clock + slack })
}

// nextRows returns how many rows the coming prompt takes with the time to it.
func (n needs) nextRows(width int) int {
	return n.rows(width, func(p need) string { return "next in " + n.left + slack + comma(p.lead) + ": " + p.prompt })
}

func (n needs) rows(width int, whole func(need) string) int {
	rows := 1
	for _, p := range n.prompts {
		if draw.Width(whole(p)) > width {
			rows = max(rows, 1+len(draw.Wrap(p.prompt, width)))
		}
	}
	return rows
}

// lead and comma put a lane's name before or behind something, and nothing
// where there is none.
func lead(name string) string {
	if name == "" {
		return ""
	}
	return name + ": "
}

func comma(text string) string {
	if text == "" {
		return ""
	}
	return ", " + text
}

// wish is a height that a part should have.
type wish struct {
	part part
	rows int
}

const (
	whole = 0  // what the part's text takes
	rest  = -1 // all that is left

	tallestLine = 24 // rows of timeline that are of use
)

// wishes lists what a screen shows, the most important first: each is granted
// if there are rows left for it. The action, how much, by when and what comes
// next are whole down to 40 by 12; below that, clock and action stay.
var wishes = []wish{
	{clockPart, 1}, {actionPart, 1}, {detailPart, 1}, {nextPart, 1}, {detailPart, whole}, {nextPart, whole},
	{clockPart, 3}, {actionPart, 3}, {markPart, 1}, {linePart, 1}, {helpPart, 1}, {gapClock, 1}, {linePart, 2},
	{titlePart, 1}, {carePart, 1}, {linePart, 4},
	{clockPart, 5}, {actionPart, 5}, {linePart, 7},
	{gapAction, 1}, {carePart, 2}, {gapCare, 1}, {gapTitle, 1}, {linePart, 10},
	{clockPart, 10}, {actionPart, 10}, {gapLine, 1}, {linePart, 14},
	{clockPart, 15}, {actionPart, 15}, {clockPart, 20}, {actionPart, 20},
	{linePart, rest},
}

// lay places everything on a screen.
func lay(width, height int, n needs, ascii bool) layout {
	var rows [parts]int
	free := height
	for _, w := range wishes {
		want := w.rows
		switch {
		case w.part == detailPart && want == whole:
			want = min(n.detailRows(width), rows[detailPart]+free)
		case w.part == nextPart && want == whole:
			want = min(n.nextRows(width), rows[nextPart]+free)
		case w.part == clockPart && !n.clockFits(width, want, ascii),
			w.part == actionPart && (want > rows[clockPart] || !n.wordFits(width, want, ascii)):
			continue
		case want == rest:
			want = rows[w.part] + free
		}
		if w.part == linePart {
			want = min(want, tallestLine)
		}
		if more := want - rows[w.part]; more > 0 && more <= free {
			rows[w.part] += more
			free -= more
		}
	}
	return stack(width, height, rows)
}

// stack puts the parts below each other, the last two at the foot.
func stack(width, height int, rows [parts]int) layout {
	var l layout
	y := 0
	for p := range parts {
		if p == markPart {
			y = height - rows[markPart] - rows[helpPart]
		}
		l[p] = box{0, y, width, rows[p]}
		y += rows[p]
	}
	return l
}
