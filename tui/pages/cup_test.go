package pages_test

import (
	"errors"
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/tui/keys"
	"barline/tui/pages"

	tea "github.com/charmbracelet/bubbletea"
	"pgregory.net/rapid"
)

// cellar is a record of cups in memory.
type cellar struct {
	cups []pages.CupRead
	err  error
}

func (c cellar) Cups(string) ([]pages.CupRead, error) { return c.cups, c.err }

// drunk is a record of cups of a plan, by what runs into the server and its
// strength.
func drunk(p *brew.Plan, read ...float64) cellar {
	var out cellar
	for i := 0; i < len(read); i += 2 {
		beverage, strength := brew.Mass(read[i]*1000), brew.Percent(read[i+1])
		out.cups = append(out.cups, pages.CupRead{Plan: p, Reading: brew.Reading{Beverage: &beverage, Strength: &strength}})
	}
	return out
}

const poured = `name: Quayside cone
method: cone
dose: 15 g
water: 250 g
temperature: 93 °C
grind: medium
steps:
  - {pour: to 250 g, over: 30 s}
  - {drawdown: it runs out, over: 90 s}
aim: {strength: 1.35 %, extraction: 20 %}
`

// typing is the page after keys, separated by blanks: a word of figures is
// typed, every other is a key.
func typing(source pages.Cups, r pages.Recipe, ascii bool, w, h int, words string) pages.Cup {
	c, cmd := pages.NewCup(source, r, pages.DefaultCupKeys(), ascii)
	c = c.Resize(w, h)
	if cmd != nil {
		c, _ = c.Update(cmd())
	}
	for _, word := range strings.Fields(words) {
		switch k := key(word); {
		case word == "backspace":
			k.KeyMsg = tea.KeyMsg{Type: tea.KeyBackspace}
			c, _ = c.Update(k)
		case word == "tab":
			k.KeyMsg = tea.KeyMsg{Type: tea.KeyTab}
			c, _ = c.Update(k)
		default:
			c, _ = c.Update(k)
		}
	}
	return c
}

// columns returns what stands in the left column of the page, then what stands
// beside it; a screen of one column as it is.
func columns(lines []string) []string {
	const width = 43
	var left, beside []string
	for _, line := range lines {
		if cells := []rune(line); len(cells) > width && cells[width-1] == ' ' {
			line, beside = string(cells[:width]), append(beside, string(cells[width:]))
		}
		left = append(left, line)
	}
	return append(left, beside...)
}

