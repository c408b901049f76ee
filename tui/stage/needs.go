package stage

import (
	"slices"
	"strings"
	"time"

	"barline/brew"
	"barline/tui/draw"
)

// Needs are the longest texts that a page will ever show. The zero Needs wants
// room for nothing: begin with LeastNeeds.
type Needs struct {
	Badge, Clock, Weight, Left string // in large figures
	Words                      []string
	Prompts                    []Need
	Below                      int // rows of the page's own
	Lanes                      int // rows of timeline that are of use before larger figures than the usual are; 0 for the usual
}

// Need is a prompt with what must stand beside it.
type Need struct {
	Lane   string // whose it is
	Prompt string
}

// LeastNeeds is what a page without any cue shows.
func LeastNeeds() Needs {
	return Needs{Clock: "0:00", Weight: "00%", Words: []string{string(WaitWord)}, Left: "00 s"}
}

// WithPlan returns the needs of a page that brews a plan, too, in a lane.
func (n Needs) WithPlan(lane string, plan *brew.Plan) Needs {
	n.Words, n.Prompts = slices.Clip(n.Words), slices.Clip(n.Prompts)
	n.Clock = wider(n.Clock, brew.Clock(plan.End+brew.FinishAfter))
	end := time.Duration(0)
	for _, c := range plan.Cues {
		n.Left = wider(n.Left, Countdown(c.Start-end)) // the gap before it
		end = max(end, c.End)
		if c.OnScale {
			n.Weight = wider(n.Weight, compact(Weight(c.Scale)))
		}
		n.Words = append(n.Words, Word(c.Action))
		n.Left = wider(n.Left, Countdown(c.Length()))
		n.Prompts = append(n.Prompts, Need{lane, c.Prompt})
	}
	return n
}

// wider returns the one of two texts that takes more room in large figures.
func wider(text, other string) string {
	if draw.FiguresWidth(compact(other), draw.Tall) > draw.FiguresWidth(compact(text), draw.Tall) {
		return other
	}
	return text
}

// clockFits reports whether the clock and the weight fit beside each other in
// figures of a height. Small figures, and those behind a badge, do without the
// weight's unit if need be.
func (n Needs) clockFits(width, height int, ascii bool) bool {
	fits := func(weight string) bool {
		return faceFor(n.Badge, n.Clock+" "+weight, width, height, ascii) == draw.Face(height)
	}
	return fits(n.Weight) || (height == int(draw.Short) || n.Badge != "") && fits(bare(n.Weight))
}

// faceFor is draw.FaceFor for a text with a badge before it.
func faceFor(badge, text string, width, height int, ascii bool) draw.Face {
	f := draw.FaceFor(text, width, height, ascii)
	for f > draw.Line && badgeWidth(badge, f)+draw.FiguresWidth(text, f) > width {
		f = draw.FaceFor(text, width, int(f)-1, ascii)
	}
	return f
}

// badgeWidth returns how many columns a badge takes before a text in a face:
// it stands twice as far from it as two figures do.
func badgeWidth(badge string, f draw.Face) int {
	switch {
	case badge == "":
		return 0
	case f < draw.Short:
		return draw.Width(badge) + 1
	}
	return draw.FiguresWidth(badge, f) + max(2, 4*int(f/draw.Tall))
}

// badgeRoom returns how many columns a badge takes of a width, before the
// longest of the texts that fit beside it: up to a figure more than it needs, so
// that '1 0:21' is not read as 10:21.
func badgeRoom(badge string, width int, f draw.Face, texts ...string) int {
	least := badgeWidth(badge, f)
	if badge == "" || f < draw.Short {
		return least
	}
	free := draw.FiguresWidth("0", f)
	for _, text := range texts {
		if spare := width - least - draw.FiguresWidth(text, f); spare >= 0 {
			free = min(free, spare)
		}
	}
	return least + free
}

// bare is a weight without its unit.
func bare(weight string) string { return strings.TrimRight(weight, " g") }

// wordFits reports whether any of the words fits in figures of a height; those
// that do not are smaller.
func (n Needs) wordFits(width, height int, ascii bool) bool {
	return slices.ContainsFunc(n.Words, func(w string) bool { return draw.FaceFor(w, width, height, ascii) == draw.Face(height) })
}

// A brew that runs late can need this much more for a time than its plan
// does.
const slack = "0"

// detailRows returns how many rows the prompt takes with the time it is to be
// done by: one where both always fit, else some for the prompt and one for
// the time.
func (n Needs) detailRows(width int) int {
	return n.rows(width, func(p Need) string { return Lead(p.Lane) + p.Prompt + ", by " + n.Clock + slack })
}

// nextRows returns how many rows the coming prompt takes with the time to it.
func (n Needs) nextRows(width int) int {
	return n.rows(width, func(p Need) string { return "next in " + n.Left + slack + comma(p.Lane) + ": " + p.Prompt })
}

func (n Needs) rows(width int, whole func(Need) string) int {
	rows := 1
	for _, p := range n.Prompts {
		if draw.Width(whole(p)) > width {
			rows = max(rows, 1+len(draw.Wrap(p.Prompt, width)))
		}
	}
	return rows
}
