package recipes

import (
	"fmt"
	"strings"
)

// label is what something on the shelf is called.
type label struct {
	stem, name string
	shipped    bool
}

// NameError says that nothing, or more than one thing, goes by a name.
type NameError struct {
	Name    string
	Message string
	Hint    string // one thing to do; may be empty
	Many    bool   // more than one thing goes by it
}

// Error returns the message without the hint.
func (e *NameError) Error() string { return e.Message }

// Advice returns the hint.
func (e *NameError) Advice() string { return e.Hint }

// find returns which of the labels of so many recipes or routines is meant: that
// of a stem or, failing that, that of a display name, whatever its capitals; the
// user's come before the shipped ones. The error is a *NameError.
func find(labels []label, kind, name string) (int, error) {
	for _, shipped := range []bool{false, true} {
		found := called(labels, name, shipped)
		switch {
		case len(found) == 1:
			return found[0], nil
		case len(found) > 1:
			var stems []string
			for _, i := range found {
				stems = append(stems, labels[i].stem)
			}
			return -1, &NameError{name, fmt.Sprintf("%d %ss are called %s", len(found), kind, quote(name)), "say which: " + list(stems, "or"), true}
		}
	}
	var stems, names []string
	for _, l := range labels {
		stems, names = append(stems, l.stem), append(names, l.name)
	}
	return -1, &NameError{name, "no " + kind + " " + quote(name), didYouMean(name, append(stems, names...), parts(name, stems)), false}
}

// called returns the labels of a name among the user's own or the shipped ones:
// those of that stem, else those of that display name.
func called(labels []label, name string, shipped bool) []int {
	of := func(text func(label) string) (out []int) {
		for i, l := range labels {
			if l.shipped == shipped && strings.EqualFold(text(l), strings.TrimSpace(name)) {
				out = append(out, i)
			}
		}
		return out
	}
	if found := of(func(l label) string { return l.stem }); len(found) > 0 {
		return found
	}
	return of(func(l label) string { return l.name })
}
