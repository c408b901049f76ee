package recipes

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"gopkg.in/yaml.v3"
)

// end returns the offset just behind a node's last character. The library
// gives only where a node begins.
func (s *source) end(n *yaml.Node) int {
	at := s.offset(n.Line, n.Column)
	switch {
	case n.Kind == yaml.ScalarNode:
		return s.scalarEnd(n, at)
	case n.Style&yaml.FlowStyle != 0:
		at++ // the opening bracket
		if len(n.Content) > 0 {
			at = s.end(n.Content[len(n.Content)-1])
		}
		return s.closing(at)
	case len(n.Content) > 0:
		return s.end(n.Content[len(n.Content)-1])
	}
	return at
}

func (s *source) scalarEnd(n *yaml.Node, at int) int {
	switch {
	case absent(n) && n.Value == "":
		return at
	case n.Style&yaml.DoubleQuotedStyle != 0:
		return s.quoteEnd(at, '"')
	case n.Style&yaml.SingleQuotedStyle != 0:
		return s.quoteEnd(at, '\'')
	case n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		return s.blockEnd(at)
	}
	return s.plainEnd(n.Value, at)
}

func (s *source) quoteEnd(at int, mark byte) int {
	for i := at + 1; i < len(s.text); i++ {
		switch {
		case s.text[i] == '\\' && mark == '"':
			i++
		case s.text[i] == mark && mark == '\'' && i+1 < len(s.text) && s.text[i+1] == mark:
			i++
		case s.text[i] == mark:
			return i + 1
		}
	}
	return len(s.text)
}

// plainEnd follows a plain text through the file. Where it goes over several
// lines its blanks differ from those of the value.
func (s *source) plainEnd(value string, at int) int {
	for _, r := range value {
		if unicode.IsSpace(r) {
			continue
		}
		for at < len(s.text) {
			got, size := utf8.DecodeRune(s.text[at:])
			at += size
			if got == r {
				break
			}
		}
	}
	return at
}

// blockEnd returns where a text behind | or > ends: before the first line
// that is indented no more than the line that begins it.
func (s *source) blockEnd(at int) int {
	line, _ := s.position(at)
	depth, end := margins(string(s.text[s.start(line):at])), s.lineEnd(at)
	for n := line + 1; n <= s.count(); n++ {
		text := s.line(n)
		if strings.TrimSpace(text) == "" {
			continue
		}
		if indent(text) <= depth {
			break
		}
		end = s.lineEnd(s.start(n))
	}
	return end
}

// margins returns how far a value's key, or else its list, is indented, given
// what stands before the value in its line.
func margins(before string) int {
	depth := indent(before)
	for strings.HasPrefix(before[depth:], "-") && strings.TrimSpace(before[depth+1:]) != "" {
		depth += 1 + indent(before[depth+1:])
	}
	return depth
}

// closing returns the offset behind the bracket that closes after at, where
// nothing but blanks, commas, colons and comments can come first.
func (s *source) closing(at int) int {
	for ; at < len(s.text); at++ {
		switch s.text[at] {
		case '#':
			at = s.lineEnd(at)
		case '}', ']':
			return at + 1
		}
	}
	return len(s.text)
}
