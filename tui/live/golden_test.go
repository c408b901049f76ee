package live_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"barline/brew"
	"barline/tui/draw"
	"barline/tui/live"

	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
)

var update = flag.Bool("update", false, "write the golden screens anew")

// golden compares a text with a file of the golden screens.
func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("..", "..", "testdata", "screens", name)
	if *update {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
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

// size is a screen's.
type size struct{ w, h int }

func (s size) String() string { return fmt.Sprintf("%dx%d", s.w, s.h) }

var (
	usual = []size{{80, 24}, {40, 12}, {200, 60}}
	all   = append(usual, size{20, 5})
)

// scene is a moment of a brew, and what must be read from the screen besides
// what the glance rule asks of every moment.
type scene struct {
	name  string
	play  func(t testing.TB, w, h int) *player
	at    float64 // of the timeline, in seconds
	still bool    // no key comes at that moment, as it would be an answer
	sizes []size
	// spells must be on screens of 40 by 12 and more, whole, on as many rows
	// as it takes; wide on those of 80 by 24 and more. What ends in a question
	// mark may stand there in large figures.
	spells, wide []string
	// never must not be on any screen.
	never []string
}

func pressing(t testing.TB, w, h int) *player {
	return begun(t, w, h, live.Options{Plans: []*brew.Plan{recipe(t, "press")}, By: "Ada"})
}

func coning(t testing.TB, w, h int) *player {
	return begun(t, w, h, live.Options{Plans: []*brew.Plan{recipe(t, "cone")}, By: "Ada"})
}

func awkwardly(t testing.TB, w, h int) *player {
	return begun(t, w, h, live.Options{Plans: []*brew.Plan{awkward(t)}})
}

func rounding(lanes int) func(t testing.TB, w, h int) *player {
	return func(t testing.TB, w, h int) *player { return begun(t, w, h, round(t, lanes)) }
}

// brewing are the moments under a running clock.
var brewing = []scene{
	{name: "first-pour", play: pressing, at: 4.2, sizes: all, spells: []string{"24 g to go"}, wide: []string{"bloom: Pour to 50 g", "! Near-boiling water scalds at once: keep the spout low and your other hand off the rim"}},
	{name: "second-pour", play: func(t testing.TB, w, h int) *player {
		return pressing(t, w, h).press(" ", 9.2)
	}, at: 45.3, sizes: all, spells: []string{"68 g to go", "[x] bloom, end +1.2 s on time"}, wide: []string{"an even spiral keeps the bed level"}},
	{name: "gap", play: func(t testing.TB, w, h int) *player {
		return pressing(t, w, h).press(" ", 8.3)
	}, at: 20, sizes: all, spells: []string{"hands free until 0:36"}},
	{name: "call-ahead", play: pressing, at: 32, sizes: all, spells: []string{">>>> in 4 s"}, wide: []string{"pending: bloom, end, for 24 s"}},
	{name: "caution-ahead", play: pressing, at: 96, sizes: usual, spells: []string{"! press: Stand, press straight down"}, wide: []string{"! press: Stand, press straight down on a dry, firm table. If it needs force, stop, draw back, let it drain. Defer to house rules and trained practice"}},
	{name: "press", play: func(t testing.TB, w, h int) *player {
		return pressing(t, w, h).press(" ", 8.1).press(" ", 52.4).press(" ", 112.2)
	}, at: 124.6, sizes: all, spells: []string{"nothing after this"}, wide: []string{"! Stand, press straight down on a dry, firm table. If it needs force, stop, draw back, let it drain. Defer to house rules and trained practice", "[x] press, start +0.2 s on time"}},
	{name: "swirl-beside-drawdown", play: awkwardly, at: 96, sizes: all, wide: []string{"Swirl once, while the bed drains down", "drawdown until 2:35"}},
	{name: "long-prompts", play: func(t testing.TB, w, h int) *player {
		return awkwardly(t, w, h).press(" ", 10)
	}, at: 44, sizes: all},
	{name: "pending", play: pressing, at: 12.5, sizes: all, spells: []string{"pending: bloom, end, for 4 s"}},
	{name: "marked-early", play: func(t testing.TB, w, h int) *player {
		return pressing(t, w, h).press(" ", 4.6)
	}, at: 5, sizes: usual, spells: []string{"[x] bloom, end -3.4 s early"}},
	{name: "marked-late", play: func(t testing.TB, w, h int) *player {
		return pressing(t, w, h).press(" ", 12.9)
	}, at: 13, sizes: usual, spells: []string{"[x] bloom, end +4.9 s late"}},
	{name: "hollow-mark", play: func(t testing.TB, w, h int) *player {
		opt := live.Options{Plans: []*brew.Plan{recipe(t, "press")}, Recorder: &keeping{events: map[int]brew.Event{}}}
		return begun(t, w, h, opt).settle().press(" ", 8.2)
	}, at: 9, sizes: usual, spells: []string{"[ ] bloom, end +0.2 s on time"}, never: []string{"[x]"}},
	{name: "hollow-nudge", play: func(t testing.TB, w, h int) *player {
		opt := live.Options{Plans: []*brew.Plan{recipe(t, "press")}, Recorder: &keeping{events: map[int]brew.Event{}}}
		return begun(t, w, h, opt).settle().press(" ", 8.2).settle().press("e", 9)
	}, at: 9.5, sizes: usual, spells: []string{"[ ] bloom, end -0.8 s on time"}, never: []string{"[x]"}},
	{name: "unsaved", play: func(t testing.TB, w, h int) *player {
		opt := live.Options{Plans: []*brew.Plan{recipe(t, "press")}, By: "Ada", Recorder: unplugged{errDisk}}
		return begun(t, w, h, opt).press(" ", 8.2).settle()
	}, at: 9, sizes: usual, spells: []string{"! not saved: no space left on the disk"}, wide: []string{"[ ] bloom, end +0.2 s on time"}, never: []string{"[x]"}},
	{name: "leave-asked", play: func(t testing.TB, w, h int) *player {
		return pressing(t, w, h).press("q", 20)
	}, at: 20, still: true, sizes: all, spells: []string{"y stops it, any other key goes on"}},
	{name: "why-stopped", play: func(t testing.TB, w, h int) *player {
		return pressing(t, w, h).press("q", 20).press("y", 21).write("the cup fell", 22)
	}, at: 24, sizes: usual, spells: []string{"the cup fell_"}},
	{name: "note", play: func(t testing.TB, w, h int) *player {
		return pressing(t, w, h).press("n", 37).write("the kettle was slow to come up, and the second pour came late", 38)
	}, at: 44, sizes: all, spells: []string{"came late_"}, wide: []string{"note: the kettle was slow to come up, and the second pour came late_"}},
	{name: "three-lanes", play: rounding(3), at: 37.4, sizes: usual, wide: []string{"press: Pour to 210 g", "cone: Pour to 170 g"}},
	{name: "six-lanes", play: rounding(6), at: 41, sizes: usual},
	{name: "long-why", play: coning, at: 46, sizes: usual, wide: []string{"circles from the middle outwards and back keep the bed level, and off the bare paper"}},
	{name: "drawdown", play: func(t testing.TB, w, h int) *player {
		return coning(t, w, h).press(" ", 9).press(" ", 62).press(" ", 104)
	}, at: 120, sizes: all, spells: []string{"next in 48 s"}},
	{name: "marks-without-cues", play: func(t testing.TB, w, h int) *player {
		return coning(t, w, h).press(" ", 9)
	}, at: 174, sizes: usual, spells: []string{"nothing after this"}},
}

func TestLiveScreens(t *testing.T) {
	for _, scene := range brewing {
		t.Run(scene.name, func(t *testing.T) {
			var file strings.Builder
			for _, size := range scene.sizes {
				p := scene.played(t, size.w, size.h)
				s := seen(t, p.page, size.w, size.h)
				if size.w >= 40 && size.h >= 12 {
					s.glance(p.page, sec(scene.at))
				}
				scene.check(s)
				fmt.Fprintf(&file, "-- %s --\n%s\n", size, strings.Join(s.lines, "\n"))
			}
			golden(t, "live-"+scene.name+".txt", file.String())
		})
	}
}

// played returns the scene at its moment.
func (sc scene) played(t testing.TB, w, h int) *player {
	p := sc.play(t, w, h)
	if sc.still {
		return p
	}
	return p.wait(sc.at)
}

// check looks for what must be read from the screen.
func (sc scene) check(s screen) {
	s.t.Helper()
	if s.Width >= 40 && s.Height >= 12 {
		s.must(sc.spells)
	}
	if s.Width >= 80 && s.Height >= 24 {
		s.must(sc.wide)
	}
	for _, text := range sc.never {
		if s.says(text) {
			s.t.Errorf("%q is on the screen of %d by %d:\n%s", text, s.Width, s.Height, strings.Join(s.lines, "\n"))
		}
	}
}

func (s screen) must(texts []string) {
	s.t.Helper()
	for _, text := range texts {
		if large, ok := strings.CutSuffix(text, "?"); ok && s.shows(large) {
			continue
		}
		if !s.spells(text) {
			s.t.Errorf("%q is not on the screen of %d by %d:\n%s", text, s.Width, s.Height, strings.Join(s.lines, "\n"))
		}
	}
}

// Codes are the same picture in other clothes: without them the cells are
// those of the golden screens above, and without colour no code is written.
func TestCodedScreens(t *testing.T) {
	themes := map[string]draw.Theme{
		"dark":       draw.NewTheme(true, termenv.TrueColor),
		"light":      draw.NewTheme(false, termenv.TrueColor),
		"dark-256":   draw.NewTheme(true, termenv.ANSI256),
		"light-16":   draw.NewTheme(false, termenv.ANSI),
		"colourless": draw.NewTheme(true, termenv.Ascii),
	}
	for _, scene := range brewing {
		if scene.name != "second-pour" && scene.name != "marked-late" && scene.name != "press" {
			continue
		}
		for name, theme := range themes {
			t.Run(scene.name+"/"+name, func(t *testing.T) {
				c := scene.played(t, 80, 24).page.Draw()
				got := c.Render(theme)
				if name == "colourless" && strings.Contains(got, "\x1b") {
					t.Error("a colourless screen has codes")
				}
				if bare, want := ansi.Strip(got), strings.Join(c.Lines(), "\n"); bare != want {
					t.Errorf("without its codes the screen is\n%s\nwant\n%s", bare, want)
				}
				// Escapes are written as \e, for the files to be read as text.
				golden(t, "coded-"+scene.name+"-"+name+".txt", strings.ReplaceAll(got, "\x1b", `\e`)+"\n")
			})
		}
	}
}
