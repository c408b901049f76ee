package recipes_test

import (
	"bytes"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"pgregory.net/rapid"

	"barline/brew"
	"barline/brew/routine"
	"barline/recipes"
)

// onShelf finds recipes among the shipped ones.
func onShelf(t testing.TB) routine.Find {
	t.Helper()
	shelf, err := recipes.NewShelf(nil, brew.Bar{})
	if err != nil {
		t.Fatal(err)
	}
	return recipes.FindOn(shelf)
}

// shippedRoutine returns the text of a shipped routine.
func shippedRoutine(t testing.TB, name string) []byte {
	t.Helper()
	text, err := fs.ReadFile(recipes.ShippedRoutines(), name)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

func routineFile(t testing.TB, name string) []byte {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "testdata", "routines", name))
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// resolveText reads a routine and returns all that is said of it.
func resolveText(t testing.TB, text []byte) (routine.Resolved, recipes.Faults) {
	t.Helper()
	doc, _ := recipes.ParseRoutine("x.yaml", text)
	return doc.Resolve(onShelf(t), brew.Bar{})
}

// The planner's answer for the shipped routines: both are possible with one
// person and one voice, within their limit, and that is proven.
func TestShippedRoutinesArePossible(t *testing.T) {
	files, err := fs.Glob(recipes.ShippedRoutines(), "*.yaml")
	if err != nil || len(files) != 2 {
		t.Fatalf("%v, %v", files, err)
	}
	for _, name := range files {
		resolved, faults := resolveText(t, shippedRoutine(t, name))
		if len(faults) > 0 {
			t.Errorf("%s\n%s", name, faults.Text())
			continue
		}
		search := routine.Solve(resolved, routine.Usual)
		if !search.Found() || !search.Proven() || len(search.Verdict()) > 0 {
			t.Fatalf("%s: found %v, proven %v, %v", name, search.Found(), search.Proven(), search.Verdict())
		}
		p, best := search.Eased()
		if wrong := p.Check(best); len(wrong) > 0 {
			t.Errorf("%s: %v", name, wrong)
		}
		if plan := search.Plan(); len(plan.Cups) != 3 || plan.Limit.Minutes() != 10 || plan.End > plan.Limit {
			t.Errorf("%s: %d cups, ends at %s of %s", name, len(plan.Cups), plan.End, plan.Limit)
		}
		if dry := search.Dry(routine.Usual); !dry.Found() {
			t.Errorf("%s cannot be rehearsed without water", name)
		}
	}
}

// The impossible ones say which two things need the same person or voice, and
// at which second.
func TestImpossibleRoutinesSayWhy(t *testing.T) {
	// By hand: near is sealed from 1:00 + 1:48 to 1:00 + 1:52, and far's bloom is
	// poured from 2:50 on. Near's second pour is due at 1:00 + 0:36; 11 words at
	// 130 a minute take 6 s.
	for name, want := range map[string]string{
		"impossible.yaml": `error: impossible: second seal of near and bloom of far need the same pair of hands from 2:50 to 2:52`,
		"voice.yaml":      `error: impossible: second pour of near and part 1, "This is said while …" need the same voice from 1:36 to 1:42`,
	} {
		doc, _ := recipes.ParseRoutine(name, routineFile(t, name))
		resolved, faults := doc.Resolve(onShelf(t), brew.Bar{})
		if faults.Err() != nil {
			t.Fatal(faults)
		}
		search := routine.Solve(resolved, routine.Usual)
		if search.Found() || !search.Impossible() {
			t.Fatalf("%s: found %v", name, search.Found())
		}
		if got := doc.Place(search.Verdict()).Text(); !strings.Contains(got, want) {
			t.Errorf("got\n%swant %s", got, want)
		}
	}
}

func TestAllFaultsOfARoutineAtOnce(t *testing.T) {
	_, faults := resolveText(t, routineFile(t, "bad.yaml"))
	compareWith(t, filepath.Join("..", "testdata", "routines", "bad.txt"), faults.Text())
}

func compareWith(t *testing.T, path, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil || got != string(want) {
		t.Errorf("%v; got\n%s", err, got)
	}
}

