package page_test

import (
	"encoding/xml"
	"errors"
	"io"
	"slices"
	"strings"
	"testing"
)

// element is a part of a page. Our pages close what they open, so that a strict
// parser of XML can read them.
type element struct {
	name string
	attr map[string]string
	text string // its own and that of all within
	kids []*element
}

// parse reads a page. What is not well formed fails the test.
func parse(t testing.TB, page string) *element {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(strings.TrimPrefix(page, "<!DOCTYPE html>")))
	top := &element{name: "page"}
	open := []*element{top}
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return top
		}
		if err != nil {
			t.Fatalf("not well formed: %v", err)
		}
		last := open[len(open)-1]
		switch token := token.(type) {
		case xml.StartElement:
			e := &element{name: token.Name.Local, attr: map[string]string{}}
			for _, a := range token.Attr {
				e.attr[a.Name.Local] = a.Value
			}
			last.kids, open = append(last.kids, e), append(open, e)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			for _, e := range open {
				e.text += string(token)
			}
		}
	}
}

// all returns the elements of a name within, in their order; of a class where
// one is given as 'name.class'.
func (e *element) all(what string) (out []*element) {
	name, class, _ := strings.Cut(what, ".")
	for _, k := range e.kids {
		if k.name == name && (class == "" || slices.Contains(strings.Fields(k.attr["class"]), class)) {
			out = append(out, k)
		}
		out = append(out, k.all(what)...)
	}
	return out
}

// with returns the elements that have an attribute, whatever their name.
func (e *element) with(attr string) (out []*element) {
	for _, k := range e.kids {
		if _, ok := k.attr[attr]; ok {
			out = append(out, k)
		}
		out = append(out, k.with(attr)...)
	}
	return out
}

// id returns the element of an id, nil for none.
func (e *element) id(id string) *element {
	for _, k := range e.with("id") {
		if k.attr["id"] == id {
			return k
		}
	}
	return nil
}

// plain is a text with each run of spaces as one.
func plain(s string) string { return strings.Join(strings.Fields(s), " ") }
