package service_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"barline/tui/draw"
	"barline/tui/draw/svg"
	"barline/tui/service"
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

// size is a screen's.
type size struct{ w, h int }

func (s size) String() string { return fmt.Sprintf("%dx%d", s.w, s.h) }

var sizes = []size{{80, 24}, {40, 12}, {200, 60}}

// scene is a moment of a service, and what must be read from the screen.
type scene struct {
	name   string
	opt    func(t testing.TB) service.Options
	play   func(p *player) *player
	spells []string // on screens of 40 by 12 and more, whole, on as many rows as it takes
	large  []string // in figures of any size
	wide   []string // on those of 80 by 24 and more
	never  []string
}

func alone(t testing.TB) service.Options { return service.Options{Service: bench(t, 6)} }

func together(t testing.TB) service.Options {
	return service.Options{Service: bench(t, 6, "Ada", "Bo")}
}

func narrow(t testing.TB) service.Options { return service.Options{Service: bench(t, 4)} }

var scenes = []scene{
	{name: "empty", opt: alone, play: func(p *player) *player { return p.wait(3) },
		spells: []string{"a and a recipe's digit add an order"}, large: []string{"OPEN", "8:15:03"},
		wide: []string{"1 press  2 cone  3 quick cup"}, never: []string{"nothing after this"}},
	{name: "chore", opt: alone, play: func(p *player) *player { return p.order("2", 5).wait(40) },
		spells: []string{"1 cone", "Grind 18 g", "by 8:15:50"}, large: []string{"GRIND", "10 s", "1", "8:15:40"}, wide: []string{"8:20?"}},
	{name: "one-lane", opt: alone, play: func(p *player) *player { return p.order("1", 5).serve(126) },
		spells: []string{"Pour to 210 g", "by 0:52", "next in 11 s", "Seal: plunger set"}, large: []string{"1", "0:41", "POUR", "11 s", "100"},
		wide: []string{"1 press: Pour to 210 g, by 0:52, 110 g to go", "[x] 1 press: bloom, end 0.0 s on time", "8:19"}},
	{name: "three-lanes", opt: alone, play: func(p *player) *player { return p.order("142", 5).serve(310) }},
	{name: "six-lanes", opt: alone, play: func(p *player) *player { return p.order("142635", 5).serve(350) }},
	{name: "twelve-lanes", opt: narrow, play: func(p *player) *player { return p.order("142635142635", 5).serve(140) }},
	{name: "lull", opt: alone, play: func(p *player) *player { return p.order("1", 5).serve(150) },
		spells: []string{"hands free until 8:18:05", "next in 35 s", "Open: plunger out", "may wait 3 s"}, large: []string{"WAIT", "35 s", "1"}},
	{name: "zero-awaited", opt: alone, play: func(p *player) *player { return p.order("1", 5).serve(84).wait(97) },
		spells: []string{"space as water meets coffee", "Pour to 50 g"}, large: []string{"POUR", "1", "0:00"}},
	{name: "gives-way", opt: alone, play: func(p *player) *player { return p.order("22", 5).serve(62).press("1", 63).press("2", 65).wait(104) },
		wide: []string{"! 2 cone gives way to 1 cone: middle pour", "its cup", "cannot wait", "pending: 1 cone: bloom, end, for 32 s, and 1 more"}},
	{name: "two-persons", opt: together, play: func(p *player) *player { return p.order("142635", 5).serve(245) },
		wide: []string{"space Ada's mark  enter Bo's mark"}},
	{name: "adding", opt: alone, play: func(p *player) *player { return p.order("142", 5).serve(150).press("a", 151) },
		spells: []string{"add which? Its digit, esc back", "1 press  2 cone  3 quick cup"}},
	{name: "cancel-which", opt: alone, play: func(p *player) *player { return p.order("142", 5).serve(150).press("x", 151) },
		spells: []string{"cancel which? The key of its lane, esc", "1 press  2 flat bed  3 cone"}},
	{name: "cancel-asked", opt: alone, play: func(p *player) *player { return p.order("1", 5).serve(150).press("x", 151).press("1", 152) },
		spells: []string{"cancel 1 press? ", "y"}, wide: []string{"cancel 1 press? Its brew is stopped. y does it, any other key does not"}},
	{name: "help", opt: alone, play: func(p *player) *player { return p.order("142", 5).serve(150).press("?", 151) },
		spells: []string{"space mark", "1-9 a lane", "esc closes"}, wide: []string{"k kettle empty", "p who is at work"}},
	{name: "naming", opt: alone, play: func(p *player) *player {
		return p.order("142", 5).serve(150).press("t", 151).press("2", 152).write("Cleo", 153)
	}, spells: []string{"2 flat bed, name", "Cleo_"}},
	{name: "hollow", opt: func(t testing.TB) service.Options {
		return service.Options{Service: bench(t, 6), Recorder: newKeeping()}
	}, play: func(p *player) *player {
		p.order("1", 5).serve(85)
		p.slow = true
		return p.press(" ", 93.4)
	}, spells: []string{"[ ] 1 press: bloom, end +"}, never: []string{"[x]"}},
	{name: "unsaved", opt: func(t testing.TB) service.Options {
		return service.Options{Service: bench(t, 6), Recorder: unplugged{}}
	}, play: func(p *player) *player { return p.order("1", 5).wait(20) }, spells: []string{"! not saved: no space left on the disk"}},
	{name: "held", opt: alone, play: func(p *player) *player {
		return p.order("142", 5).serve(20).press("h", 21).press("3", 22).press("0", 22.5).press("h", 23).press("2", 24).press("0", 24.5).wait(25)
	}, spells: []string{"held"}},
	{name: "over", opt: numbered, play: func(p *player) *player { return p.order("142", 5).serve(900).press("q", 901).press("y", 902) },
		spells: []string{"Quayside press", "Quayside flat bed", "4 of 4", "5 of 5"}, wide: []string{"3 of 3 orders served, waited"}},
}

