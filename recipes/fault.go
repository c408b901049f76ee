package recipes

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"barline/brew"
)

// Fault is one thing that is wrong with a recipe file, or unwise, and where
// it stands.
type Fault struct {
	File     string // as given to Parse
	Line     int    // from 1
	Column   int    // in characters, from 1
	Severity brew.Severity
	Message  string // what was found and what was wanted
	Hint     string // one thing to do; may be empty
	Source   string // the line itself, without its end
}

// Error returns file, line, column and message in one line; the hint stays
// apart.
func (f Fault) Error() string {
	return fmt.Sprintf("%s:%d:%d: %s: %s", f.File, f.Line, f.Column, f.Severity, f.Message)
}

// Text returns the fault as it is shown to a person, without a newline at the
// end: file, line, column and message, the line with a caret under the
// column, and the hint where there is one.
func (f Fault) Text() string {
	lines := []string{f.Error()}
	line, caret := excerpt(f.Source, f.Column)
	lines = append(lines, strings.TrimRight(margin+line, " "), margin+caret)
	if f.Hint != "" {
		lines = append(lines, "hint: "+f.Hint)
	}
	return strings.Join(lines, "\n")
}

// Faults is a list of faults in line order that is an error by itself.
type Faults []Fault

// Error returns every fault, a line each.
func (fs Faults) Error() string {
	lines := make([]string, len(fs))
	for i, f := range fs {
		lines[i] = f.Error()
	}
	return strings.Join(lines, "\n")
}

// Text returns every fault as Fault.Text does, each ending in a newline.
func (fs Faults) Text() string {
	var b strings.Builder
	for _, f := range fs {
		b.WriteString(f.Text() + "\n")
	}
	return b.String()
}

// Errors returns the faults that refuse the recipe.
func (fs Faults) Errors() Faults { return fs.only(brew.Error) }

// Warnings returns the faults that do not.
func (fs Faults) Warnings() Faults { return fs.only(brew.Warning) }

// Err returns the faults that refuse the recipe as one error of type Faults,
// or nil where there are none.
func (fs Faults) Err() error {
	if errs := fs.Errors(); len(errs) > 0 {
		return errs
	}
	return nil
}

func (fs Faults) only(s brew.Severity) Faults {
	return slices.DeleteFunc(slices.Clone(fs), func(f Fault) bool { return f.Severity != s })
}

// Sorted returns the faults in line order, those of one place as they stand.
func (fs Faults) Sorted() Faults {
	out := slices.Clone(fs)
	out.sort()
	return out
}

// sort puts the faults in line order, those of one place as they were found.
func (fs Faults) sort() {
	slices.SortStableFunc(fs, func(a, b Fault) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
}
