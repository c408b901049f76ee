package recipes

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/mattn/go-runewidth"

	"barline/brew"
)

// byteOrderMark may begin a file and is no part of its first line.
var byteOrderMark = []byte("\xef\xbb\xbf")

// source is a file's text with the place of every character in it.
type source struct {
	file  string
	what  string // it is: a recipe, mostly
	text  []byte
	runes []int // byte offset of every character, and of the end
	lines []int // index into runes of each line's first character
	ends  []int // byte offset of each line's end, before its break
}

func newSource(file string, text []byte) *source {
	s := &source{file: file, what: "recipe", text: text}
	at := 0
	if bytes.HasPrefix(text, byteOrderMark) {
		at = len(byteOrderMark)
	}
	s.lines = []int{0}
	for at < len(text) {
		s.runes = append(s.runes, at)
		if n := lineBreak(text[at:]); n > 0 {
			s.ends = append(s.ends, at)
			at += n
			s.lines = append(s.lines, len(s.runes))
			continue
		}
		_, size := utf8.DecodeRune(text[at:])
		at += size
	}
	s.runes, s.ends = append(s.runes, at), append(s.ends, at)
	return s
}

// lineBreak returns the length of the line break that the text begins with, 0
// where it begins with none. YAML ends a line at more characters than a text
// editor may (YAML 1.1, section 5.4).
func lineBreak(text []byte) int {
	if len(text) == 0 {
		return 0
	}
	switch {
	case text[0] == '\n':
		return 1
	case text[0] == '\r':
		if len(text) > 1 && text[1] == '\n' {
			return 2
		}
		return 1
	case text[0] < utf8.RuneSelf:
		return 0
	}
	if r, size := utf8.DecodeRune(text); r == '\u0085' || r == '\u2028' || r == '\u2029' {
		return size
	}
	return 0
}

// count returns the number of lines. Text that ends in a line break has an
// empty last line.
func (s *source) count() int { return len(s.lines) }

// start returns the offset at which line n, from 1, begins.
func (s *source) start(n int) int { return s.runes[s.lines[n-1]] }

// line returns line n, from 1, without its break; "" where there is none.
func (s *source) line(n int) string {
	if n < 1 || n > len(s.lines) {
		return ""
	}
	return string(s.text[s.start(n):s.ends[n-1]])
}

// lineEnd returns the offset at which the line that holds the given offset
// ends, before its break.
func (s *source) lineEnd(at int) int {
	line, _ := s.position(at)
	return s.ends[line-1]
}

// offset returns where in the text a line and a column are; the end of the
// line where it has no such column.
func (s *source) offset(line, column int) int {
	if line < 1 || line > len(s.lines) {
		return len(s.text)
	}
	i := s.lines[line-1] + max(column, 1) - 1
	if i >= len(s.runes) {
		return s.ends[line-1]
	}
	return min(s.runes[i], s.ends[line-1])
}

// position returns the line and the column of an offset.
func (s *source) position(at int) (line, column int) {
	i, exact := slices.BinarySearch(s.runes, at)
	if !exact && i > 0 {
		i-- // within a character
	}
	line, begins := slices.BinarySearch(s.lines, i)
	if begins {
		line++
	}
	return line, 1 + i - s.lines[line-1]
}

// fault makes a fault at a line and a column, which are brought inside the
// file.
func (s *source) fault(severity brew.Severity, line, column int, hint, format string, args ...any) Fault {
	line = min(max(line, 1), s.count())
	text := s.line(line)
	column = min(max(column, 1), utf8.RuneCountInString(text)+1)
	message := printable([]rune(fmt.Sprintf(format, args...)))
	return Fault{s.file, line, column, severity, message, printable([]rune(strings.TrimSpace(hint))), text}
}

// How an excerpt is shown.
const (
	margin  = "  "  // before the line and before the caret
	tabStop = 4     // in cells
	widest  = 100   // in characters; a longer line is cut around the column
	ellipse = "..." // where it is cut; a typographic one has no certain width
)

// excerpt returns a line as it can be shown on any terminal, tabs opened out,
// and a caret under its column, from 1.
func excerpt(line string, column int) (shown, caret string) {
	runes := []rune(line)
	at := min(max(column-1, 0), len(runes))
	from, to := 0, len(runes)
	if len(runes) > widest {
		from = max(0, min(at-widest/2, len(runes)-widest))
		to = from + widest
	}
	before, after := printable(runes[from:at]), printable(runes[at:to])
	if from > 0 {
		before = ellipse + before
	}
	if to < len(runes) {
		after += ellipse
	}
	cells := runewidth.Condition{}
	return before + after, strings.Repeat(" ", cells.StringWidth(before)) + "^"
}

// printable opens tabs out and puts a question mark for what would move the
// cursor.
func printable(runes []rune) string {
	var b strings.Builder
	cells := runewidth.Condition{}
	for _, r := range runes {
		switch {
		case r == '\t':
			b.WriteString(strings.Repeat(" ", tabStop-cells.StringWidth(b.String())%tabStop))
		case r == utf8.RuneError, hidden(r):
			b.WriteByte('?')
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// hidden reports whether a character steers a terminal or the direction of
// writing instead of being seen. The joiners that some scripts need are not.
func hidden(r rune) bool {
	const nonJoiner, joiner = '\u200c', '\u200d'
	return unicode.IsControl(r) || unicode.Is(unicode.Cf, r) && r != nonJoiner && r != joiner
}
