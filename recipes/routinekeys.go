package recipes

import (
	"fmt"
	"maps"
	"strconv"
	"strings"
	"time"

	"gopkg.in/yaml.v3"

	"barline/brew"
	"barline/brew/routine"
)

// The keys of a routine, in the order of README.md and of what WriteRoutine
// writes.
var routineKeys = []key[routine.Routine]{
	{"name", true, into(readText, func(r *routine.Routine) *string { return &r.Name })},
	{"limit", true, into(readLimit, func(r *routine.Routine) *time.Duration { return &r.Limit })},
	{"setup", false, into(readSome(readLength), func(r *routine.Routine) *time.Duration { return &r.Setup })},
	{"pace", false, into(readPace, func(r *routine.Routine) *int { return &r.Pace })},
	{"kettles", false, into(readCups, func(r *routine.Routine) *int { return &r.Kettles })},
	{"brewers", false, into(readCups, func(r *routine.Routine) *int { return &r.Brewers })},
	{"together", false, into(readSome(readLength), func(r *routine.Routine) *time.Duration { return &r.Together })},
	{"steps", false, into(readSteps, func(r *routine.Routine) *bool { return &r.Loose })},
	{"rules", false, keysInto("rules", rulesKeys, func(r *routine.Routine) *routine.Rules { return &r.Rules })},
	{"brews", true, (*reader).brews},
	{"sections", true, (*reader).sections},
}

var rulesKeys = []key[routine.Rules]{
	{"points", false, into(readPoints, func(r *routine.Rules) *int { return &r.Points })},
	{"count", false, into(oneOf(routine.Counts()), func(r *routine.Rules) *routine.Count { return &r.Count })},
	{"cap", false, into(readPoints, func(r *routine.Rules) *int { return &r.Cap })},
	{"out", false, into(readSome(readLength), func(r *routine.Rules) *time.Duration { return &r.Out })},
}

var brewKeys = []key[routine.Brew]{
	{"id", true, into(readID, func(b *routine.Brew) *string { return &b.ID })},
	{"recipe", true, into(readText, func(b *routine.Brew) *string { return &b.Recipe })},
	{"dose", false, into(readSome(readMass), func(b *routine.Brew) *brew.Mass { return &b.Dose })},
	{"at", false, intoNew(readLength, func(b *routine.Brew) **time.Duration { return &b.At })},
	{"prepare", false, into(readPrepare, func(b *routine.Brew) *bool { return &b.Ready })},
	{"quiet", false, into(readQuiet, func(b *routine.Brew) *[]string { return &b.Quiet })},
	{"serve", false, into(readSome(readLength), func(b *routine.Brew) *time.Duration { return &b.Serve })},
	{"within", false, into(readSome(readLength), func(b *routine.Brew) *time.Duration { return &b.Within })},
}

var sectionKeys = []key[sectionEntry]{
	{"name", true, into(readText, func(s *sectionEntry) *string { return &s.Name })},
	{"parts", true, (*reader).parts},
}

var partKeys = []key[routine.Part]{
	{"say", false, words},
	{"pause", false, pause},
	{"over", false, into(readSome(readLength), func(p *routine.Part) *time.Duration { return &p.Over })},
	{"at", false, intoNew(readLength, func(p *routine.Part) **time.Duration { return &p.At })},
	{"during", false, into(readRef, func(p *routine.Part) **routine.Ref { return &p.During })},
	{"after", false, into(readRef, func(p *routine.Part) **routine.Ref { return &p.After })},
	{"before", false, into(readRef, func(p *routine.Part) **routine.Ref { return &p.Before })},
	{"hands", false, into(readHands, func(p *routine.Part) *bool { return &p.Hands })},
}

func init() {
	maps.Copy(examples, map[string]string{
		"limit": "10 min", "brews": "and below it a list such as - {id: left, recipe: quayside-cone}",
		"sections": "and below it a list of names with their parts", "id": "left", "recipe": "quayside-cone",
		"routine name": "Lantern finals", "routine " + string(routine.InSections) + " name": "Welcome",
		"parts": "and below it a list such as - say: Good morning",
	})
}