func TestCupPages(t *testing.T) {
	cone := entry(t, "cone.yaml", poured)
	past := drunk(cone.Plan, 219, 1.31, 220, 1.33, 221, 1.36, 218, 1.42)
	nothing := pages.Recipe{}
	strong := entry(t, "strong.yaml", strings.NewReplacer("method: cone", "method: press", "  - {drawdown: it runs out, over: 90 s}", "  - {press: down, over: 25 s}\n  - {bypass: 150 g}").Replace(poured))
	for _, c := range []struct {
		name       string
		source     pages.Cups
		recipe     pages.Recipe
		ascii      bool
		words      string
		says, wide []string
	}{
		{"cup", past, cone, false, "220 down 1.42", []string{
			"Quayside cone: by percolation", "dose 15 g ± 0.1", "water 250 g ± 0.1", "beverage 220 g ± 0.1", "> strength 1.42_ % ± 0.03", "extraction = 20.83 ± 0.46 %", "down next figure",
		}, []string{
			"retained = 2.21 ± 0.02 g/g", "the strength is 0.07 points above its aim; common practice is to use less coffee for the water", "aim: 1.35 % strength, 20 % extraction",
			"strength % ", "extraction %", "classic", "● this cup (= its ±)", "X aim", "○ before", "b balance", "x clear", "q back",
		}},
		{"cup-immersion", past, cone, false, "220 down 1.2 b", []string{
			"Quayside cone: by immersion", "extraction = 20.24 ± 0.53 %", "the strength is 0.15 points below its aim",
		}, []string{"common practice is to use more coffee for the water", "17.6 % of the dose is in the cup, the rest of what was dissolved in the grounds", "immersion: the grounds hold liquor as strong as the cup"}},
		{"cup-far-off", past, cone, true, "220 down 1.2", []string{"extraction = 17.60 ± 0.46 %", "the extraction is 2.4 points below its"}, []string{
			"common practice is to grind finer, or keep it in contact longer, or use hotter water: one change at a time", "@ this cup (= its ±)", "o before", "outside the box is not wrong",
		}},
		{"cup-picture", past, cone, false, "220 down 1.42 p", []string{"> strength 1.42_ % ± 0.03", "strength % ", "extraction %", "+-classic-", "● this cup (= its ±), X aim, ○ before", "not wrong"}, []string{"extraction = 20.83 ± 0.46 %"}},
		{"cup-picture-of-a-slip", past, cone, false, "220 down 0.0142 p", []string{"> strength ! 0.0142_ %", "strength 0.0142 % is too little to be true", "classic"}, nil},
		{"cup-empty", nil, nothing, false, "", []string{"the cup: by percolation", "> dose _ g", "strength - %", "type what is known; the rest is worked out"}, []string{"classic", "outside the box is not wrong"}},
		{"cup-of-water-and-strength", nil, nothing, false, "15 down 250 down down 1.35", []string{"beverage = 219.21 ± 2.21 g", "extraction = 19.73 ± 0.51 %"}, []string{
			"no beverage was weighed: a gram of grounds is taken to keep 2.25 ± 0.14 g",
		}},
		{"cup-drops-not-read", nil, nothing, false, "b b 15 down 250 down 220 down 1.4", []string{"by drained", "extraction = 22.09 ± 1.02 %", "last drops = 0.70 ± 0.40 %"}, []string{
			"nobody read the last drops: they are taken to be anywhere from plain water to as strong as the cup",
		}},
		{"cup-drops-of-water", nil, nothing, false, "b b 15 down 250 down 220 down 1.4 down down down 0", []string{"extraction = 20.53 ± 0.", "> last drops 0_ % ± 0.03"}, nil},
		{"cup-backwards", nil, nothing, false, "15 down down 220 down down 19.8", []string{"strength = 1.35 ± 0.01 %", "> extraction 19.8_ %"}, nil},
		{"cup-thinned", nil, nothing, false, "30 down 300 down 246 down 2.439 down down down 1.25", []string{"add 234.0 g of water: 480 g at 1.25 %", "extraction = 20.00 ± 0.26 %"}, nil},
		{"cup-drained", nil, nothing, false, "b b 15 down 250 down 220 down 1.4 down down down 0.6", []string{"by drained", "extraction = 21.86 ± 0.53 %", "> last drops 0.6_ % ± 0.03"}, []string{"drained: the grounds hold liquor as strong as the last drops"}},
		{"cup-bypass", nil, strong, false, "350 down 0.8", []string{"by immersion", "extraction = 23.66 ± 0.91 %", "strength 0.8_ % ± 0.03"}, []string{"with the recipe's bypass of 150 g"}},
		{"cup-fraction", past, cone, false, "220 down 0.0135", []string{"> strength ! 0.0135_ %", "! strength 0.0135 % is too little to be true", "write 1.35 % for a share of 0.0135", "extraction - %"}, nil},
		{"cup-too-heavy", past, cone, true, "290 down 1.35", []string{"! beverage 290 g is more than 250 g of water can have become", "beverage ! 290 g"}, nil},
		{"cup-twice", nil, nothing, false, "15 down 250 down 220 down 1.35 down 20", []string{"! dose, water, beverage, strength, extraction say one thing twice by"}, nil},
		{"cup-lost", cellar{err: errors.New("the journal is damaged")}, cone, false, "", []string{"! the journal is damaged"}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			var file strings.Builder
			for _, size := range sizes {
				lines := sized(t, typing(c.source, c.recipe, c.ascii, size[0], size[1], c.words).Draw(), size[0], size[1])
				fmt.Fprintf(&file, "-- %dx%d --\n%s\n", size[0], size[1], strings.Join(lines, "\n"))
				if size[0] >= 40 && size[1] >= 12 {
					says(t, columns(lines), c.says)
				}
				if size[0] >= 80 && size[1] >= 24 {
					says(t, columns(lines), c.wide)
				}
			}
			golden(t, c.name+".txt", file.String())
		})
	}
}

