package main

import (
	"io"
	"strings"

	"barline/tui/draw"
)

// messages is where messages go. A name or a text in one must not steer the
// terminal: characters that would are left out.
type messages struct{ io.Writer }

// Write writes whole lines.
func (m messages) Write(b []byte) (int, error) {
	lines := strings.SplitAfter(string(b), "\n")
	for i, line := range lines {
		text, ended := strings.CutSuffix(line, "\n")
		lines[i] = draw.OneLine(text)
		if ended {
			lines[i] += "\n"
		}
	}
	if _, err := io.WriteString(m.Writer, strings.Join(lines, "")); err != nil {
		return 0, err
	}
	return len(b), nil
}
