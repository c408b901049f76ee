package stage

import "barline/tui/draw"

// Box is a rectangle of cells; one without height is not drawn.
type Box struct{ X, Y, W, H int }

// Bottom returns the row behind the box.
func (b Box) Bottom() int { return b.Y + b.H }

// Part is one of the things on the stage.
type Part int

// The parts, from above.
const (
	TitlePart Part = iota
	gapTitle
	ClockPart // clock to the left, weight to the right
	gapClock
	ActionPart // action to the left, seconds to the right
	gapAction
	DetailPart
	NextPart
	BelowPart
	CarePart
	gapCare
	LinePart // the timeline
	gapLine
	MarkPart
	HelpPart
	Parts
)

// String returns the part's name.
func (p Part) String() string {
	names := [Parts]string{
		TitlePart: "title", ClockPart: "clock", ActionPart: "action", DetailPart: "detail", NextPart: "next",
		BelowPart: "below", CarePart: "care", LinePart: "line", MarkPart: "mark", HelpPart: "help",
	}
	if p < 0 || p >= Parts || names[p] == "" {
		return "gap"
	}
	return names[p]
}

// Layout is where everything stands.
type Layout [Parts]Box

// wish is a height that a part should have.
type wish struct {
	part Part
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
	{ClockPart, 1}, {ActionPart, 1}, {DetailPart, 1}, {NextPart, 1}, {DetailPart, whole}, {NextPart, whole},
	{BelowPart, whole},
	{ClockPart, 3}, {ActionPart, 3}, {MarkPart, 1}, {LinePart, 1}, {HelpPart, 1}, {gapClock, 1}, {LinePart, 2},
	{TitlePart, 1}, {CarePart, 1}, {LinePart, 4},
	{ClockPart, 5}, {ActionPart, 5}, {LinePart, 7}, {LinePart, whole},
	{gapAction, 1}, {CarePart, 2}, {gapCare, 1}, {gapTitle, 1}, {LinePart, 10},
	{ClockPart, 10}, {ActionPart, 10}, {gapLine, 1}, {LinePart, 14},
	{ClockPart, 15}, {ActionPart, 15}, {ClockPart, 20}, {ActionPart, 20},
	{LinePart, rest},
}

// Lay places everything on a screen.
func Lay(width, height int, n Needs, ascii bool) Layout {
	var rows [Parts]int
	free := height
	for _, w := range wishes {
		want := w.rows
		switch {
		case w.part == DetailPart && want == whole:
			want = min(n.detailRows(width), rows[DetailPart]+free)
		case w.part == NextPart && want == whole:
			want = min(n.nextRows(width), rows[NextPart]+free)
		case w.part == LinePart && want == whole:
			want = min(n.Lanes, rows[LinePart]+free)
		case w.part == BelowPart:
			want = min(n.Below, free)
		case w.part == ClockPart && !n.clockFits(width, want, ascii),
			w.part == ActionPart && (want > rows[ClockPart] || !n.wordFits(width, want, ascii)):
			continue
		case want == rest:
			want = rows[w.part] + free
		}
		if w.part == LinePart {
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
func stack(width, height int, rows [Parts]int) Layout {
	var l Layout
	y := 0
	for p := range Parts {
		if p == MarkPart {
			y = height - rows[MarkPart] - rows[HelpPart]
		}
		l[p] = Box{0, y, width, rows[p]}
		y += rows[p]
	}
	return l
}

// Figure draws a text in a face and returns the column behind it.
func Figure(c *draw.Canvas, x, y int, f draw.Face, text string, role draw.Role, ascii bool) int {
	if f == draw.Line {
		return c.Text(x, y, draw.Fit(text, c.Width-x), role)
	}
	r := draw.Figures(text, f, role, ascii)
	c.Draw(x, y, r)
	return x + r.Width
}
