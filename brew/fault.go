package brew

import (
	"fmt"
	"strings"
)

// Severity tells a fault that stops a recipe from being brewed from one that
// only deserves a thought.
type Severity string

// An Error is refused, a Warning is told.
const (
	Error   Severity = "error"
	Warning Severity = "warning"
)

// Part is the list in a recipe that a fault lies in; the zero Part is the
// recipe's own keys.
type Part string

// The parts of a recipe that are lists.
const (
	InRecipe     Part = ""
	InPrepare    Part = "prepare"
	InSteps      Part = "steps"
	InAfterwards Part = "afterwards"
)

// Place is where in a recipe a fault lies, without knowing how the recipe was
// written down.
type Place struct {
	Part  Part
	Index int    // in the part's list, from 0
	Key   string // of the recipe or of the entry; "" for the whole of it
}

// String returns the place in words: "step 3, over".
func (p Place) String() string {
	var words []string
	switch p.Part {
	case InRecipe:
	case InSteps:
		words = append(words, fmt.Sprintf("step %d", p.Index+1))
	default:
		words = append(words, fmt.Sprintf("%s %d", p.Part, p.Index+1))
	}
	if p.Key != "" {
		words = append(words, p.Key)
	}
	return strings.Join(words, ", ")
}

// Fault is one thing that is wrong with a recipe, or unwise. Message says
// what was found and what was wanted, Hint is one thing to do and may be
// empty.
type Fault struct {
	Severity Severity
	Place    Place
	Message  string
	Hint     string
}

// Error returns the place and the message; the hint stays apart.
func (f Fault) Error() string {
	if place := f.Place.String(); place != "" {
		return place + ": " + f.Message
	}
	return f.Message
}

// Faults is a list of faults that is an error by itself.
type Faults []Fault

// Error returns every fault, a line each.
func (fs Faults) Error() string {
	lines := make([]string, len(fs))
	for i, f := range fs {
		lines[i] = f.Error()
	}
	return strings.Join(lines, "\n")
}

// Errors returns the faults that refuse the recipe.
func (fs Faults) Errors() Faults { return fs.only(Error) }

// Warnings returns the faults that do not.
func (fs Faults) Warnings() Faults { return fs.only(Warning) }

func (fs Faults) only(s Severity) Faults {
	var out Faults
	for _, f := range fs {
		if f.Severity == s {
			out = append(out, f)
		}
	}
	return out
}