// sectionEntry is a section while it is read: its parts count through all
// sections.
type sectionEntry struct {
	routine.Section
	before int // parts in the sections above
}

// routine reads a whole file and reports whether there is a routine in it.
func (rd *reader) routine(root *yaml.Node, out *routine.Routine) bool {
	const hint = "begin with a line such as name: Lantern finals"
	switch {
	case root == nil || absent(root):
		if len(rd.faults) == 0 {
			rd.faults = append(rd.faults, rd.src.fault(brew.Error, 1, 1, hint, "the file holds no routine"))
		}
		return false
	case root.Kind != yaml.MappingNode:
		rd.note(root, hint, "the file is %s, wanted the keys of a routine", rd.kind(root))
		return false
	}
	rd.spots[brew.Place{}] = spot{nil, root, nil}
	rd.refuse(root)
	readKeys(rd, root, brew.Place{}, routineKeys, out)
	return true
}

func (rd *reader) brews(p brew.Place, n *yaml.Node, out *routine.Routine) {
	for i, entry := range rd.list(p, n, "- {id: left, recipe: quayside-cone}") {
		var b routine.Brew
		rd.entry(brew.Place{Part: routine.InBrews, Index: i}, entry, n, "a brew", "write it as - {id: left, recipe: quayside-cone}", func(at brew.Place) {
			readKeys(rd, entry, at, brewKeys, &b)
		})
		out.Brews = append(out.Brews, b)
	}
}

func (rd *reader) sections(p brew.Place, n *yaml.Node, out *routine.Routine) {
	parts := 0
	for i, entry := range rd.list(p, n, "- name: Welcome") {
		s := sectionEntry{before: parts}
		rd.entry(brew.Place{Part: routine.InSections, Index: i}, entry, n, "a section", "write its name and its parts on lines of their own", func(at brew.Place) {
			readKeys(rd, entry, at, sectionKeys, &s)
		})
		parts += len(s.Parts)
		out.Sections = append(out.Sections, s.Section)
	}
}

// entry reads an entry of a list that has keys.
func (rd *reader) entry(at brew.Place, n, in *yaml.Node, what, hint string, read func(brew.Place)) {
	rd.spots[at] = spot{nil, n, in}
	switch {
	case rd.lost[n]:
		rd.broken[at] = true
	case n.Kind != yaml.MappingNode:
		rd.fail(at, n, hint, "%s is %s, wanted its keys", what, rd.kind(n))
	default:
		read(at)
	}
}

func (rd *reader) parts(p brew.Place, n *yaml.Node, out *sectionEntry) {
	for i, entry := range rd.list(p, n, "- say: Good morning") {
		at := brew.Place{Part: routine.InParts, Index: out.before + i}
		var part routine.Part
		rd.part(at, entry, n, &part)
		out.Parts = append(out.Parts, part)
	}
}

// part reads one part, its words alone or keys.
func (rd *reader) part(at brew.Place, n, in *yaml.Node, out *routine.Part) {
	if n.Kind == yaml.ScalarNode && !absent(n) && !rd.lost[n] {
		rd.spots[at] = spot{nil, n, in}
		say := within(at, "say")
		rd.spots[say] = spot{nil, n, in}
		words(rd, say, n, out)
		return
	}
	before := len(rd.faults)
	rd.entry(at, n, in, "a part", "write {say: and what is said}, or {pause: 20 s}", func(at brew.Place) {
		readKeys(rd, n, at, partKeys, out)
		said, paused := rd.spots[within(at, "say")], rd.spots[within(at, "pause")]
		switch {
		case said.key != nil && paused.key != nil:
			rd.fail(within(at, "pause"), paused.key, "give the pause an entry of its own", "words and a pause in one part")
		case paused.key != nil && rd.spots[within(at, "over")].key != nil:
			rd.fail(within(at, "over"), rd.spots[within(at, "over")].key, "take over out", "pause has its length as its value, not under over")
		case said.key == nil && paused.key == nil && len(rd.faults) == before:
			rd.fail(at, n, "write {say: and what is said}, or {pause: 20 s}", "a part without words and without a pause")
		}
	})
}

