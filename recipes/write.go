package recipes

import (
	"bytes"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"
	"unicode"

	"barline/brew"
)

// Write returns the canonical text of a recipe: keys in the order of
// README.md, a line for each step, quotes only where YAML needs them, nothing
// that was left out. Parse of it returns the same recipe, provided that the
// recipe is valid and its figures are no finer than a file can say: masses
// to 1 mg, times to 1 ms, temperatures and percentages to 0.01.
func Write(r brew.Recipe) []byte {
	var b bytes.Buffer
	line := func(key, value string) {
		if value != "" {
			fmt.Fprintf(&b, "%s: %s\n", key, value)
		}
	}
	line("name", written(r.Name))
	line("method", string(r.Method))
	line("coffee", written(r.Coffee))
	line("lot", written(r.Lot))
	line("roasted", written(r.Roasted))
	line("setting", written(r.Setting))
	if r.Cups != 0 {
		line("cups", strconv.Itoa(r.Cups))
	}
	line("dose", r.Dose.String())
	line("water", r.Water.String())
	line("temperature", decimal(float64(r.Temperature))+" °C")
	line("grind", written(r.Grind))
	if r.Capacity != 0 {
		line("capacity", r.Capacity.String())
	}
	line("server", string(r.Server))
	if r.Window != nil {
		line("window", writeWindow(*r.Window))
	}
	writeList(&b, "prepare", r.Prepare, writeChore)
	writeList(&b, "steps", r.Steps, writeStep)
	writeList(&b, "afterwards", r.Afterwards, writeChore)
	line("aim", writeAim(r.Aim))
	return b.Bytes()
}

func writeList[T any](b *bytes.Buffer, key string, entries []T, write func(T) string) {
	if len(entries) == 0 {
		return
	}
	fmt.Fprintf(b, "%s:\n", key)
	for _, e := range entries {
		fmt.Fprintf(b, "  - %s\n", write(e))
	}
}

// writeChore returns an entry of prepare or afterwards: its text, or keys in
// braces where it has more than that.
func writeChore(c brew.Chore) string {
	if c == (brew.Chore{Do: c.Do}) {
		return written(c.Do)
	}
	parts := []string{"do: " + writtenInside(c.Do)}
	if c.Over != 0 {
		parts = append(parts, "over: "+writeLength(c.Over))
	}
	if c.Float != 0 {
		parts = append(parts, "float: "+writeLength(c.Float))
	}
	if c.Uses != "" {
		parts = append(parts, "uses: "+string(c.Uses))
	}
	return braces(parts)
}

// writeStep returns a step in braces.
func writeStep(s brew.Step) string {
	var parts []string
	add := func(key, value string) {
		if value != "" {
			parts = append(parts, key+": "+value)
		}
	}
	for _, k := range stepKeys {
		switch k.name {
		case "":
			parts = append(parts, writeAction(s))
		case string(s.Anchor):
			add(k.name, writeMoment(s.Anchor, s.Offset))
		case "over":
			if s.Over != 0 && s.Action != brew.Wait {
				add(k.name, writeLength(s.Over))
			}
		case "label":
			add(k.name, writtenInside(s.Label))
		case "window":
			add(k.name, writeWindows(s.Start, s.End))
		case "hands":
			add(k.name, string(s.Hands))
		case "mark":
			add(k.name, string(s.Mark))
		case "id":
			add(k.name, s.ID)
		case "why":
			add(k.name, writtenInside(s.Why))
		case "caution":
			add(k.name, writtenInside(s.Caution))
		}
	}
	return braces(parts)
}

func braces(parts []string) string { return "{" + strings.Join(parts, ", ") + "}" }

// writeAction returns the action with its value; the action alone where it
// has none.
func writeAction(s brew.Step) string {
	value := writtenInside(s.Text)
	u, _ := s.Action.Usual()
	switch u.Kind {
	case brew.PourValue, brew.AmountValue:
		value = s.Amount.String()
		if s.To {
			value = "to " + value
		}
	case brew.LengthValue:
		value = writeLength(s.Over)
	}
	if value == "" {
		return string(s.Action)
	}
	return string(s.Action) + ": " + value
}

// writeMoment returns the time of at as a clock shows it, and that of after
// as a length.
func writeMoment(a brew.Anchor, d time.Duration) string {
	if a == brew.At {
		return brew.Exact(d)
	}
	return writeLength(d)
}

// writeLength returns a length of time as it is spoken, or as a clock shows it
// from an hour on.
func writeLength(d time.Duration) string {
	if d >= time.Hour {
		return brew.Exact(d)
	}
	return brew.Spoken(d)
}

func writeWindow(w brew.Window) string {
	if w.Early == w.Late {
		return writeLength(w.Early)
	}
	return "-" + writeLength(w.Early) + " +" + writeLength(w.Late)
}

// writeWindows returns a step's windows: one where both edges have the same.
func writeWindows(start, end *brew.Window) string {
	var parts []string
	if start != nil {
		parts = append(parts, "start: "+writeWindow(*start))
	}
	if end != nil {
		parts = append(parts, "end: "+writeWindow(*end))
	}
	switch {
	case len(parts) == 0:
		return ""
	case len(parts) == 2 && *start == *end:
		return writeWindow(*start)
	}
	return braces(parts)
}

func writeAim(a brew.Aim) string {
	var parts []string
	if a.Strength != 0 {
		parts = append(parts, fmt.Sprintf("strength: %.2f %%", float64(a.Strength)))
	}
	if a.Extraction != 0 {
		parts = append(parts, "extraction: "+decimal(float64(a.Extraction))+" %")
	}
	if len(parts) == 0 {
		return ""
	}
	return braces(parts)
}

// decimal returns a figure with at most two decimals, as many as it needs.
func decimal(v float64) string {
	text := strconv.FormatFloat(v, 'f', 2, 64)
	return strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
}

// written returns a text as the value of a key on a line of its own, in quotes
// where YAML would take it for something else.
func written(text string) string {
	if text == "" || isPlain(text) {
		return text
	}
	return quoted(text)
}

// writtenInside is written for a value between brackets, where commas,
// brackets and question marks end a text.
func writtenInside(text string) string {
	if text == "" || isPlain(text) && !strings.ContainsAny(text, ",[]{}?") {
		return text
	}
	return quoted(text)
}

// plainStart is how text begins that needs no quotes for its beginning. A
// window may begin with a sign.
var plainStart = regexp.MustCompile(`^-?[\p{L}\p{Nd}]`)

// isPlain reports whether a text can stand without quotes. It is stricter
// than YAML is.
func isPlain(text string) bool {
	return plainStart.MatchString(text) &&
		text == strings.Join(strings.Fields(text), " ") &&
		strings.IndexFunc(text, func(r rune) bool { return !unicode.IsPrint(r) }) < 0 &&
		!strings.Contains(text, ": ") && !strings.HasSuffix(text, ":") && !strings.Contains(text, " #") &&
		!saysNothing(text)
}

// saysNothing reports whether YAML takes a text for no value.
func saysNothing(text string) bool { return strings.ToLower(text) == "null" }

// quoted returns a text in double quotes, with escapes for what does not show.
func quoted(text string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range text {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case unicode.IsPrint(r):
			b.WriteRune(r)
		case r <= 0xffff:
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			fmt.Fprintf(&b, `\U%08X`, r)
		}
	}
	b.WriteByte('"')
	return b.String()
}
