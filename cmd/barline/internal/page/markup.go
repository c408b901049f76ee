package page

import (
	"fmt"
	"html"
	"strings"
	"unicode"
)

// markup is HTML that is being written.
type markup struct{ strings.Builder }

// put writes a format with its arguments. The format is markup; arguments are
// text, whatever they hold, unless they are numbers or trusted.
func (m *markup) put(format string, args ...any) {
	out := make([]any, len(args))
	for i, a := range args {
		switch a := a.(type) {
		case int, float64:
			out[i] = a
		case trusted:
			out[i] = string(a)
		default:
			out[i] = escaped(fmt.Sprint(a))
		}
	}
	fmt.Fprintf(m, format, out...)
}

// trusted is markup that was escaped already.
type trusted string

// escaped returns a text as it stands in HTML and in XML, on one line. What
// steers a terminal or turns the direction of writing around is no text.
func escaped(s string) string {
	return html.EscapeString(strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r) && r != ' ' && r != '\u00a0':
			return ' '
		case unicode.IsControl(r), turns(r), r == '\ufffe', r == '\uffff':
			return unicode.ReplacementChar
		}
		return r
	}, s))
}

// turns reports whether a rune changes the direction of what follows it
// (Unicode Standard Annex 9, section 2, without the marks, which are harmless).
func turns(r rune) bool {
	return '\u202a' <= r && r <= '\u202e' || '\u2066' <= r && r <= '\u2069'
}

// sentence returns a text as a sentence: with a capital and a full stop.
func sentence(s string) string {
	for i, r := range s {
		return string(unicode.ToUpper(r)) + s[i+len(string(r)):] + "."
	}
	return s
}
