package pages

import (
	"fmt"
	"slices"
	"strings"

	"barline/tui/draw"
	"barline/tui/probe"

	"github.com/charmbracelet/bubbles/key"
)

// hints say what to look at in a part, or what to do.
var hints = map[string]string{
	probe.PartColours:    "can every word be read?",
	probe.PartCharacters: "are the bars in line?",
	probe.PartFigures:    "are they whole, without gaps?",
	probe.PartBell:       "many terminals mute it",
	probe.PartKeys:       "press one, and hold one 2 s",
	probe.PartDelay:      "of a frame, there and back",
	probe.PartJournal:    "until a mark is safe",
}

// Draw returns the page on a canvas of its size: the parts below each other,
// from the one that the person has turned to, as many as fit whole. The row above the keys stays
// blank: there the terminal is asked how wide signs are.
func (p Terminal) Draw() *draw.Canvas {
	c, l := draw.NewCanvas(p.width, p.height), p.layout()
	if l.from > 0 {
		text, role := p.status()
		x := c.Right(p.width, 0, text, role)
		c.Text(0, 0, draw.Fit("barline terminal", x-1), draw.Strong)
		c.Help(p.height-1, p.helped(l))
	}
	body := draw.NewCanvas(p.width, l.to-l.from)
	top := l.top(p.at)
	for i, part := range l.parts {
		if l.draws(i, p.at) {
			body.Draw(0, l.tops[i]-top, part)
		}
	}
	c.Draw(0, l.from, body)
	return c
}

// helped returns the keys that do something.
func (p Terminal) helped(l terminalLayout) []key.Binding {
	k := p.opt.Keys
	k.Bell.SetEnabled(p.report.Bell)
	k.Again.SetEnabled(p.measuring == allMeasured)
	k.Down.SetEnabled(l.index(p.at) < l.last)
	k.Up.SetEnabled(l.index(p.at) > 0)
	return k.Bindings()
}

// partNamed returns the number of a part.
func (p Terminal) partNamed(name string) int {
	return slices.IndexFunc(p.report.Parts(), func(part probe.Part) bool { return part.Name == name })
}

// stacked draws canvases below each other.
func stacked(width int, parts ...*draw.Canvas) *draw.Canvas {
	height := 0
	for _, part := range parts {
		height += part.Height
	}
	c, y := draw.NewCanvas(width, height), 0
	for _, part := range parts {
		c.Draw(0, y, part)
		y += part.Height
	}
	return c
}

// part draws one part: its name, what to look at, its lines, its picture.
func (p Terminal) part(part probe.Part) *draw.Canvas {
	head := draw.NewCanvas(p.width, 1)
	x := head.Text(0, 0, part.Name, draw.Strong)
	head.Text(x+2, 0, draw.Fit(hints[part.Name], p.width-x-2), draw.Faint)
	out := []*draw.Canvas{head}
	for _, line := range part.Lines {
		out = append(out, p.line(line))
	}
	switch part.Name {
	case probe.PartColours:
		out = append(out, p.ramp(), p.basic())
	case probe.PartCharacters:
		out = append(out, p.signs())
	case probe.PartFigures:
		out = append(out, p.figures())
	}
	return stacked(p.width, out...)
}

// The lines of a part stand behind an indent; on a screen that is wide enough
// their values do in a column.
const (
	indent      = 2
	valueColumn = 30
	leastColumn = 72 // the width from which on there is one
)

// line draws a line of the report, broken to the screen.
func (p Terminal) line(line probe.Line) *draw.Canvas {
	name, hang := line.Name+":", valueColumn
	if p.width < leastColumn {
		hang = 2 * indent
	}
	x := max(hang, indent+draw.Width(name)+1)
	first, rest := broken(line.Value, p.width-x)
	rows := draw.WrapWhole(rest, max(p.width-hang, 1))
	c := draw.NewCanvas(p.width, 1+len(rows))
	c.Text(indent, 0, name, draw.Faint)
	c.Text(x, 0, first, draw.Plain)
	for i, text := range rows {
		c.Text(hang, 1+i, text, draw.Plain)
	}
	return c
}

// broken returns as much of a text as fits into the rest of a row, and what
// goes onto the next ones.
func broken(text string, width int) (first, rest string) {
	if rows := draw.Wrap(text, width); len(rows) > 0 && strings.HasPrefix(text, rows[0]) {
		first = rows[0]
	}
	return first, text[len(first):]
}

// roles are the words of the ramp, in the look of what they name.
var roles = []struct {
	word string
	role draw.Role
}{
	{"plain", draw.Plain}, {"faint", draw.Faint}, {"strong", draw.Strong}, {"now", draw.Now}, {"water", draw.Water},
	{"busy", draw.Busy}, {"free", draw.Free}, {"on time", draw.OnTime}, {"late", draw.Late}, {"early", draw.Early},
	{"caution", draw.Caution}, {"key", draw.Key}, {"chosen", draw.Inverse},
}

