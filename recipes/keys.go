package recipes

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"gopkg.in/yaml.v3"

	"barline/brew"
)

// key is one key of the file: how its value gets into a T.
type key[T any] struct {
	name     string
	required bool
	read     func(rd *reader, at brew.Place, value *yaml.Node, out *T)
}

// The keys of a recipe, in the order of README.md and of what Write writes.
var recipeKeys = []key[brew.Recipe]{
	{"name", true, into(readText, func(r *brew.Recipe) *string { return &r.Name })},
	{"method", true, into(oneOf(brew.Methods()), func(r *brew.Recipe) *brew.Method { return &r.Method })},
	{"coffee", false, into(readText, func(r *brew.Recipe) *string { return &r.Coffee })},
	{"lot", false, into(readText, func(r *brew.Recipe) *string { return &r.Lot })},
	{"roasted", false, into(readText, func(r *brew.Recipe) *string { return &r.Roasted })},
	{"setting", false, into(readText, func(r *brew.Recipe) *string { return &r.Setting })},
	{"cups", false, into(readCups, func(r *brew.Recipe) *int { return &r.Cups })},
	{"dose", true, into(readMass, func(r *brew.Recipe) *brew.Mass { return &r.Dose })},
	{"water", true, into(readMass, func(r *brew.Recipe) *brew.Mass { return &r.Water })},
	{"temperature", true, into(readCelsius, func(r *brew.Recipe) *brew.Celsius { return &r.Temperature })},
	{"grind", true, into(readText, func(r *brew.Recipe) *string { return &r.Grind })},
	{"capacity", false, into(readSome(readMass), func(r *brew.Recipe) *brew.Mass { return &r.Capacity })},
	{"server", false, into(oneOf(brew.Servers()), func(r *brew.Recipe) *brew.Server { return &r.Server })},
	{"window", false, intoNew(readWindow, func(r *brew.Recipe) **brew.Window { return &r.Window })},
	{"prepare", false, chores(func(r *brew.Recipe) *[]brew.Chore { return &r.Prepare })},
	{"steps", true, (*reader).steps},
	{"afterwards", false, chores(func(r *brew.Recipe) *[]brew.Chore { return &r.Afterwards })},
	{"aim", false, keysInto("aim", aimKeys, func(r *brew.Recipe) *brew.Aim { return &r.Aim })},
}

var aimKeys = []key[brew.Aim]{
	{"strength", false, into(readPercent, func(a *brew.Aim) *brew.Percent { return &a.Strength })},
	{"extraction", false, into(readPercent, func(a *brew.Aim) *brew.Percent { return &a.Extraction })},
}

var choreKeys = []key[brew.Chore]{
	{"do", true, into(readText, func(c *brew.Chore) *string { return &c.Do })},
	{"over", false, into(readSome(readLength), func(c *brew.Chore) *time.Duration { return &c.Over })},
	{"float", false, into(readSome(readLength), func(c *brew.Chore) *time.Duration { return &c.Float })},
	{"uses", false, into(oneOf(brew.AllUses()), func(c *brew.Chore) *brew.Uses { return &c.Uses })},
}

// The keys of a step in the order in which Write writes them; the action
// stands where the empty name is.
var stepKeys = []key[brew.Step]{
	{"at", false, anchor(brew.At)},
	{"after", false, anchor(brew.After)},
	{},
	{"over", false, into(readSome(readLength), func(s *brew.Step) *time.Duration { return &s.Over })},
	{"label", false, into(readText, func(s *brew.Step) *string { return &s.Label })},
	{"window", false, stepWindow},
	{"hands", false, into(oneOf([]brew.Hands{brew.Busy, brew.Free}), func(s *brew.Step) *brew.Hands { return &s.Hands })},
	{"mark", false, into(oneOf([]brew.Marks{brew.MarkStart, brew.MarkEnd, brew.MarkBoth, brew.MarkNone}), func(s *brew.Step) *brew.Marks { return &s.Mark })},
	{"id", false, into(readID, func(s *brew.Step) *string { return &s.ID })},
	{"why", false, into(readText, func(s *brew.Step) *string { return &s.Why })},
	{"caution", false, into(readText, func(s *brew.Step) *string { return &s.Caution })},
}

// windowEdges are the two windows of a step that are given apart.
type windowEdges struct{ start, end *brew.Window }

var windowKeys = []key[windowEdges]{
	{"start", false, intoNew(readWindow, func(w *windowEdges) **brew.Window { return &w.start })},
	{"end", false, intoNew(readWindow, func(w *windowEdges) **brew.Window { return &w.end })},
}

// allStepKeys are the keys of a step with every action among them.
var allStepKeys = withActions()

