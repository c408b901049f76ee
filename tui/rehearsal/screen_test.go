package rehearsal_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"barline/brew/routine"
	"barline/tui/draw"
	"barline/tui/rehearsal"

	"github.com/charmbracelet/x/ansi"
)

var update = flag.Bool("update", false, "write the golden screens anew")

// golden compares a text with a file of the golden screens.
func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", "screens", name)
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

type size struct{ w, h int }

func (s size) String() string { return fmt.Sprintf("%dx%d", s.w, s.h) }

var usual = []size{{80, 24}, {40, 12}, {200, 60}}

// screen is a page as it is seen.
type screen struct {
	t     testing.TB
	lines []string
}

func seen(t testing.TB, p rehearsal.Page) screen {
	t.Helper()
	return screen{t, p.Draw().Lines()}
}

// says reports whether a text stands in one row, or, where it is broken, over
// several.
func (s screen) says(text string) bool {
	joined := strings.Join(strings.Fields(strings.ReplaceAll(strings.Join(s.lines, " "), "| ", "")), " ")
	return strings.Contains(joined, text)
}

// shows reports whether a text stands there in large letters.
func (s screen) shows(text string) bool {
	c := draw.NewCanvas(draw.FiguresWidth(strings.ToUpper(text), draw.Short)+20, int(draw.Short))
	capitals := strings.ReplaceAll(strings.ToUpper(text), " S ", " s ")
	c.Draw(0, 0, draw.Figures(capitals, draw.Short, draw.Plain, false))
	rows := c.Lines()
	for y := 0; y+len(rows) <= len(s.lines); y++ {
		at := strings.Index(s.lines[y], strings.TrimSpace(rows[0]))
		if at >= 0 && strings.Contains(s.lines[y+1], strings.TrimSpace(rows[1])) && strings.Contains(s.lines[y+2], strings.TrimSpace(rows[2])) {
			return true
		}
	}
	return false
}

func (s screen) text() string { return strings.Join(s.lines, "\n") + "\n" }

// scene is a moment of a take, and what must be read from every screen, and
// from those of 80 by 24.
type scene struct {
	name        string
	play        func(t testing.TB, w, h int) *player
	every, wide []string
	never       []string
}

func short(t testing.TB, w, h int) *player {
	return begun(t, w, h, rehearsal.Options{By: "Imre"})
}

