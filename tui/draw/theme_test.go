package draw_test

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/muesli/termenv"

	"barline/tui/draw"
)

type rgb [3]float64 // red, green, blue, 0 to 255

// luminance and contrast are those of WCAG 2.2, 'relative luminance' and
// 'contrast ratio'.
func (c rgb) luminance() float64 {
	l := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		v := c[i] / 255
		if v <= 0.04045 {
			v /= 12.92
		} else {
			v = math.Pow((v+0.055)/1.055, 2.4)
		}
		l += weight * v
	}
	return l
}

func contrast(a, b rgb) float64 {
	x, y := a.luminance(), b.luminance()
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

func hex(s string) rgb {
	var r, g, b int
	if _, err := fmt.Sscanf(s, "#%02x%02x%02x", &r, &g, &b); err != nil {
		panic(err)
	}
	return rgb{float64(r), float64(g), float64(b)}
}

// The 16 basic colours as xterm and as VGA show them.
var basic = map[string][]string{
	"xterm": {
		"#000000", "#cd0000", "#00cd00", "#cdcd00", "#0000ee", "#cd00cd", "#00cdcd", "#e5e5e5",
		"#7f7f7f", "#ff0000", "#00ff00", "#ffff00", "#5c5cff", "#ff00ff", "#00ffff", "#ffffff",
	},
	"VGA": {
		"#000000", "#aa0000", "#00aa00", "#aa5500", "#0000aa", "#aa00aa", "#00aaaa", "#aaaaaa",
		"#555555", "#ff5555", "#55ff55", "#ffff55", "#5555ff", "#ff55ff", "#55ffff", "#ffffff",
	},
}

// indexed returns a colour of the palette of 256 from 16 on: a cube of six
// levels a side, then 24 greys.
func indexed(n int) rgb {
	if n >= 232 {
		v := float64(8 + 10*(n-232))
		return rgb{v, v, v}
	}
	level := func(i int) float64 {
		if i == 0 {
			return 0
		}
		return float64(55 + 40*i)
	}
	n -= 16
	return rgb{level(n / 36), level(n / 6 % 6), level(n % 6)}
}

// colours returns what a theme's code for a role shows: one colour, or for a
// basic one that of each palette.
func colours(t *testing.T, code string) []rgb {
	t.Helper()
	m := regexp.MustCompile(`^\x1b\[(?:1;)?(?:38;2;(\d+);(\d+);(\d+)|38;5;(\d+)|([39])(\d))m$`).FindStringSubmatch(code)
	if m == nil {
		t.Fatalf("not a code for a colour: %q", code)
	}
	n := func(i int) int { v, _ := strconv.Atoi(m[i]); return v }
	switch {
	case m[1] != "":
		return []rgb{{float64(n(1)), float64(n(2)), float64(n(3))}}
	case m[4] != "":
		if n(4) < 16 {
			t.Fatalf("colour %d of 256 is the terminal's choice", n(4))
		}
		return []rgb{indexed(n(4))}
	}
	i := n(6)
	if m[5] == "9" {
		i += 8
	}
	return []rgb{hex(basic["xterm"][i]), hex(basic["VGA"][i])}
}

// code returns what a theme writes before a cell of a role.
func code(theme draw.Theme, role draw.Role) string {
	c := draw.NewCanvas(1, 1)
	c.Set(0, 0, 'x', role)
	before, _, _ := strings.Cut(c.Render(theme), "x")
	return before
}

var profiles = map[string]termenv.Profile{"24 bits": termenv.TrueColor, "256": termenv.ANSI256, "16": termenv.ANSI}

func TestContrastFormulaAgreesWithKnownValues(t *testing.T) {
	for colour, want := range map[string]float64{"#767676": 4.5422, "#777777": 4.4781, "#ff0000": 3.9985, "#0000ff": 8.5925, "#000000": 21} {
		if got := contrast(hex(colour), hex("#ffffff")); math.Abs(got-want) > 0.0001 {
			t.Errorf("%s on white: %.4f, want %.4f", colour, got, want)
		}
	}
}

func TestEveryColourHasEnoughContrast(t *testing.T) {
	grounds := map[bool][]string{true: {"#000000", "#1e1e1e"}, false: {"#ffffff", "#f5f5f5"}}
	for name, profile := range profiles {
		for dark, on := range grounds {
			theme := draw.NewTheme(dark, profile)
			for role := draw.Faint; role < draw.Inverse; role++ {
				for _, colour := range colours(t, code(theme, role)) {
					for _, ground := range on {
						if got := contrast(colour, hex(ground)); got < 4.5 {
							t.Errorf("%s colours, role %d: %v on %s has a contrast of %.2f, want 4.5", name, role, colour, ground, got)
						}
					}
				}
			}
		}
	}
}

// What a mark's shape says, its colour must not deny: on time, late and early
// look different where there are enough colours.
func TestColoursOfMarksDiffer(t *testing.T) {
	for name, profile := range profiles {
		for _, dark := range []bool{true, false} {
			theme := draw.NewTheme(dark, profile)
			seen := map[string]draw.Role{}
			for _, role := range []draw.Role{draw.OnTime, draw.Late, draw.Early} {
				if twin, ok := seen[code(theme, role)]; ok {
					t.Errorf("%s colours, dark %v: roles %d and %d look the same", name, dark, twin, role)
				}
				seen[code(theme, role)] = role
			}
		}
	}
}

func TestPlainTextKeepsTheTerminalsColour(t *testing.T) {
	for name, profile := range profiles {
		theme := draw.NewTheme(true, profile)
		if got := code(theme, draw.Plain); got != "" {
			t.Errorf("%s colours: plain text begins with %q", name, got)
		}
		if got := code(theme, draw.Inverse); got != "\x1b[7m" {
			t.Errorf("%s colours: a selected row begins with %q", name, got)
		}
		if got := code(theme, draw.Now); !strings.HasPrefix(got, "\x1b[1;") {
			t.Errorf("%s colours: now is not bold: %q", name, got)
		}
	}
}

func TestEveryCodeIsEnded(t *testing.T) {
	for name, profile := range profiles {
		got := draw.Timeline(80, 16, press(), false).Render(draw.NewTheme(true, profile))
		for _, line := range strings.Split(got, "\n") {
			codes := regexp.MustCompile(`\x1b\[[0-9;]*m`).FindAllString(line, -1)
			for i, c := range codes {
				if ended := c == "\x1b[0m"; ended != (i%2 == 1) {
					t.Fatalf("%s colours: codes are not in pairs: %q", name, line)
				}
			}
			if len(codes)%2 == 1 {
				t.Fatalf("%s colours: a code is not ended: %q", name, line)
			}
		}
	}
}

func TestWithoutColourThereIsNoCode(t *testing.T) {
	c := draw.Timeline(80, 16, press(), false)
	c.Text(0, 0, "> selected", draw.Inverse)
	for _, dark := range []bool{true, false} {
		got := c.Render(draw.NewTheme(dark, termenv.Ascii))
		if strings.Contains(got, "\x1b") {
			t.Errorf("codes were written: %q", got)
		}
		if got != strings.Join(c.Lines(), "\n") {
			t.Error("the picture differs from its plain lines")
		}
	}
}

func TestAnUnknownRoleHasNoInk(t *testing.T) {
	if got := draw.PaletteFor(true).Of(draw.Role(200)); got != (draw.Ink{}) {
		t.Errorf("got %v", got)
	}
}

// Many terminals of 16 colours show a bold black as grey and a bold red as a
// bright one, which are faint on a light ground.
func TestNothingIsBoldInSixteenColoursOnALightGround(t *testing.T) {
	for _, c := range []struct {
		dark    bool
		profile termenv.Profile
		bold    bool
	}{{false, termenv.ANSI, false}, {true, termenv.ANSI, true}, {false, termenv.ANSI256, true}, {false, termenv.TrueColor, true}} {
		picture := draw.NewCanvas(20, 1)
		picture.Text(0, 0, "strong", draw.Strong)
		got := picture.Render(draw.NewTheme(c.dark, c.profile))
		bold := regexp.MustCompile(`\x1b\[1[;m]`).MatchString(got)
		if bold != c.bold {
			t.Errorf("dark %t, profile %d: bold is %t, want %t", c.dark, c.profile, bold, c.bold)
		}
	}
}
