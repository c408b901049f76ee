package recipes

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"barline/brew"
)

// Bounds of a file. A recipe is a page of text; what is larger is not one.
const (
	MaxSize  = 256 << 10 // bytes
	MaxDepth = 16        // lists and keys within one another
	MaxNodes = 10_000    // keys and values in all
)

// mostSlips is how many slips of form are looked for in one file.
const mostSlips = 20

// tree is a file as YAML has it.
type tree struct {
	root   *yaml.Node // nil where nothing can be read
	faults Faults
	torn   bool // lines with a slip of form were left out
}

// readTree reads YAML. A slip of form stops YAML altogether, so the line with
// the slip is left out and the rest is read again: the other faults of the
// file are found with it.
func readTree(src *source) (t tree) {
	defer func() {
		if p := recover(); p != nil { // the YAML library gave up
			t = tree{faults: Faults{src.fault(brew.Error, 1, 1, "write it line by line as the examples are", "the file cannot be read as a %s", src.what)}}
		}
	}()
	if f, bad := unfit(src); bad {
		return tree{faults: Faults{f}}
	}
	text := bytes.Clone(src.text)
	for range mostSlips {
		root, second, err := decode(text)
		if err == nil {
			t.root = root
			t.second(src, second)
			t.bound(src)
			return t
		}
		s := findSlip(newSource(src.file, text))
		if s == nil {
			if !t.torn { // otherwise it may well come of leaving lines out
				t.faults = append(t.faults, explain(src, err))
			}
			return t
		}
		t.torn = true
		t.faults = append(t.faults, src.fault(brew.Error, s.line, s.column, s.hint, "%s", s.message))
		blank(src, text, s.line)
	}
	return t
}

// decode returns the root of the first document and the beginning of a second
// one, nil where there is none.
func decode(text []byte) (root, second *yaml.Node, err error) {
	var first, next yaml.Node
	d := yaml.NewDecoder(bytes.NewReader(text))
	switch err := d.Decode(&first); {
	case errors.Is(err, io.EOF):
		return nil, nil, nil
	case err != nil:
		return nil, nil, err
	}
	if err := d.Decode(&next); errors.Is(err, io.EOF) {
		return first.Content[0], nil, nil
	} else if err != nil {
		return nil, nil, err
	}
	return first.Content[0], &next, nil
}

// unfit finds what makes a file no text at all.
func unfit(src *source) (Fault, bool) {
	if n := len(src.text); n > MaxSize {
		return Fault{src.file, 1, 1, brew.Error, fmt.Sprintf("file has %d KiB, more than %d KiB", (n+1023)>>10, MaxSize>>10), "check that it is a " + src.what, ""}, true
	}
	for i := 0; i < len(src.text); {
		r, size := utf8.DecodeRune(src.text[i:])
		if message, hint := unfitRune(r, size, src.text[i], src.what); message != "" && (i > 0 || r != '\ufeff') {
			line, column := src.position(i)
			return src.fault(brew.Error, line, column, hint, "%s", message), true
		}
		i += size
	}
	return Fault{}, false
}

// unfitRune says what is wrong with a character, "" where nothing is.
func unfitRune(r rune, size int, first byte, what string) (message, hint string) {
	switch {
	case r == utf8.RuneError && size == 1:
		return fmt.Sprintf("byte 0x%02x is no UTF-8 text", first), "save the file as UTF-8"
	case r == 0:
		return "a zero byte, which no text file has", "check that it is a " + what
	case !yamlAllows(r):
		return fmt.Sprintf("character %U is not allowed", r), "delete it; an editor may not show it"
	}
	return "", ""
}

// yamlAllows reports whether a character may stand in a YAML file (YAML 1.1,
// section 5.1).
func yamlAllows(r rune) bool {
	switch {
	case r == '\t' || r == '\n' || r == '\r' || r == '\u0085':
		return true
	case r < ' ' || '\x7e' < r && r < '\u00a0' || r == '\ufeff' || r == '\ufffe' || r == '\uffff':
		return false
	}
	return true
}

// blank empties a line and those below that are indented more, so that they
// are not taken for part of what stands above.
func blank(src *source, text []byte, line int) {
	depth := indent(src.line(line))
	for n := line; n <= src.count(); n++ {
		if n > line && src.line(n) != "" && indent(src.line(n)) <= depth {
			return
		}
		for i := src.start(n); i < src.lineEnd(src.start(n)); i++ {
			text[i] = ' '
		}
	}
}

// indent returns the number of blanks that a line begins with.
func indent(line string) int {
	for i, r := range line {
		if r != ' ' {
			return i
		}
	}
	return len(line)
}

// second refuses another document in the file.
func (t *tree) second(src *source, doc *yaml.Node) {
	if doc != nil {
		t.add(src, doc, "keep one "+src.what+" in a file", "a second %s begins here", src.what)
	}
}

func (t *tree) add(src *source, n *yaml.Node, hint, format string, args ...any) {
	t.faults = append(t.faults, src.fault(brew.Error, n.Line, n.Column, hint, format, args...))
}

// bound refuses what a recipe has no use for: depth, size, and the parts of
// YAML by which one place stands for another. Without a root there is no
// recipe to go on with.
func (t *tree) bound(src *source) {
	nodes := 0
	var walk func(n *yaml.Node, depth int) bool
	walk = func(n *yaml.Node, depth int) bool {
		nodes++
		switch {
		case depth > MaxDepth:
			t.add(src, n, "write it line by line as the examples are", "keys and lists lie more than %d deep in one another", MaxDepth)
			return false
		case nodes > MaxNodes:
			t.add(src, n, "check that it is a "+src.what, "more than %d keys and values", MaxNodes)
			return false
		}
		t.plain(src, n)
		for _, c := range n.Content {
			if !walk(c, depth+1) {
				return false
			}
		}
		return true
	}
	if t.root != nil && !walk(t.root, 1) {
		t.root = nil
	}
}

// plain refuses anchors, aliases, merges and tags.
func (t *tree) plain(src *source, n *yaml.Node) {
	switch at := src.offset(n.Line, n.Column); {
	case n.Kind == yaml.AliasNode:
		t.add(src, n, "write the value out, or quote text that begins with *", "*%s stands for something written elsewhere", n.Value)
	case n.Anchor != "":
		t.add(src, n, "take it out, or quote text that begins with &", "&%s gives the value a name, which a %s does not use", n.Anchor, src.what)
	case n.Style&yaml.TaggedStyle != 0, at < len(src.text) && src.text[at] == '!':
		t.add(src, n, "take it out, or quote text that begins with !", "! gives the value a type, which a %s does not use", src.what)
	case isMerge(n):
		t.add(src, n, "write the keys out", "<< takes keys from elsewhere")
	}
}

func isMerge(n *yaml.Node) bool {
	return n.Kind == yaml.ScalarNode && n.Value == "<<" && n.Style == 0
}
