package recipes_test

import (
	"strings"
	"testing"

	"barline/brew"
	"barline/recipes"
)

func TestAFaultIsShownUnderItsLine(t *testing.T) {
	for name, c := range map[string]struct {
		source, hint string
		column       int
		want         string
	}{
		"the caret stands under the column": {"dose: 14", "write 14 g", 7, "  dose: 14\n        ^\nhint: write 14 g"},
		"without a hint there is no line":   {"dose: 14", "", 1, "  dose: 14\n  ^"},
		"a tab goes on to the next stop":    {"a\tb: x", "", 3, "  a   b: x\n      ^"},
		"a tab at a stop is four cells":     {"\tb: x", "", 2, "      b: x\n      ^"},
		"a wide character is two cells":     {"咖啡: x", "", 5, "  咖啡: x\n        ^"},
		"an accent of its own is none":      {"cafe\u0301: x", "", 8, "  cafe\u0301: x\n        ^"},
		"an emoji is two cells":             {"\u2615: x", "", 4, "  \u2615: x\n      ^"},
		"controls are not printed":          {"a\x1b[31mb\x07", "", 6, "  a?[31mb?\n       ^"},
		"direction marks are not printed":   {"a\u202eb", "", 3, "  a?b\n    ^"},
		"a column past the end is the end":  {"ab", "", 99, "  ab\n    ^"},
		"an empty line has no blanks":       {"", "", 1, "\n  ^"},
		"the end of a long line is shown":   {strings.Repeat("x", 300) + "!", "", 301, "  ..." + strings.Repeat("x", 99) + "!\n" + strings.Repeat(" ", 2+3+99) + "^"},
		"the start of a long line is shown": {"!" + strings.Repeat("x", 300), "", 1, "  !" + strings.Repeat("x", 99) + "...\n  ^"},
		"the middle of a long line is shown": {strings.Repeat("x", 200) + "!" + strings.Repeat("y", 200), "", 201,
			"  ..." + strings.Repeat("x", 50) + "!" + strings.Repeat("y", 49) + "...\n" + strings.Repeat(" ", 2+3+50) + "^"},
	} {
		f := recipes.Fault{File: "x.yaml", Line: 3, Column: c.column, Severity: brew.Error, Message: "m", Hint: c.hint, Source: c.source}
		head, rest, _ := strings.Cut(f.Text(), "\n")
		if !strings.HasPrefix(head, "x.yaml:3:") || !strings.HasSuffix(head, ": error: m") || rest != c.want {
			t.Errorf("%s: got\n%s\n%s\nwanted\n%s", name, head, rest, c.want)
		}
	}
}

func TestFaultsAreAnErrorOnlyWhereOneRefuses(t *testing.T) {
	warning := recipes.Fault{File: "x.yaml", Line: 1, Column: 2, Severity: brew.Warning, Message: "w"}
	refusal := recipes.Fault{File: "x.yaml", Line: 3, Column: 4, Severity: brew.Error, Message: "e", Hint: "h"}
	if err := (recipes.Faults{warning}).Err(); err != nil {
		t.Errorf("a warning is an error: %v", err)
	}
	if err := (recipes.Faults)(nil).Err(); err != nil {
		t.Errorf("nothing is an error: %v", err)
	}
	both := recipes.Faults{warning, refusal}
	if err := both.Err(); err == nil || err.Error() != "x.yaml:3:4: error: e" {
		t.Errorf("got %v", err)
	}
	if len(both.Warnings()) != 1 || both.Warnings()[0] != warning || len(both) != 2 || both[1] != refusal {
		t.Errorf("got %v of %v", both.Warnings(), both)
	}
	if got, want := both.Text(), "x.yaml:1:2: warning: w\n\n   ^\nx.yaml:3:4: error: e\n\n     ^\nhint: h\n"; got == want {
		t.Error("an empty line keeps its column")
	}
}

// Lines end where YAML ends them, or columns and lines would not be those of
// the nodes.
func TestLinesEndAsYAMLEndsThem(t *testing.T) {
	for name, end := range map[string]string{"unix": "\n", "windows": "\r\n", "old mac": "\r", "next line": "\u0085", "line separator": "\u2028"} {
		text := strings.ReplaceAll(change(t, plain, "grind: medium-fine", "grind: mittel-fein, è così", "93 °C", "93"), "\n", end)
		doc, faults := recipes.Parse("x.yaml", []byte(text))
		if len(faults) != 1 || faults[0].Line != 5 || faults[0].Column != 14 || faults[0].Source != "temperature: 93" {
			t.Errorf("%s: %v", name, faults)
		}
		if len(doc.Recipe().Steps) != 4 {
			t.Errorf("%s: %d steps", name, len(doc.Recipe().Steps))
		}
	}
}