var scenes = []scene{
	{name: "ready", play: func(t testing.TB, w, h int) *player {
		return opened(t, w, h, rehearsal.Options{By: "Imre"})
	}, every: []string{"Short lantern", "limit 2:30", "space call time and begin"}, wide: []string{"[ ] left: Rinse the paper", "0:00 Welcome"}},
	{name: "count-in", play: func(t testing.TB, w, h int) *player {
		p := opened(t, w, h, rehearsal.Options{CountIn: 3 * s})
		p.press(" ", 0)
		return p.press("f20", 1)
	}, every: []string{"call time and begin", "Good morning, and"}, never: []string{"next in", "in 0 s"}},
	{name: "first-line", play: func(t testing.TB, w, h int) *player { return short(t, w, h).wait(4) },
		every: []string{"hands free until 0:20", "next in 16 s, left", "Pour to 40 g"}, wide: []string{"2:26 left", "no mark yet", "welcome to the Lantern."}},
	{name: "water-awaited", play: func(t testing.TB, w, h int) *player { return short(t, w, h).wait(23) },
		every: []string{"space at the water", "Pour to 40 g", "next in 8 s", "Swirl gently"}, wide: []string{"+3.0 s behind"}},
	{name: "first-pour", play: func(t testing.TB, w, h int) *player { return short(t, w, h).press(" ", 20.4).wait(24) },
		every: []string{"left has begun +0.4 s", "Pour to 40 g"}, wide: []string{"+0.4 s behind", "22 g to go", "! left: swirl: The rim is hot", "by 0:28"}},
	{name: "pending", play: func(t testing.TB, w, h int) *player { return short(t, w, h).press(" ", 20).wait(32.5) },
		every: []string{"pending: left: bloom, end, for 4 s"}, wide: []string{"+4.5 s behind"}},
	{name: "ahead", play: func(t testing.TB, w, h int) *player { return short(t, w, h).press(" ", 18.5).wait(19) },
		every: []string{"left has begun -1.5 s"}, wide: []string{"-1.5 s ahead"}},
	{name: "second-pour", play: func(t testing.TB, w, h int) *player { return short(t, w, h).perform(58, 0.2) },
		every: []string{"Pour to 150 g"}, wide: []string{"close to the bed, in circles", "The cup, to"}},
	{name: "minute", play: func(t testing.TB, w, h int) *player { return short(t, w, h).perform(92, 0.2) },
		every: []string{"ONE MINUTE LEFT"}, wide: []string{"0:58 left"}},
	{name: "over-time", play: func(t testing.TB, w, h int) *player { return short(t, w, h).perform(153.2, 0.2) },
		every: []string{"space"}, wide: []string{"0:03 over, 4 points", "THE TIME IS UP"}},
	{name: "manual", play: func(t testing.TB, w, h int) *player {
		return begun(t, w, h, rehearsal.Options{Run: routine.Options{To: 2, Manual: true}}).press("l", 1.2).wait(11.5)
	}, every: []string{"hands free until 0:20"}, wide: []string{"l: One coffee, one cup", "+2.3 s behind"}},
	{name: "stop-asked", play: func(t testing.TB, w, h int) *player { return short(t, w, h).wait(6).press("q", 7) },
		every: []string{"y", "r"}, wide: []string{"Stop the take? y stops it, r stops it and begins the next, any other key goes on"}},
	{name: "unsaved", play: func(t testing.TB, w, h int) *player {
		return begun(t, w, h, rehearsal.Options{Recorder: unplugged{}}).press(" ", 20.4)
	}, every: []string{"! not saved: no space left on the disk"}, wide: []string{"[ ] left has begun"}, never: []string{"[x]"}},
	{name: "over", play: func(t testing.TB, w, h int) *player {
		return short(t, w, h).perform(126, 1.2).press("t", 127).press("y", 128)
	},
		every: []string{"finished at", "r the next take"}, wide: []string{"section", "Welcome", "slip of what is said"}},
	{name: "dry", play: func(t testing.TB, w, h int) *player {
		return opened(t, w, h, rehearsal.Options{Plan: planOf(t, "short", true), Dry: true})
	}, every: []string{"Short lantern, dry", "without water"}},
}

// Every scene on the usual screens, with what must be read there. Only texts in
// plain rows count: on the largest screen what is said is drawn.
func TestScreens(t *testing.T) {
	for _, sc := range scenes {
		for _, size := range usual {
			t.Run(sc.name+"-"+size.String(), func(t *testing.T) {
				s := seen(t, sc.play(t, size.w, size.h).page)
				golden(t, fmt.Sprintf("%s-%s.txt", sc.name, size), s.text())
				want := sc.every
				if size == usual[0] {
					want = append(want[:len(want):len(want)], sc.wide...)
				}
				if size == usual[2] && sc.name != "ready" && sc.name != "over" && sc.name != "dry" {
					want = nil // the words are in large letters; those of 80 by 24 are the same
				}
				for _, text := range want {
					if !s.says(text) {
						t.Errorf("%q is not there:\n%s", text, s.text())
					}
				}
				for _, text := range sc.never {
					if s.says(text) {
						t.Errorf("%q is there", text)
					}
				}
				for _, line := range s.lines {
					if a, b := draw.Width(line), ansi.StringWidth(line); a > size.w || a != b {
						t.Errorf("%q takes %d cells by our count and %d by the library's", line, a, b)
					}
				}
			})
		}
	}
}
