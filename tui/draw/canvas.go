// Package draw makes pictures out of values: a size and data go in, cells
// come out. It knows large figures, the timeline and meters. It is pure: it
// reads no terminal, and colours are roles that a Theme turns into codes.
package draw

import (
	"strings"

	"github.com/mattn/go-runewidth"
)

// Role is what a cell means. The theme decides how that looks; without
// colour every role must still be readable from the characters alone.
type Role uint8

// The roles of cells.
const (
	Plain   Role = iota
	Faint        // seen when looked for: rulers, hints
	Strong       // the one large word, the clock
	Now          // the playhead and what is on
	Water        // water and its weight
	Busy         // a span that needs the hands
	Free         // a span that does not
	OnTime       // inside its window
	Late         // behind its window
	Early        // ahead of its window
	Caution      // words of care
	Key          // a key in the help line
	Inverse      // a selected row
	roles
)

// Theme is how each role looks: codes before and after a run of its cells.
// The zero Theme draws no codes at all.
type Theme struct {
	codes [roles][2]string
	ASCII bool // only characters that every terminal has
}

// With returns the theme with the codes around runs of a role set. Only
// Inverse may colour the ground: blanks may stand in any other role's run.
func (t Theme) With(r Role, before, after string) Theme {
	t.codes[r] = [2]string{before, after}
	return t
}

// Cell is one character cell. A zero rune is a blank, a negative one the
// second half of a wide character.
type Cell struct {
	Rune rune
	Role Role
}

const rightHalf = -1

// Canvas is a grid of cells of a fixed size. Drawing outside of it is cut
// off, so that nothing is ever wider or taller than the screen.
type Canvas struct {
	Width, Height int
	cells         []Cell
}

// NewCanvas returns a blank canvas; sizes below zero are taken as zero.
func NewCanvas(width, height int) *Canvas {
	width, height = max(width, 0), max(height, 0)
	return &Canvas{Width: width, Height: height, cells: make([]Cell, width*height)}
}

// At returns the cell at column x of row y, the zero Cell outside.
func (c *Canvas) At(x, y int) Cell {
	if x < 0 || y < 0 || x >= c.Width || y >= c.Height {
		return Cell{}
	}
	return c.cells[y*c.Width+x]
}

// Set puts one character that is one cell wide at column x of row y. A wide
// character of which it covers a half becomes a blank.
func (c *Canvas) Set(x, y int, r rune, role Role) {
	if x < 0 || y < 0 || x >= c.Width || y >= c.Height {
		return
	}
	row := c.cells[y*c.Width : (y+1)*c.Width]
	if row[x].Rune == rightHalf && x > 0 {
		row[x-1].Rune = 0
	}
	if x+1 < len(row) && row[x+1].Rune == rightHalf {
		row[x+1].Rune = 0
	}
	row[x] = Cell{r, role}
}

// setWide puts a character of two cells at columns x and x+1 of row y, or a
// blank where only one of them is on the canvas.
func (c *Canvas) setWide(x, y int, r rune, role Role) {
	if x < 0 || x+1 >= c.Width {
		c.Set(x, y, 0, role)
		c.Set(x+1, y, 0, role)
		return
	}
	c.Set(x+1, y, 0, role)
	c.Set(x, y, r, role)
	if y >= 0 && y < c.Height {
		c.cells[y*c.Width+x+1] = Cell{rightHalf, role}
	}
}

// Text writes a text from column x of row y on and returns the column behind
// it. Control characters and marks without a width are dropped; what does not
// fit is left out.
func (c *Canvas) Text(x, y int, text string, role Role) int {
	for _, r := range text {
		w := runeWidth(r)
		if x+w > c.Width {
			return x
		}
		switch w {
		case 1:
			c.Set(x, y, r, role)
		case 2:
			c.setWide(x, y, r, role)
		}
		x += w
	}
	return x
}

// Right writes a text so that it ends before column x and returns the column
// it begins at.
func (c *Canvas) Right(x, y int, text string, role Role) int {
	from := x - Width(text)
	c.Text(from, y, text, role)
	return from
}

// Draw copies another canvas onto this one with its corner at x, y. Blanks
// are copied too.
func (c *Canvas) Draw(x, y int, o *Canvas) {
	for row := range o.Height {
		for col := range o.Width {
			switch cell := o.At(col, row); {
			case cell.Rune == rightHalf:
			case o.At(col+1, row).Rune == rightHalf:
				c.setWide(x+col, y+row, cell.Rune, cell.Role)
			default:
				c.Set(x+col, y+row, cell.Rune, cell.Role)
			}
		}
	}
}

// runeWidth returns how many cells Text gives a character: 1, 2, or none for
// controls and marks that combine.
func runeWidth(r rune) int { return min(runewidth.RuneWidth(r), 2) }

// Width returns how many cells a text takes.
func Width(text string) int {
	width := 0
	for _, r := range text {
		width += runeWidth(r)
	}
	return width
}

// WideBlocks reports whether the locale says that the terminal draws
// characters of ambiguous width in two cells. Block elements are among them,
// so that such a terminal needs the ASCII mode.
func WideBlocks() bool { return runewidth.RuneWidth('█') > 1 }

// Fit shortens a text to a number of cells, with a mark where it was cut.
func Fit(text string, width int) string {
	if Width(text) <= width {
		return text
	}
	if width < 1 {
		return ""
	}
	room := width - 1
	for i, r := range text {
		if room -= runeWidth(r); room < 0 {
			return text[:i] + "~"
		}
	}
	return text
}

// Render returns the canvas as lines with the theme's codes: exactly Height
// lines, none wider than Width, no line break at the end.
func (c *Canvas) Render(t Theme) string {
	var b strings.Builder
	b.Grow(len(c.cells) * 2)
	for y := range c.Height {
		if y > 0 {
			b.WriteByte('\n')
		}
		c.renderRow(&b, t, c.cells[y*c.Width:(y+1)*c.Width])
	}
	return b.String()
}

// renderRow writes one row. A blank between two runs of a role belongs to
// them, as no role but Inverse colours its ground: that halves the codes of
// large figures.
func (c *Canvas) renderRow(b *strings.Builder, t Theme, row []Cell) {
	end := len(row)
	for end > 0 && row[end-1].blank() {
		end--
	}
	role := Plain
	b.WriteString(t.codes[role][0])
	for _, cell := range row[:end] {
		if cell.Rune == rightHalf {
			continue
		}
		if cell.Role != role && !(cell.blank() && role != Inverse) {
			b.WriteString(t.codes[role][1])
			role = cell.Role
			b.WriteString(t.codes[role][0])
		}
		if cell.Rune == 0 {
			b.WriteByte(' ')
		} else {
			b.WriteRune(cell.Rune)
		}
	}
	b.WriteString(t.codes[role][1])
}

// blank reports whether nothing is to be seen of the cell.
func (c Cell) blank() bool {
	return (c.Rune == 0 || c.Rune == ' ') && c.Role != Inverse
}

// Lines returns the canvas as plain text, for tests and for people without
// colour.
func (c *Canvas) Lines() []string { return strings.Split(c.Render(Theme{}), "\n") }
