package pages_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/recipes"
	"barline/tui/draw"
	"barline/tui/keys"
	"barline/tui/pages"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"pgregory.net/rapid"
)

var update = flag.Bool("update", false, "write the golden screens anew")

// golden compares a text with a file of the golden screens.
func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("..", "..", "testdata", "screens", name)
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v (run the test with -update, and look at it)", err)
	}
	if got != string(want) {
		t.Errorf("%s changed; got\n%swant\n%s", path, got, want)
	}
}

// entry returns a recipe as the pages get it.
func entry(t testing.TB, file, text string) pages.Recipe {
	t.Helper()
	document, _ := recipes.Parse(file, []byte(text))
	faults := document.Check(brew.Bar{})
	r := document.Recipe()
	out := pages.Recipe{Stem: file, Name: r.Name, Line: "a line", Own: true, Recipe: r, Faults: faults.Text()}
	if len(faults.Errors()) == 0 {
		var err error
		if out.Plan, err = brew.NewPlan(r, brew.Bar{}); err != nil {
			t.Fatal(err)
		}
	}
	return out
}

func press(t testing.TB) pages.Recipe {
	text, err := os.ReadFile("../live/testdata/press.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return entry(t, "press.yaml", string(text))
}

const torn = `name: Torn press
method: press
dose: 14 g
water: 210 ml
temperature: 93 °C
grind: medium-fine
steps:
  - {pour: to 50 g, over: 8 s}
  - {poor: to 210 g, over: 16 s, why: a line of the file that is much longer than the screen that it is shown on}
`

const unwise = `name: Unwise press
method: press
dose: 14 g
water: 210 g
temperature: 93 °C
grind: medium-fine
server: thin glass
steps:
  - {pour: to 210 g, over: 16 s}
  - {press: to the hiss, over: 28 s}
afterwards:
  - Sweep up the glass
`

// list is a shelf: shipped recipes, one of the person's own, one that is
// faulty.
func list() []pages.Recipe {
	plan := &brew.Plan{}
	return []pages.Recipe{
		{Name: "Torn press", Line: "3 errors", Own: true},
		{Name: "My own long pour for the window table", Line: "inverted press, 14.5 g to 232 g, 2:33", Own: true, Plan: plan},
		{Name: "Quayside concentrate for three", Line: "press, 45 g to 270 g and 210 g, 3:50", Plan: plan},
		{Name: "Quayside cone", Line: "cone, 18 g to 288 g, 2:52", Plan: plan},
		{Name: "Quayside cupping bowl", Line: "cupping, 11 g to 196 g, 15:00", Plan: plan},
		{Name: "Quayside flat bed", Line: "flat bed, 24 g to 384 g, 3:34", Plan: plan},
		{Name: "Quayside plunger pot", Line: "pot, 30 g to 480 g, 7:10", Plan: plan},
		{Name: "Quayside press", Line: "press, 14 g to 210 g, 2:20", Plan: plan},
	}
}

func shelf(downs int) pages.Shelf {
	s := pages.NewShelf(list(), pages.DefaultListKeys())
	for range downs {
		s, _ = s.Update(key("down"))
	}
	return s
}

func sheet(r pages.Recipe, downs int) func(w, h int) *draw.Canvas {
	return func(w, h int) *draw.Canvas {
		s := pages.NewSheet(r, pages.DefaultSheetKeys(), false).Resize(w, h)
		for range downs {
			s, _ = s.Update(key("down"))
		}
		return s.Draw()
	}
}

// key is a key press by the name that the library has for it.
func key(name string) keys.Press {
	for _, t := range []tea.KeyType{tea.KeyEnter, tea.KeyEsc, tea.KeyUp, tea.KeyDown, tea.KeyPgUp, tea.KeyPgDown, tea.KeyCtrlC} {
		if t.String() == name {
			return keys.Press{KeyMsg: tea.KeyMsg{Type: t}, At: time.Second}
		}
	}
	return keys.Press{KeyMsg: tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(name)}, At: time.Second}
}

var sizes = [][2]int{{80, 24}, {40, 12}, {200, 60}, {20, 5}}