// What was typed can be taken back, letter by letter or at once, and a key that
// means nothing types nothing.
func TestTypingAFigure(t *testing.T) {
	for words, want := range map[string]string{
		"12 backspace backspace backspace 15.5": "> dose 15.5_ g ± 0.1",
		"1,5":                                   "> dose 1.5_ g",
		"1.2.3":                                 "> dose 1.23_ g",
		"x 18 x 20":                             "> dose 20_ g",
		"a 1 z":                                 "> dose 1_ g",
		"123456789":                             "> dose ! 12345678_ g",
		"up":                                    "> thin to _ %",
		"15 tab 250 up":                         "> dose 15_ g",
		"down down down down down down down":    "> dose _ g",
		"b b up up b":                           "> dose _ g", // the last drops are not there any more
	} {
		lines := typing(nil, pages.Recipe{}, false, 80, 24, words).Draw().Lines()
		if !strings.Contains(strings.Join(strings.Fields(strings.Join(lines, " ")), " "), want) {
			t.Errorf("%q: no %q in\n%s", words, want, strings.Join(lines, "\n"))
		}
	}
}

// Pasted figures are typed; a paste is no key.
func TestAPasteIsTyped(t *testing.T) {
	c, _ := pages.NewCup(nil, pages.Recipe{}, pages.DefaultCupKeys(), false)
	c = c.Resize(80, 24)
	c, cmd := c.Update(keys.Press{KeyMsg: tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("15.5q"), Paste: true}, At: time.Second})
	says(t, c.Draw().Lines(), []string{"> dose 15.5_ g"})
	if cmd != nil {
		t.Error("a paste leaves the page")
	}
	for _, name := range []string{"q", "esc", "ctrl+c"} {
		if _, cmd := c.Update(key(name)); cmd == nil || cmd() != (pages.BackMsg{}) {
			t.Errorf("%s does not go back", name)
		}
	}
}

// The balance moves the past cups too: they are worked out by it.
func TestTheBalanceMovesThePast(t *testing.T) {
	cone := entry(t, "cone.yaml", poured)
	at := func(words string) int {
		for _, line := range typing(drunk(cone.Plan, 220, 1.25), cone, true, 120, 40, words).Draw().Lines()[1:36] {
			if i := strings.LastIndex(line, "o"); i > 50 && !strings.Contains(line, "extraction") && !strings.Contains(line, "strength") {
				return i
			}
		}
		return -1
	}
	if a, b := at(""), at("b"); a < 0 || b <= a {
		t.Errorf("by percolation it is at %d, by immersion, which gives more, at %d", a, b)
	}
}

// The field that is typed in is on every screen, and the result of the cup on
// those of four rows or more.
func TestTheFieldIsOnEveryScreen(t *testing.T) {
	cone := entry(t, "cone.yaml", poured)
	for h := 1; h <= 30; h++ {
		for _, w := range []int{30, 40, 80, 200} {
			lines := strings.Join(typing(nil, cone, false, w, h, "220 down 1.42").Draw().Lines(), "\n")
			if !strings.Contains(lines, "1.42_ %") {
				t.Errorf("at %d by %d the field is not there:\n%s", w, h, lines)
			}
			if h >= 6 && !strings.Contains(lines, "= 20.83") {
				t.Errorf("at %d by %d the result is not there:\n%s", w, h, lines)
			}
		}
	}
}

// Whatever is pressed, the page has its size, and with ASCII asked for nothing
// else is in the picture.
func TestCupPagesFitAnyScreen(t *testing.T) {
	cone := entry(t, "cone.yaml", poured)
	rapid.Check(t, func(r *rapid.T) {
		w, h := rapid.IntRange(-1, 300).Draw(r, "width"), rapid.IntRange(-1, 100).Draw(r, "height")
		words := rapid.SliceOfN(rapid.SampledFrom([]string{"1", "5", "0", ".", "220", "1.4", "down", "up", "b", "x", "backspace", "pgdown", "pgup", "tab", "z"}), 0, 30).Draw(r, "keys")
		ascii := rapid.Bool().Draw(r, "ascii")
		recipe := rapid.SampledFrom([]pages.Recipe{cone, {}}).Draw(r, "recipe")
		c := typing(drunk(cone.Plan, 219, 1.31, 200, 1.9), recipe, ascii, w, h, strings.Join(words, " "))
		lines := sized(r, c.Draw(), max(w, 0), max(h, 0))
		sized(r, c.Resize(w/9, h/9).Draw(), max(w/9, 0), max(h/9, 0))
		if text := strings.Join(lines, ""); ascii && strings.ContainsAny(text, "●○█░") {
			r.Fatalf("not ASCII: %s", text)
		}
	})
}

