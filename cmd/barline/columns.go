package main

import (
	"fmt"
	"io"
	"strings"

	"barline/tui/draw"
)

// column is a column of a table that fits a terminal.
type column struct {
	head  string
	right bool // figures stand to the right
	wide  bool // left out where the table is narrow
}

// narrow is below how many columns a terminal is narrow.
const narrow = 60

// across returns how many columns a table may take: the terminal's, as many
// as text keeps to where there is none.
func (a *app) across() int {
	on := *a
	if out, is := a.stdout.(*watched); is {
		on.stdout = out.to
	}
	if width, _ := on.size(); width > 0 {
		return max(width, 20)
	}
	return wide
}

// writeTable writes rows under their heads. The last column takes what is
// left of the width, and goes on below itself.
func writeTable(w io.Writer, width int, columns []column, rows [][]string) {
	rows = append([][]string{heads(columns)}, rows...)
	lengths := make([]int, len(columns))
	for _, row := range rows {
		for i, text := range row {
			lengths[i] = max(lengths[i], draw.Width(draw.OneLine(text)))
		}
	}
	for _, row := range rows {
		lead := ""
		for i, c := range columns[:len(columns)-1] {
			if c.wide && width < narrow {
				continue
			}
			lead += aligned(draw.OneLine(row[i]), lengths[i], c.right) + "  "
		}
		indent := strings.Repeat(" ", draw.Width(lead))
		for i, line := range inLines(row[len(row)-1], max(width-len(indent), 8)) {
			if i > 0 {
				lead = indent
			}
			fmt.Fprintln(w, strings.TrimRight(lead+line, " "))
			lead = ""
		}
		if lead != "" {
			fmt.Fprintln(w, strings.TrimRight(lead, " "))
		}
	}
}

func heads(columns []column) (out []string) {
	for _, c := range columns {
		out = append(out, c.head)
	}
	return out
}

func aligned(text string, length int, right bool) string {
	room := strings.Repeat(" ", max(length-draw.Width(text), 0))
	if right {
		return room + text
	}
	return text + room
}

// paragraph writes a text in lines of at most so many columns.
func paragraph(w io.Writer, width int, text string) {
	for _, line := range inLines(text, width) {
		fmt.Fprintln(w, line)
	}
}

// inLines returns a text in lines of at most so many columns. A unit stays
// with its figure; a word that is longer than a line is broken.
func inLines(text string, width int) (out []string) {
	for _, word := range wordsOf(draw.OneLine(text)) {
		last := len(out) - 1
		switch {
		case last >= 0 && draw.Width(out[last])+1+draw.Width(word) <= width:
			out[last] += " " + word
		case draw.Width(word) > width:
			out = append(out, draw.WrapWhole(word, width)...)
		default:
			out = append(out, word)
		}
	}
	return out
}
