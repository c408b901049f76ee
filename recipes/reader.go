package recipes

import (
	"slices"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"

	"barline/brew"
)

// spot is where a key and its value stand in the file. The key is nil for the
// whole of a step or chore and for a chore that is a text alone.
type spot struct {
	key, value *yaml.Node
	parent     *yaml.Node // what holds the key, or the list that holds the entry
}

// reader walks a file's nodes, noting every fault and where everything is.
type reader struct {
	src    *source
	torn   bool // lines were left out, so what is missing may have stood there
	faults Faults
	spots  map[brew.Place]spot
	broken map[brew.Place]bool   // what could not be read
	lost   map[*yaml.Node]bool   // aliases, refused already
	joined map[*yaml.Node]string // the text of a value that YAML split at a comma, with what it split off
}

func newReader(src *source, t tree) *reader {
	return &reader{
		src: src, torn: t.torn, faults: t.faults, spots: map[brew.Place]spot{},
		broken: map[brew.Place]bool{}, lost: map[*yaml.Node]bool{}, joined: map[*yaml.Node]string{},
	}
}

// fail notes that something at a place could not be read.
func (rd *reader) fail(p brew.Place, n *yaml.Node, hint, format string, args ...any) {
	rd.broken[p] = true
	rd.note(n, hint, format, args...)
}

// note notes a fault that leaves the values around it as they are.
func (rd *reader) note(n *yaml.Node, hint, format string, args ...any) {
	rd.faults = append(rd.faults, rd.src.fault(brew.Error, n.Line, n.Column, hint, format, args...))
}

// misread notes a value that could not be read.
func (rd *reader) misread(p brew.Place, n *yaml.Node, wrong *misreading) {
	rd.fail(p, n, wrong.hint, "%s %s", strings.ReplaceAll(p.Key, ".", " "), wrong.message)
}

// text returns the words of a value, on one line and with single blanks.
func (rd *reader) text(p brew.Place, n *yaml.Node) (string, bool) {
	switch text := strings.Join(strings.Fields(rd.words(n)), " "); {
	case rd.lost[n]:
		rd.broken[p] = true
	case absent(n) || n.Kind == yaml.ScalarNode && text == "":
		rd.noValue(p, n)
	case n.Kind != yaml.ScalarNode:
		rd.fail(p, n, rd.quoteBrackets(n), "%s is %s, wanted one value", p.Key, rd.kind(n))
	default:
		return text, true
	}
	return "", false
}

// words returns a text as it was written, commas and all.
func (rd *reader) words(n *yaml.Node) string {
	if text, ok := rd.joined[n]; ok {
		return text
	}
	return n.Value
}

func (rd *reader) noValue(p brew.Place, n *yaml.Node) {
	hint := "leave " + p.Key + " out, or give it a value"
	if k := rd.spots[p].key; k != nil {
		n = k
		if end := rd.src.end(k); strings.HasPrefix(strings.TrimLeft(string(rd.src.text[end:rd.src.lineEnd(end)]), ": \t"), "#") {
			hint = "quote text with a #, which begins a comment"
		}
	}
	rd.fail(p, n, hint, "%s has no value", p.Key)
}

// quoteBrackets hints at text that YAML took for keys or a list.
func (rd *reader) quoteBrackets(n *yaml.Node) string {
	if n.Style&yaml.FlowStyle != 0 {
		return "quote text that begins with " + string(rd.src.text[rd.src.offset(n.Line, n.Column)])
	}
	return "put it on one line, in quotes"
}

// kind names what a value is, in words.
func (rd *reader) kind(n *yaml.Node) string {
	switch {
	case n.Kind == yaml.MappingNode && len(n.Content) == 0:
		return "empty"
	case n.Kind == yaml.MappingNode:
		return "a group of keys"
	case n.Kind == yaml.SequenceNode:
		return "a list"
	case absent(n):
		return "empty"
	}
	return "the text " + quote(rd.words(n))
}

// absent reports whether a key was given no value.
func absent(n *yaml.Node) bool {
	return n.Kind == yaml.ScalarNode && n.Style&^yaml.TaggedStyle == 0 && n.ShortTag() == "!!null"
}

// readKeys reads a group of keys into out. Every key that is unknown, missing
// or repeated is a fault.
func readKeys[T any](rd *reader, m *yaml.Node, at brew.Place, keys []key[T], out *T) {
	before := len(rd.faults)
	for _, e := range rd.pairs(m, names(keys)) {
		i := slices.IndexFunc(keys, func(k key[T]) bool { return k.name == e.key.Value })
		if i < 0 {
			rd.unknown(at, e.key, names(keys))
			continue
		}
		p := within(at, e.key.Value)
		if first, twice := rd.spots[p]; twice {
			rd.note(e.key, "keep one of them", "repeated key %s, first on line %d", quote(e.key.Value), first.key.Line)
			continue
		}
		rd.spots[p] = spot{e.key, e.value, m}
		keys[i].read(rd, p, e.value, out)
	}
	for _, k := range keys {
		if p := within(at, k.name); k.required && rd.spots[p].key == nil {
			rd.broken[p] = true
			if !rd.torn && !proposed(k.name, rd.faults[before:]) {
				rd.note(m, "add "+k.name+": "+rd.example(at, k.name), "missing key %s", quote(k.name))
			}
		}
	}
}