// The sheet leads to its recipe's cup, and a faulty recipe to none.
func TestTheSheetLeadsToTheCup(t *testing.T) {
	for _, c := range []struct {
		recipe pages.Recipe
		leads  bool
	}{{press(t), true}, {entry(t, "torn.yaml", torn), false}} {
		_, cmd := pages.NewSheet(c.recipe, pages.DefaultSheetKeys(), false).Resize(80, 24).Update(key("c"))
		if (cmd != nil) != c.leads {
			t.Errorf("%s leads to a cup: %t", c.recipe.Name, cmd != nil)
		}
		if cmd != nil && fmt.Sprint(cmd().(pages.CupMsg).Recipe.Name) != c.recipe.Name {
			t.Error("it leads to another recipe's cup")
		}
	}
}

// A frame of the page, with all that is worked out for it.
func BenchmarkCupPage(b *testing.B) {
	cone := entry(b, "cone.yaml", poured)
	c := typing(drunk(cone.Plan, 219, 1.31, 220, 1.33, 221, 1.36, 218, 1.42), cone, false, 80, 24, "220 down 1.42")
	for b.Loop() {
		c.Draw()
	}
}

// A figure that there is no room for is left out with its ±, never cut.
func TestNoFigureIsCut(t *testing.T) {
	cone := entry(t, "cone.yaml", poured)
	whole := regexp.MustCompile(`^(> |  )extraction +(= 20\.83( %| ± 0\.46 %)?)?$`)
	for width := 1; width < 60; width++ {
		for _, line := range typing(nil, cone, false, width, 14, "220 down 1.42").Draw().Lines() {
			if line = strings.TrimRight(line, " "); strings.Contains(line, "extraction ") && !strings.Contains(line, "aim") && !whole.MatchString(line) {
				t.Errorf("%d wide: %q", width, line)
			}
		}
	}
}

// Where the plane has a place of its own, or no place at all, the key that asks
// for it does nothing, also not later.
func TestThePictureIsAskedForWhereItHasNoPlace(t *testing.T) {
	cone := entry(t, "cone.yaml", poured)
	for _, c := range []struct {
		width, height int
		helps         bool
	}{{40, 12, true}, {60, 20, true}, {80, 24, false}, {40, 11, false}, {20, 12, false}} {
		before := typing(nil, cone, false, c.width, c.height, "220 down 1.42")
		after := typing(nil, cone, false, c.width, c.height, "220 down 1.42 p")
		screen := strings.Join(before.Draw().Lines(), "\n")
		if helped := strings.Contains(screen, "p picture"); helped != c.helps {
			t.Errorf("%d by %d: that the key is offered is %t", c.width, c.height, helped)
		}
		if same := screen == strings.Join(after.Draw().Lines(), "\n"); same == c.helps {
			t.Errorf("%d by %d: that nothing changes is %t", c.width, c.height, same)
		}
		if small := strings.Join(after.Resize(40, 12).Draw().Lines(), "\n"); strings.Contains(small, "classic") != c.helps {
			t.Errorf("%d by %d, then 40 by 12: the plane is there: %t", c.width, c.height, !c.helps)
		}
	}
}

// Where both strengths were typed the page says that they err together, and
// nowhere else.
func TestThePageSaysWhatErrsTogether(t *testing.T) {
	cone := entry(t, "cone.yaml", poured)
	for keys, says := range map[string]bool{
		"220 down 1.4 b b down down down 0.6": true,
		"220 down b b down down down 0.6":     false,
		"220 down 1.4 b b":                    false,
		"220 down 1.4":                        false,
	} {
		screen := strings.Join(typing(nil, cone, false, 100, 40, keys).Draw().Lines(), "\n")
		if got := strings.Contains(screen, "one refractometer"); got != says {
			t.Errorf("%q: it says so: %t\n%s", keys, got, screen)
		}
	}
}
