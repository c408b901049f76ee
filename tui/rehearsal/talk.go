package rehearsal

import (
	"strings"
	"unicode"

	"barline/brew"
	"barline/brew/routine"
	"barline/tui/draw"
	"barline/tui/stage"
)

// spokenRow is one row of what is said: what has been said of it by now, and
// what has not.
type spokenRow struct {
	said, rest string
	role       draw.Role // of the rest
}

// bar leads every row of what is said, so that it cannot be taken for a cue.
const bar = "| "

// talkRows returns what is being said, from the row on that the voice has
// reached, and behind it the line that comes next; so many rows of a width at
// the most.
func (p Page) talkRows(width, rows int) []spokenRow {
	width = max(width, 1)
	out := p.sayingRows(width)
	if next := p.nextText(); next != "" {
		role := draw.Faint
		if p.asked() {
			role = draw.Now
		}
		for _, text := range draw.WrapWhole(next, width) {
			out = append(out, spokenRow{"", text, role})
		}
	}
	return out[:min(len(out), max(rows, 0))]
}

// sayingRows returns the line that is being said.
func (p Page) sayingRows(width int) (out []spokenRow) {
	k := p.look
	if k.Line < 0 || k.LineLeft <= 0 {
		return nil
	}
	line := p.opt.Plan.Lines[k.Line]
	if line.Words == "" {
		return []spokenRow{{"", "silence for " + stage.Countdown(k.LineLeft), draw.Strong}}
	}
	texts := draw.WrapWhole(draw.OneLine(line.Words), width)
	said := int(k.LineDone * float64(len([]rune(strings.Join(texts, " ")))))
	for i, text := range texts {
		n := len([]rune(text))
		if said > n && i < len(texts)-1 {
			said -= n + 1
			continue
		}
		at := wordAt(text, said)
		out = append(out, spokenRow{text[:at], text[at:], draw.Strong})
		said = 0
	}
	return out
}

// wordAt returns where in a text the word begins that holds its nth character.
func wordAt(text string, n int) int {
	runes := []rune(text)
	n = max(min(n, len(runes)), 0)
	return strings.LastIndex(string(runes[:n]), " ") + 1
}

// asked reports whether the next line waits for its key.
func (p Page) asked() bool {
	return p.phase == running && p.run.Options().Manual && p.look.NextLine >= 0 && p.look.NextIn == 0 && !p.look.Waits
}

// nextText is the line that comes next, and when or behind what.
func (p Page) nextText() string {
	k := p.look
	if k.NextLine < 0 {
		return ""
	}
	line, words := p.opt.Plan.Lines[k.NextLine], p.words(k.NextLine)
	switch gap := k.NextIn - k.LineLeft; {
	case p.phase == counting:
		return words
	case p.asked():
		return p.opt.Keys.Line.Help().Key + ": " + words
	case k.Waits:
		return firstOf(line.Note, "waiting") + ": " + words
	case gap > 0 || k.LineLeft <= 0:
		return "in " + stage.Countdown(k.NextIn) + ": " + words
	}
	return words
}

// words returns a line's words; of a silence how long it is, and what comes
// behind it.
func (p Page) words(line int) string {
	l := p.opt.Plan.Lines[line]
	switch last := p.opt.Plan.Sections[p.run.Options().To]; {
	case l.Words != "":
		return draw.OneLine(l.Words)
	case line+1 == last.First+last.Lines:
		return "silence for " + brew.Spoken(l.Length)
	default:
		return "silence for " + brew.Spoken(l.Length) + ", then: " + p.words(line+1)
	}
}

func firstOf(texts ...string) string {
	for _, text := range texts {
		if text != "" {
			return text
		}
	}
	return ""
}