func TestPages(t *testing.T) {
	whole := press(t)
	onShelf := func(downs int) func(w, h int) *draw.Canvas {
		return func(w, h int) *draw.Canvas { return shelf(downs).Resize(w, h).Draw() }
	}
	for _, c := range []struct {
		name string
		draw func(w, h int) *draw.Canvas
		// says must be there on screens of 40 by 12 and more, whole, on as
		// many rows as it takes; wide on those of 80 by 24 and more.
		says, wide []string
	}{
		{"shelf", onShelf(1), []string{"> My own long pour for the window table", "inverted press, 14.5 g to 232 g, 2:33, your own", "Quayside concentrate for three", "enter open"},
			[]string{"Torn press 3 errors, your own", "Quayside cone cone, 18 g to 288 g, 2:52"}},
		{"shelf-of-the-last", onShelf(99), []string{"> Quayside press", "press, 14 g to 210 g, 2:20"}, nil},
		{"sheet", sheet(whole, 0), []string{"Quayside press", "14 g coffee, 210 g water, 1:15, 93 °C", "enter get ready to brew", "q back"},
			[]string{
				"! bloom: Near-boiling water scalds at once: keep the spout low and your other hand off the rim",
				"! press: Stand, press straight down on a dry, firm table. If it needs force, stop, draw back, let it drain. Defer to house rules and trained practice",
				"the cup aim: 1.35 % strength, 20.5 % extraction expect: 1.13 % strength, 0.51 to 1.48 %, an estimate",
				"water boils at 100 °C at the sea; to 93 °C it rests 2:46 to 8:19 off the boil, by the kettle, which nobody calibrated (common practice: 30 s)",
			}},
		{"sheet-scrolled", sheet(whole, 99), []string{"Push out the puck and rinse the plunger while they are warm"}, []string{"1:52 Press to the hiss", "0:00 Pour to 50 g (bloom)"}},
		{"sheet-faulty", sheet(entry(t, "torn.yaml", torn), 0), []string{"This recipe cannot be brewed as it stands; its file has errors."},
			[]string{`torn.yaml:4:8: error: `, "torn.yaml:9:6: error: ", "q back"}},
		{"sheet-unwise", sheet(entry(t, "unwise.yaml", unwise), 0), []string{"1:15, 93 °C"},
			[]string{"unwise.yaml:10:13: warning: press with no lift before it: it would press on the scale"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var file strings.Builder
			for _, size := range sizes {
				lines := sized(t, c.draw(size[0], size[1]), size[0], size[1])
				if size[0] >= 40 && size[1] >= 12 {
					says(t, lines, c.says)
				}
				if size[0] >= 80 && size[1] >= 24 {
					says(t, lines, c.wide)
				}
				fmt.Fprintf(&file, "-- %dx%d --\n%s\n", size[0], size[1], strings.Join(lines, "\n"))
			}
			golden(t, c.name+".txt", file.String())
		})
	}
}

// sized returns the lines of a canvas that must be of a size.
func sized(t interface{ Errorf(string, ...any) }, c *draw.Canvas, w, h int) []string {
	if c.Width != w || c.Height != h {
		t.Errorf("the canvas is %d by %d on a screen of %d by %d", c.Width, c.Height, w, h)
	}
	lines := c.Lines()
	for _, line := range lines {
		if a, b := draw.Width(line), ansi.StringWidth(line); a > w || a != b {
			t.Errorf("%q takes %d cells by our count and %d by the library's; the screen has %d", line, a, b, w)
		}
	}
	return lines
}

func says(t *testing.T, lines, texts []string) {
	t.Helper()
	words := func(text string) string { return strings.Join(strings.Fields(text), " ") }
	screen := words(strings.Join(lines, " "))
	for _, text := range texts {
		if !strings.Contains(screen, words(text)) {
			t.Errorf("%q is not on the screen:\n%s", text, strings.Join(lines, "\n"))
		}
	}
}

func TestPagesFitAnyScreen(t *testing.T) {
	recipes := []pages.Recipe{press(t), entry(t, "torn.yaml", torn), entry(t, "unwise.yaml", unwise), {Name: "Nothing"}}
	rapid.Check(t, func(r *rapid.T) {
		w, h := rapid.IntRange(-1, 300).Draw(r, "width"), rapid.IntRange(-1, 100).Draw(r, "height")
		one := rapid.SampledFrom(recipes).Draw(r, "recipe")
		list := rapid.SliceOfN(rapid.SampledFrom(append(list(), recipes...)), 0, 40).Draw(r, "list")
		sheet := pages.NewSheet(one, pages.DefaultSheetKeys(), rapid.Bool().Draw(r, "ascii")).Resize(w, h)
		shelf := pages.NewShelf(list, pages.DefaultListKeys()).Resize(w, h)
		for range rapid.IntRange(0, 60).Draw(r, "keys") {
			k := key(rapid.SampledFrom([]string{"up", "down", "pgup", "pgdown", "j", "k", "x"}).Draw(r, "key"))
			sheet, _ = sheet.Update(k)
			shelf, _ = shelf.Update(k)
		}
		sized(r, sheet.Draw(), max(w, 0), max(h, 0))
		sized(r, shelf.Draw(), max(w, 0), max(h, 0))
		sized(r, sheet.Resize(w/9, h/9).Draw(), max(w/9, 0), max(h/9, 0))
	})
}

