package main

import (
	"fmt"
	"io"
	"strings"

	"barline/tui/draw"
)

// list writes lines under a title, where there are any.
func list(w io.Writer, title string, items []string) {
	if len(items) == 0 {
		return
	}
	fmt.Fprintf(w, "\n%s\n", title)
	for _, item := range items {
		lines(w, "- ", item)
	}
}

// wide is how many columns the text of drift keeps to.
const wide = 80

// lines writes a text in lines of at most 80 columns, with a lead before the
// first. A unit stays with its figure.
func lines(w io.Writer, lead, text string) {
	indent, line := strings.Repeat(" ", len(lead)), lead
	for i, word := range wordsOf(draw.OneLine(text)) {
		if i > 0 && len([]rune(line))+1+len([]rune(word)) > wide {
			fmt.Fprintln(w, line)
			line = indent + word
			continue
		}
		if i > 0 {
			line += " "
		}
		line += word
	}
	fmt.Fprintln(w, line)
}

// wordsOf returns the words between which a line may be broken.
func wordsOf(text string) []string {
	var out []string
	for _, word := range strings.Fields(text) {
		unit := strings.Trim(word, ",;:)")
		if len(out) > 0 && (unit == "s" || unit == "g" || unit == "%") {
			out[len(out)-1] += " " + word
			continue
		}
		out = append(out, word)
	}
	return out
}