// within returns the place of a key in a group: of a recipe, of an entry, or
// of a key that has keys of its own, as window.start.
func within(at brew.Place, name string) brew.Place {
	if at.Key != "" {
		name = at.Key + "." + name
	}
	return brew.Place{Part: at.Part, Index: at.Index, Key: name}
}

// example returns the value that a hint proposes for a required key: that of its
// place in this kind of file, such as 'routine sections name', else the key's.
func (rd *reader) example(at brew.Place, name string) string {
	if own := examples[strings.TrimSpace(rd.src.what+" "+string(at.Part))+" "+name]; own != "" {
		return own
	}
	return examples[name]
}

// examples are the values that hints propose for required keys.
var examples = map[string]string{
	"name": "Quayside press", "method": "press", "dose": "14 g", "water": "210 g", "temperature": "93 °C",
	"grind": "medium-fine", "steps": "and below it a list such as - {pour: 210 g, over: 30 s}", "do": "rinse the filter",
}

// proposed reports whether one of the faults proposes the key already, so
// that it need not be called missing as well.
func proposed(name string, faults Faults) bool {
	return slices.ContainsFunc(faults, func(f Fault) bool {
		return f.Hint == "did you mean "+name+"?" || strings.HasPrefix(f.Hint, "write "+name+": ")
	})
}

// softKeys are those of a step on which neither its time nor its weight hangs.
var softKeys = []string{"label", "why", "caution", "window", "window.start", "window.end", "mark", "id"}

// unknown notes a key that nobody knows.
func (rd *reader) unknown(at brew.Place, key *yaml.Node, known []string) {
	meant := near(key.Value, known)
	if !slices.Contains(softKeys, meant) {
		rd.broken[brew.Place{Part: at.Part, Index: at.Index}] = true
	}
	hint := didYouMean(key.Value, known, "its keys are "+list(known, "and"))
	if at.Part == brew.InSteps && at.Key == "" && meant == "" {
		hint = "use one action and any of " + list(stepModifiers, "and")
	}
	for _, k := range known {
		rest := strings.TrimPrefix(key.Value, k)
		if rest != key.Value && strings.IndexAny(rest, ": ") == 0 {
			hint = "write " + k + ": " + strings.TrimLeft(rest, ": ")
		}
	}
	rd.note(key, hint, "unknown key %s", quote(key.Value))
}

// pair is one key with its value.
type pair struct{ key, value *yaml.Node }

// pairs returns the keys of a group with their values. Text that YAML split at
// a comma is noted, and put together again where it is a figure.
func (rd *reader) pairs(m *yaml.Node, known []string) []pair {
	var out, split []pair
	for i := 0; i+1 < len(m.Content); i += 2 {
		p := pair{m.Content[i], m.Content[i+1]}
		switch {
		case rd.lost[p.key] || isMerge(p.key):
		case p.key.Kind != yaml.ScalarNode || p.key.Value == "":
			rd.note(p.key, "begin the line with a word and a colon", "a key that is %s, wanted a word", rd.kind(p.key))
		case len(out) > 0 && rd.splits(m, out, p, known):
			split = append(split, rd.join(out[len(out)-1], p)...)
		default:
			out = append(out, p)
		}
	}
	for _, p := range split {
		rd.note(p.key, "quote text with a comma: "+strconv.Quote(rd.joined[p.value]), "text breaks off at the comma before %s", quote(p.key.Value))
	}
	return out
}

// splits reports whether a key is but the text behind a comma in the value
// before it.
func (rd *reader) splits(m *yaml.Node, before []pair, p pair, known []string) bool {
	last := before[len(before)-1]
	if m.Style&yaml.FlowStyle == 0 || !absent(p.value) || p.key.Style != 0 ||
		last.value.Kind != yaml.ScalarNode || absent(last.value) || last.value.Style != 0 || rd.colonBehind(p.key) {
		return false
	}
	word, _, _ := strings.Cut(strings.ReplaceAll(p.key.Value, ":", " "), " ")
	if !slices.Contains(known, word) {
		return true
	}
	if p.key.Value != word {
		return false // over 8 s: a colon is missing, not a quote
	}
	_, isAction := brew.Action(word).Usual()
	return isAction && slices.ContainsFunc(before, func(b pair) bool {
		u, ok := brew.Action(b.key.Value).Usual()
		return ok && u.Kind == brew.TextValue
	})
}

// colonBehind reports whether a key has its colon.
func (rd *reader) colonBehind(key *yaml.Node) bool {
	return strings.HasPrefix(strings.TrimLeft(string(rd.src.text[rd.src.end(key):]), " \t"), ":")
}

// join puts the text behind a comma back to the value it belongs to. It
// returns that text with the value the first time that it is words: for a
// figure or a choice the comma is not what is wrong.
func (rd *reader) join(last, p pair) []pair {
	_, again := rd.joined[last.value]
	rd.joined[last.value] = string(rd.src.text[rd.src.offset(last.value.Line, last.value.Column):rd.src.end(p.key)])
	if again || !wordy(last.key.Value) {
		return nil
	}
	return []pair{{p.key, last.value}}
}

// wordy reports whether the value of a step's, a chore's or a part's key is
// words.
func wordy(name string) bool {
	if u, ok := brew.Action(name).Usual(); ok {
		return u.Kind == brew.TextValue
	}
	return slices.Contains([]string{"do", "say", "label", "why", "caution"}, name)
}