// ramp draws the theme's roles, on as many rows as they take.
func (p Terminal) ramp() *draw.Canvas {
	c, x, y := draw.NewCanvas(p.width, len(roles)), indent, 0
	for _, r := range roles {
		if x > indent && x+len(r.word) > p.width {
			x, y = indent, y+1
		}
		x = c.Text(x, y, r.word, r.role) + 2
	}
	return cropped(c, y+1)
}

// cropped returns the first rows of a canvas.
func cropped(c *draw.Canvas, rows int) *draw.Canvas {
	out := draw.NewCanvas(c.Width, rows)
	out.Draw(0, 0, c)
	return out
}

// signs draws the rows of signs between two bars, below a ruler.
func (p Terminal) signs() *draw.Canvas {
	if !p.report.UTF8 {
		return draw.NewCanvas(p.width, 0)
	}
	wide := 10
	for _, r := range probe.Rows {
		wide = max(wide, draw.Width(r.Signs))
	}
	c := draw.NewCanvas(p.width, len(probe.Rows)+1)
	bars := func(y int, signs, of string) {
		c.Text(indent, y, "|"+signs, draw.Plain)
		c.Text(indent+1+wide, y, "|", draw.Plain)
		c.Text(indent+wide+4, y, draw.Fit(of, p.width-indent-wide-4), draw.Faint)
	}
	bars(0, "1234567890", "one cell each")
	for y, r := range probe.Rows {
		bars(y+1, r.Signs, r.Of)
	}
	return c
}

// figures draws the large figures in all the ways in which they are made.
func (p Terminal) figures() *draw.Canvas {
	var row *draw.Canvas
	for _, text := range []string{"1:42.5", "0:42", "42", "2", ""} {
		if row = p.figuresOf(text); row.Width <= p.width {
			break
		}
	}
	return stacked(p.width, row)
}

func (p Terminal) figuresOf(text string) *draw.Canvas {
	faces := []*draw.Canvas{draw.Figures(text, draw.Tall, draw.Strong, true)}
	if !p.report.ASCII {
		faces = append(faces, draw.Figures(text, draw.Tall, draw.Strong, false), draw.Figures(text, draw.Short, draw.Strong, false))
	}
	const gap = 5
	width := indent - gap
	for _, f := range faces {
		width += gap + f.Width
	}
	c, x := draw.NewCanvas(width, int(draw.Tall)), indent
	for _, f := range faces {
		c.Draw(x, 0, f)
		x += f.Width + gap
	}
	return c
}

// The 16 basic colours stand in two rows of eight. A canvas knows no colours
// but its theme's roles, so each row is drawn with a theme of its own, in
// which the roles from firstBasic on are the eight colours.
const (
	basicRows  = 2
	perRow     = 8
	firstBasic = draw.Faint
)

// colourful reports whether colours are shown at all.
func (p Terminal) colourful() bool { return p.report.Colours != probe.NoColours }

// basic draws the 16 basic colours, by their numbers, where any are shown.
func (p Terminal) basic() *draw.Canvas {
	if !p.colourful() {
		return draw.NewCanvas(p.width, 0)
	}
	c := draw.NewCanvas(p.width, basicRows)
	block := "██"
	if p.report.ASCII {
		block = "##"
	}
	for i := range basicRows * perRow {
		x, y := indent+i%perRow*4, i/perRow
		c.Text(x, y, fmt.Sprintf("%2d", i), draw.Plain)
		c.Text(x+2, y, block, firstBasic+draw.Role(i%perRow))
	}
	return c
}

// basicTheme returns the theme of a row of basic colours: SGR 30 to 37, or 90
// to 97 for the bright ones.
func basicTheme(row int) draw.Theme {
	var t draw.Theme
	for i := range perRow {
		t = t.With(firstBasic+draw.Role(i), fmt.Sprintf("\x1b[%dm", 30+60*row+i), "\x1b[0m")
	}
	return t
}

// Render returns the page with the theme's codes, and the basic colours in
// theirs.
func (p Terminal) Render(theme draw.Theme) string {
	c := p.Draw()
	lines := strings.Split(c.Render(theme), "\n")
	for i, y := range p.basicAt() {
		row := draw.NewCanvas(p.width, 1)
		row.Draw(0, -y, c)
		lines[y] = row.Render(basicTheme(i))
	}
	return strings.Join(lines, "\n")
}

// basicAt returns the rows of the screen that hold the rows of basic colours,
// those that are in sight.
func (p Terminal) basicAt() map[int]int {
	l, at := p.layout(), map[int]int{}
	i := p.partNamed(probe.PartColours)
	for row := range basicRows {
		y := l.from + l.tops[i] + l.parts[i].Height - basicRows + row - l.top(p.at)
		if p.colourful() && l.draws(i, p.at) && l.from <= y && y < l.to {
			at[row] = y
		}
	}
	return at
}