// words reads what is said, which may be longer than other texts.
func words(rd *reader, p brew.Place, n *yaml.Node, out *routine.Part) {
	into(readWords, func(p *routine.Part) *string { return &p.Say })(rd, p, n, out)
}

// pause reads the length of a pause.
func pause(rd *reader, p brew.Place, n *yaml.Node, out *routine.Part) {
	into(readSome(readLength), func(p *routine.Part) *time.Duration { return &p.Over })(rd, p, n, out)
}

// readLimit reads the limit, which a routine cannot leave out.
func readLimit(text string) (time.Duration, *misreading) {
	d, wrong := readLength(text)
	if wrong == nil && d == 0 {
		wrong = &misreading{quote(text) + " is nothing", "give the time from the first call of time to the second, such as 10 min"}
	}
	return d, wrong
}

func readWords(text string) (string, *misreading) { return readTextUpTo(text, routine.LongestWords) }

var paceMeasure = measure{
	units: []string{"words/min"}, usual: "words/min", example: "130 words/min",
	near: map[string]string{"wpm": "words/min", "words per minute": "words/min", "words a minute": "words/min", "words / min": "words/min", "w/min": "words/min"},
}

// readPace reads a rate of speech in whole words a minute.
func readPace(text string) (int, *misreading) {
	f, _, wrong := paceMeasure.read(text)
	if wrong != nil {
		return 0, wrong
	}
	n, ok := f.scaled(0)
	if !ok || n == 0 {
		return 0, &misreading{quote(text) + " is no whole number of words", "write a pace such as 130 words/min"}
	}
	return int(n), nil
}

// readPoints reads a number of points.
func readPoints(text string) (int, *misreading) {
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 || n > routine.MostPoints || strconv.Itoa(n) != text {
		return 0, &misreading{fmt.Sprintf("%s is not a whole number from 1 to %d", quote(text), routine.MostPoints), "write a number without a unit, such as 1"}
	}
	return n, nil
}

// The two times at which a brew can be prepared.
const (
	inTime  = "on the clock"
	inSetup = "in set-up time"
)

// When the steps of recipes come.
const (
	asWritten     = "as written"
	withinWindows = "within their windows"
)

// readSteps reads whether steps may come later than written.
func readSteps(text string) (bool, *misreading) {
	when, wrong := oneOf([]string{asWritten, withinWindows})(text)
	return when == withinWindows, wrong
}

func readPrepare(text string) (bool, *misreading) {
	when, wrong := oneOf([]string{inTime, inSetup})(text)
	return when == inSetup, wrong
}

// readQuiet reads names of steps with commas between them.
func readQuiet(text string) ([]string, *misreading) {
	var out []string
	for _, name := range strings.Split(text, ",") {
		if name = strings.TrimSpace(name); name == "" {
			return nil, &misreading{quote(text) + " names no step", "write the steps such as bloom, last pour"}
		}
		out = append(out, name)
	}
	return out, nil
}

// readRef reads 'second pour of left'.
func readRef(text string) (*routine.Ref, *misreading) {
	i := strings.LastIndex(text, " of ")
	if i <= 0 || strings.TrimSpace(text[i+4:]) == "" {
		return nil, &misreading{quote(text) + " names no step of a brew", "write it such as second pour of left"}
	}
	return &routine.Ref{Step: strings.TrimSpace(text[:i]), Brew: strings.TrimSpace(text[i+4:])}, nil
}

func readHands(text string) (bool, *misreading) {
	hands, wrong := oneOf([]brew.Hands{brew.Busy, brew.Free})(text)
	return hands == brew.Busy, wrong
}
