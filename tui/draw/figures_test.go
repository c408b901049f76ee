package draw_test

import (
	"strings"
	"testing"

	"github.com/mattn/go-runewidth"
	"pgregory.net/rapid"

	"barline/tui/draw"
)

const (
	digits  = "0123456789"
	letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
	others  = ":.+-%/?gs"
)

var faces = []draw.Face{draw.Short, draw.Tall, 2 * draw.Tall, 3 * draw.Tall}

func TestFiguresLookAsDrawn(t *testing.T) {
	for name, ascii := range map[string]bool{"figures": false, "figures-ascii": true} {
		var pictures []*draw.Canvas
		for _, f := range []draw.Face{draw.Short, draw.Tall, 2 * draw.Tall} {
			for _, text := range []string{digits, letters[:13], letters[13:], others, "1:12 210 g", "DRAWDOWN"} {
				pictures = append(pictures, draw.Figures(text, f, draw.Strong, ascii))
			}
		}
		golden(t, name, pictures...)
	}
}

func TestDigitsAreEquallyWideSoThatAClockStandsStill(t *testing.T) {
	for _, f := range faces {
		for _, r := range digits {
			if got, want := draw.FiguresWidth(string(r), f), draw.FiguresWidth("0", f); got != want {
				t.Errorf("face %d: %c is %d columns wide, 0 is %d", f, r, got, want)
			}
		}
		if got, want := draw.FiguresWidth("1:11", f), draw.FiguresWidth("8:88", f); got != want {
			t.Errorf("face %d: 1:11 is %d columns wide, 8:88 is %d", f, got, want)
		}
	}
}

// pixels returns the pixels of a character in a grid, two rows to a cell.
func pixels(r rune, f draw.Face, ascii bool) string {
	c := draw.Figures(string(r), f, draw.Plain, ascii)
	var b strings.Builder
	for y := range c.Height {
		for _, set := range []string{"▀█#", "▄█#"} {
			for x := range c.Width {
				if r := c.At(x, y).Rune; r != 0 && strings.ContainsRune(set, r) {
					b.WriteByte('#')
				} else {
					b.WriteByte('.')
				}
			}
			b.WriteByte('\n')
		}
	}
	return b.String()
}

func TestEveryCharacterIsDrawnAndNoTwoAlike(t *testing.T) {
	for _, f := range faces {
		for _, ascii := range []bool{false, true} {
			if f == draw.Short && ascii {
				continue // plain text
			}
			seen := map[string]rune{}
			for _, r := range digits + letters + others {
				p := pixels(r, f, ascii)
				if !strings.Contains(p, "#") {
					t.Errorf("face %d, ascii %v: %c is blank", f, ascii, r)
				}
				if twin, ok := seen[p]; ok && string(twin)+string(r) != "0O" {
					t.Errorf("face %d, ascii %v: %c looks like %c", f, ascii, r, twin)
				}
				seen[p] = r
			}
		}
	}
}

// Figures that are mixed up from afar must differ in a good part of their
// box: the digits of a running clock in one pixel of sixteen, letters and
// digits, which never stand in one place, in one of forty.
func TestFiguresThatAreMixedUpFromAfarDiffer(t *testing.T) {
	apart := func(pairs []string, share int) {
		for _, pair := range pairs {
			for _, f := range faces {
				a, b := pixels(rune(pair[0]), f, false), pixels(rune(pair[1]), f, false)
				if len(a) != len(b) {
					continue // told apart by their widths
				}
				different := 0
				for i := range a {
					if a[i] != b[i] {
						different++
					}
				}
				if share*different < len(a) {
					t.Errorf("face %d: %s differ in %d of %d pixels", f, pair, different, len(a))
				}
			}
		}
	}
	var clock []string
	for i, a := range digits {
		for _, b := range digits[i+1:] {
			clock = append(clock, string(a)+string(b))
		}
	}
	apart(clock, 16)
	apart([]string{"2Z", "5S", "8B", "6G", "OD", "PR", "UO", "CG", "EF"}, 40)
}

func TestSmallLettersAreDrawnAsCapitalsAndStrangersAsSpaces(t *testing.T) {
	same := func(a, b string) {
		t.Helper()
		got := draw.Figures(a, draw.Tall, draw.Strong, false).Render(draw.Theme{})
		if want := draw.Figures(b, draw.Tall, draw.Strong, false).Render(draw.Theme{}); got != want {
			t.Errorf("%q is drawn as\n%s\nnot as %q:\n%s", a, got, b, want)
		}
	}
	same("pour", "POUR")
	same("1€2", "1 2")
	same("\x1b", " ")
}