func TestWhatMakesAFileARoutine(t *testing.T) {
	for text, want := range map[string]bool{
		"name: x\nsections:\n  - name: y\n": true,
		"sections: []":                      true,
		`"sections": []`:                    true,
		"sections : []":                     true,
		"name: sections":                    false,
		"steps:\n  - sections: x\n":         false,
		"  name: x\n  sections: []\n":       true,
		"name: x\rsections: []\r":           true,
		`{"name": "x", "sections": []}`:     true,
		"{name: x, steps: [{sections: x}]}": false,
		"name: x\nsections: {\n":            true,
		"name: x\nwhy: |\n  sections: y\n":  false,
		"- sections":                        false,
		"# sections:\n":                     false,
		"":                                  false,
	} {
		if got := recipes.IsRoutine([]byte(text)); got != want {
			t.Errorf("%q: %v", text, got)
		}
	}
}

// A routine beside recipes is no recipe, and stands in for a shipped one of
// the same file name.
func TestRoutinesOnTheShelf(t *testing.T) {
	user := fstest.MapFS{
		"lantern-three-cones.yaml": {Data: []byte("name: Mine\nlimit: 5 min\nbrews: []\nsections: []\n")},
		"torn.yml":                 {Data: []byte("sections: {")},
		"press.yaml":               {Data: []byte(plain)},
		".hidden.yaml":             {Data: []byte("sections: []")},
	}
	entries, err := recipes.Routines(user)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, e := range entries {
		got = append(got, e.Stem+" "+e.Name)
	}
	if want := []string{"lantern-three-cones Mine", "torn torn", "lantern-cone-and-press Lantern, cone and press"}; !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
	for name, want := range map[string]string{"MINE": "Mine", "lantern-CONE-and-press": "Lantern, cone and press", "Lantern, cone and press": "Lantern, cone and press"} {
		if e, err := recipes.FindRoutine(entries, name); err != nil || e.Name != want {
			t.Errorf("%s: %q, %v", name, e.Name, err)
		}
	}
	if _, err := recipes.FindRoutine(entries, "lantern-cone-an-press"); err == nil || err.(*recipes.NameError).Hint != "did you mean lantern-cone-and-press?" {
		t.Errorf("%v", err)
	}
	shelf, err := recipes.NewShelf(user, brew.Bar{})
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range shelf.Entries() {
		if !e.Shipped && e.Stem != "press" {
			t.Errorf("%s is among the recipes", e.Stem)
		}
	}
	if entries, err := recipes.Routines(nil); err != nil || len(entries) != 2 {
		t.Errorf("%d shipped, %v", len(entries), err)
	}
}

// rewritten checks that what was read can be written and read again.
func rewritten(t failer, doc *recipes.RoutineDocument) {
	r := doc.Routine()
	text := recipes.WriteRoutine(r)
	again, faults := recipes.ParseRoutine("x.yaml", text)
	if len(faults) > 0 {
		t.Fatalf("what was written is refused: %v\n%s", faults, text)
	}
	if got := again.Routine(); !reflect.DeepEqual(got, r) {
		t.Fatalf("got\n%+v\nwanted\n%+v\n%s", got, r, text)
	}
	if twice := recipes.WriteRoutine(again.Routine()); !bytes.Equal(twice, text) {
		t.Fatalf("got\n%s\nwanted\n%s", twice, text)
	}
}

// everything is a routine with every key there is.
const everything = `name: "Every: key"
limit: 9 min 30 s
setup: 5 min
pace: 125 words/min
kettles: 2
brewers: 3
together: 2 min
steps: within their windows
rules: {points: 2, count: completed, cap: 40, out: 10:30}
brews:
  - {id: left, recipe: Quayside cone, dose: 17 g, at: 0:30, prepare: in set-up time, quiet: "bloom, last pour", serve: 10 s, within: 20 s}
  - {id: right, recipe: quayside-press, prepare: on the clock}
sections:
  - name: "All, of it"
    parts:
      - Words alone
      - say: "What is said: this, and that"
        over: 12 s
        during: middle pour of left
      - {pause: 8 s, at: 4:00}
      - {say: held up, after: serving of left, before: press of right, hands: busy}
`

