package recipes

import (
	"regexp"
	"slices"
	"strings"
)

// slip is a mistake of form that stops YAML from being read at all.
type slip struct {
	line, column  int
	message, hint string
}

// slipFinder goes through a file that YAML cannot read, line by line and with
// far less than all of YAML in mind, to find what a person got wrong.
type slipFinder struct {
	src  *source
	text string
	at   int   // what comes before is in order
	slip *slip // what is not

	folded int  // lines indented more than this go on with the text above; -1 for none
	raw    bool // of those lines, anything may stand in them
	list   int  // indentation of the list under way; -1 for none
	column int  // indentation of its last entry's first key
}

// findSlip returns the first slip of form, nil where it sees none.
func findSlip(src *source) *slip {
	f := &slipFinder{src: src, text: string(src.text), folded: -1, list: -1}
	for n := 1; n <= src.count() && f.slip == nil; n++ {
		if start := src.start(n); start >= f.at {
			f.at = start
			f.line(src.line(n))
		}
	}
	return f.slip
}

// found notes a slip at an offset; the first one counts.
func (f *slipFinder) found(at int, message, hint string) {
	if f.slip == nil {
		line, column := f.src.position(at)
		f.slip = &slip{line, column, message, hint}
	}
}

var (
	entryMark = regexp.MustCompile(`^-( +|$)`)
	plainKey  = regexp.MustCompile(`^[^\s:#\[\]{},"'&*!|>@%][^:#{}"']*:(\s|$)`)
	keyShape  = regexp.MustCompile(`^[A-Za-z_]+:(\s|$)`)
	blockText = regexp.MustCompile(`^[|>][-+1-9]*\s*(\s#.*)?$`)
	gluedKey  = regexp.MustCompile(`^([a-z]+):(\S.*)$`)
)

// line goes through a line that begins outside of quotes and brackets.
func (f *slipFinder) line(text string) {
	start, body := f.at, strings.TrimLeft(text, " \t")
	depth := len(text) - len(body)
	switch {
	case body == "" || body[0] == '#':
		return
	case f.raw && depth > f.folded:
		return
	case strings.Contains(text[:depth], "\t"):
		f.found(start+strings.Index(text, "\t"), "a tab in the indentation", "indent with blanks")
		return
	case depth == 0 && (strings.HasPrefix(body, "---") || strings.HasPrefix(body, "...")):
		f.folded, f.list = -1, -1
		return
	case f.folded >= 0 && depth > f.folded && !entryMark.MatchString(body):
		if plainKey.MatchString(body) {
			f.found(start+depth, "a key that is indented more than the one above", "begin it in the same column")
		}
		return
	}
	f.folded, f.raw = -1, false
	key := depth
	if mark := entryMark.FindString(body); mark != "" {
		if f.list >= 0 && depth != f.list {
			f.found(start+depth, "an entry that is not in line with the one above", "begin it in the same column")
			return
		}
		f.list = depth
		key, body = depth+len(mark), body[len(mark):]
	} else if depth == f.list && depth > 0 {
		f.found(start+depth, "an entry of the list without its -", "begin the line with - and a blank")
		return
	} else if depth <= f.list {
		f.list = -1
	} else if f.list >= 0 && depth < f.column {
		f.found(start+depth, "a key that is indented less than the one above", "begin it in the same column")
		return
	}
	if key > depth {
		f.column = key
	}
	f.entry(start+key, key, body, depth == key)
}

// entry goes through a key and its value, or a value alone, that begin at the
// given offset and indentation.
func (f *slipFinder) entry(at, depth int, body string, keyed bool) {
	if k := plainKey.FindString(body); k != "" {
		rest := body[len(k):]
		gap := len(rest) - len(strings.TrimLeft(rest, " \t"))
		if strings.TrimSpace(rest) == "" || rest[gap] == '#' {
			return
		}
		f.value(at+len(k)+gap, depth, rest[gap:])
		return
	}
	if keyed && depth == 0 && !strings.HasPrefix(body, `"`) && !strings.HasPrefix(body, "'") && body[0] != '{' && body[0] != '?' {
		f.noColon(at, body)
		return
	}
	if body != "" {
		f.value(at, depth-1, body)
	}
}

// noColon tells of a line at the margin that has no key.
func (f *slipFinder) noColon(at int, body string) {
	word, rest, _ := strings.Cut(body, " ")
	if m := gluedKey.FindStringSubmatch(body); m != nil {
		f.found(at+len(m[1]), "no blank behind the colon", "write "+m[1]+": "+m[2])
	} else if strings.ContainsAny(body[:1], "%@`&*!|>") {
		f.found(at, "a line cannot begin with "+body[:1], "begin it with a key")
	} else if name := near(word, recipeNames); name != "" {
		f.found(at, "no colon behind "+quote(word), strings.TrimSpace("write "+name+": "+rest))
	} else {
		f.found(at, quote(body)+" is no key with its value", "put a colon and a blank behind the key")
	}
}

// value goes through a value in a line.
func (f *slipFinder) value(at, depth int, body string) {
	switch c := body[0]; {
	case c == '"' || c == '\'':
		f.at = at
		if f.quoted() {
			f.behind("quote", "put the whole text in quotes")
		}
	case c == '{' || c == '[':
		f.at = at
		if f.brackets() {
			f.behind(map[byte]string{'{': "}", '[': "]"}[c], "take it out, or put it inside")
		}
	case blockText.MatchString(body):
		f.folded, f.raw = depth, true
	case strings.HasPrefix(body, "- ") || strings.HasPrefix(body, "? "):
		f.found(at, "text cannot begin with "+body[:1]+" and a blank", "quote the text")
	case strings.IndexByte("@`%&*!|>", c) >= 0:
		f.found(at, "text cannot begin with "+body[:1], "quote the text")
	default:
		f.folded = depth
		if i := colon(body); i >= 0 {
			f.tellColon(at, body[:i])
		}
	}
}

// tellColon tells of a colon behind plain text: another key, or text that
// needs quotes.
func (f *slipFinder) tellColon(at int, before string) {
	word := before[strings.LastIndexAny(before, " \t")+1:]
	if word != before && (slices.Contains(recipeNames, word) || slices.Contains(stepNames, word)) {
		f.found(at+len(before)-len(word), "a second key in one line, "+quote(word), "put it on a line of its own")
		return
	}
	f.found(at+len(before), "a colon within text", "quote text with a colon")
}

// colon returns where plain text holds a colon that YAML takes for the end of
// a key, -1 where it holds none.
func colon(body string) int {
	if i := strings.Index(body, " #"); i >= 0 {
		body = body[:i]
	}
	body = strings.TrimRight(body, " \t")
	if i := strings.Index(body, ": "); i >= 0 {
		return i
	}
	if strings.HasSuffix(body, ":") {
		return len(body) - 1
	}
	return -1
}

// behind tells of what stands behind a quoted text or a closed bracket.
func (f *slipFinder) behind(what, hint string) {
	end := f.src.lineEnd(f.at)
	rest := f.text[f.at:end]
	text := strings.TrimLeft(rest, " \t")
	if text == "" || text[0] == '#' && len(text) < len(rest) || what == "quote" && text[0] == ':' {
		f.at = end
		return
	}
	at := f.at + len(rest) - len(text)
	if text[0] == '}' || text[0] == ']' {
		f.found(at, text[:1]+" closes nothing", "take it out")
		return
	}
	f.found(at, "text behind the closing "+what, hint)
}