func TestTheShelfOpensWhatIsChosen(t *testing.T) {
	s := shelf(3)
	for _, name := range []string{"up", "k", "pgup", "j"} {
		s, _ = s.Update(key(name))
	}
	_, cmd := s.Update(key("enter"))
	if got := cmd().(pages.ChosenMsg).Recipe.Name; got != "My own long pour for the window table" {
		t.Errorf("%q is opened", got)
	}
	for _, name := range []string{"q", "esc", "ctrl+c"} {
		if _, cmd := s.Update(key(name)); cmd == nil || cmd() != (pages.LeftMsg{}) {
			t.Errorf("%s does not leave", name)
		}
	}
	if _, cmd := pages.NewShelf(nil, pages.DefaultListKeys()).Update(key("enter")); cmd != nil {
		t.Error("something is opened on an empty shelf")
	}
	pasted := key("q")
	pasted.Paste = true
	if _, cmd := s.Update(pasted); cmd != nil {
		t.Error("a paste is a key")
	}
}

func TestTheSheetStartsWhatCanBeBrewed(t *testing.T) {
	for _, c := range []struct {
		recipe pages.Recipe
		starts bool
	}{{press(t), true}, {entry(t, "unwise.yaml", unwise), true}, {entry(t, "torn.yaml", torn), false}} {
		s := pages.NewSheet(c.recipe, pages.DefaultSheetKeys(), false).Resize(80, 24)
		for _, name := range []string{"enter", " "} {
			_, cmd := s.Update(key(name))
			if (cmd != nil) != c.starts {
				t.Errorf("%q starts %s: %t", name, c.recipe.Name, cmd != nil)
			}
			if cmd != nil && cmd().(pages.StartMsg).Recipe.Name != c.recipe.Name {
				t.Errorf("%q starts another recipe", name)
			}
		}
		if _, cmd := s.Update(key("q")); cmd == nil || cmd() != (pages.BackMsg{}) {
			t.Errorf("q does not go back")
		}
	}
}

// Scrolled to its end, the sheet moves back at the first press.
func TestTheSheetScrollsNoFurtherThanItsEnd(t *testing.T) {
	s := pages.NewSheet(press(t), pages.DefaultSheetKeys(), false).Resize(80, 24)
	top := s.Draw().Lines()
	for range 99 {
		s, _ = s.Update(key("down"))
	}
	end := s.Draw().Lines()
	if s, _ = s.Update(key("up")); fmt.Sprint(s.Draw().Lines()) == fmt.Sprint(end) {
		t.Error("one press does not go back one row")
	}
	for range 99 {
		s, _ = s.Update(key("up"))
	}
	if fmt.Sprint(s.Draw().Lines()) != fmt.Sprint(top) {
		t.Error("the top is another one")
	}
}

// The sheet says what the bar's boiling point makes of the recipe, and claims
// nothing where nobody can know.
func TestTheSheetSaysWhatTheCupIsFor(t *testing.T) {
	for name, c := range map[string]struct {
		boils     brew.Celsius
		text      string
		want, not []string
	}{
		"a bar 2000 m up":          {93.3151, unwise, []string{"water boils at 93.3 °C here; to 93 °C it rests 0:07 to 0:23 off the boil", "take care water of 93 °C burns skin deeply within 3 s", "glass can break", "the rules of your house"}, []string{"aim:"}},
		"one where it cannot be":   {91.6, unwise, []string{"water boils at 91.6 °C here, so that it cannot have 93 °C"}, []string{"rests"}},
		"through a bed":            {100, strings.NewReplacer("method: press", "method: cone", "  - {press: to the hiss, over: 28 s}", "  - {drawdown: it runs out, over: 60 s}").Replace(unwise), []string{"expect: 1.54 % strength, 1.37 to 1.73 %, arithmetic and no prediction"}, nil},
		"a method nobody knows of": {0, strings.Replace(unwise, "method: press", "method: other", 1), []string{"the cup water boils"}, []string{"expect:"}},
		"an aim of one kind":       {0, unwise + "aim: {strength: 1.4 %}\n", []string{"aim: 1.40 % strength expect"}, []string{"% extraction"}},
	} {
		r := entry(t, "r.yaml", c.text)
		r.Boils = c.boils
		lines := sheet(r, 0)(120, 60).Lines()
		says(t, lines, c.want)
		for _, not := range c.not {
			if strings.Contains(strings.Join(lines, " "), not) {
				t.Errorf("%s: %q is said", name, not)
			}
		}
	}
}

// A ratio is the recipe's own, and with a bypass the one in the server, too.
func TestTheSheetSaysTheRatio(t *testing.T) {
	for text, want := range map[string]string{
		unwise: "1:15,",
		strings.Replace(unwise, "afterwards:", "  - {bypass: 70 g}\nafterwards:", 1): "1:15 brewed, 1:20 in the server,",
	} {
		says(t, sheet(entry(t, "r.yaml", text), 0)(80, 24).Lines(), []string{want})
	}
}
