package tui

import (
	"io"
	"strings"

	"barline/tui/draw"
)

// latin is what stands for the characters from À, U+00C0, to ÿ, U+00FF, in a
// terminal that knows no letters but those of ASCII.
const latin = "AAAAAAACEEEEIIIIDNOOOOOxOUUUUYTsaaaaaaaceeeeiiiidnooooo/ouuuuyty"

// ASCII returns a writer for a place that knows ASCII alone, where the locale
// says so; else w itself.
func ASCII(w io.Writer, getenv func(string) string) io.Writer {
	if saysUTF8(getenv) {
		return w
	}
	return folded{w}
}

type folded struct{ io.Writer }

// Write writes a text, of which each piece must be whole characters.
func (f folded) Write(text []byte) (int, error) {
	if _, err := io.WriteString(f.Writer, asASCII(string(text))); err != nil {
		return 0, err
	}
	return len(text), nil
}

// asASCII returns a text with something of ASCII for each cell of what is not:
// a terminal that is not of UTF-8 would take the bytes of one character for
// several, some of which command it.
func asASCII(text string) string {
	var b strings.Builder
	b.Grow(len(text))
	for _, r := range text {
		switch {
		case r < 0x80:
			b.WriteRune(r)
		case r == '°':
			b.WriteByte(' ')
		case r == '±':
			b.WriteByte('~')
		case 'À' <= r && r <= 'ÿ':
			b.WriteByte(latin[r-'À'])
		default:
			b.WriteString(strings.Repeat("?", draw.Width(string(r))))
		}
	}
	return b.String()
}
