package recipes

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"barline/brew"
)

// insert puts an entry into a list, written as it stands in the file.
func (d *Document) insert(part brew.Part, i int, entry string) (*Document, error) {
	keeps := func(after *Document) bool {
		return reflect.DeepEqual(without(after.Recipe(), part, i), d.Recipe())
	}
	if err := d.faults.Err(); err != nil {
		return nil, err
	}
	s, there := d.spots[brew.Place{Key: string(part)}]
	switch {
	case !there && i == 0:
		root := d.spots[brew.Place{}].value
		list := d.src.newline() + strings.Repeat(" ", root.Column-1) + "  - " + entry
		if root.Style&yaml.FlowStyle != 0 {
			list = "[" + inside(entry) + "]"
		}
		e := d.addTo(root, recipeNames, string(part), list)
		e.text = strings.Replace(e.text, ": "+d.src.newline(), ":"+d.src.newline(), 1)
		return d.edited(e, keeps)
	case !there || i < 0 || i > len(s.value.Content):
		return nil, fmt.Errorf("no place %d in %s", i+1, part)
	}
	return d.edited(d.insertAt(s, i, entry), keeps)
}

// without returns a recipe of one's own without an entry of a list.
func without(r brew.Recipe, part brew.Part, i int) brew.Recipe {
	switch part {
	case brew.InSteps:
		r.Steps = drop(r.Steps, i)
	case brew.InPrepare:
		r.Prepare = drop(r.Prepare, i)
	case brew.InAfterwards:
		r.Afterwards = drop(r.Afterwards, i)
	}
	return r
}

// drop deletes an entry; what has none is nil, as Parse returns it.
func drop[T any](entries []T, i int) []T {
	if len(entries) <= 1 {
		return nil
	}
	return slices.Delete(entries, i, i+1)
}

// inside returns an entry of a list on lines of its own as one of a list in
// brackets.
func inside(entry string) string {
	if strings.HasPrefix(entry, "{") || strings.HasPrefix(entry, `"`) {
		return entry
	}
	return writtenInside(entry)
}

// insertAt puts an entry before entry i of a list, behind the entry before it
// so that comments stay with what they stand above.
func (d *Document) insertAt(s spot, i int, entry string) splice {
	list := s.value
	if list.Style&yaml.FlowStyle != 0 {
		switch at := d.src.offset(list.Line, list.Column) + 1; {
		case len(list.Content) == 0:
			return splice{at, at, inside(entry)}
		case i == 0:
			return splice{at, at, inside(entry) + ", "}
		default:
			at = d.src.end(list.Content[i-1])
			return splice{at, at, ", " + inside(entry)}
		}
	}
	at := d.src.lineEnd(d.src.end(s.key))
	if i > 0 {
		at = d.src.lineEnd(d.src.end(list.Content[i-1]))
	}
	return splice{at, at, d.src.newline() + strings.Repeat(" ", list.Column-1) + "- " + entry}
}

// dropInside takes a key or an entry out of brackets, with one comma.
func (d *Document) dropInside(s spot) splice {
	from, to := d.spotStart(s), d.spotEnd(s)
	rest := string(d.src.text[to:])
	if trimmed := strings.TrimLeft(rest, " \t"); strings.HasPrefix(trimmed, ",") {
		trimmed = strings.TrimLeft(trimmed[1:], " \t")
		return splice{from, to + len(rest) - len(trimmed), ""}
	}
	if before := strings.TrimRight(string(d.src.text[:from]), " \t"); strings.HasSuffix(before, ",") {
		from = len(before) - 1
	}
	return splice{from, to, ""}
}

func (d *Document) spotStart(s spot) int {
	n := s.value
	if s.key != nil {
		n = s.key
	}
	return d.src.offset(n.Line, n.Column)
}

// dropLines takes a key or an entry that has lines of its own out, with those
// lines. Of a key that shares its line with the mark of a list only the key
// goes, and the next one takes its place.
func (d *Document) dropLines(s spot) splice {
	from, to := d.spotStart(s), d.spotEnd(s)
	if s.key != nil && s.key == s.parent.Content[0] && len(s.parent.Content) > 2 && d.marked(from) {
		next := s.parent.Content[2]
		return splice{from, d.src.offset(next.Line, next.Column), ""}
	}
	line, _ := d.src.position(from)
	for s.key == nil && !d.markedLine(line, from) {
		line--
	}
	end := d.src.lineEnd(to)
	return splice{d.src.start(line), end + lineBreak(d.src.text[end:]), ""}
}

// marked reports whether the mark of a list stands before an offset in its
// line.
func (d *Document) marked(at int) bool {
	line, _ := d.src.position(at)
	return strings.Contains(string(d.src.text[d.src.start(line):at]), "-")
}

// markedLine reports whether a line begins the entry that goes on at an
// offset.
func (d *Document) markedLine(line, at int) bool {
	return line <= 1 || strings.HasPrefix(strings.TrimLeft(string(d.src.text[d.src.start(line):at]), " "), "-")
}
