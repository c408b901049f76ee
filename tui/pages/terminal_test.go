package pages_test

import (
	"fmt"
	"strconv"
	"strings"
	"testing"
	"time"

	"barline/tui/draw"
	"barline/tui/live"
	"barline/tui/pages"
	"barline/tui/probe"

	bubbles "github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/charmbracelet/x/vt"
	"github.com/muesli/termenv"
)

var facts = probe.Facts{
	Barline: "v1.2.3", Go: "go1.26.8", System: "linux/amd64", Terminal: true, Term: "xterm-256color", UTF8: true,
	Colours: "256", Ground: "dark", Bell: true, MarkKeys: []string{"space", "enter", "page-down"},
}

// looker is the page, with the commands that it has given and that nobody has
// run.
type looker struct {
	page  pages.Terminal
	rings int
	disks int
}

// lookAt opens the page without anybody to ask, and has the disk measured.
func lookAt(f probe.Facts, w, h int) *looker {
	l := &looker{}
	mark := live.DefaultKeys().Mark
	l.page = pages.NewTerminal(pages.TerminalOptions{
		Facts: f, Keys: pages.NewTerminalKeys(mark), Synced: func() bool { return false },
		Ring: func(strokes int) { l.rings += strokes },
		Journal: func() probe.Writes {
			l.disks++
			return probe.Writes{Spread: probe.Spread{N: 50, P50: 340 * time.Microsecond, P99: 1200 * time.Microsecond, Max: 4 * time.Millisecond}}
		},
	})
	l.resize(w, h)
	return l
}

func (l *looker) resize(w, h int) {
	page, cmd := l.page.Resize(w, h, true)
	l.page = page
	l.run(cmd)
}

// run runs a command and whatever follows from it.
func (l *looker) run(cmd tea.Cmd) {
	for cmd != nil {
		l.page, cmd = l.page.Update(cmd())
	}
}

func (l *looker) press(name string, at time.Duration) *looker {
	k := key(name)
	if name == " " {
		k.KeyMsg = tea.KeyMsg{Type: tea.KeySpace, Runes: []rune(" ")}
	}
	k.At = at
	var cmd tea.Cmd
	l.page, cmd = l.page.Update(k)
	l.run(cmd)
	return l
}

// to scrolls down until a part stands at the top, or the end is in sight.
func (l *looker) to(part string) {
	for i := range 20 {
		if strings.HasPrefix(l.page.Draw().Lines()[1], part) {
			return
		}
		l.press("down", time.Duration(i+1)*time.Second)
	}
}

// held holds a key down for some time.
func (l *looker) held(name string, at time.Duration) *looker {
	l.press(name, at)
	for i := range 30 {
		l.press(name, at+400*time.Millisecond+time.Duration(i)*33*time.Millisecond)
	}
	return l
}

