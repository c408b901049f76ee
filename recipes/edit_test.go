package recipes_test

import (
	"io/fs"
	"reflect"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/recipes"
)

// lived is a recipe as somebody keeps it: comments, odd order, blank lines.
const lived = `# the morning press
grind: medium-fine   # 18 on the left grinder
name:   Quayside press

method: press
dose: 14 g # exactly
water: "210 g"
temperature: 93 °C   # at the spout

# before the clock
prepare:
- rinse the filter   # twice
# and then
- do: Dose {dose}
  over: 20 s

steps:   # as taught
    # the bloom
    - {pour: to 50 g, over: 8 s}   # slowly

    - {at: "0:36",
       pour: to 210 g,   # all of it
       over: 16 s}
    - lift: off the scale
      # hands free
      over: 2 s
      why: >
        a scale is no place
        to lean on
    # last
    - {at: 1:40, press: to the hiss, over: 28 s, window: {start: 2 s, end: -2 s +5 s}}
# the end`

// odd is a recipe in every form of text that YAML knows.
const odd = `--- # one document
name: 'it''s odd'
method: "press"
dose: 14 g
water: 210 g
temperature: 93 °C
grind: "a \"fine\" one: \\, [x] #2"
lot: seven
  and
  a half
coffee: "over
  two lines"
aim: {strength: 1.4 % # measured }
  , extraction: 20 %, # guessed }
  }
prepare:
- |
  rinse
  twice
-
  level, tare
- do: >-
    grind
    it
  over: 3 s
- 'a ''quoted'' one'
steps: [
  {pour: 210 g, over: 30 s, label: "a, \"b\"", why: 'c '' d, e'}, # all of it
  {"lift": off,
   over: 2 s # at least
  }, {at: 1:40, press: 'to the hiss', over: 28 s}
]
...
`

func inRecipe(key string) brew.Place      { return brew.Place{Key: key} }
func inStep(i int, key string) brew.Place { return brew.Place{Part: brew.InSteps, Index: i, Key: key} }
func inPrepare(i int, key string) brew.Place {
	return brew.Place{Part: brew.InPrepare, Index: i, Key: key}
}