func withActions() []key[brew.Step] {
	out := slices.DeleteFunc(slices.Clone(stepKeys), func(k key[brew.Step]) bool { return k.name == "" })
	for _, u := range brew.Actions() {
		out = append(out, key[brew.Step]{string(u.Action), false, action(u)})
	}
	return out
}

// Names of keys, for suggestions.
var recipeNames, stepNames, stepModifiers []string

func init() { // the readers in the tables use the names, so tables come first
	recipeNames, stepNames = names(recipeKeys), names(allStepKeys)
	stepModifiers = slices.DeleteFunc(names(stepKeys), func(name string) bool { return name == "" })
}

func names[T any](keys []key[T]) []string {
	out := make([]string, len(keys))
	for i, k := range keys {
		out[i] = k.name
	}
	return out
}

// into returns what reads a text as a V and puts it into a T.
func into[T, V any](read func(string) (V, *misreading), at func(*T) *V) func(*reader, brew.Place, *yaml.Node, *T) {
	return func(rd *reader, p brew.Place, n *yaml.Node, out *T) {
		text, ok := rd.text(p, n)
		if !ok {
			return
		}
		v, wrong := read(text)
		if wrong != nil {
			rd.misread(p, n, wrong)
			return
		}
		*at(out) = v
	}
}

// intoNew is into for a value whose absence is nil.
func intoNew[T, V any](read func(string) (V, *misreading), at func(*T) **V) func(*reader, brew.Place, *yaml.Node, *T) {
	pointer := func(text string) (*V, *misreading) {
		v, wrong := read(text)
		return &v, wrong
	}
	return into(pointer, at)
}

// keysInto returns what reads a value that has keys of its own.
func keysInto[T, V any](name string, keys []key[V], at func(*T) *V) func(*reader, brew.Place, *yaml.Node, *T) {
	return func(rd *reader, p brew.Place, n *yaml.Node, out *T) {
		if rd.lost[n] {
			return
		}
		if n.Kind != yaml.MappingNode || len(n.Content) == 0 {
			rd.fail(p, n, fmt.Sprintf("write %s: {%s: …}", name, keys[0].name), "%s is %s, wanted its keys %s", name, rd.kind(n), list(names(keys), "and"))
			return
		}
		readKeys(rd, n, p, keys, at(out))
	}
}

// readSome reads a quantity that must be more than nothing, because nothing
// is what a key that was left out means.
func readSome[V ~int64](read func(string) (V, *misreading)) func(string) (V, *misreading) {
	return func(text string) (V, *misreading) {
		v, wrong := read(text)
		if wrong == nil && v == 0 {
			wrong = &misreading{quote(text) + " is nothing", "leave it out, or give more than 0"}
		}
		return v, wrong
	}
}

// readText reads words: on one line, with single blanks.
func readText(text string) (string, *misreading) { return readTextUpTo(text, brew.LongestText) }

// readTextUpTo reads words of at most so many characters.
func readTextUpTo(text string, longest int) (string, *misreading) {
	if i := strings.IndexFunc(text, hidden); i >= 0 {
		return "", &misreading{fmt.Sprintf("%s holds the character %U, which does not show", quote(text), []rune(text[i:])[0]), "take it out"}
	}
	if n := len([]rune(text)); n > longest {
		return "", &misreading{fmt.Sprintf("has %d characters, more than %d", n, longest), "say it shorter"}
	}
	return text, nil
}

// mostID is the length of the longest id in characters.
const mostID = 40

// readID reads an id: small letters, digits and hyphens, so that it is never
// the same as a name that a step has by itself.
func readID(text string) (string, *misreading) {
	for _, r := range text {
		if (r < 'a' || r > 'z') && (r < '0' || r > '9') && r != '-' {
			return "", &misreading{quote(text) + " holds " + strconv.QuoteRune(r) + ", wanted small letters, digits and hyphens", "write an id such as main-pour"}
		}
	}
	if len(text) > mostID {
		return "", &misreading{fmt.Sprintf("%s has %d characters, more than %d", quote(text), len(text), mostID), "write an id such as main-pour"}
	}
	return text, nil
}

// mostCups is the most cups a recipe may make.
const mostCups = 100

func readCups(text string) (int, *misreading) {
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 || n > mostCups || strconv.Itoa(n) != text {
		return 0, &misreading{fmt.Sprintf("%s is not a whole number from 1 to %d", quote(text), mostCups), "write a number without a unit, such as 2"}
	}
	return n, nil
}

// oneOf returns what reads one of a few words.
func oneOf[V ~string](words []V) func(string) (V, *misreading) {
	all := make([]string, len(words))
	for i, w := range words {
		all[i] = string(w)
	}
	return func(text string) (V, *misreading) {
		if slices.Contains(all, text) {
			return V(text), nil
		}
		return "", &misreading{quote(text) + " is unknown, wanted " + list(all, "or"), didYouMean(text, all, parts(text, all))}
	}
}
