package probe

import (
	"fmt"
	"strings"

	"barline/tui/draw"
)

// Row is a row of signs that stand together somewhere in the program.
type Row struct {
	Signs string
	Of    string // where they are used
}

// Rows are the signs beside ASCII that the program draws with.
var Rows = []Row{
	{"█▀▄", "figures"},
	{"▁▂▃▄▅▆▇█", "the water's stair"},
	{"▄▖▗▁░▌▐█▙▟", "cues and the playhead"},
	{"●○◄►▃", "marks"},
	{"▏▎▍▌▋▊▉█░", "meters"},
	{"°", "temperatures"},
}

// Signs are the signs of all rows, each once.
func Signs() []rune {
	var out []rune
	seen := map[rune]bool{}
	for _, row := range Rows {
		for _, sign := range row.Signs {
			if !seen[sign] {
				seen[sign] = true
				out = append(out, sign)
			}
		}
	}
	return out
}

// Sign is how many cells of the terminal a sign takes.
type Sign struct {
	Rune  rune
	Cells int
}

// Widths is what a terminal answered to how wide signs are. The zero Widths
// is of none.
type Widths struct {
	Signs []Sign
	How   Heard // what became of the last question
}

// String says which signs are not as wide as they are drawn, by their numbers,
// which any character set has.
func (w Widths) String() string {
	var off []string
	for _, sign := range w.Signs {
		if sign.Cells != draw.Width(string(sign.Rune)) {
			off = append(off, fmt.Sprintf("U+%04X %d", sign.Rune, sign.Cells))
		}
	}
	asked := fmt.Sprintf("%d signs asked", len(w.Signs))
	switch {
	case len(w.Signs) == 0:
		return silence
	case w.How != Answered:
		asked += ", then no answer"
	}
	if len(off) == 0 {
		return "as they are drawn (" + asked + ")"
	}
	return fmt.Sprintf("not as they are drawn, in cells: %s (%s)", strings.Join(off, ", "), asked)
}

// silence is what a terminal says that does not answer.
const silence = "the terminal does not answer"
