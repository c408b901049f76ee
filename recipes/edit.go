package recipes

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"barline/brew"
)

// Set returns the document with the value of a key changed, or the key added
// where it was left out. The value is what a person would write, without
// quotes: "93 °C", "to 60 g", "slow, even circles"; quotes are added where
// the file needs them. A value of window or aim may be keys in braces, and
// those keys can be set alone as window.start or aim.strength. Everything
// else in the file stays as it is, byte for byte.
//
// The error is Faults where the new text would not parse; a document with
// faults of shape is not edited at all.
func (d *Document) Set(p brew.Place, value string) (*Document, error) {
	if err := d.faults.Err(); err != nil {
		return nil, err
	}
	value = strings.Join(strings.Fields(value), " ")
	if value == "" {
		return nil, fmt.Errorf("no value for %s", p)
	}
	var e splice
	var err error
	if s, there := d.spots[p]; there && p.Key != "" {
		e, err = d.change(p, s, value)
	} else {
		e, err = d.add(p, value)
	}
	if err != nil {
		return nil, err
	}
	return d.edited(e, func(after *Document) bool { return d.keeps(after, p) })
}

// Remove returns the document without a key, or without a whole step or chore
// where the place has no key. A comment behind it on its last line goes with
// it. The error is as that of Set.
func (d *Document) Remove(p brew.Place) (*Document, error) {
	if err := d.faults.Err(); err != nil {
		return nil, err
	}
	s, there := d.spots[p]
	switch {
	case !there || p == brew.Place{}:
		return nil, fmt.Errorf("nothing to remove: the recipe has no %s", p)
	case s.key == nil && p.Key != "":
		return nil, fmt.Errorf("%s is all there is to it: remove the whole entry", p)
	case p.Key == "" && len(s.parent.Content) == 1:
		return d.Remove(brew.Place{Key: string(p.Part)})
	}
	e := d.dropLines(s)
	if s.parent.Style&yaml.FlowStyle != 0 {
		e = d.dropInside(s)
	}
	if p.Key != "" {
		return d.edited(e, func(after *Document) bool { return d.keeps(after, p) })
	}
	return d.edited(e, func(after *Document) bool {
		return reflect.DeepEqual(after.Recipe(), without(d.Recipe(), p.Part, p.Index))
	})
}

// InsertStep returns the document with a step put in before step i, counted
// from 0; i may be the number of steps. The error is as that of Set.
func (d *Document) InsertStep(i int, s brew.Step) (*Document, error) {
	return d.insert(brew.InSteps, i, writeStep(s))
}

// InsertChore returns the document with an entry put into prepare or
// afterwards before its entry i; the list is begun where there is none. The
// error is as that of Set.
func (d *Document) InsertChore(part brew.Part, i int, c brew.Chore) (*Document, error) {
	if part != brew.InPrepare && part != brew.InAfterwards {
		return nil, fmt.Errorf("%q has no chores", part)
	}
	return d.insert(part, i, writeChore(c))
}

// splice is a change of text: what stands from one offset to another becomes
// something else.
type splice struct {
	from, to int
	text     string
}

// edited applies a change and reads the result, which must parse and keep the
// rest of the recipe.
func (d *Document) edited(e splice, keeps func(*Document) bool) (*Document, error) {
	text := slices.Concat(d.src.text[:e.from], []byte(e.text), d.src.text[e.to:])
	after, faults := Parse(d.src.file, text)
	if err := faults.Err(); err != nil {
		return nil, err
	}
	if !keeps(after) {
		return nil, errors.New("the change would alter more of the recipe than it names")
	}
	return after, nil
}

// keeps reports whether the two documents have the same values everywhere but
// at a place.
func (d *Document) keeps(after *Document, p brew.Place) bool {
	outer, _, _ := strings.Cut(p.Key, ".")
	meant := func(q brew.Place) bool {
		inner, _, _ := strings.Cut(q.Key, ".")
		entry := p.Part == brew.InRecipe && q.Part != brew.InRecipe && string(q.Part) == p.Key
		return q == p || entry || q.Part == p.Part && q.Index == p.Index && inner == outer
	}
	for q, s := range d.spots {
		now, there := after.spots[q]
		if !meant(q) && (!there || s.value.Kind == yaml.ScalarNode && q.Key != "" && now.value.Value != s.value.Value) {
			return false
		}
	}
	for q := range after.spots {
		if _, there := d.spots[q]; !there && !meant(q) {
			return false
		}
	}
	return true
}

