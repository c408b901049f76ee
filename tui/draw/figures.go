package draw

import "unicode"

// Face is a size of the large figures: how many rows of the screen they are
// high. Every multiple of Tall is a face, for big screens.
type Face int

// The faces drawn by hand, and plain text for where none of them fits.
const (
	Line  Face = 1
	Short Face = 3
	Tall  Face = 5
)

// lettering is how a face is made: its glyphs, how often each pixel is
// repeated, and the pixels between two characters and of a space.
type lettering struct {
	glyphs            map[rune]glyph
	scale, gap, space int
}

var (
	shortGlyphs = cut(shortFace)
	tallGlyphs  = cut(tallFace)
)

func (f Face) lettering() lettering {
	if f < Tall {
		return lettering{shortGlyphs, 1, 1, 1}
	}
	return lettering{tallGlyphs, int(f / Tall), 2, 2}
}

// Figures draws a text in large figures: digits, capital letters, space, the
// signs . : + - % / ? and the units g and s. Other small letters are drawn as
// capitals, all other characters as a space. The canvas is as wide as
// FiguresWidth says and as high as the face. All digits are equally wide, so
// that a running clock stands still.
//
// In ASCII mode the figures are made of '#', for which Short has too few
// rows: it holds plain text then.
func Figures(text string, f Face, role Role, ascii bool) *Canvas {
	c := NewCanvas(FiguresWidth(text, f), int(f))
	if f < Short || f == Short && ascii {
		c.Text(0, int(f)/2, text, role)
		return c
	}
	l, x := f.lettering(), 0
	for _, r := range text {
		if g := l.glyph(r); g != nil {
			c.stamp(x, g, l.scale, role, ascii)
		}
		x += l.scale * (l.width(r) + l.gap)
	}
	return c
}

// stamp puts a glyph with its left side at column x, two pixels to a cell.
func (c *Canvas) stamp(x int, g glyph, scale int, role Role, ascii bool) {
	for row := range len(g) * scale / 2 {
		for col := range g.width() * scale {
			upper := g.set(col/scale, 2*row/scale)
			lower := g.set(col/scale, (2*row+1)/scale)
			if r := half(upper, lower, ascii); r != 0 {
				c.Set(x+col, row, r, role)
			}
		}
	}
}

// half returns the character for two pixels above each other. A '#' stands
// for both of them only, which keeps corners round and slopes thin.
func half(upper, lower, ascii bool) rune {
	switch {
	case upper && lower && ascii:
		return '#'
	case ascii:
		return 0
	case upper && lower:
		return '█'
	case upper:
		return '▀'
	case lower:
		return '▄'
	}
	return 0
}

// glyph returns how a character is drawn, nil for a space.
func (l lettering) glyph(r rune) glyph {
	if g, ok := l.glyphs[r]; ok {
		return g
	}
	return l.glyphs[unicode.ToUpper(r)]
}

func (l lettering) width(r rune) int {
	if g := l.glyph(r); g != nil {
		return g.width()
	}
	return l.space
}

// FiguresWidth returns how many columns a text takes in a face.
func FiguresWidth(text string, f Face) int {
	if f < Short {
		return Width(text)
	}
	l, width := f.lettering(), 0
	for _, r := range text {
		width += l.scale * (l.width(r) + l.gap)
	}
	return max(width-l.scale*l.gap, 0)
}

// FaceFor returns the largest face in which a text fits into a width and a
// height in cells; Line where none of the large ones does.
func FaceFor(text string, width, height int, ascii bool) Face {
	for f := Face(height) / Tall * Tall; f >= Tall; f -= Tall {
		if FiguresWidth(text, f) <= width {
			return f
		}
	}
	if height >= int(Short) && !ascii && FiguresWidth(text, Short) <= width {
		return Short
	}
	return Line
}