func TestTerminalScreens(t *testing.T) {
	ascii := facts
	ascii.UTF8, ascii.ASCII, ascii.Colours, ascii.NoColor = false, true, probe.NoColours, true
	for name, c := range map[string]struct {
		facts  probe.Facts
		do     func(l *looker)
		narrow []string // on every screen of the three sizes
		wide   []string // on those of 80 by 24 and more
		all    []string // on that of 200 by 60
		never  []string
	}{
		"opened": {
			facts, func(*looker) {},
			[]string{"barline terminal", "barline: v1.2.3", "q leave", "measured"},
			[]string{"locale is UTF-8: yes", "colours used: 256", "on time", "caution", "15██", "down more?"},
			[]string{"|▁▂▃▄▅▆▇█  |", "#####", "█▀▄", "bell: on", "last key: none yet", "durable write: p50 0.34 ms, p99 1.2 ms, max 4.0 ms (50 events)", "width of signs: not measured: answers cannot be told"},
			nil,
		},
		"characters": {
			facts, func(l *looker) { l.to("characters") },
			[]string{"|1234567890|", "|█▀▄       |", "|▁▂▃▄▅▆▇█  |"},
			[]string{"|°         |", "figures made of: block elements", "▄█████▄"},
			nil, nil,
		},
		"figures": {
			facts, func(l *looker) { l.to("figures") },
			[]string{"are they whole", "#####", "▄█████▄"},
			[]string{"key held down: none was held down"},
			nil, nil,
		},
		"mark-key": {
			facts, func(l *looker) { l.held(" ", time.Second) },
			[]string{"last key: space, a mark key", "marks pressed: once", "space repeats after 400 ms, then every 33 ms"},
			[]string{"taken as one mark, as it should be"},
			nil, nil,
		},
		"foot-switch": {
			facts, func(l *looker) { l.press("7", time.Second).held(" ", 3*time.Second).press("7", 9*time.Second) },
			[]string{"last key: 7, which does not mark", "marks pressed: once"},
			nil, nil, nil,
		},
		"without": {
			ascii, func(l *looker) { l.to("characters") },
			[]string{"not measured"},
			[]string{"figures made of: ASCII characters", "##   ##"},
			[]string{"colours used: none", "locale is UTF-8: no", "NO_COLOR: set"},
			[]string{"█", "▄", "15##"},
		},
	} {
		t.Run(name, func(t *testing.T) {
			var file strings.Builder
			for _, size := range sizes {
				l := lookAt(c.facts, size[0], size[1])
				c.do(l)
				canvas := l.page.Draw()
				lines := canvas.Lines()
				fmt.Fprintf(&file, "-- %dx%d --\n%s\n", size[0], size[1], strings.Join(lines, "\n"))
				if canvas.Width != size[0] || canvas.Height != size[1] {
					t.Errorf("%d by %d on a screen of %v", canvas.Width, canvas.Height, size)
				}
				if above := len(lines) - 2; strings.TrimSpace(lines[above]) != "" {
					t.Errorf("the row above the keys, where the terminal is asked, holds %q", lines[above])
				}
				said := strings.Join(strings.Fields(strings.Join(lines, " ")), " ")
				must := func(texts []string) {
					for _, text := range texts {
						text, some := strings.CutSuffix(text, "?")
						if some && size[1] > 24 {
							continue
						}
						if text = strings.Join(strings.Fields(text), " "); !strings.Contains(said, text) {
							t.Errorf("%q is not on the screen of %v:\n%s", text, size, strings.Join(lines, "\n"))
						}
					}
				}
				if size[0] >= 40 {
					must(c.narrow)
				}
				if size[0] >= 80 {
					must(c.wide)
				}
				if size[0] >= 200 {
					must(c.all)
				}
				for _, text := range c.never {
					if strings.Contains(said, text) {
						t.Errorf("%q is on the screen of %v", text, size)
					}
				}
			}
			golden(t, "terminal-"+name+".txt", file.String())
		})
	}
}

// On every screen, however small, all lines of the report can be reached.
func TestAllOfTheReportCanBeScrolledTo(t *testing.T) {
	for _, size := range [][2]int{{80, 24}, {40, 12}, {200, 60}, {60, 14}} {
		l := lookAt(facts, size[0], size[1])
		seen := ""
		for i := range 20 {
			seen += " " + strings.Join(l.page.Draw().Lines(), " ")
			l.press("down", time.Duration(i)*time.Second)
		}
		seen = strings.Join(strings.Fields(seen), " ")
		for _, part := range l.page.Report().Parts() {
			for _, line := range part.Lines {
				if want := strings.Join(strings.Fields(line.Name+": "+line.Value), " "); !strings.Contains(seen, want) {
					t.Errorf("%q is nowhere on a screen of %v", want, size)
				}
			}
		}
	}
}

func TestNoScreenIsTooSmall(t *testing.T) {
	for w := 0; w < 90; w = w*5/4 + 1 {
		for _, h := range []int{0, 1, 2, 3, 4, 5, 6, 12, 24, 70} {
			l := lookAt(facts, w, h)
			l.held(" ", time.Second).press("b", 9*time.Second).press("down", 10*time.Second)
			for _, line := range strings.Split(ansi.Strip(l.page.Render(draw.NewTheme(true, termenv.ANSI256))), "\n") {
				if draw.Width(line) > w {
					t.Fatalf("%q is wider than %d", line, w)
				}
			}
		}
	}
}

func TestTheBellRingsOncePerPress(t *testing.T) {
	l := lookAt(facts, 80, 24)
	l.held("b", time.Second)
	if l.rings != 2 || l.page.Report().Rings != 1 {
		t.Errorf("%d strokes, %d times, for one key held down", l.rings, l.page.Report().Rings)
	}
	if l.press("b", 9*time.Second); l.rings != 4 || l.page.Report().Rings != 2 {
		t.Errorf("%d strokes, %d times, for two", l.rings, l.page.Report().Rings)
	}
	muted := facts
	muted.Bell = false
	l = lookAt(muted, 80, 24)
	if l.press("b", time.Second); l.rings != 0 || strings.Contains(strings.Join(l.page.Draw().Lines(), "\n"), "b bell") {
		t.Error("the bell rings though the configuration says it must not")
	}
}

func TestAgainMeasuresAnew(t *testing.T) {
	l := lookAt(facts, 80, 24)
	if l.press("a", time.Second); l.disks != 2 {
		t.Errorf("the disk was measured %d times, want 2", l.disks)
	}
	if l.resize(40, 12); l.disks != 2 || l.page.Report().Width != 40 {
		t.Errorf("another size has the disk measured %d times, and is %d wide", l.disks, l.page.Report().Width)
	}
}

