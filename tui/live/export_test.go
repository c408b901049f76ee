package live

import "fmt"

// partNames are the parts as tests call them.
var partNames = [parts]string{
	titlePart: "title", gapTitle: "gap", clockPart: "clock", gapClock: "gap", actionPart: "action", gapAction: "gap",
	detailPart: "detail", nextPart: "next", carePart: "care", gapCare: "gap", linePart: "line", gapLine: "gap",
	markPart: "mark", helpPart: "help",
}

// Layout returns the parts of the live page that have rows, from above, each
// with how many.
func (p Page) Layout() []string {
	var out []string
	for part, b := range p.layout() {
		if b.h > 0 {
			out = append(out, fmt.Sprintf("%s %d", partNames[part], b.h))
		}
	}
	return out
}

// Boxes returns the rectangles of the live page's parts: x, y, width, height.
func (p Page) Boxes() [][4]int {
	var out [][4]int
	for _, b := range p.layout() {
		out = append(out, [4]int{b.x, b.y, b.w, b.h})
	}
	return out
}
