package recipes_test

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/recipes"
)

// plain is a recipe without faults or warnings, for tests that change a line.
const plain = `name: Quayside press
method: press
dose: 14 g
water: 210 g
temperature: 93 °C
grind: medium-fine
steps:
  - {pour: to 50 g, over: 8 s}
  - {at: 0:36, pour: to 210 g, over: 16 s}
  - {lift: off the scale}
  - {at: 1:40, press: to the hiss, over: 28 s}
`

// change replaces the first occurrence of each odd argument by the next one.
func change(t testing.TB, text string, pairs ...string) string {
	t.Helper()
	for i := 0; i < len(pairs); i += 2 {
		if !strings.Contains(text, pairs[i]) {
			t.Fatalf("no %q in the text", pairs[i])
		}
		text = strings.Replace(text, pairs[i], pairs[i+1], 1)
	}
	return text
}

func parse(t testing.TB, text string) *recipes.Document {
	t.Helper()
	doc, faults := recipes.Parse("x.yaml", []byte(text))
	if err := faults.Err(); err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return doc
}

func TestTheExampleOfTheDesignIsRead(t *testing.T) {
	const text = `name: Quayside press
method: press            # press | inverted press | cone | flat bed | pot | cupping | other
coffee: washed, medium-light   # optional; also lot, roasted, setting (grinder), cups
dose: 14 g
water: 210 g             # all that touches the coffee
temperature: 93 °C
grind: medium-fine, a little finer than for a cone
capacity: 250 g          # what the chamber holds, water and coffee together
server: steel            # steel | thick glass | thin glass | ceramic
window: 3 s              # every beat's, unless its step says otherwise
prepare:
  - Rinse one paper filter with 60 g, empty the server
  - {do: "Dose {dose}, level the bed, tare", over: 20 s}
steps:
  - {pour: to 50 g, over: 8 s, label: bloom}
  - {swirl: gently, over: 4 s}
  - {at: "0:36", pour: to 210 g, over: 16 s, why: an even spiral keeps the bed level}
  - {seal: "plunger set, nothing drips"}
  - {lift: off the scale}
  - {at: 1:40, open: plunger out}
  - {stir: 4 turns, over: 5 s}
  - {seal: plunger back in}
  - {press: to the hiss, over: 28 s, window: -2 s +5 s}
afterwards:
  - Swirl, let it cool before tasting
aim: {strength: 1.40 %, extraction: 20 %}
`
	late := &brew.Window{Early: 2 * time.Second, Late: 5 * time.Second}
	want := brew.Recipe{
		Name: "Quayside press", Method: brew.PressMethod, Coffee: "washed, medium-light",
		Dose: 14 * brew.Gram, Water: 210 * brew.Gram, Temperature: 93,
		Grind: "medium-fine, a little finer than for a cone", Capacity: 250 * brew.Gram, Server: brew.Steel,
		Window: &brew.Window{Early: 3 * time.Second, Late: 3 * time.Second},
		Prepare: []brew.Chore{
			{Do: "Rinse one paper filter with 60 g, empty the server"},
			{Do: "Dose {dose}, level the bed, tare", Over: 20 * time.Second},
		},
		Steps: []brew.Step{
			{Action: brew.Pour, Amount: 50 * brew.Gram, To: true, Over: 8 * time.Second, Label: "bloom"},
			{Action: brew.Swirl, Text: "gently", Over: 4 * time.Second},
			{Action: brew.Pour, Amount: 210 * brew.Gram, To: true, Anchor: brew.At, Offset: 36 * time.Second, Over: 16 * time.Second, Why: "an even spiral keeps the bed level"},
			{Action: brew.Seal, Text: "plunger set, nothing drips"},
			{Action: brew.Lift, Text: "off the scale"},
			{Action: brew.Open, Text: "plunger out", Anchor: brew.At, Offset: 100 * time.Second},
			{Action: brew.Stir, Text: "4 turns", Over: 5 * time.Second},
			{Action: brew.Seal, Text: "plunger back in"},
			{Action: brew.Press, Text: "to the hiss", Over: 28 * time.Second, Start: late, End: late},
		},
		Afterwards: []brew.Chore{{Do: "Swirl, let it cool before tasting"}},
		Aim:        brew.Aim{Strength: 1.4, Extraction: 20},
	}
	doc := parse(t, text)
	if got := doc.Recipe(); !reflect.DeepEqual(got, want) {
		t.Errorf("got\n%+v\nwanted\n%+v", got, want)
	}
	if faults := doc.Check(brew.Bar{}); len(faults) > 0 {
		t.Error(faults.Text())
	}
}

