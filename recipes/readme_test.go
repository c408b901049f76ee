package recipes_test

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"barline/brew"
	"barline/recipes"
)

var fence = regexp.MustCompile("(?ms)^```(\\w+)\n(.*?)^```$")

// rows returns the cells of README.md's table with the given head.
func rows(t *testing.T, head string) [][]string {
	t.Helper()
	_, table, found := strings.Cut(string(read(t, "README.md")), "\n| "+head+" |")
	if !found {
		t.Fatalf("no table %q", head)
	}
	var out [][]string
	for _, line := range strings.Split(table, "\n")[2:] {
		if !strings.HasPrefix(line, "|") {
			break
		}
		cells := strings.Split(strings.Trim(line, "|"), "|")
		for i := range cells {
			cells[i] = strings.TrimSpace(cells[i])
		}
		out = append(out, cells)
	}
	return out
}

func bare(code string) string { return strings.Trim(code, "`") }

func firstCells(rows [][]string) []string {
	var out []string
	for _, r := range rows {
		out = append(out, bare(r[0]))
	}
	return out
}

func TestExamplesOfTheReadmeAreRead(t *testing.T) {
	good, bad := 0, 0
	blocks := fence.FindAllStringSubmatch(string(read(t, "README.md")), -1)
	for i, b := range blocks {
		if b[1] != "yaml" {
			continue
		}
		doc, _ := recipes.Parse("press.yaml", []byte(b[2]))
		faults := doc.Check(brew.Bar{}).Text()
		if i+1 < len(blocks) && blocks[i+1][1] == "text" {
			bad++
			if want := blocks[i+1][2]; faults != want {
				t.Errorf("got\n%s\nwanted\n%s", faults, want)
			}
			continue
		}
		good++
		if faults != "" {
			t.Errorf("%s\n%s", faults, b[2])
		}
	}
	if good < 2 || bad < 1 {
		t.Errorf("%d good and %d bad examples", good, bad)
	}
}

func TestLinesOfTheReadmeAreRefusedAsItSays(t *testing.T) {
	table := rows(t, "line | message | hint")
	if len(table) < 20 {
		t.Errorf("%d lines", len(table))
	}
	for _, r := range table {
		line := bare(r[0])
		text := change(t, plain, "  - {lift", "  "+line+"\n  - {lift")
		if key, _, _ := strings.Cut(line, ":"); !strings.HasPrefix(line, "-") {
			text = line + "\n" + regexp.MustCompile("(?m)^"+key+":.*\n").ReplaceAllString(plain, "")
		}
		doc, _ := recipes.Parse("x.yaml", []byte(text))
		faults := doc.Check(brew.Bar{})
		if len(faults) != 1 {
			t.Errorf("%s: %d faults\n%s", line, len(faults), faults.Text())
		} else if f := faults[0]; string(f.Severity)+": "+f.Message != r[1] || f.Hint != r[2] {
			t.Errorf("%s: got\n| %s: %s | %s |", line, f.Severity, f.Message, f.Hint)
		}
	}
}

// hinted returns the words that the hint to an unknown key lists.
func hinted(t *testing.T, text, after string) []string {
	t.Helper()
	_, faults := recipes.Parse("x.yaml", []byte(text))
	if len(faults) != 1 {
		t.Fatal(faults)
	}
	_, words, _ := strings.Cut(faults[0].Hint, after)
	return strings.Split(strings.Replace(words, " and ", ", ", 1), ", ")
}

func TestTheReadmeHasEveryKey(t *testing.T) {
	if got, want := firstCells(rows(t, "key | needed | value | range | left out")), hinted(t, plain+"xyzzy: 1\n", "its keys are "); !slices.Equal(got, want) {
		t.Errorf("got %v, wanted %v", got, want)
	}
	if got, want := firstCells(rows(t, "key | value | left out")), hinted(t, change(t, plain, "{lift", "{xyzzy: 1, lift"), "any of "); !slices.Equal(got, want) {
		t.Errorf("got %v, wanted %v", got, want)
	}
}

func TestTheReadmeSaysWhatIsNeeded(t *testing.T) {
	for _, r := range rows(t, "key | needed | value | range | left out") {
		key := bare(r[0])
		text := regexp.MustCompile("(?m)^"+key+":.*\n(  .*\n)*").ReplaceAllString(plain, "")
		_, faults := recipes.Parse("x.yaml", []byte(text))
		if needed := len(faults) > 0; needed != (r[1] == "yes") {
			t.Errorf("%s: needed %q, but %v", key, r[1], faults)
		}
	}
}