func TestARoutineIsWrittenAsItIsRead(t *testing.T) {
	for _, text := range [][]byte{[]byte(everything), shippedRoutine(t, "lantern-three-cones.yaml"), shippedRoutine(t, "lantern-cone-and-press.yaml"), routineFile(t, "impossible.yaml")} {
		doc, faults := recipes.ParseRoutine("x.yaml", text)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		rewritten(t, doc)
	}
	doc, _ := recipes.ParseRoutine("x.yaml", []byte(everything))
	r := doc.Routine()
	if left := r.Brews[0]; left.Dose != 17*brew.Gram || left.At.Seconds() != 30 || !left.Ready || !slices.Equal(left.Quiet, []string{"bloom", "last pour"}) || left.Serve.Seconds() != 10 || left.Within.Seconds() != 20 {
		t.Errorf("%+v", left)
	}
	parts, _ := r.Parts()
	if p := parts[3]; *p.After != (routine.Ref{Step: "serving", Brew: "left"}) || *p.Before != (routine.Ref{Step: "press", Brew: "right"}) || !p.Hands || p.During != nil {
		t.Errorf("%+v", p)
	}
	if r.Brews[1].Ready || !r.Loose || r.Kettles != 2 || r.Rules != (routine.Rules{Points: 2, Count: routine.Completed, Cap: 40, Out: 10*60e9 + 30e9}) {
		t.Errorf("%+v", r)
	}
}

// Whatever the file: what is refused names a place within it, and what is
// accepted can be planned and written.
func FuzzParseRoutine(f *testing.F) {
	for _, name := range []string{"bad.yaml", "impossible.yaml", "voice.yaml"} {
		f.Add(routineFile(f, name))
	}
	f.Add([]byte(everything))
	f.Add(shippedRoutine(f, "lantern-three-cones.yaml"))
	f.Add(shippedRoutine(f, "lantern-cone-and-press.yaml"))
	find := onShelf(f)
	f.Fuzz(func(t *testing.T, text []byte) { anyRoutine(t, text, find) })
}

func anyRoutine(t failer, text []byte, find routine.Find) {
	doc, shape := recipes.ParseRoutine("x.yaml", text)
	resolved, faults := doc.Resolve(find, brew.Bar{})
	if len(faults) < len(shape) {
		t.Fatalf("checks lost faults: %v, had %v", faults, shape)
	}
	checkPlaces(t, text, faults)
	if faults.Err() != nil {
		return
	}
	rewritten(t, doc)
	search := routine.Solve(resolved, 200)
	if !search.Found() {
		return
	}
	p, best := search.Eased()
	if wrong := p.Check(best); len(wrong) > 0 {
		t.Fatalf("%v\n%s", wrong, text)
	}
	plan := search.Plan()
	run, _ := routine.NewRun(plan, plan.Whole()).Apply(brew.Event{Kind: brew.EventMark, Lane: plan.CallsLane()})
	if k := run.At(plan.End); k.Left != plan.Limit-plan.End {
		t.Fatalf("%+v", k)
	}
}

// One slip of the pen anywhere in a file is told or harmless.
func TestOneSlipOfThePenInARoutine(t *testing.T) {
	find := onShelf(t)
	rapid.Check(t, func(rt *rapid.T) {
		text := []rune(rapid.SampledFrom([]string{everything, string(routineFile(t, "impossible.yaml"))}).Draw(rt, "text"))
		for range rapid.IntRange(1, 3).Draw(rt, "slips") {
			from := rapid.IntRange(0, len(text)).Draw(rt, "from")
			to := min(len(text), from+rapid.IntRange(0, 2).Draw(rt, "gone"))
			new := rapid.SliceOfN(rapid.SampledFrom([]rune(" \n\t:,-{}[]\"'#&*!|>%@?~.0gsC°x\u2028")), 0, 2).Draw(rt, "new")
			text = slices.Concat(text[:from], new, text[to:])
		}
		anyRoutine(rt, []byte(string(text)), find)
	})
}

