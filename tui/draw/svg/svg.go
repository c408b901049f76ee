// Package svg draws a canvas as an SVG picture, for the README and for
// looking at screens without a terminal. Block elements become rectangles,
// as terminals draw them, so that no font can tear them apart; all else is
// text in a monospace font. It writes no file.
package svg

import (
	"fmt"
	"html"
	"strings"

	"barline/tui/draw"
)

// A cell is 10 by 20 units of the picture.
const (
	cellWidth  = 10
	cellHeight = 20
	border     = 10
)

// Look is the colours of the picture.
type Look struct {
	Ground, Ink string // #rrggbb of the ground and of the text without a colour
	Palette     draw.Palette
}

// The looks of a dark and a light terminal.
var (
	Dark  = Look{Ground: "#1e1e1e", Ink: "#d6d6d6", Palette: draw.PaletteFor(true)}
	Light = Look{Ground: "#f5f5f5", Ink: "#242424", Palette: draw.PaletteFor(false)}
)

// SVG returns the canvas as a picture with a border of half a row.
func SVG(c *draw.Canvas, look Look) string {
	var b strings.Builder
	width, height := c.Width*cellWidth+2*border, c.Height*cellHeight+2*border
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%d" height="%d" viewBox="%d %d %d %d" font-family="monospace" font-size="16" shape-rendering="crispEdges">`+"\n",
		width, height, -border, -border, width, height)
	fmt.Fprintf(&b, `<rect x="%d" y="%d" width="%d" height="%d" fill="%s"/>`+"\n", -border, -border, width, height, look.Ground)
	for y := range c.Height {
		for x := 0; x < c.Width; {
			n := run(c, x, y)
			look.cells(&b, x, y, n, c.At(x, y))
			x += n
		}
	}
	b.WriteString("</svg>\n")
	return b.String()
}

// run returns how many cells from x on are the same and can be drawn as one:
// those of blocks as wide as their cell.
func run(c *draw.Canvas, x, y int) int {
	n := 1
	for _, p := range blocks(c.At(x, y).Rune) {
		if p.w < 1 {
			return n
		}
		for x+n < c.Width && c.At(x+n, y) == c.At(x, y) {
			n++
		}
	}
	return n
}

// cells draws n equal cells: their ground if they are inverse, then their
// block or their character. Characters stand one by one, so that the font's
// width is of no matter.
func (l Look) cells(b *strings.Builder, x, y, n int, cell draw.Cell) {
	ink := l.Palette.Of(cell.Role)
	colour := ink.Hex
	if colour == "" {
		colour = l.Ink
	}
	left, top, width := float64(x*cellWidth), float64(y*cellHeight), float64(n*cellWidth)
	if ink.Inverse {
		rect(b, left, top, width, cellHeight, colour, 1)
		colour = l.Ground
	}
	parts := blocks(cell.Rune)
	for _, p := range parts {
		rect(b, left+p.x*cellWidth, top+p.y*cellHeight, p.w*width, p.h*cellHeight, colour, p.ink)
	}
	if parts != nil || cell.Rune <= ' ' {
		return
	}
	weight := ""
	if ink.Bold {
		weight = ` font-weight="bold"`
	}
	fmt.Fprintf(b, `<text x="%g" y="%g" fill="%s"%s>%s</text>`+"\n",
		left, top+0.75*cellHeight, colour, weight, html.EscapeString(string(cell.Rune)))
}

func rect(b *strings.Builder, x, y, w, h float64, colour string, ink float64) {
	opacity := ""
	if ink < 1 {
		opacity = fmt.Sprintf(` fill-opacity="%g"`, ink)
	}
	fmt.Fprintf(b, `<rect x="%g" y="%g" width="%g" height="%g" fill="%s"%s/>`+"\n", x, y, w, h, colour, opacity)
}

// part is a rectangle in a cell, in fractions of it, and how dense it is.
type part struct{ x, y, w, h, ink float64 }

// quadrants are the characters from U+2596 on: bits 1 upper left, 2 upper
// right, 4 lower left, 8 lower right.
var quadrants = [...]int{4, 8, 1, 1 + 4 + 8, 1 + 8, 1 + 2 + 4, 1 + 2 + 8, 2, 2 + 4, 2 + 4 + 8}

// blocks returns the rectangles of a block element, U+2580 to U+259F; none
// for any other character.
func blocks(r rune) []part {
	switch {
	case r == '▀':
		return []part{{0, 0, 1, 0.5, 1}}
	case r >= '▁' && r <= '█': // eighths from below
		h := float64(r-'▀') / 8
		return []part{{0, 1 - h, 1, h, 1}}
	case r > '█' && r <= '▏': // eighths from the left
		return []part{{0, 0, float64('▏'-r+1) / 8, 1, 1}}
	case r == '▐':
		return []part{{0.5, 0, 0.5, 1, 1}}
	case r >= '░' && r <= '▓':
		return []part{{0, 0, 1, 1, float64(r-'▐') / 4}}
	case r == '▔':
		return []part{{0, 0, 1, 0.125, 1}}
	case r == '▕':
		return []part{{0.875, 0, 0.125, 1, 1}}
	case r >= '▖' && r <= '▟':
		var parts []part
		for bit := range 4 {
			if quadrants[r-'▖']>>bit&1 == 1 {
				parts = append(parts, part{float64(bit%2) / 2, float64(bit/2) / 2, 0.5, 0.5, 1})
			}
		}
		return parts
	}
	return nil
}
