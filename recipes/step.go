package recipes

import (
	"regexp"
	"slices"
	"strings"
	"time"

	"gopkg.in/yaml.v3"

	"barline/brew"
)

// recipe reads a whole file and reports whether there is a recipe in it.
func (rd *reader) recipe(root *yaml.Node, out *brew.Recipe) bool {
	switch {
	case root == nil || absent(root):
		if len(rd.faults) == 0 {
			rd.faults = append(rd.faults, rd.src.fault(brew.Error, 1, 1, "begin with a line such as name: Quayside press", "the file holds no recipe"))
		}
		return false
	case root.Kind != yaml.MappingNode:
		rd.note(root, "begin with a line such as name: Quayside press", "the file is %s, wanted the keys of a recipe", rd.kind(root))
		return false
	}
	rd.spots[brew.Place{}] = spot{nil, root, nil}
	rd.refuse(root)
	readKeys(rd, root, brew.Place{}, recipeKeys, out)
	return true
}

// refuse notes which nodes were refused already.
func (rd *reader) refuse(n *yaml.Node) {
	if n.Kind == yaml.AliasNode {
		rd.lost[n] = true
	}
	for _, c := range n.Content {
		rd.refuse(c)
	}
}

// list returns the entries of a list.
func (rd *reader) list(p brew.Place, n *yaml.Node, example string) []*yaml.Node {
	switch {
	case rd.lost[n] || rd.torn && absent(n):
		rd.broken[p] = true
	case absent(n):
		rd.noValue(p, n)
	case n.Kind != yaml.SequenceNode:
		rd.fail(p, n, "begin each entry with - on a line of its own, such as "+example, "%s is %s, wanted a list", p.Key, rd.kind(n))
	default:
		return n.Content
	}
	return nil
}

func (rd *reader) steps(p brew.Place, n *yaml.Node, out *brew.Recipe) {
	for i, entry := range rd.list(p, n, "- {pour: 60 g, over: 8 s}") {
		at := brew.Place{Part: brew.InSteps, Index: i}
		rd.spots[at] = spot{nil, entry, n}
		var s brew.Step
		rd.step(at, entry, &s)
		out.Steps = append(out.Steps, s)
	}
}

func (rd *reader) step(at brew.Place, n *yaml.Node, out *brew.Step) {
	if rd.lost[n] {
		rd.broken[at] = true
		return
	}
	if n.Kind != yaml.MappingNode {
		rd.fail(at, n, rd.braces(n), "a step is %s, wanted an action with its value", rd.kind(n))
		return
	}
	before := len(rd.faults)
	readKeys(rd, n, at, allStepKeys, out)
	over := brew.Place{Part: at.Part, Index: at.Index, Key: "over"}
	switch {
	case out.Action == "" && rd.torn:
		rd.broken[at] = true
	case out.Action == "" && len(rd.faults) == before:
		rd.fail(at, n, "say what to do, such as pour: 60 g or swirl: gently", "a step without an action")
	case out.Action == brew.Wait && rd.spots[over].key != nil && len(rd.faults) == before:
		rd.fail(over, rd.spots[over].key, "take over out", "wait has its length as its value, not under over")
	}
}

// braces hints how a step that is a text is written: "pour 60 g".
func (rd *reader) braces(n *yaml.Node) string {
	word, rest, _ := strings.Cut(rd.words(n), " ")
	if a := near(word, stepNames); n.Kind == yaml.ScalarNode && a != "" && rest != "" {
		return "write - {" + a + ": " + rest + "}"
	}
	return "write it as - {pour: 60 g, over: 8 s}"
}

// action returns what reads the value of an action. The place's key is the
// action's own.
func action(u brew.Usual) func(*reader, brew.Place, *yaml.Node, *brew.Step) {
	return func(rd *reader, p brew.Place, n *yaml.Node, out *brew.Step) {
		if out.Action != "" {
			rd.fail(p, rd.spots[p].key, "give "+p.Key+" a step of its own", "two actions in one step, %s and %s", out.Action, u.Action)
			return
		}
		out.Action = u.Action
		switch u.Kind {
		case brew.PourValue:
			rd.pour(p, n, out)
		case brew.AmountValue:
			into(readSome(readMass), func(s *brew.Step) *brew.Mass { return &s.Amount })(rd, p, n, out)
		case brew.LengthValue:
			into(readSome(readLength), func(s *brew.Step) *time.Duration { return &s.Over })(rd, p, n, out)
		default:
			if mayBeBare(u.Action) && (absent(n) || n.Kind == yaml.ScalarNode && strings.TrimSpace(n.Value) == "") {
				return
			}
			into(readText, func(s *brew.Step) *string { return &s.Text })(rd, p, n, out)
		}
	}
}

