package live

import (
	"fmt"

	"barline/tui/stage"
)

// Layout returns the parts of the live page that have rows, from above, each
// with how many.
func (p Page) Layout() []string {
	var out []string
	for part, b := range p.layout() {
		if b.H > 0 {
			out = append(out, fmt.Sprintf("%s %d", stage.Part(part), b.H))
		}
	}
	return out
}

// Boxes returns the rectangles of the live page's parts: x, y, width, height.
func (p Page) Boxes() [][4]int {
	var out [][4]int
	for _, b := range p.layout() {
		out = append(out, [4]int{b.X, b.Y, b.W, b.H})
	}
	return out
}

func (p Page) layout() stage.Layout { return stage.Lay(p.width, p.height, p.needs, p.opt.Theme.ASCII) }
