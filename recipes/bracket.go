package recipes

import (
	"regexp"
	"slices"
	"strings"
)

// quoted goes through a quoted text and reports whether it is in order.
func (f *slipFinder) quoted() bool {
	from, mark := f.at, f.text[f.at]
	for i := from + 1; i < len(f.text); i++ {
		switch c := f.text[i]; {
		case c == '\\' && mark == '"':
			if i++; i < len(f.text) && !strings.ContainsRune("0abt\tnvfe \"/\\N_LPxuU\r\n", rune(f.text[i])) {
				f.found(i-1, "\\"+f.text[i:i+1]+" means nothing in double quotes", `write \\ for a backslash`)
				return false
			}
		case c == '\n' && f.begins(i+1, len(f.text)):
			f.found(from, "a quote that is not closed", "close it at the end of the text")
			return false
		case c == mark && mark == '\'' && strings.HasPrefix(f.text[i+1:], "'"):
			i++
		case c == mark:
			f.at = i + 1
			return true
		}
	}
	f.found(from, "a quote that is not closed", "close it at the end of the text")
	return false
}

// begins reports whether a line looks like the beginning of a list's entry or
// of a key, no deeper than the given depth.
func (f *slipFinder) begins(start, depth int) bool {
	text := f.text[start:f.src.lineEnd(start)]
	body := strings.TrimLeft(text, " ")
	return len(text)-len(body) <= depth && (entryMark.MatchString(body) || keyShape.MatchString(body))
}

// bracket is one { or [ that is open.
type bracket struct {
	at    int
	close byte
	colon bool // the entry under way has its colon
}

// brackets goes through everything between an opening bracket and its closing
// one and reports whether it is in order.
func (f *slipFinder) brackets() bool {
	line, _ := f.src.position(f.at)
	depth := indent(f.src.line(line))
	var open []bracket
	fresh, comment := true, -1 // whether a value may begin, and the first comment
	for f.at < len(f.text) {
		c := f.text[f.at]
		switch {
		case (c == '"' || c == '\'') && fresh:
			if !f.quoted() || !f.behindQuoted() {
				return false
			}
			fresh = false
			continue
		case c == '{' || c == '[':
			if !fresh {
				f.found(f.at, string(c)+" within text", "quote text with "+string(c))
				return false
			}
			open = append(open, bracket{at: f.at, close: c + 2}) // in ASCII each closes two on
		case c == '}' || c == ']':
			top := open[len(open)-1]
			if c != top.close {
				f.found(f.at, string(c)+" where "+string(top.close)+" should close first", "write "+string(top.close))
				return false
			}
			if open = open[:len(open)-1]; len(open) == 0 {
				f.at++
				return true
			}
			fresh = false
		case c == ',':
			open[len(open)-1].colon, fresh = false, true
		case c == ':' && f.endsKey():
			if open[len(open)-1].colon {
				f.secondColon()
				return false
			}
			open[len(open)-1].colon, fresh = true, true
		case c == '#' && strings.ContainsAny(f.text[f.at-1:f.at], " \t\n"):
			if comment < 0 {
				comment = f.at
			}
			f.at = f.src.lineEnd(f.at)
			continue
		case c == '\n':
			if f.begins(f.at+1, depth) {
				f.unclosed(open, comment)
				return false
			}
		case fresh && strings.IndexByte("@`%&*!|>", c) >= 0:
			f.found(f.at, "text cannot begin with "+string(c), "quote the text")
			return false
		case c == '?':
			f.found(f.at, "a ? within text in braces", "quote text with a ?")
			return false
		case c == '-' && fresh && strings.HasPrefix(f.text[f.at+1:], " "):
			f.found(f.at, "text cannot begin with - and a blank", "quote the text")
			return false
		case c != ' ' && c != '\t' && c != '\r':
			fresh = false
		}
		f.at++
	}
	f.unclosed(open, comment)
	return false
}

// unclosed tells of a bracket that stays open, because of a comment perhaps.
func (f *slipFinder) unclosed(open []bracket, comment int) {
	top := open[len(open)-1]
	if comment >= 0 && strings.IndexByte(f.text[comment:f.src.lineEnd(comment)], top.close) >= 0 {
		f.found(comment, "# begins a comment, so that the "+string(f.text[top.at])+" before it is not closed", "quote text with a #")
		return
	}
	f.found(top.at, string(f.text[top.at])+" is not closed", "end it with "+string(top.close))
}

// endsKey reports whether the colon under way ends a key rather than standing
// within a time or a word.
func (f *slipFinder) endsKey() bool {
	return f.at+1 == len(f.text) || strings.IndexByte(" \t\r\n,}]", f.text[f.at+1]) >= 0
}

// behindQuoted checks what follows a quoted text within brackets.
func (f *slipFinder) behindQuoted() bool {
	rest := strings.TrimLeft(f.text[f.at:], " \t\r\n")
	if rest == "" || strings.IndexByte(",}]:#", rest[0]) >= 0 {
		return true
	}
	at := len(f.text) - len(rest)
	if keyShape.MatchString(rest) {
		key, _, _ := strings.Cut(rest, ":")
		f.found(at, "no comma before "+quote(key), "put a comma before "+key)
	} else if !strings.Contains(f.text[f.at:at], "\n") {
		f.found(at, "text behind the closing quote", "put the whole text in quotes")
	} else {
		return true // an unclosed bracket; the line will tell
	}
	return false
}

var lastWord = regexp.MustCompile(`[ \t]([a-z]+)$`)

// secondColon tells of a colon in an entry that has one already.
func (f *slipFinder) secondColon() {
	m := lastWord.FindStringSubmatch(f.text[:f.at])
	if m != nil && slices.Contains(stepNames, m[1]) {
		f.found(f.at-len(m[1]), "no comma before "+quote(m[1]), "put a comma before "+m[1])
		return
	}
	f.found(f.at, "a colon within text", "quote text with a colon")
}