func TestAsciiHasNoShortFace(t *testing.T) {
	got := draw.Figures("1:12", draw.Short, draw.Strong, true).Lines()
	if got[0] != "" || got[1] != "1:12" || got[2] != "" {
		t.Errorf("got %q, want the text on the middle row", got)
	}
	if f := draw.FaceFor("1:12", 80, 4, true); f != draw.Line {
		t.Errorf("four rows in ASCII mode get face %d, want plain text", f)
	}
}

func TestFaceForTakesTheLargestThatFits(t *testing.T) {
	for _, c := range []struct {
		text          string
		width, height int
		want          draw.Face
	}{
		{"1:12", 80, 24, 10}, // 58 columns
		{"1:12", 80, 9, 5},
		{"1:12", 203, 60, 35}, // 7 times 29 columns
		{"1:12", 202, 60, 30},
		{"1:12", 29, 60, 5},
		{"1:12", 28, 60, 3},
		{"1:12", 16, 60, 3},
		{"1:12", 15, 60, 1},
		{"1:12", 80, 2, 1},
		{"DRAWDOWN", 80, 5, 5},
		{"BYPASS", 40, 5, 3},
		{"", 0, 0, 1},
	} {
		if got := draw.FaceFor(c.text, c.width, c.height, false); got != c.want {
			t.Errorf("%q in %d×%d gets face %d, want %d", c.text, c.width, c.height, got, c.want)
		}
	}
}

func TestAFaceThatWasChosenFits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[0-9A-Zgs:.+% -]{1,12}`).Draw(t, "text")
		w, h := rapid.IntRange(0, 300).Draw(t, "width"), rapid.IntRange(0, 100).Draw(t, "height")
		ascii := rapid.Bool().Draw(t, "ascii")
		f := draw.FaceFor(text, w, h, ascii)
		c := draw.Figures(text, f, draw.Plain, ascii)
		if c.Width != draw.FiguresWidth(text, f) || c.Height != int(f) {
			t.Fatalf("face %d is %d×%d, want %d×%d", f, c.Width, c.Height, draw.FiguresWidth(text, f), f)
		}
		if f > draw.Line && (c.Width > w || c.Height > h) {
			t.Fatalf("face %d is %d×%d, too large for %d×%d", f, c.Width, c.Height, w, h)
		}
		if next := max(f, 0) / draw.Tall * draw.Tall; int(next+draw.Tall) <= h && draw.FiguresWidth(text, next+draw.Tall) <= w {
			t.Fatalf("face %d was chosen, but %d fits %d×%d as well", f, next+draw.Tall, w, h)
		}
	})
}

// pictured returns every character that the package draws by itself.
func pictured(ascii bool) map[rune]bool {
	all := map[rune]bool{}
	add := func(c *draw.Canvas) {
		for y := range c.Height {
			for x := range c.Width {
				if r := c.At(x, y).Rune; r != 0 {
					all[r] = true
				}
			}
		}
	}
	for _, f := range faces {
		add(draw.Figures(digits+letters+others, f, draw.Plain, ascii))
	}
	for h := range 30 {
		add(draw.Timeline(97, h, press(), ascii))
		add(draw.Timeline(97, h, round(), ascii))
		add(draw.Timeline(97, h, everyMark(), ascii))
	}
	for i := range 100 {
		add(draw.Meter(13, float64(i)/100, 0.6, draw.Now, ascii))
	}
	return all
}

func TestEveryCharacterIsOneCellWide(t *testing.T) {
	narrow := &runewidth.Condition{}
	wide := &runewidth.Condition{EastAsianWidth: true}
	for r := range pictured(false) {
		if w := narrow.RuneWidth(r); w != 1 {
			t.Errorf("%q is %d cells wide", r, w)
		}
	}
	for r := range pictured(true) {
		if r >= 0x7f {
			t.Errorf("ASCII mode draws %q", r)
		}
		if w := wide.RuneWidth(r); w != 1 {
			t.Errorf("ASCII mode: %q is %d cells wide", r, w)
		}
	}
	if wide.RuneWidth('█') == 1 {
		t.Error("block elements are one cell wide everywhere: the doc of WideBlocks is out of date")
	}
}
