package draw

import (
	"strings"
	"unicode"

	"github.com/charmbracelet/bubbles/key"
)

// Wrap breaks a text at its spaces into lines of at most width cells. A
// longer word stands alone and is cut off.
func Wrap(text string, width int) []string {
	var lines []string
	for _, word := range strings.Fields(text) {
		last := len(lines) - 1
		if last >= 0 && Width(lines[last])+1+Width(word) <= width {
			lines[last] += " " + word
			continue
		}
		lines = append(lines, Fit(word, width))
	}
	return lines
}

// WrapWhole is Wrap that breaks a word which is longer than a line, too, so
// that nothing of a path is lost.
func WrapWhole(text string, width int) []string {
	var words []string
	for _, word := range strings.Fields(text) {
		for width > 0 && Width(word) > width {
			cut := 0
			for i, r := range word {
				if Width(word[:i])+runeWidth(r) > width {
					break
				}
				cut = i + len(string(r))
			}
			if cut == 0 {
				break
			}
			words, word = append(words, word[:cut]), word[cut:]
		}
		words = append(words, word)
	}
	return Wrap(strings.Join(words, " "), width)
}

// Help draws as many of the keys as fit into row y, in their order: the key
// and what it does. A disabled key is left out.
func (c *Canvas) Help(y int, bindings []key.Binding) {
	x := 0
	for _, b := range bindings {
		h := b.Help()
		if !b.Enabled() || x+Width(h.Key)+1+Width(h.Desc) > c.Width {
			continue
		}
		x = c.Text(x, y, h.Key, Key)
		x = c.Text(x+1, y, h.Desc, Faint) + 2
	}
}

// OneLine returns a text as a terminal can be given it: in one line, and
// without the control characters that would steer the terminal (those of the
// C0 and C1 sets, and Unicode's for the direction of writing) or break the line.
func OneLine(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n', r == '\t', r == '\r', r == '\u2028', r == '\u2029', r == '\u0085':
			return ' '
		case unicode.IsControl(r), unicode.Is(unicode.Bidi_Control, r):
			return -1
		}
		return r
	}, text)
}