// A change of the size leaves the person at the part that was turned to.
func TestAnotherSizeShowsTheSamePart(t *testing.T) {
	l := lookAt(facts, 40, 12)
	l.to("figures")
	for _, size := range [][2]int{{80, 24}, {40, 12}, {60, 14}, {40, 12}} {
		if l.resize(size[0], size[1]); !strings.HasPrefix(l.page.Draw().Lines()[1], "figures") {
			t.Errorf("at %v stands\n%s", size, strings.Join(l.page.Draw().Lines(), "\n"))
		}
	}
	if l.resize(200, 60); !strings.HasPrefix(l.page.Draw().Lines()[1], "what is known") {
		t.Error("a screen with room for all does not show all")
	}
}

func TestATerminalThatDoesNotTellItsSize(t *testing.T) {
	l := lookAt(facts, 80, 24)
	l.page, _ = l.page.Resize(80, 24, false)
	if r := l.page.Report(); r.Width != 0 || r.Height != 0 || l.page.Draw().Width != 80 {
		t.Errorf("%d by %d is reported", r.Width, r.Height)
	}
}

func TestLeavingIsAskedFor(t *testing.T) {
	for _, name := range []string{"q", "ctrl+c"} {
		l := lookAt(facts, 80, 24)
		_, cmd := l.page.Update(key(name))
		if cmd == nil || cmd() != (pages.LeftMsg{}) {
			t.Errorf("%s does not leave", name)
		}
	}
	l := lookAt(facts, 80, 24)
	if _, cmd := l.page.Update(key("esc")); cmd != nil {
		t.Error("a lone escape, which may be a piece of an answer, does something")
	}
}

// A key that marks is there to be tried, whatever else it would be here.
func TestAMarkKeyDoesNothingElse(t *testing.T) {
	mark := marking("b", "a", "7")
	k := pages.NewTerminalKeys(mark)
	page := pages.NewTerminal(pages.TerminalOptions{Facts: facts, Keys: k, Ring: func(int) { t.Error("rang") }, Journal: func() probe.Writes { return probe.Writes{} }})
	page, _ = page.Resize(80, 24, true)
	for i, name := range []string{"b", "a", "7"} {
		press := key(name)
		press.At = time.Duration(i+1) * time.Second
		var cmd tea.Cmd
		if page, cmd = page.Update(press); cmd != nil {
			t.Errorf("%s does something", name)
		}
	}
	if h := page.Report().Hand; h.Presses != 3 || h.Key != "7" {
		t.Errorf("%d marks, the last by %s", h.Presses, h.Key)
	}
	bound := map[string]bool{}
	for _, b := range k.Bindings() {
		for _, name := range b.Keys() {
			if bound[name] {
				t.Errorf("%s is bound twice", name)
			}
			bound[name] = true
		}
		if b.Help().Key == "" || b.Help().Desc == "" || !bound[b.Help().Key] && b.Help().Key != "mark" {
			t.Errorf("%q has the help %q", b.Keys(), b.Help())
		}
	}
	if !bound["s"] || !bound["z"] {
		t.Error("no other key rings the bell, or measures again")
	}
	pasted := key("b")
	pasted.Paste = true
	if page, _ = page.Update(pasted); page.Report().Hand.Presses != 3 || page.Report().Hand.Key != "7" {
		t.Error("a paste is taken for a key")
	}
}

// marking is a binding of keys that mark.
func marking(names ...string) bubbles.Binding {
	return bubbles.NewBinding(bubbles.WithKeys(names...), bubbles.WithHelp("mark", "mark"))
}

// The basic colours are those of the terminal: seen through an emulator, each
// number stands beside its own.
func TestTheBasicColoursAreTheTerminals(t *testing.T) {
	for _, size := range [][2]int{{80, 24}, {40, 12}} {
		l := lookAt(facts, size[0], size[1])
		l.to("colours")
		screen := vt.NewEmulator(size[0], size[1])
		defer screen.Close()
		screen.WriteString(strings.ReplaceAll(l.page.Render(draw.NewTheme(true, termenv.ANSI256)), "\n", "\r\n"))
		seen := 0
		for y := range size[1] {
			for x := 2; x < size[0]; x++ {
				cell := screen.CellAt(x, y)
				before := screen.CellAt(x-2, y).Content + screen.CellAt(x-1, y).Content
				n, err := strconv.Atoi(strings.TrimSpace(before))
				if err != nil || cell.Content != "█" {
					continue
				}
				if cell.Style.Fg != ansi.BasicColor(n) {
					t.Errorf("beside %d stands %v", n, cell.Style.Fg)
				}
				seen++
			}
		}
		if seen != 16 {
			t.Errorf("%d colours on a screen of %v, want 16:\n%s", seen, size, screen)
		}
	}
}