// change replaces the value of a key that stands in the file.
func (d *Document) change(p brew.Place, s spot, value string) (splice, error) {
	if s.value.Kind == yaml.SequenceNode {
		return splice{}, fmt.Errorf("%s is a list: change its entries", p)
	}
	text := d.shown(p, value, s.parent)
	if absent(s.value) {
		at := d.src.end(s.key)
		if rest := d.src.text[at:]; len(rest) > 0 && rest[0] == ':' {
			return splice{at + 1, at + 1, " " + text}, nil
		}
		return splice{at, at, ": " + text}, nil
	}
	return splice{d.src.offset(s.value.Line, s.value.Column), d.src.end(s.value), text}, nil
}

// shown returns a value as it has to be written within the given node.
func (d *Document) shown(p brew.Place, value string, parent *yaml.Node) string {
	if strings.HasPrefix(value, "{") && (p.Key == "window" || p.Key == "aim") {
		return value
	}
	if parent.Style&yaml.FlowStyle != 0 {
		return writtenInside(value)
	}
	return written(value)
}

// add writes a key that was left out.
func (d *Document) add(p brew.Place, value string) (splice, error) {
	outer, inner, nested := strings.Cut(p.Key, ".")
	group := brew.Place{Part: p.Part, Index: p.Index}
	order := map[brew.Part][]string{brew.InRecipe: recipeNames, brew.InSteps: stepOrder()}[p.Part]
	if order == nil {
		order = names(choreKeys)
	}
	if nested {
		group.Key, order = outer, []string{"start", "end", "strength", "extraction"}
		if _, there := d.spots[group]; !there {
			return d.add(group, "{"+inner+": "+value+"}")
		}
	}
	s, there := d.spots[group]
	name := p.Key[strings.LastIndex(p.Key, ".")+1:]
	switch {
	case !there:
		return splice{}, fmt.Errorf("the recipe has no %s", group)
	case !slices.Contains(order, name):
		return splice{}, fmt.Errorf("unknown key %s", quote(p.Key))
	case s.value.Kind == yaml.ScalarNode && p.Key == "over": // a chore that is a text alone
		do := writtenInside(strings.Join(strings.Fields(s.value.Value), " "))
		return splice{d.src.offset(s.value.Line, s.value.Column), d.src.end(s.value), braces([]string{"do: " + do, "over: " + value})}, nil
	case s.value.Kind != yaml.MappingNode:
		return splice{}, fmt.Errorf("%s has no keys of its own: set it to {%s: %s}", group, name, value)
	}
	return d.addTo(s.value, order, name, d.shown(p, value, s.value)), nil
}

// stepOrder returns the keys of a step in the order in which they are written.
func stepOrder() []string {
	var out []string
	for _, k := range stepKeys {
		if k.name != "" {
			out = append(out, k.name)
			continue
		}
		for _, u := range brew.Actions() {
			out = append(out, string(u.Action))
		}
	}
	return out
}

// addTo puts a key into a group, behind the last of those that come before it
// in order.
func (d *Document) addTo(m *yaml.Node, order []string, name, text string) splice {
	before := -1
	for i := 0; i+1 < len(m.Content); i += 2 {
		if slices.Index(order, m.Content[i].Value) < slices.Index(order, name) {
			before = i
		}
	}
	flow, start := m.Style&yaml.FlowStyle != 0, d.src.offset(m.Line, m.Column)
	entry := name + ": " + text
	switch {
	case flow && len(m.Content) == 0:
		return splice{start + 1, start + 1, entry}
	case flow && before < 0:
		return splice{start + 1, start + 1, entry + ", "}
	case flow:
		at := d.pairEnd(m, before)
		return splice{at, at, ", " + entry}
	case before < 0:
		return splice{start, start, entry + d.src.newline() + strings.Repeat(" ", m.Column-1)}
	}
	at := d.src.lineEnd(d.pairEnd(m, before))
	return splice{at, at, d.src.newline() + strings.Repeat(" ", m.Column-1) + entry}
}

// pairEnd returns where the pair at an index of a group's content ends.
func (d *Document) pairEnd(m *yaml.Node, i int) int {
	return d.spotEnd(spot{m.Content[i], m.Content[i+1], m})
}

// spotEnd returns where a key with its value, or an entry, ends.
func (d *Document) spotEnd(s spot) int {
	if s.key == nil || !absent(s.value) {
		return d.src.end(s.value)
	}
	at := d.src.end(s.key)
	if at < len(d.src.text) && d.src.text[at] == ':' {
		at++
	}
	return at
}

// newline returns how the file ends its lines.
func (s *source) newline() string {
	if len(s.lines) > 1 {
		if end := s.ends[0]; lineBreak(s.text[end:]) == 2 && s.text[end] == '\r' {
			return "\r\n"
		}
	}
	return "\n"
}
