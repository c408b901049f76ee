package draw_test

import (
	"slices"
	"strings"
	"testing"
	"unicode"

	"github.com/charmbracelet/bubbles/key"
	"pgregory.net/rapid"

	"barline/tui/draw"
)

func TestWrapBreaksAtSpaces(t *testing.T) {
	for _, c := range []struct {
		text  string
		width int
		want  []string
	}{
		{"an even spiral keeps the bed level", 14, []string{"an even spiral", "keeps the bed", "level"}},
		{"  swirl \n gently ", 20, []string{"swirl gently"}},
		{"drawdown", 5, []string{"draw~"}},
		{"", 5, nil},
	} {
		if got := draw.Wrap(c.text, c.width); !slices.Equal(got, c.want) {
			t.Errorf("Wrap(%q, %d) = %q, want %q", c.text, c.width, got, c.want)
		}
	}
}

func TestWrapLosesNoWordThatFits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`([a-f]{1,6} ){0,12}`).Draw(t, "text")
		width := rapid.IntRange(6, 20).Draw(t, "width")
		lines := draw.Wrap(text, width)
		if got, want := strings.Fields(strings.Join(lines, " ")), strings.Fields(text); !slices.Equal(got, want) {
			t.Fatalf("the words are %q, want %q", got, want)
		}
		for i, line := range lines {
			if draw.Width(line) > width {
				t.Fatalf("%q is wider than %d", line, width)
			}
			if i > 0 && draw.Width(lines[i-1])+1+draw.Width(strings.Fields(line)[0]) <= width {
				t.Fatalf("%q had room in the line before", strings.Fields(line)[0])
			}
		}
	})
}

func TestHelpDrawsTheKeysThatFitAndWork(t *testing.T) {
	bind := func(k, does string, options ...key.BindingOpt) key.Binding {
		return key.NewBinding(append(options, key.WithKeys(k), key.WithHelp(k, does))...)
	}
	bindings := []key.Binding{bind("space", "mark"), bind("x", "off", key.WithDisabled()), bind("u", "take back"), bind("s", "skip")}
	for width, want := range map[int]string{40: "space mark  u take back  s skip", 20: "space mark  s skip", 9: "s skip", 5: ""} {
		c := draw.NewCanvas(width, 1)
		c.Help(0, bindings)
		if got := c.Lines()[0]; got != want {
			t.Errorf("%d columns: %q, want %q", width, got, want)
		}
	}
}

func TestOneLineSteersNothing(t *testing.T) {
	for text, want := range map[string]string{
		"Éva, 北, e\u0301":             "Éva, 北, e\u0301",
		"\x1b[31mred\x1b[0m":          "[31mred[0m",
		"a\tb\nc\rd\u2028e\u2029f":    "a b c d e f",
		"a\u0085b":                    "a b",
		"\x00\a\b\x7f\u009b31m":       "31m",
		"\u202eback\u2066wards\u200f": "backwards",
	} {
		if got := draw.OneLine(text); got != want {
			t.Errorf("OneLine(%q) = %q, want %q", text, got, want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.String().Draw(t, "text")
		once := draw.OneLine(text)
		if strings.IndexFunc(once, unicode.IsControl) >= 0 || draw.OneLine(once) != once {
			t.Fatalf("OneLine(%q) = %q", text, once)
		}
	})
}
