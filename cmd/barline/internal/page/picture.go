package page

import (
	"fmt"
	"strings"
)

// picture writes an SVG in which something is drawn. Its title and description
// say in words what is seen.
func (m *markup) picture(id string, width, height float64, title, description string, draw func()) {
	m.put(`<svg viewBox="0 0 %s %s" role="img" aria-labelledby="%s-title %s-desc">`+"\n", places(width), places(height), id, id)
	m.put(`<title id="%s-title">%s</title>`+"\n"+`<desc id="%s-desc">%s</desc>`+"\n", id, title, id, description)
	draw()
	m.put("</svg>\n")
}

// places writes a place in a picture to a tenth of a unit.
func places(x float64) string {
	return strings.TrimSuffix(fmt.Sprintf("%.1f", x), ".0")
}

// box draws a rectangle; line, label and path the like. What they look like is
// said by a class.
func (m *markup) box(class string, x, y, width, height float64) {
	m.put(`<rect class="%s" x="%s" y="%s" width="%s" height="%s"/>`+"\n", class, places(x), places(y), places(max(width, 0)), places(max(height, 0)))
}

func (m *markup) line(class string, x1, y1, x2, y2 float64) {
	m.put(`<path class="%s" d="M%s %sL%s %s"/>`+"\n", class, places(x1), places(y1), places(x2), places(y2))
}

func (m *markup) path(class, d string) {
	if d != "" {
		m.put(`<path class="%s" d="%s"/>`+"\n", class, d)
	}
}

// label writes a text that begins at x, ends there or is centred there, as its
// class says: 'start', 'end' or 'middle' is one of its words.
func (m *markup) label(class string, x, y float64, text string) {
	m.put(`<text class="%s" x="%s" y="%s">%s</text>`+"\n", class, places(x), places(y), text)
}

// shape is a sign that stands for a version: told apart without colour. It is a
// part of a path, drawn with the width of the class 'dots'.
type shape func(x, y float64) string

// shapes are those of the versions, the newest's first.
var shapes = []shape{
	func(x, y float64) string { return at(x, y) + "h0" },
	func(x, y float64) string { return at(x-2.4, y-2.4) + "h4.8v4.8h-4.8z" },
	func(x, y float64) string { return at(x, y-3) + "l3 5.4h-6z" },
	func(x, y float64) string { return at(x, y-3.4) + "l3.4 3.4l-3.4 3.4l-3.4 -3.4z" },
	func(x, y float64) string { return at(x-3, y) + "h6" },
}

// cross is the sign of a point outside the limits.
func cross(x, y float64) string {
	return at(x-3.5, y-3.5) + "l7 7" + at(x-3.5, y+3.5) + "l7 -7"
}

func at(x, y float64) string { return "M" + places(x) + " " + places(y) }