// The edges of every range in README.md are allowed, and what lies a little
// beyond them is not.
func TestTheReadmeSaysTheRanges(t *testing.T) {
	steps := func(n int) string { return "steps:\n" + strings.Repeat("  - {lift}\n", n) }
	edges := map[string]struct{ inside, outside []string }{
		"1 to 60 characters":   {[]string{"name: x", "name: " + strings.Repeat("x", 60)}, []string{`name: ""`, "name: " + strings.Repeat("x", 61)}},
		"up to 200 characters": {[]string{"grind: " + strings.Repeat("é", 200), "lot: " + strings.Repeat("x", 200)}, []string{"grind: " + strings.Repeat("é", 201), "lot: " + strings.Repeat("x", 201), "coffee: " + strings.Repeat("x", 201), "setting: " + strings.Repeat("x", 201), "roasted: " + strings.Repeat("x", 201)}},
		"1 to 100":             {[]string{"cups: 1", "cups: 100"}, []string{"cups: 0", "cups: 101", "cups: 02"}},
		"1 g to 2 kg":          {[]string{"dose: 1 g", "dose: 2 kg"}, []string{"dose: 0.999 g", "dose: 2.000001 kg"}},
		"1 g to 40 kg":         {nil, []string{"water: 0.999 g", "water: 40.000001 kg"}},
		"above 0 °C to 110 °C": {[]string{"temperature: 0.01 °C", "temperature: 110 °C"}, []string{"temperature: 0 °C", "temperature: 110.01 °C"}},
		"above 0 g":            {[]string{"capacity: 224 g"}, []string{"capacity: 0 g"}},
		"1 to 200 steps":       {nil, []string{"steps: []", steps(201)}},
		"(above 0 % to 30 %)":  {[]string{"aim: {strength: 30 %}", "aim: {strength: 0.01 %}"}, []string{"aim: {strength: 0 %}", "aim: {strength: 30.01 %}"}},
		"(above 0 % to 40 %)":  {[]string{"aim: {extraction: 40 %}"}, []string{"aim: {extraction: 0 %}", "aim: {extraction: 40.01 %}"}},
		"at most 24 h":         {[]string{"prepare: [{do: x, over: 24:00:00}]"}, []string{"prepare: [{do: x, over: 24:00:01}]"}},
		"small letters, digits and hyphens, up to 40": {
			[]string{"steps: [{pour: 210 g, over: 20 s, id: a-1" + strings.Repeat("x", 37) + "}]"},
			[]string{"steps: [{pour: 210 g, over: 20 s, id: A}]", "steps: [{pour: 210 g, over: 20 s, id: " + strings.Repeat("x", 41) + "}]", "steps: [{pour: 210 g, over: 20 s, id: a}, {lift, id: a}]"},
		},
	}
	text := string(read(t, "README.md"))
	for says, c := range edges {
		if !strings.Contains(text, says) {
			t.Errorf("README.md does not say %q", says)
		}
		for _, line := range append(slices.Clone(c.inside), c.outside...) {
			key, _, _ := strings.Cut(line, ":")
			changed := line + "\n" + regexp.MustCompile("(?m)^"+key+":.*\n(  .*\n)*").ReplaceAllString(plain, "")
			doc, _ := recipes.Parse("x.yaml", []byte(changed))
			err := doc.Check(brew.Bar{}).Err()
			if slices.Contains(c.inside, line) != (err == nil) {
				t.Errorf("%s: %v", line, err)
			}
		}
	}
	for _, r := range rows(t, "key | needed | value | range | left out") {
		if r[3] != "" && !strings.Contains(strings.Join(firstKeys(edges), "|"), r[3]) {
			t.Errorf("the range %q of %s is not tested", r[3], r[0])
		}
	}
}

func firstKeys[V any](m map[string]V) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	return out
}

func TestTheReadmesActionsAreTheEngines(t *testing.T) {
	table := rows(t, "action | value | `over` left out | hands | asked | changes")
	actions := brew.Actions()
	if len(table) != len(actions) {
		t.Fatalf("%d actions, wanted %d", len(table), len(actions))
	}
	for i, u := range actions {
		r := table[i]
		value := map[brew.Kind]string{brew.TextValue: "text", brew.PourValue: "mass to add, or `to`", brew.AmountValue: "mass", brew.LengthValue: "time"}[u.Kind]
		over := map[bool]string{true: "must be given", false: brew.Spoken(u.Over)}[u.Over == 0]
		switch u.Kind {
		case brew.PourValue, brew.AmountValue:
			over = "by a flow of 6 g/s"
		case brew.LengthValue:
			over = "is its value"
		}
		if u.Assumed {
			over += ", assumed"
		}
		if bare(r[0]) != string(u.Action) || !strings.HasPrefix(r[1], value) || r[2] != over || r[3] != string(u.Hands) || r[4] != string(u.Asked) {
			t.Errorf("got %q, wanted %s, %s, %s, %s, %s", r, u.Action, value, over, u.Hands, u.Asked)
		}
	}
	if brew.UsualFlow != 6 {
		t.Errorf("the usual flow is %d g/s", brew.UsualFlow)
	}
}
