package recipes_test

import (
	"bytes"
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"barline/brew"
	"barline/recipes"
)

func TestWriteIsCanonical(t *testing.T) {
	const s = time.Second
	w := func(early, late time.Duration) *brew.Window { return &brew.Window{Early: early, Late: late} }
	r := brew.Recipe{
		Name: "Quayside: all keys", Method: brew.InvertedPress, Coffee: "washed, light", Lot: "7 #2", Roasted: "2026-05-01", Setting: "null", Cups: 2,
		Dose: 14500, Water: 210250, Temperature: 93.25, Grind: "- fine", Capacity: 250 * brew.Gram, Server: brew.ThickGlass, Window: w(3*s, 3*s),
		Prepare: []brew.Chore{{Do: "Rinse, empty"}, {Do: "Dose {dose}", Over: 20 * s}, {Do: "{water} at hand"}, {Do: "Fill", Float: 60 * s, Uses: brew.UsesBoth}},
		Steps: []brew.Step{
			{Action: brew.Pour, Amount: 50 * brew.Gram, To: true, Over: 8 * s, Label: "bloom", Start: w(1*s, 1*s), End: w(1*s, 1*s)},
			{Action: brew.Swirl, Anchor: brew.After, Offset: 1500 * time.Millisecond, Hands: brew.Free, Mark: brew.MarkNone, ID: "swirl-1", Why: `a "why"`, Caution: "hot: mind it"},
			{Action: brew.Pour, Amount: 160250, Anchor: brew.At, Offset: 36 * s, Over: 75 * s, Start: w(2*s, 5*s)},
			{Action: brew.Wait, Over: 2 * time.Hour},
			{Action: brew.Bypass, Amount: 90 * brew.Gram, Start: w(1*s, 2*s), End: w(0, 90*s)},
			{Action: brew.Do, Text: "open [it]"},
		},
		Afterwards: []brew.Chore{{Do: "ends with a colon:"}},
		Aim:        brew.Aim{Strength: 1.4, Extraction: 20.5},
	}
	const want = `name: "Quayside: all keys"
method: inverted press
coffee: washed, light
lot: "7 #2"
roasted: 2026-05-01
setting: "null"
cups: 2
dose: 14.5 g
water: 210.25 g
temperature: 93.25 °C
grind: "- fine"
capacity: 250 g
server: thick glass
window: 3 s
prepare:
  - Rinse, empty
  - {do: "Dose {dose}", over: 20 s}
  - "{water} at hand"
  - {do: Fill, float: 1 min, uses: hands and kettle}
steps:
  - {pour: to 50 g, over: 8 s, label: bloom, window: 1 s}
  - {after: 1.5 s, swirl, hands: free, mark: no, id: swirl-1, why: a "why", caution: "hot: mind it"}
  - {at: 0:36, pour: 160.25 g, over: 1 min 15 s, window: {start: -2 s +5 s}}
  - {wait: 2:00:00}
  - {bypass: 90 g, window: {start: -1 s +2 s, end: -0 s +1 min 30 s}}
  - {do: "open [it]"}
afterwards:
  - "ends with a colon:"
aim: {strength: 1.40 %, extraction: 20.5 %}
`
	if got := string(recipes.Write(r)); got != want {
		t.Fatalf("got\n%s", got)
	}
	if got := parse(t, want).Recipe(); !reflect.DeepEqual(got, r) {
		t.Errorf("got\n%+v\nwanted\n%+v", got, r)
	}
}

func TestDefaultsAreNotWrittenBack(t *testing.T) {
	if got := string(recipes.Write(parse(t, plain).Recipe())); got != plain {
		t.Errorf("got\n%s", got)
	}
}