func TestMassesAreReadToTheMilligram(t *testing.T) {
	for text, want := range map[string]brew.Mass{
		"14 g": 14000, "14g": 14000, "14.5 g": 14500, "14.05 g": 14050, "14.001 g": 14001, "14.0010000 g": 14001,
		"0.014 kg": 14000, "0.0145005 kg": 0, "0.014501 kg": 14501, "1 oz": 28350, "0.5 oz": 14175, "014 g": 14000,
		"14\u00a0g": 14000, "14 G": 0, "1e1 g": 0, "0x10 g": 0, "½ g": 0, "14. g": 0, "14 g g": 0, "١٤ g": 0, "12345678 g": 0, "1001 kg": 0,
	} {
		doc, faults := recipes.Parse("x.yaml", []byte(change(t, plain, "14 g", text)))
		if (len(faults) > 0) != (want == 0) {
			t.Errorf("%q: %v", text, faults)
		}
		if got := doc.Recipe().Dose; got != want {
			t.Errorf("%q is %d mg, wanted %d mg", text, got, want)
		}
	}
}

func TestTemperaturesAreReadInBothScales(t *testing.T) {
	for text, want := range map[string]brew.Celsius{
		"93 °C": 93, "93 C": 93, "93°C": 93, "93C": 93, "93.25 °C": 93.25,
		"200 °F": 93.33, "200 F": 93.33, "199.4 °F": 93, "212 °F": 100,
		"93": 0, "93 c": 0, "93 K": 0, "93.123 °C": 0, "93 ºC": 0, "-5 °C": 0,
	} {
		doc, faults := recipes.Parse("x.yaml", []byte(change(t, plain, "93 °C", text)))
		if (len(faults) > 0) != (want == 0) {
			t.Errorf("%q: %v", text, faults)
		}
		if got := doc.Recipe().Temperature; got != want {
			t.Errorf("%q is %v, wanted %v", text, got, want)
		}
	}
}

func TestLengthsOfTimeAreReadInEveryForm(t *testing.T) {
	const s, ms = time.Second, time.Millisecond
	for text, want := range map[string]time.Duration{
		"8 s": 8 * s, "8s": 8 * s, "1.5 s": 1500 * ms, "0.001 s": ms, "90 s": 90 * s, "2 min": 120 * s, "1.5 min": 90 * s,
		"1 min 30 s": 90 * s, "1min 30s": 90 * s, "1 min 7.5 s": 67500 * ms,
		"1:30": 90 * s, "0:07.5": 7500 * ms, "0:00.001": ms, "90:00": 5400 * s, "1:02:03": 3723 * s, "01:30": 90 * s, "24:00:00": 24 * time.Hour,
		"8": 0, "0 s": 0, "0.0001 s": 0, "1:60": 0, "1:5": 0, "1:005": 0, "1:60:00": 0, "24:00:01": 0, "1 h": 0, "1 min 60 s": 0,
		"30 s 1 min": 0, "-8 s": 0, "+8 s": 0, "8 S": 0, "8 secs": 0, "8,5 s": 0, "1:30.": 0, ":30": 0, "99999999:00": 0, "8 - 10 s": 0,
	} {
		doc, faults := recipes.Parse("x.yaml", []byte(change(t, plain, "over: 8 s", `over: "`+text+`"`)))
		if (len(faults) > 0) != (want == 0) {
			t.Errorf("%q: %v", text, faults)
		}
		if got := doc.Recipe().Steps[0].Over; got != want {
			t.Errorf("%q is %v, wanted %v", text, got, want)
		}
	}
}