func TestScreens(t *testing.T) {
	for _, sc := range scenes {
		t.Run(sc.name, func(t *testing.T) {
			var file strings.Builder
			p := sc.play(opened(t, 80, 24, sc.opt(t)))
			for _, size := range sizes {
				c := p.page.Resize(size.w, size.h).Draw()
				if c.Width != size.w || c.Height != size.h {
					t.Fatalf("the canvas is %d by %d, want %s", c.Width, c.Height, size)
				}
				s := screen{t, c, c.Lines()}
				s.must(sc)
				s.glance(p)
				fmt.Fprintf(&file, "-- %s --\n%s\n", size, strings.Join(s.lines, "\n"))
				picture(t, sc.name+"-"+size.String(), c)
			}
			golden(t, "service-"+sc.name+".txt", file.String())
		})
	}
}

// picture keeps a screen as a picture, to be looked at, where
// BARLINE_PICTURES names a folder.
func picture(t *testing.T, name string, c *draw.Canvas) {
	dir := os.Getenv("BARLINE_PICTURES")
	if dir == "" {
		return
	}
	if err := os.WriteFile(filepath.Join(dir, name+".svg"), []byte(svg.SVG(c, svg.Dark)), 0o644); err != nil {
		t.Fatal(err)
	}
}

// screen is what a person sees: the cells as text.
type screen struct {
	t testing.TB
	*draw.Canvas
	lines []string
}

func seen(p *player) screen {
	c := p.page.Draw()
	return screen{p.t, c, c.Lines()}
}

func (s screen) must(sc scene) {
	s.t.Helper()
	all := strings.Join(s.lines, "\n")
	for _, text := range sc.spells {
		if !s.spells(text) {
			s.t.Errorf("%q is not on the screen of %d by %d:\n%s", text, s.Width, s.Height, all)
		}
	}
	for _, text := range sc.large {
		if !s.shows(text) {
			s.t.Errorf("%q is not large on the screen of %d by %d:\n%s", text, s.Width, s.Height, all)
		}
	}
	for _, text := range sc.wide {
		if s.Width >= 80 && !s.spells(text) {
			s.t.Errorf("%q is not on the screen of %d by %d:\n%s", text, s.Width, s.Height, all)
		}
	}
	for _, text := range sc.never {
		if s.spells(text) {
			s.t.Errorf("%q is on the screen of %d by %d:\n%s", text, s.Width, s.Height, all)
		}
	}
}

// spells reports whether a text stands on the screen whole, on as many rows as
// it takes.
func (s screen) spells(text string) bool {
	words := func(t string) string { return strings.Join(strings.Fields(t), " ") }
	return strings.Contains(words(strings.Join(s.lines, " ")), words(text))
}

// shows reports whether a text stands on the screen in figures of any size.
func (s screen) shows(text string) bool {
	text = strings.ReplaceAll(text, " ", "")
	return slices.ContainsFunc([]draw.Face{draw.Short, draw.Tall, 2 * draw.Tall, 3 * draw.Tall}, func(f draw.Face) bool {
		return s.has(draw.Figures(text, f, draw.Plain, false))
	})
}

// has reports whether a picture stands on the screen with nothing that touches
// it to its left and right.
func (s screen) has(o *draw.Canvas) bool {
	for y := range s.Height - o.Height + 1 {
		for x := range s.Width - o.Width + 1 {
			if s.hasAt(o, x, y) {
				return true
			}
		}
	}
	return false
}

func (s screen) hasAt(o *draw.Canvas, x, y int) bool {
	for row := range o.Height {
		for col := -1; col <= o.Width; col++ {
			a, b := s.At(x+col, y+row).Rune, o.At(col, row).Rune
			if a != b && (a > ' ' || b > ' ') {
				return false
			}
		}
	}
	return true
}