// Any text that Parse can return survives being written, on a line of its own
// and within braces.
func TestEveryTextSurvives(t *testing.T) {
	for _, text := range []string{
		"a", "1", "-1", "- a", "-", "---", "...", "?", "? a", ": a", "a:", "a: b", "a:b", "#a", "a #b", "a#b", "a,b", "a, b", "{a}", "a}", "[a]",
		"'a'", `"a"`, `a"b`, `a\b`, `\`, "&a", "*a", "!a", "|", ">", "%a", "@a", "`a", "~", "null", "NULL", "true", "no", "0x1", "1e3", "=", "<<",
		"é", "咖啡", "\u2615", "e\u0301", "\u0301", "a\u200db", "\U0001F3F4", "a\u00adb"[:1], "²", "§ 4", "°C", "…", "1:30", "0:36, then", "a\\nb", "yes: no",
	} {
		r := parse(t, plain).Recipe()
		r.Grind, r.Steps[0].Why, r.Steps[2].Text = text, text, text
		r.Prepare = []brew.Chore{{Do: text}, {Do: text, Over: time.Second}}
		written := recipes.Write(r)
		doc, faults := recipes.Parse("x.yaml", written)
		if len(faults) > 0 {
			t.Errorf("%q: %v\n%s", text, faults, written)
		} else if got := doc.Recipe(); !reflect.DeepEqual(got, r) {
			t.Errorf("%q became %q, %q, %q", text, got.Grind, got.Steps[0].Why, got.Prepare)
		}
	}
}

func TestWriteAndParseAreInverse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyRecipe(t)
		text := recipes.Write(r)
		doc, faults := recipes.Parse("x.yaml", text)
		if len(faults) > 0 {
			t.Fatalf("%v\n%s", faults.Text(), text)
		}
		if got := doc.Recipe(); !reflect.DeepEqual(got, r) {
			t.Fatalf("got\n%+v\nwanted\n%+v\n%s", got, r, text)
		}
		if again := recipes.Write(doc.Recipe()); !bytes.Equal(again, text) {
			t.Fatalf("got\n%s\nwanted\n%s", again, text)
		}
		if err := doc.Check(brew.Bar{}).Err(); err != nil {
			t.Fatalf("the recipe is not valid: %v\n%s", err, text)
		}
	})
}

// anyText draws a text that Parse could return: one line, single blanks.
func anyText(t *rapid.T, most int, name string) string {
	runes := []rune("abcXYZ019 ,:#'\"&*!|>%@`~?-[]\\/.=<°éß咖\u2615\u0301+")
	words := strings.Fields(string(rapid.SliceOfN(rapid.SampledFrom(runes), 1, most).Draw(t, name)))
	if len(words) == 0 {
		return "x"
	}
	return strings.Join(words, " ")
}

func maybeText(t *rapid.T, most int, name string) string {
	if !rapid.Bool().Draw(t, "has "+name) {
		return ""
	}
	return anyText(t, most, name)
}

func anyWindow(t *rapid.T) *brew.Window {
	if !rapid.Bool().Draw(t, "has window") {
		return nil
	}
	ms := rapid.Int64Range(0, 400_000)
	return &brew.Window{Early: time.Duration(ms.Draw(t, "early")) * time.Millisecond, Late: time.Duration(ms.Draw(t, "late")) * time.Millisecond}
}

func anyLength(t *rapid.T, name string) time.Duration {
	return time.Duration(rapid.Int64Range(1, 4_000_000).Draw(t, name)) * time.Millisecond
}

// anyRecipe draws a recipe that brew.Check does not refuse.
func anyRecipe(t *rapid.T) brew.Recipe {
	r := brew.Recipe{
		Name: anyText(t, brew.LongestName, "name"), Method: rapid.SampledFrom(brew.Methods()).Draw(t, "method"),
		Coffee: maybeText(t, 50, "coffee"), Lot: maybeText(t, 50, "lot"), Roasted: maybeText(t, 50, "roasted"), Setting: maybeText(t, 50, "setting"),
		Cups: rapid.IntRange(0, 100).Draw(t, "cups"), Dose: brew.Mass(rapid.Int64Range(1000, 100_000).Draw(t, "dose")),
		Temperature: brew.Celsius(float64(rapid.Int64Range(1, 11000).Draw(t, "temperature")) / 100), Grind: anyText(t, 50, "grind"),
		Window: anyWindow(t),
		Aim: brew.Aim{
			Strength:   brew.Percent(float64(rapid.Int64Range(0, 3000).Draw(t, "strength")) / 100),
			Extraction: brew.Percent(float64(rapid.Int64Range(0, 4000).Draw(t, "extraction")) / 100),
		},
		Prepare: anyChores(t, "prepare"), Afterwards: anyChores(t, "afterwards"),
	}
	if rapid.Bool().Draw(t, "has server") {
		r.Server = rapid.SampledFrom(brew.Servers()).Draw(t, "server")
	}
	b := builder{t: t, onScale: true}
	for range rapid.IntRange(1, 12).Draw(t, "steps") {
		r.Steps = append(r.Steps, b.step(len(r.Steps)))
	}
	if b.water == 0 {
		r.Steps = append(r.Steps, brew.Step{Action: brew.Tare}, brew.Step{Action: brew.Pour, Amount: 100 * brew.Gram, Over: 10 * time.Second})
		b.water = 100 * brew.Gram
	}
	r.Water = b.water
	if rapid.Bool().Draw(t, "has capacity") {
		r.Capacity = r.Dose + r.Water
	}
	return r
}