func TestWindowsAreReadInEveryForm(t *testing.T) {
	const s = time.Second
	w := func(early, late time.Duration) *brew.Window { return &brew.Window{Early: early, Late: late} }
	for text, want := range map[string][2]*brew.Window{
		"3 s":                           {w(3*s, 3*s), w(3*s, 3*s)},
		"0 s":                           {w(0, 0), w(0, 0)},
		"-2 s +5 s":                     {w(2*s, 5*s), w(2*s, 5*s)},
		"-2 s + 1 min 5 s":              {w(2*s, 65*s), w(2*s, 65*s)},
		"-0 s +0:05":                    {w(0, 5*s), w(0, 5*s)},
		"{start: 3 s}":                  {w(3*s, 3*s), nil},
		"{end: -2 s +5 s, start: 1.5s}": {w(1500*time.Millisecond, 1500*time.Millisecond), w(2*s, 5*s)},
		"3":                             {},
		"-2 s":                          {},
		"- 2 s +5 s":                    {},
		"+5 s -2 s":                     {},
		"{}":                            {},
		"[3 s]":                         {},
		"{begin: 3 s}":                  {},
	} {
		doc, faults := recipes.Parse("x.yaml", []byte(change(t, plain, "over: 8 s", "over: 8 s, window: "+text)))
		if (len(faults) > 0) != (want == [2]*brew.Window{}) {
			t.Errorf("%q: %v", text, faults)
		}
		if got := doc.Recipe().Steps[0]; !reflect.DeepEqual([2]*brew.Window{got.Start, got.End}, want) {
			t.Errorf("%q is %v and %v, wanted %v and %v", text, got.Start, got.End, want[0], want[1])
		}
	}
}

func TestTextIsOneLineWithSingleBlanks(t *testing.T) {
	for written, want := range map[string]string{
		"grind: medium  fine ":                   "medium fine",
		"grind: \" medium fine \"":               "medium fine",
		"grind: medium\n  fine":                  "medium fine",
		"grind: >\n  medium\n  fine\n":           "medium fine",
		"grind: |\n  medium\n  fine\n":           "medium fine",
		"grind: 'it''s fine'":                    "it's fine",
		"grind: \"a \\\"fine\\\" one, {x}: #2\"": `a "fine" one, {x}: #2`,
		"grind: no":                              "no",
		"grind: 18":                              "18",
		"grind: 2020-01-01":                      "2020-01-01",
		"grind: fine # for a cone":               "fine",
	} {
		if got := parse(t, change(t, plain, "grind: medium-fine", written)).Recipe().Grind; got != want {
			t.Errorf("%q is %q, wanted %q", written, got, want)
		}
	}
}

func TestStepsMayBeWrittenOnLinesOfTheirOwn(t *testing.T) {
	inBraces := parse(t, plain).Recipe()
	onLines := parse(t, change(t, plain, "  - {at: 0:36, pour: to 210 g, over: 16 s}", "  - at: 0:36\n    pour: to 210 g\n    over: 16 s")).Recipe()
	if !reflect.DeepEqual(inBraces, onLines) {
		t.Errorf("got %+v, wanted %+v", onLines, inBraces)
	}
}

func TestAnActionMayStandAlone(t *testing.T) {
	for _, u := range brew.Actions() {
		_, faults := recipes.Parse("x.yaml", []byte(change(t, plain, "{lift: off the scale}", fmt.Sprintf("{at: 1:00, %s, over: 9 s}", u.Action))))
		alone := u.Kind == brew.TextValue && u.Action != brew.Do
		if alone != (len(faults) == 0) {
			t.Errorf("%s: %v", u.Action, faults)
		}
	}
}