// mayBeBare reports whether an action says enough without a text.
func mayBeBare(a brew.Action) bool { return a != brew.Do }

var writeFigure = regexp.MustCompile(`^write ([0-9])`)

// pour reads an amount to add, or what the scale is to read.
func (rd *reader) pour(p brew.Place, n *yaml.Node, out *brew.Step) {
	text, ok := rd.text(p, n)
	if !ok {
		return
	}
	amount, to := strings.CutPrefix(text, "to ")
	m, wrong := readSome(readMass)(amount)
	if wrong != nil {
		if to {
			wrong.hint = writeFigure.ReplaceAllString(wrong.hint, "write to $1")
		}
		rd.misread(p, n, wrong)
		return
	}
	out.Amount, out.To = m, to
}

// anchor returns what reads at or after.
func anchor(a brew.Anchor) func(*reader, brew.Place, *yaml.Node, *brew.Step) {
	return func(rd *reader, p brew.Place, n *yaml.Node, out *brew.Step) {
		if out.Anchor != brew.Directly {
			rd.fail(p, rd.spots[p].key, "keep one of them", "a step starts either at a time or after the step before, not both")
			return
		}
		out.Anchor = a
		into(readLength, func(s *brew.Step) *time.Duration { return &s.Offset })(rd, p, n, out)
	}
}

// stepWindow reads one window for both edges of a step, or one for each.
func stepWindow(rd *reader, p brew.Place, n *yaml.Node, out *brew.Step) {
	if n.Kind == yaml.MappingNode {
		var w windowEdges
		keysInto("window", windowKeys, func(w *windowEdges) *windowEdges { return w })(rd, p, n, &w)
		out.Start, out.End = w.start, w.end
		return
	}
	intoNew(readWindow, func(s *brew.Step) **brew.Window { return &s.Start })(rd, p, n, out)
	if out.Start != nil {
		end := *out.Start
		out.End = &end
	}
}

// chores returns what reads prepare or afterwards.
func chores(at func(*brew.Recipe) *[]brew.Chore) func(*reader, brew.Place, *yaml.Node, *brew.Recipe) {
	return func(rd *reader, p brew.Place, n *yaml.Node, out *brew.Recipe) {
		for i, entry := range rd.list(p, n, "- rinse the filter") {
			place := brew.Place{Part: brew.Part(p.Key), Index: i}
			rd.spots[place] = spot{nil, entry, n}
			var c brew.Chore
			rd.chore(place, entry, &c)
			*at(out) = append(*at(out), c)
		}
	}
}

// chore reads one entry of prepare or afterwards, a text or keys.
func (rd *reader) chore(at brew.Place, n *yaml.Node, out *brew.Chore) {
	do := within(at, "do")
	switch {
	case rd.lost[n]:
		rd.broken[at] = true
	case n.Kind == yaml.MappingNode && rd.isText(n):
		rd.fail(at, n, "quote text with a colon: "+quote(rd.src.written(n)), "text breaks off at a colon")
	case n.Kind == yaml.MappingNode:
		readKeys(rd, n, at, choreKeys, out)
	default:
		rd.spots[do] = spot{nil, n, rd.spots[at].parent}
		rd.choreText(do, n, out)
	}
}

// choreText reads an entry that is a text alone.
func (rd *reader) choreText(do brew.Place, n *yaml.Node, out *brew.Chore) {
	into(readText, func(c *brew.Chore) *string { return &c.Do })(rd, do, n, out)
}

// isText reports whether keys are but a text that YAML split at a colon:
// Rinse: 60 g.
func (rd *reader) isText(n *yaml.Node) bool {
	return n.Style&yaml.FlowStyle == 0 && len(n.Content) == 2 && n.Content[1].Kind == yaml.ScalarNode &&
		near(n.Content[0].Value, names(choreKeys)) == "" && !slices.Contains(stepNames, n.Content[0].Value)
}

// written returns a node's text as it stands in the file.
func (s *source) written(n *yaml.Node) string {
	return string(s.text[s.offset(n.Line, n.Column):s.end(n)])
}