// A hint for a missing name proposes what a routine or its section is called,
// not a recipe.
func TestAHintForAMissingNameIsTheRoutinesOwn(t *testing.T) {
	_, faults := recipes.ParseRoutine("r.yaml", []byte("limit: 10 min\nbrews:\n  - {id: left, recipe: quayside-cone}\nsections:\n  - parts:\n      - say: Good morning\n"))
	var hints []string
	for _, f := range faults {
		hints = append(hints, f.Hint)
	}
	if want := []string{"add name: Lantern finals", "add name: Welcome"}; !slices.Equal(hints, want) {
		t.Errorf("%q, want %q", hints, want)
	}
}

// What comes of one fault is not told as another; and what can be advised is.
func TestFaultsOfARoutineThatComeOfOthers(t *testing.T) {
	for _, c := range []struct{ from, to, want string }{
		{"pace: 125 words/min", "pace: 125", `pace "125" has no unit, wanted words/min`},
		{"limit: 9 min 30 s", "limit: 0 s", `limit "0 s" is nothing`},
		{"at: 0:30", "at: -0:30", `at "-0:30" is below zero`},
		{"recipe: quayside-press", "recipe: quayside-pres", `no recipe "quayside-pres"`},
		{"quiet: \"bloom, last pour\"", "quiet: bloom", ""},
	} {
		text := strings.Replace(everything, c.from, c.to, 1)
		if text == everything {
			t.Fatal(c.from)
		}
		_, faults := resolveText(t, []byte(text))
		faults = faults.Errors()
		if c.want == "" && len(faults) == 0 {
			continue
		}
		if len(faults) != 1 || faults[0].Message != c.want || faults[0].Hint == "" || strings.HasPrefix(faults[0].Hint, "leave it out") {
			t.Errorf("%s: %v", c.to, faults)
		}
		_, all := resolveText(t, []byte(text))
		if len(all.Warnings()) > 0 && !strings.Contains(c.to, "limit") {
			t.Errorf("%s: %v", c.to, all.Warnings())
		}
	}
	_, faults := resolveText(t, []byte(strings.Replace(everything, "recipe: quayside-press", "recipe: quayside-pres", 1)))
	if len(faults) != 1 || faults[0].Hint != "did you mean quayside-press?" {
		t.Errorf("%v", faults)
	}
	_, faults = resolveText(t, []byte(strings.Replace(everything, "at: 0:30", "at: -0:30", 1)))
	if len(faults) != 1 || faults[0].Hint != "write 0:30" {
		t.Errorf("%v", faults)
	}
}

// What plan advises to gain time can be written into the file, and gains it.
func TestAdviceThatIsFollowedGainsWhatItSays(t *testing.T) {
	text := string(shippedRoutine(t, "lantern-three-cones.yaml"))
	solved := func(text string) *routine.Search {
		resolved, faults := resolveText(t, []byte(text))
		if faults.Err() != nil {
			t.Fatal(faults)
		}
		return routine.Solve(resolved, routine.Usual)
	}
	search := solved(text)
	end, followed := search.Plan().End, 0
	edits := map[string][2]string{
		"let steps come later within their windows":                                            {"rules:", "steps: within their windows\nrules:"},
		`say part 10, "Here is the second, …", whenever it fits, not during serving of middle`: {"        during: serving of middle\n", ""},
		"make part 14, a pause, 10 s shorter":                                                  {"pause: 40 s", "pause: 30 s"},
	}
	for _, g := range search.Gains(10*time.Second, 2000) {
		edit, known := edits[g.What[0]]
		if !known || len(g.What) > 1 {
			continue
		}
		followed++
		if !strings.Contains(text, edit[0]) {
			t.Fatalf("%q is not in the file", edit[0])
		}
		changed := solved(strings.Replace(text, edit[0], edit[1], 1))
		if by := end - changed.Plan().End; by != g.By || by < 10*time.Second {
			t.Errorf("%q gains %s, and was said to gain %s", g.What, by, g.By)
		}
		for _, again := range changed.Gains(10*time.Second, 2000) {
			if again.What[0] == g.What[0] && !strings.HasSuffix(g.What[0], "shorter") {
				t.Errorf("%q is advised though it was followed", g.What)
			}
		}
	}
	if followed != len(edits) {
		t.Errorf("%d of %d were advised", followed, len(edits))
	}
}