// What cannot be read must not make other faults of itself.
func TestAFaultHasNoConsequences(t *testing.T) {
	for name, text := range map[string]string{
		"an amount without a unit does not spoil the sum":      change(t, plain, "to 50 g", "to 50"),
		"a misspelt pour does not spoil the sum":               change(t, plain, "pour: to 210", "puor: to 210"),
		"a length without a unit does not spoil the order":     change(t, plain, "over: 16 s", "over: 16"),
		"a lost lift does not put the press on the scale":      change(t, plain, "lift: off", "lfit: off"),
		"a lost dose has no ratio":                             change(t, plain, "dose: 14 g\n", ""),
		"a lost water has no sum":                              change(t, plain, "210 g\nt", "210\nt"),
		"a lost method has no chamber":                         change(t, plain, "method: press", "capacity: 20 g\nmethod: cones"),
		"a lost dose has no chamber":                           change(t, plain, "dose: 14 g", "capacity: 20 g\ndose: 14"),
		"a lost step list has no sum":                          change(t, plain, "steps:", "stpes:"),
		"a lost temperature is not cold":                       change(t, plain, "93 °C", "93"),
		"a lost name is not short":                             change(t, plain, "name: Quayside press", "nmae: Quayside press"),
		"an open brace loses its step only":                    change(t, plain, "over: 16 s}", "over: 16 s"),
		"an unknown action is not a missing one":               change(t, plain, "lift: off", "tamp: off"),
		"a chore misspelt is not empty":                        change(t, plain, "steps:", "prepare:\n  - {doo: rinse}\nsteps:"),
		"a bad window leaves the step as it is":                change(t, plain, "over: 16 s}", "over: 16 s, window: 3}"),
		"an open quote at a key does not make the key missing": change(t, plain, "grind: medium-fine", `grind: "medium-fine`),
	} {
		doc, _ := recipes.Parse("x.yaml", []byte(text))
		if faults := doc.Check(brew.Bar{}); len(faults) != 1 {
			t.Errorf("%s: %d faults\n%s", name, len(faults), faults.Text())
		}
	}
}

// A fault of shape does not hide what is wrong elsewhere.
func TestFaultsThatStandApartAreToldTogether(t *testing.T) {
	for name, text := range map[string]string{
		"a slip of form and a unit":                    change(t, plain, "over: 16 s}", "over: 16 s", "93 °C", "93"),
		"two slips of form":                            change(t, plain, "over: 16 s}", "over: 16 s", "over: 8 s}", "over: 8 s"),
		"a slip of form and a wrong figure":            change(t, plain, "over: 16 s}", "over: 16 s", "93 °C", "193 °C"),
		"a bad step and a step before it":              change(t, plain, "to 50 g", "to 0.5 kg", "over: 16 s", "over: 16"),
		"a bad window and a sum":                       change(t, plain, "to 210 g, over: 16 s", "to 200 g, over: 16 s, window: 3"),
		"a bad step and water out of range":            change(t, plain, "over: 16 s", "over: 16", "water: 210 g", "water: 60 kg"),
		"a bad dose and a temperature":                 change(t, plain, "14 g", "14", "93 °C", "193 °C"),
		"an unknown key and a missing one":             change(t, plain, "grind: medium-fine", "colour: brown"),
		"a bad chore and a bad chore":                  change(t, plain, "steps:", "prepare:\n  - {do: rinse, over: 3}\n  - \"{figs}\"\nsteps:"),
		"an unknown key of a step and an early step":   change(t, plain, "1:40", "0:40, colour: red", "over: 16 s", "over: 16 s, window: 3"),
		"a label with a comma and a prompt too long":   change(t, plain, "over: 8 s", "over: 8 s, label: wet, gently", "off the scale", "off the scale and onto the table beside the sink"),
		"an alias and the unit of what it stands for":  change(t, plain, "over: 8 s", "over: &x 8", "over: 16 s", "over: 16 s"),
		"a tag and the wrong unit of the tagged value": change(t, plain, "14 g", "!mass 14 ml"),
	} {
		doc, _ := recipes.Parse("x.yaml", []byte(text))
		if faults := doc.Check(brew.Bar{}); len(faults) != 2 {
			t.Errorf("%s: %d faults\n%s", name, len(faults), faults.Text())
		}
	}
}

func TestFaultsComeInLineOrder(t *testing.T) {
	for _, folder := range []string{"bad", "unwise"} {
		for _, file := range testFiles(t, folder) {
			doc, _ := recipes.Parse(file, read(t, file))
			last := recipes.Fault{}
			for _, f := range doc.Check(brew.Bar{}) {
				if f.Line < last.Line || f.Line == last.Line && f.Column < last.Column {
					t.Errorf("%v comes after %v", f, last)
				}
				last = f
			}
		}
	}
}