// drawTalk draws how things stand and what is said into the page's own rows of
// the stage: on a large screen in large letters.
func (p Page) drawTalk(c *draw.Canvas, b stage.Box) {
	f, step := draw.Line, 1
	if p.large() && b.H >= largeRows {
		f, step = draw.Short, int(draw.Short)+1
		b.Y, b.H = b.Y+1, b.H-1
	}
	if b.H == 0 {
		return
	}
	p.drawStanding(c, b, f)
	if f != draw.Line && !p.spelt() {
		b.Y, b.H, f, step = b.Y+step-1, b.H-step+1, draw.Line, 1
	}
	y, indent := b.Y+step, draw.Width(bar)
	for _, row := range p.talkRows((b.W-indent)/letter(f), (b.Bottom()-y)/step) {
		for i := range int(f) {
			c.Text(0, y+i, bar, draw.Now)
		}
		x := written(c, indent, y, f, row.said, draw.Faint)
		written(c, x, y, f, row.rest, row.role)
		y += step
	}
}

// largeRows is how many rows of its own the page has where it is large: a gap,
// how things stand, and three rows of what is said.
const largeRows = 1 + 4*(int(draw.Short)+1)

// large reports whether the screen has room for large letters.
func (p Page) large() bool {
	return p.height >= tallScreen && p.width >= wideScreen && !p.opt.Theme.ASCII
}

// letter is how wide a letter is at the most, with its gap.
func letter(f draw.Face) int {
	if f == draw.Line {
		return 1
	}
	return draw.FiguresWidth("MM", f) - draw.FiguresWidth("M", f)
}

// written draws a text and returns the column behind it.
func written(c *draw.Canvas, x, y int, f draw.Face, text string, role draw.Role) int {
	if f == draw.Line {
		return c.Text(x, y, draw.Fit(text, c.Width-x), role)
	}
	if text == "" {
		return x
	}
	capitals := strings.ReplaceAll(strings.ToUpper(apostrophes.Replace(text)), " S ", " s ")
	return stage.Figure(c, x, y, f, capitals, role, false) + 1
}

// apostrophes would part a word where there is no letter for them.
var apostrophes = strings.NewReplacer("'", "", "\u2019", "")

// spelt reports whether large letters can show what is said now and next: of
// the signs that they lack, only those that a voice does not say are left out.
func (p Page) spelt() bool {
	text := p.nextText()
	if p.look.Line >= 0 {
		text += p.words(p.look.Line)
	}
	return !strings.ContainsFunc(text, func(r rune) bool {
		plain := 'a' <= r && r <= 'z' || 'A' <= r && r <= 'Z' || '0' <= r && r <= '9' || strings.ContainsRune(" .:+-%/?", r)
		return !plain && !strings.ContainsRune(unsaid, r) && !unicode.Is(unicode.Pd, r)
	})
}

// unsaid are signs that large letters leave out.
const unsaid = ",;!()\"'\u2018\u2019\u201c\u201d\u201e\u2026"

// drawStanding draws the time left, how far ahead or behind things are, and
// the section.
func (p Page) drawStanding(c *draw.Canvas, b stage.Box, f draw.Face) {
	left, role := p.left()
	if draw.FiguresWidth(left, f)+2*letter(f)+draw.FiguresWidth(p.look.Standing.String(), f) > c.Width {
		f = draw.Line
	}
	x := written(c, 0, b.Y, f, left, role) + 2*letter(f)
	x = written(c, x, b.Y, f, p.look.Standing.String(), standingRole(p.look.Standing)) + 2
	section := draw.OneLine(p.opt.Plan.Sections[p.look.Section].Name)
	full := section + ", to " + brew.Clock(p.look.Ends)
	if p.phase == running {
		c.Right(c.Width, b.Y+int(f)-1, stage.Fitting(max(c.Width-x, 0), full, section), draw.Plain)
	}
}

// left is the time left, or what the time over the limit costs so far.
func (p Page) left() (string, draw.Role) {
	left := p.opt.Plan.Limit - max(p.at(), p.run.Begins())
	switch {
	case left < 0:
		penalty := p.opt.Plan.Rules.Penalty(p.opt.Plan.Limit, p.at())
		return brew.Clock(-left) + " over, " + penalty.String(), draw.Late
	case p.look.Minute:
		return countdownClock(left) + " left", draw.Caution
	}
	return countdownClock(left) + " left", draw.Strong
}

func standingRole(s routine.Standing) draw.Role {
	switch s.Word() {
	case "behind":
		return draw.Late
	case "ahead":
		return draw.Early
	case "on time":
		return draw.OnTime
	}
	return draw.Faint
}
