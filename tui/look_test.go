package tui_test

import (
	"regexp"
	"strings"
	"testing"

	"barline/tui"
	"barline/tui/draw"
)

// env is an environment of name=value words.
func env(words string) func(string) string {
	values := map[string]string{}
	for _, word := range strings.Fields(words) {
		name, value, _ := strings.Cut(word, "=")
		values[name] = value
	}
	return func(name string) string { return values[name] }
}

// codes returns how a theme writes the strong role, whose ink differs most
// between a dark and a light ground.
func codes(theme draw.Theme) string {
	c := draw.NewCanvas(1, 1)
	c.Text(0, 0, "x", draw.Strong)
	return regexp.MustCompile(`\x1b\[1?;?`).ReplaceAllString(strings.Split(c.Render(theme), "x")[0], "")
}

func TestLook(t *testing.T) {
	for name, c := range map[string]struct {
		theme, env string
		codes      string
		ascii      bool
	}{
		"all colours on a dark ground":          {"dark", "TERM=xterm-256color COLORTERM=truecolor", "38;2;255;255;255m", false},
		"all colours on a light ground":         {"light", "TERM=xterm-256color COLORTERM=truecolor", "38;2;0;0;0m", false},
		"256 colours":                           {"dark", "TERM=xterm-256color", "38;5;231m", false},
		"16 colours":                            {"dark", "TERM=xterm", "97m", false},
		"no colour":                             {"dark", "TERM=xterm-256color NO_COLOR=1", "", false},
		"a terminal that can do nothing":        {"dark", "TERM=dumb", "", false},
		"auto is dark where nothing is said":    {"auto", "TERM=xterm-256color", "38;5;231m", false},
		"auto takes a light ground from it":     {"auto", "TERM=xterm-256color COLORFGBG=0;15", "38;5;16m", false},
		"auto takes a dark ground from it":      {"auto", "TERM=xterm-256color COLORFGBG=15;0", "38;5;231m", false},
		"a ground of three fields":              {"auto", "TERM=xterm-256color COLORFGBG=0;default;15", "38;5;16m", false},
		"a ground that is not a number":         {"auto", "TERM=xterm-256color COLORFGBG=0;default", "38;5;231m", false},
		"the eighth colour is a dark grey":      {"auto", "TERM=xterm-256color COLORFGBG=15;8", "38;5;231m", false},
		"the seventh is light":                  {"auto", "TERM=xterm-256color COLORFGBG=0;7", "38;5;16m", false},
		"a theme that is asked for comes first": {"dark", "TERM=xterm-256color COLORFGBG=0;15", "38;5;231m", false},
		"a locale that says UTF-8":              {"dark", "TERM=dumb LANG=en_GB.UTF-8", "", false},
		"a locale in another spelling":          {"dark", "TERM=dumb LANG=de_DE.utf8", "", false},
		"a locale without it":                   {"dark", "TERM=dumb LANG=en_GB.ISO-8859-1", "", true},
		"the C locale":                          {"dark", "TERM=dumb LC_ALL=C LANG=en_GB.UTF-8", "", true},
		"characters come before the language":   {"dark", "TERM=dumb LC_CTYPE=C.UTF-8 LANG=C", "", false},
	} {
		got := tui.Look(c.theme, env(c.env))
		if codes(got) != c.codes || got.ASCII != c.ascii {
			t.Errorf("%s: %q, ASCII %t; want %q, %t", name, codes(got), got.ASCII, c.codes, c.ascii)
		}
	}
}

// Every key has words, and on no page does one key do two things.
func TestKeyTable(t *testing.T) {
	bound := map[[2]string]string{}
	pages := map[string]int{}
	for _, k := range tui.KeyTable() {
		if k.Does == "" || len(k.Keys) == 0 {
			t.Errorf("%s: %q does %q", k.Page, k.Keys, k.Does)
		}
		pages[k.Page]++
		for _, key := range k.Keys {
			if key == " " || key == "" {
				t.Errorf("%s: %q has no name", k.Page, k.Does)
			}
			if does, twice := bound[[2]string{k.Page, key}]; twice {
				t.Errorf("%s: %s does both %q and %q", k.Page, key, does, k.Does)
			}
			bound[[2]string{k.Page, key}] = k.Does
		}
	}
	for _, page := range []string{"shelf", "sheet", "prepare", "brew", "debrief"} {
		if pages[page] == 0 {
			t.Errorf("the page %q has no keys", page)
		}
	}
	for _, key := range []string{"space", "enter", "page-down"} {
		if bound[[2]string{"brew", key}] != "mark" {
			t.Errorf("%s does not mark", key)
		}
	}
}