func TestParseToleratesNoMoreThanARecipe(t *testing.T) {
	nodes := "prepare: [" + strings.Repeat("x,", recipes.MaxNodes) + "x]\n"
	for name, c := range map[string]struct{ text, says string }{
		"a file of 256 KiB is read":           {plain + "#" + strings.Repeat("x", recipes.MaxSize-len(plain)-1), ""},
		"a byte more is not":                  {plain + "#" + strings.Repeat("x", recipes.MaxSize-len(plain)), "file has 257 KiB, more than 256 KiB"},
		"ten thousand nodes are too many":     {plain + nodes, "more than 10000 keys and values"},
		"depth is bounded":                    {plain + "aim: " + strings.Repeat("[", 5000) + strings.Repeat("]", 5000), "keys and lists lie more than 16 deep in one another"},
		"depth is bounded in lists":           {strings.Repeat("- ", 20000) + "x", ""},
		"depth the library refuses":           {plain + "aim: " + strings.Repeat("[", 20000), ""},
		"an alias cannot make a large recipe": {"a: &a [x,x]\nb: &b [*a,*a]\nc: [*b,*b]\n", ""},
	} {
		t.Run(name, func(t *testing.T) {
			start := time.Now()
			doc, faults := recipes.Parse("x.yaml", []byte(c.text))
			if took := time.Since(start); took > 5*time.Second {
				t.Errorf("took %v", took)
			}
			if name == "a file of 256 KiB is read" {
				if len(faults) > 0 || len(doc.Recipe().Steps) != 4 {
					t.Fatal(faults)
				}
				return
			}
			if len(faults) == 0 {
				t.Fatal("no fault")
			}
			if c.says != "" && faults[len(faults)-1].Message != c.says {
				t.Errorf("got %q, wanted %q", faults[len(faults)-1].Message, c.says)
			}
		})
	}
}

func TestCheckKnowsTheBar(t *testing.T) {
	doc := parse(t, plain)
	faults := doc.Check(brew.Bar{Boils: 91.6})
	if len(faults) != 1 || faults[0].Severity != brew.Warning || faults[0].Line != 5 || faults[0].Column != 14 || faults.Err() != nil {
		t.Errorf("got %s", faults.Text())
	}
}

func TestLocateFindsValueKeyAndEntry(t *testing.T) {
	doc := parse(t, change(t, plain, "steps:", "prepare:\n  - rinse\nsteps:", "{lift: off the scale}", "{lift}\n  - {wait: 3 s}"))
	for place, want := range map[brew.Place][2]int{
		{Key: "dose"}:  {3, 7},
		{Key: "steps"}: {10, 3},
		{Part: brew.InPrepare, Index: 0, Key: "do"}:  {8, 5},
		{Part: brew.InPrepare, Index: 0}:             {8, 5},
		{Part: brew.InSteps, Index: 1, Key: "pour"}:  {11, 22},
		{Part: brew.InSteps, Index: 1, Key: "label"}: {11, 5},
		{Part: brew.InSteps, Index: 2, Key: "lift"}:  {12, 6},
		{Part: brew.InSteps, Index: 3, Key: "over"}:  {13, 12},
		{Key: "capacity"}:                            {1, 1},
		{Part: brew.InSteps, Index: 9, Key: "over"}:  {0, 0},
	} {
		line, column, ok := doc.Locate(place)
		if got := [2]int{line, column}; got != want || ok != (want[0] > 0) {
			t.Errorf("%v is at %v, wanted %v", place, got, want)
		}
	}
}

func TestTheDocumentIsItsOwn(t *testing.T) {
	text := []byte(plain)
	doc, _ := recipes.Parse("x.yaml", text)
	text[0] = 'X'
	doc.Text()[0] = 'Y'
	doc.Recipe().Steps[0].Over = 0
	if string(doc.Text()) != plain || doc.Recipe().Steps[0].Over != 8*time.Second || doc.File() != "x.yaml" {
		t.Error("the document changed with what was given or returned")
	}
}
