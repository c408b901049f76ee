package recipes

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"

	"barline/brew"
	"barline/brew/routine"
)

// WriteRoutine returns the canonical text of a routine: keys in the order of
// README.md, a line for each brew, nothing that was left out. ParseRoutine of
// it returns the same routine, provided that it is valid and its figures are
// no finer than a file can say.
func WriteRoutine(r routine.Routine) []byte {
	var b bytes.Buffer
	line := func(key, value string) {
		if value != "" {
			fmt.Fprintf(&b, "%s: %s\n", key, value)
		}
	}
	line("name", written(r.Name))
	line("limit", writeLength(r.Limit))
	if r.Setup != 0 {
		line("setup", writeLength(r.Setup))
	}
	if r.Pace != 0 {
		line("pace", strconv.Itoa(r.Pace)+" words/min")
	}
	line("kettles", someCount(r.Kettles))
	line("brewers", someCount(r.Brewers))
	if r.Together != 0 {
		line("together", writeLength(r.Together))
	}
	if r.Loose {
		line("steps", withinWindows)
	}
	line("rules", writeRules(r.Rules))
	writeList(&b, "brews", r.Brews, writeBrew)
	b.WriteString("sections:\n")
	for _, s := range r.Sections {
		fmt.Fprintf(&b, "  - name: %s\n    parts:\n", written(s.Name))
		for _, p := range s.Parts {
			fmt.Fprintf(&b, "      - %s\n", strings.Join(writePart(p), "\n        "))
		}
	}
	return b.Bytes()
}

func someCount(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

// pairsOut gathers keys that have a value.
type pairsOut []string

func (ps *pairsOut) add(key, value string) {
	if value != "" {
		*ps = append(*ps, key+": "+value)
	}
}

func writeRules(r routine.Rules) string {
	var parts pairsOut
	parts.add("points", someCount(r.Points))
	parts.add("count", string(r.Count))
	parts.add("cap", someCount(r.Cap))
	if r.Out != 0 {
		parts.add("out", brew.Exact(r.Out))
	}
	if len(parts) == 0 {
		return ""
	}
	return braces(parts)
}

func writeBrew(b routine.Brew) string {
	var parts pairsOut
	parts.add("id", b.ID)
	parts.add("recipe", writtenInside(b.Recipe))
	if b.Dose != 0 {
		parts.add("dose", b.Dose.String())
	}
	if b.At != nil {
		parts.add("at", brew.Exact(*b.At))
	}
	if b.Ready {
		parts.add("prepare", inSetup)
	}
	parts.add("quiet", writtenInside(strings.Join(b.Quiet, ", ")))
	if b.Serve != 0 {
		parts.add("serve", writeLength(b.Serve))
	}
	if b.Within != 0 {
		parts.add("within", writeLength(b.Within))
	}
	return braces(parts)
}

// writePart returns the lines of a part.
func writePart(p routine.Part) []string {
	var parts pairsOut
	over := ""
	if p.Over != 0 {
		over = writeLength(p.Over)
	}
	if p.Say == "" {
		parts.add("pause", over)
	} else {
		parts.add("say", written(p.Say))
		parts.add("over", over)
	}
	if p.At != nil {
		parts.add("at", brew.Exact(*p.At))
	}
	for _, t := range []struct {
		key string
		ref *routine.Ref
	}{{"during", p.During}, {"after", p.After}, {"before", p.Before}} {
		if t.ref != nil {
			parts.add(t.key, written(t.ref.String()))
		}
	}
	if p.Hands {
		parts.add("hands", string(brew.Busy))
	}
	return parts
}