// Everything but what an edit names stays as it is, byte for byte.
func TestAnEditChangesWhatItNames(t *testing.T) {
	for name, c := range map[string]struct {
		edit     func(*recipes.Document) (*recipes.Document, error)
		old, new string
	}{
		"a value before a comment":                 {set(inRecipe("dose"), "14.5 g"), "dose: 14 g #", "dose: 14.5 g #"},
		"a value with blanks before it":            {set(inRecipe("name"), "Quayside: early"), "name:   Quayside press", "name:   \"Quayside: early\""},
		"a value in quotes":                        {set(inRecipe("water"), "0.21 kg"), `"210 g"`, "0.21 kg"},
		"a text before a comment":                  {set(inRecipe("grind"), "fine, like  salt"), "medium-fine   #", "fine, like salt   #"},
		"a value in braces":                        {set(inStep(0, "pour"), "to 48 g"), "to 50 g", "to 48 g"},
		"a value in quotes in braces":              {set(inStep(1, "at"), "0:40"), `at: "0:36"`, "at: 0:40"},
		"a text with a comma in braces":            {set(inStep(3, "press"), "to the hiss, no further"), "press: to the hiss", `press: "to the hiss, no further"`},
		"a value before a comma and a comment":     {set(inStep(1, "pour"), "to 200 g"), "to 210 g,   #", "to 200 g,   #"},
		"a folded text":                            {set(inStep(2, "why"), "it tips"), ">\n        a scale is no place\n        to lean on", "it tips"},
		"a window by its keys":                     {set(inStep(3, "window"), "{start: 1 s, end: 2 s}"), "{start: 2 s, end: -2 s +5 s}", "{start: 1 s, end: 2 s}"},
		"a window for both edges":                  {set(inStep(3, "window"), "-1 s +2 s"), "{start: 2 s, end: -2 s +5 s}", "-1 s +2 s"},
		"one edge of a window":                     {set(inStep(3, "window.end"), "4 s"), "end: -2 s +5 s", "end: 4 s"},
		"a chore that is a text":                   {set(inPrepare(0, "do"), "Rinse: twice"), "rinse the filter", `"Rinse: twice"`},
		"a chore with keys":                        {set(inPrepare(1, "over"), "30 s"), "over: 20 s", "over: 30 s"},
		"a new key behind those before it":         {set(inRecipe("capacity"), "250 g"), "# at the spout\n", "# at the spout\ncapacity: 250 g\n"},
		"a new key that none comes before":         {set(inRecipe("coffee"), "washed"), "\nmethod: press\n", "\nmethod: press\ncoffee: washed\n"},
		"a new key at the end of the file":         {set(inRecipe("aim.strength"), "1.4 %"), "+5 s}}\n", "+5 s}}\naim: {strength: 1.4 %}\n"},
		"a new key in braces":                      {set(inStep(0, "label"), "bloom"), "over: 8 s}", "over: 8 s, label: bloom}"},
		"a new first key in braces":                {set(inStep(3, "over"), "30 s"), "over: 28 s", "over: 30 s"},
		"a new anchor in braces":                   {set(inStep(0, "at"), "0:00"), "{pour: to 50", "{at: 0:00, pour: to 50"},
		"a new key in braces over several lines":   {set(inStep(1, "label"), "main, all"), "over: 16 s}", `over: 16 s, label: "main, all"}`},
		"a new key on a line of its own":           {set(inStep(2, "label"), "off"), "over: 2 s\n", "over: 2 s\n      label: off\n"},
		"a new first key on lines of their own":    {set(inStep(2, "after"), "3 s"), "- lift: off", "- after: 3 s\n      lift: off"},
		"a length for a chore that is a text":      {set(inPrepare(0, "over"), "20 s"), "- rinse the filter ", "- {do: rinse the filter, over: 20 s} "},
		"a new window by its keys":                 {set(inStep(0, "window.start"), "1 s"), "over: 8 s}", "over: 8 s, window: {start: 1 s}}"},
		"a key without its comment":                {remove(inRecipe("temperature")), "", ""}, // refused below
		"a key in braces is removed":               {remove(inStep(3, "window")), ", window: {start: 2 s, end: -2 s +5 s}", ""},
		"the first key in braces is removed":       {remove(inStep(3, "at")), "{at: 1:40, press", "{press"},
		"a key before a comment is removed":        {remove(inStep(1, "at")), "{at: \"0:36\",\n", "{\n"},
		"a key on a line of its own is removed":    {remove(inStep(2, "over")), "      over: 2 s\n", ""},
		"a folded text is removed":                 {remove(inStep(2, "why")), "      why: >\n        a scale is no place\n        to lean on\n", ""},
		"a chore is removed":                       {remove(inPrepare(0, "")), "- rinse the filter   # twice\n", ""},
		"a chore with keys is removed":             {remove(inPrepare(1, "")), "- do: Dose {dose}\n  over: 20 s\n", ""},
		"a list is removed":                        {remove(inRecipe("prepare")), "prepare:\n- rinse the filter   # twice\n# and then\n- do: Dose {dose}\n  over: 20 s\n", ""},
		"a step is removed":                        {remove(inStep(0, "")), "    - {pour: to 50 g, over: 8 s}   # slowly\n", ""},
		"a step over several lines is removed":     {remove(inStep(1, "")), "    - {at: \"0:36\",\n       pour: to 210 g,   # all of it\n       over: 16 s}\n", ""},
		"a step on lines of its own is removed":    {remove(inStep(2, "")), "    - lift: off the scale\n      # hands free\n      over: 2 s\n      why: >\n        a scale is no place\n        to lean on\n", ""},
		"a step is put first":                      {insert(0), "# as taught\n", "# as taught\n    - {swirl: \"gently, twice\", over: 4 s}\n"},
		"a step is put behind one with a comment":  {insert(1), "# slowly\n", "# slowly\n    - {swirl: \"gently, twice\", over: 4 s}\n"},
		"a step is put behind one in many lines":   {insert(2), "over: 16 s}\n", "over: 16 s}\n    - {swirl: \"gently, twice\", over: 4 s}\n"},
		"a step is put behind a folded text":       {insert(3), "to lean on\n", "to lean on\n    - {swirl: \"gently, twice\", over: 4 s}\n"},
		"a step is put last":                       {insert(4), "+5 s}}\n", "+5 s}}\n    - {swirl: \"gently, twice\", over: 4 s}\n"},
		"a chore is put first":                     {chore(brew.InPrepare, 0), "prepare:\n", "prepare:\n- Level, tare\n"},
		"a chore is put last":                      {chore(brew.InPrepare, 2), "over: 20 s\n", "over: 20 s\n- Level, tare\n"},
		"a chore begins a list behind its nearest": {chore(brew.InAfterwards, 0), "+5 s}}\n", "+5 s}}\nafterwards:\n  - Level, tare\n"},
	} {
		t.Run(name, func(t *testing.T) {
			doc := parse(t, lived)
			after, err := c.edit(doc)
			if string(doc.Text()) != lived {
				t.Error("the document itself changed")
			}
			if c.old == "" {
				if err == nil {
					t.Error("a required key was removed")
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			if got, want := string(after.Text()), change(t, lived, c.old, c.new); got != want {
				t.Errorf("got\n%s\nwanted\n%s", got, want)
			}
		})
	}
}

type edit = func(*recipes.Document) (*recipes.Document, error)

func set(p brew.Place, value string) edit {
	return func(d *recipes.Document) (*recipes.Document, error) { return d.Set(p, value) }
}

func remove(p brew.Place) edit {
	return func(d *recipes.Document) (*recipes.Document, error) { return d.Remove(p) }
}

func insert(i int) edit {
	return func(d *recipes.Document) (*recipes.Document, error) {
		return d.InsertStep(i, brew.Step{Action: brew.Swirl, Text: "gently, twice", Over: 4 * time.Second})
	}
}

func chore(part brew.Part, i int) edit {
	return func(d *recipes.Document) (*recipes.Document, error) {
		return d.InsertChore(part, i, brew.Chore{Do: "Level, tare"})
	}
}

func TestABadEditIsRefusedAndLosesNothing(t *testing.T) {
	for name, c := range map[string]struct {
		edit edit
		says string
	}{
		"a value without a unit":               {set(inRecipe("dose"), "15"), `x.yaml:6:7: error: dose "15" has no unit, wanted g, kg or oz`},
		"a value that is nothing":              {set(inRecipe("dose"), " "), "no value for dose"},
		"a method nobody knows":                {set(inRecipe("method"), "sieve"), `x.yaml:5:9: error: method "sieve" is unknown, wanted press, inverted press, cone, flat bed, pot, cupping or other`},
		"a step that is not there":             {set(inStep(9, "over"), "3 s"), "the recipe has no step 10"},
		"a key nobody knows":                   {set(inStep(0, "colour"), "red"), `unknown key "colour"`},
		"a second action":                      {set(inStep(0, "swirl"), "gently"), `x.yaml:19:23: error: two actions in one step, pour and swirl`},
		"a second anchor":                      {set(inStep(1, "after"), "3 s"), ""},
		"a list as a whole":                    {set(inRecipe("steps"), "pour"), "steps is a list: change its entries"},
		"one edge of a window for both":        {set(inStep(0, "over.start"), "3 s"), ""},
		"keys hidden in a window":              {set(inStep(3, "window"), "{start: 2 s}, label: x"), "the change would alter more of the recipe than it names"},
		"keys of a window left open":           {set(inStep(3, "window"), "{start: 2 s"), ""},
		"a required key removed":               {remove(inRecipe("water")), `x.yaml:2:1: error: missing key "water"`},
		"an action removed":                    {remove(inStep(0, "pour")), ""},
		"what is not there removed":            {remove(inRecipe("aim")), "nothing to remove: the recipe has no aim"},
		"the whole recipe removed":             {remove(brew.Place{}), ""},
		"all that a chore says removed":        {remove(inPrepare(0, "do")), ""},
		"a step far behind the last":           {insert(6), "no place 7 in steps"},
		"a step before the first":              {insert(-1), "no place 0 in steps"},
		"a chore in the steps":                 {chore(brew.InSteps, 0), `"steps" has no chores`},
		"a chore far behind in a list not yet": {chore(brew.InAfterwards, 2), "no place 3 in afterwards"},
		"an action nobody knows": {func(d *recipes.Document) (*recipes.Document, error) {
			return d.InsertStep(0, brew.Step{Action: "tamp"})
		}, ""},
	} {
		doc := parse(t, lived)
		after, err := c.edit(doc)
		if err == nil || after != nil {
			t.Errorf("%s: no error, but\n%s", name, after.Text())
			continue
		}
		if c.says != "" && err.Error() != c.says {
			t.Errorf("%s: got %q, wanted %q", name, err, c.says)
		}
		if string(doc.Text()) != lived {
			t.Errorf("%s: the document changed", name)
		}
	}
	faulty, _ := recipes.Parse("x.yaml", []byte(change(t, plain, "14 g", "14")))
	for _, e := range []edit{set(inRecipe("water"), "200 g"), set(inRecipe("dose"), "15 g"), remove(inStep(0, "over")), insert(0)} {
		if _, err := e(faulty); err == nil || !strings.Contains(err.Error(), `dose "14" has no unit`) {
			t.Errorf("a faulty document was edited: %v", err)
		}
	}
}

func TestTheLastOfAListTakesItsKeyWithIt(t *testing.T) {
	doc := parse(t, change(t, plain, "steps:", "prepare:\n  - rinse # well\nsteps:"))
	after, err := doc.Remove(inPrepare(0, ""))
	if err != nil || string(after.Text()) != plain {
		t.Errorf("%v\n%s", err, after.Text())
	}
	if _, err := parse(t, change(t, plain, plain[strings.Index(plain, "  - {at: 0:36"):], "")).Remove(inStep(0, "")); err == nil {
		t.Error("the last step was removed")
	}
}

func TestAGroupOfKeysIsReplacedAsAWhole(t *testing.T) {
	after, err := parse(t, odd).Set(inRecipe("aim"), "{strength: 1.3 %}")
	if err != nil {
		t.Fatal(err)
	}
	from, to := strings.Index(odd, "{strength"), strings.Index(odd, "\nprepare:")
	if want := odd[:from] + "{strength: 1.3 %}" + odd[to:]; string(after.Text()) != want {
		t.Errorf("got\n%s", after.Text())
	}
}

func TestEditsWorkInBracketsAndOnWindowsLines(t *testing.T) {
	flow := `{name: Q, method: press, dose: 14 g, water: 60 g, temperature: 93 °C, grind: fine, steps: [{pour: 60 g, over: 8 s}, {lift}]}`
	doc := parse(t, flow)
	for _, c := range []struct{ edit, want string }{
		{"insert first", strings.Replace(flow, "[{pour", `[{swirl: "gently, twice", over: 4 s}, {pour`, 1)},
		{"insert last", strings.Replace(flow, "{lift}]", `{lift}, {swirl: "gently, twice", over: 4 s}]`, 1)},
		{"chore", strings.Replace(flow, ", steps", `, prepare: ["Level, tare"], steps`, 1)},
		{"remove", strings.Replace(flow, ", {lift}", "", 1)},
		{"set bare", strings.Replace(flow, "{lift}", "{lift: off}", 1)},
		{"label bare", strings.Replace(flow, "{lift}", "{lift, label: off}", 1)},
		{"capacity", strings.Replace(flow, ", steps", ", capacity: 99 g, steps", 1)},
	} {
		edits := map[string]edit{
			"insert first": insert(0), "insert last": insert(2), "chore": chore(brew.InPrepare, 0), "remove": remove(inStep(1, "")),
			"set bare": set(inStep(1, "lift"), "off"), "label bare": set(inStep(1, "label"), "off"), "capacity": set(inRecipe("capacity"), "99 g"),
		}
		after, err := edits[c.edit](doc)
		if err != nil {
			t.Errorf("%s: %v", c.edit, err)
		} else if got := string(after.Text()); got != c.want {
			t.Errorf("%s: got\n%s\nwanted\n%s", c.edit, got, c.want)
		}
	}
	windows := parse(t, strings.ReplaceAll(plain, "\n", "\r\n"))
	after, err := windows.InsertStep(1, brew.Step{Action: brew.Swirl, Over: 4 * time.Second})
	if err != nil {
		t.Fatal(err)
	}
	if want := strings.ReplaceAll(change(t, plain, "over: 8 s}\n", "over: 8 s}\n  - {swirl, over: 4 s}\n"), "\n", "\r\n"); string(after.Text()) != want {
		t.Errorf("got %q", after.Text())
	}
}

// every calls f with every key of a recipe that has a value in the document.
func every(doc *recipes.Document, f func(p brew.Place, value string)) {
	keys := []string{"name", "method", "coffee", "lot", "roasted", "setting", "cups", "dose", "water", "temperature", "grind", "capacity", "server",
		"window", "window.start", "window.end", "aim.strength", "aim.extraction", "do", "over", "at", "after", "label", "hands", "mark", "id", "why", "caution"}
	for _, u := range brew.Actions() {
		keys = append(keys, string(u.Action))
	}
	r := doc.Recipe()
	for part, n := range map[brew.Part]int{brew.InRecipe: 1, brew.InSteps: len(r.Steps), brew.InPrepare: len(r.Prepare), brew.InAfterwards: len(r.Afterwards)} {
		for i := range n {
			for _, key := range keys {
				p := brew.Place{Part: part, Index: i, Key: key}
				if value, ok := doc.Value(p); ok {
					f(p, value)
				}
			}
		}
	}
}

// Setting a value to what it is changes nothing in the recipe, wherever the
// value stands and however it is quoted; changing it and changing it back
// neither.
func TestSettingAValueToItselfChangesNothing(t *testing.T) {
	texts := []string{plain, lived, odd}
	files, _ := fs.Glob(recipes.Shipped(), "*.yaml")
	for _, f := range files {
		text, err := fs.ReadFile(recipes.Shipped(), f)
		if err != nil {
			t.Fatal(err)
		}
		texts = append(texts, string(text))
	}
	count := 0
	for _, text := range texts {
		doc := parse(t, text)
		if err := doc.Check(brew.Bar{}).Err(); err != nil {
			t.Error(err)
		}
		every(doc, func(p brew.Place, value string) {
			count++
			after, err := doc.Set(p, value)
			if err != nil {
				t.Errorf("%v: %v", p, err)
			} else if !reflect.DeepEqual(after.Recipe(), doc.Recipe()) {
				t.Errorf("%v set to %q changed the recipe", p, value)
			}
		})
	}
	if count < 300 {
		t.Errorf("only %d values", count)
	}
}