func anyChores(t *rapid.T, name string) []brew.Chore {
	var out []brew.Chore
	for range rapid.IntRange(0, 3).Draw(t, name) {
		c := brew.Chore{Do: anyText(t, 80, "do")}
		if rapid.Bool().Draw(t, "has over") {
			c.Over = anyLength(t, "over")
		}
		if rapid.Bool().Draw(t, "floats") {
			c.Float = anyLength(t, "float")
		}
		c.Uses = rapid.SampledFrom(append(brew.AllUses(), "")).Draw(t, "uses")
		out = append(out, c)
	}
	return out
}

// builder draws steps one after another, keeping account of the scale, the
// seal and the clock as brew.Check does.
type builder struct {
	t       *rapid.T
	end     time.Duration // of the last step
	water   brew.Mass
	scale   brew.Mass
	onScale bool
	closed  bool
}

func (b *builder) step(n int) brew.Step {
	t := b.t
	u := rapid.SampledFrom(brew.Actions()).Draw(t, "action")
	for u.Action == brew.Flip && !b.closed || u.Action == brew.Pour && !b.onScale {
		u = rapid.SampledFrom(brew.Actions()).Draw(t, "action")
	}
	s := brew.Step{
		Action: u.Action, Over: anyLength(t, "over"), Label: maybeText(t, 30, "label"), Why: maybeText(t, 100, "why"), Caution: maybeText(t, 100, "caution"),
		Start: anyWindow(t), End: anyWindow(t),
	}
	if rapid.Bool().Draw(t, "has mark") {
		s.Mark = rapid.SampledFrom([]brew.Marks{brew.MarkStart, brew.MarkEnd, brew.MarkBoth, brew.MarkNone}).Draw(t, "mark")
	}
	if rapid.Bool().Draw(t, "has id") {
		s.ID = fmt.Sprintf("id-%d", n)
	}
	b.amount(u, &s)
	b.start(n, &s)
	b.end += s.Over
	return s
}

func (b *builder) amount(u brew.Usual, s *brew.Step) {
	t, amount := b.t, brew.Mass(rapid.Int64Range(1000, 300_000).Draw(b.t, "amount"))
	switch u.Action {
	case brew.Pour:
		b.water, b.scale = b.water+amount, b.scale+amount
		s.Amount, s.To = amount, rapid.Bool().Draw(t, "to")
		if s.To {
			s.Amount = b.scale
		}
	case brew.Bypass:
		s.Amount = amount
		if b.onScale {
			b.scale += amount
		}
	case brew.Wait:
	case brew.Do:
		s.Text = anyText(t, 30, "text")
	default:
		s.Text = maybeText(t, 25, "text")
	}
	switch u.Action {
	case brew.Tare:
		b.scale, b.onScale = 0, true
	case brew.Lift, brew.Flip:
		b.scale, b.onScale = 0, false
	}
	b.closed = u.Action == brew.Seal || b.closed && u.Action != brew.Open
}

// start hangs the step behind the one before or pins it to the clock, no
// earlier than that one's end.
func (b *builder) start(n int, s *brew.Step) {
	if n == 0 {
		return
	}
	s.Anchor = rapid.SampledFrom([]brew.Anchor{brew.Directly, brew.After, brew.At}).Draw(b.t, "anchor")
	if s.Anchor == brew.Directly {
		return
	}
	gap := time.Duration(rapid.Int64Range(0, 100_000).Draw(b.t, "gap")) * time.Millisecond
	b.end += gap
	s.Offset = gap
	if s.Anchor == brew.At {
		s.Offset = b.end
	}
}
