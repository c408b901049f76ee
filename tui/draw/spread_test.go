package draw_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"barline/tui/draw"

	"pgregory.net/rapid"
)

// heaped heaps values of which each comes once for every time it is named.
func heaped(values ...float64) []draw.Heap {
	var out []draw.Heap
	for _, v := range values {
		if n := len(out); n > 0 && out[n-1].At == v {
			out[n-1].N++
			continue
		}
		out = append(out, draw.Heap{At: v, N: 1})
	}
	return out
}

func three(values ...float64) draw.Spread {
	return draw.Spread{Heaps: heaped(values...), Low: -3, High: 3, HasWindow: true}
}

// bell is many values around a middle, a tenth apart.
func bell(middle float64) draw.Spread {
	s := draw.Spread{Low: -3, High: 3, HasWindow: true}
	for i := -25; i <= 25; i++ {
		s.Heaps = append(s.Heaps, draw.Heap{At: middle + float64(i)/10, N: 1 + (25-i)*(25+i)/10})
	}
	return s
}

// signed is how the tests write a figure.
func signed(v float64) string { return fmt.Sprintf("%+.1f s", v) }

func strip(s draw.Spread, width int) string {
	return draw.Strip(width, 1, s, false).Lines()[0]
}

func TestStripsAgainstTheirWindow(t *testing.T) {
	var pictures []*draw.Canvas
	spreads := []draw.Spread{
		bell(0), bell(2.2), three(-9, 0, 9), three(),
		{Heaps: heaped(0, 0.5, 1, 6), High: 5, HasWindow: true}, // to one side only
		{Heaps: heaped(-4, 0, 1, 12)},                           // no window
	}
	for _, ascii := range []bool{false, true} {
		for _, s := range spreads {
			pictures = append(pictures, draw.Strip(40, 1, s, ascii), draw.Strip(40, 4, s, ascii), draw.StripAxis(40, s, signed))
		}
	}
	golden(t, "strip", pictures...)
	for name, c := range map[string]struct{ got, want string }{
		"the window is the middle half":           {strip(three(), 22), "     [     :    ]"},
		"a value on an edge is inside":            {strip(three(-3, 3), 22), "     [█    :   █]"},
		"the next tenth is outside":               {strip(three(-3.1, 3.1), 22), "    █[     :    ]█"},
		"what lies beyond is a sign at its end":   {strip(three(-60, 60), 22), "<    [     :    ]    >"},
		"heights go by the fullest column":        {strip(three(0.3, 0.3, 0.3, 0.3, 1.5, 1.5), 22), "     [     █ ▄  ]"},
		"one of many is still seen":               {strip(draw.Spread{Heaps: []draw.Heap{{At: -1.5, N: 1}, {At: 0.3, N: 1000}}, Low: -3, High: 3, HasWindow: true}, 22), "     [  ▁  █    ]"},
		"without a window from end to end":        {strip(draw.Spread{Heaps: heaped(-1, 2)}, 9), "█  :    █"},
		"too narrow for a window it is blank":     {strip(three(0), 4), ""},
		"a window without a length has a picture": {strip(draw.Spread{Heaps: heaped(0), HasWindow: true}, 10), "  [ ██ ]"},
	} {
		if c.got != c.want {
			t.Errorf("%s: %q, want %q", name, c.got, c.want)
		}
	}
}

// The axis writes what its figures stand for below their columns.
func TestTheAxisOfAStrip(t *testing.T) {
	for name, c := range map[string]struct {
		s     draw.Spread
		width int
		want  string
	}{
		"edges and zero":              {three(0), 40, "      -3.0 s    +0.0 s    +3.0 s"},
		"no zero without room for it": {three(0), 16, "-3.0 s  +3.0 s"},
		"to one side":                 {draw.Spread{Heaps: heaped(1), High: 5, HasWindow: true}, 40, "      +0.0 s              +5.0 s"},
		"without a window":            {draw.Spread{Heaps: heaped(-1, 2)}, 30, "-1.0 s +0.0 s           +2.0 s"},
		"of nothing":                  {draw.Spread{}, 30, ""},
	} {
		if got := draw.StripAxis(c.width, c.s, signed).Lines()[0]; got != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
}

// What is outside stands outside its edge, whatever the sizes, and the edges
// stand where they would without values.
func TestStripsHoldTheirWindow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		width, height := rapid.IntRange(-1, 120).Draw(t, "width"), rapid.IntRange(-1, 6).Draw(t, "height")
		low, high := rapid.IntRange(0, 200).Draw(t, "low"), rapid.IntRange(0, 200).Draw(t, "high")
		s := draw.Spread{Low: -float64(low) / 10, High: float64(high) / 10, HasWindow: rapid.Bool().Draw(t, "windowed")}
		at := rapid.IntRange(-900, 900).Draw(t, "at")
		s.Heaps = []draw.Heap{{At: float64(at) / 10, N: rapid.IntRange(1, 1e6).Draw(t, "n")}}
		ascii := rapid.Bool().Draw(t, "ascii")
		c := draw.Strip(width, height, s, ascii)
		if c.Width != max(width, 0) || c.Height != max(height, 0) {
			t.Fatalf("%d by %d", c.Width, c.Height)
		}
		if len(draw.StripAxis(width, s, signed).Lines()[0]) > max(width, 0) {
			t.Fatal("the axis is too wide")
		}
		if width < 5 || height < 1 || !s.HasWindow || low+high == 0 {
			return
		}
		row := []rune(c.Lines()[height-1] + strings.Repeat(" ", width))
		from, to := slices.Index(row, '['), -1
		pillar := -1
		for x, r := range row {
			switch {
			case r == ']':
				to = x
			case r != ' ' && r != '[' && r != ':' || ascii && r == ':' && c.At(x, height-1).Role != draw.Faint:
				pillar = x
			}
		}
		if inside := -low <= at && at <= high; (from < pillar && pillar < to) != inside {
			t.Fatalf("%d in %d to %d: %q", at, -low, high, string(row))
		}
		empty := draw.Strip(width, height, draw.Spread{Low: s.Low, High: s.High, HasWindow: true}, ascii)
		if empty.At(from, 0).Rune != '[' || empty.At(to, 0).Rune != ']' {
			t.Fatal("the edges move with the values")
		}
	})
}

// Columns about as narrow as a tenth are not full by turns.
func TestAnEvenSpreadLooksEven(t *testing.T) {
	s := draw.Spread{Low: -3, High: 3, HasWindow: true}
	for i := -30; i <= 30; i++ {
		s.Heaps = append(s.Heaps, draw.Heap{At: float64(i) / 10, N: 100})
	}
	for width := 30; width < 200; width += 7 {
		line := strings.Trim(strip(s, width), "[] ")
		if inner := strings.Trim(line, "▁▂▃▄▅▆▇█"); inner != "" {
			t.Errorf("%d: %q", width, line)
		}
		for _, r := range []rune(line)[1 : len([]rune(line))-1] {
			if r < '▇' {
				t.Errorf("at a width of %d a column is but %c high: %q", width, r, line)
				break
			}
		}
	}
}

func TestSharesWithTheirInterval(t *testing.T) {
	bar := func(width int, share, low, high float64) string {
		return draw.Share(width, share, low, high, draw.OnTime, false).Lines()[0]
	}
	for name, c := range map[string]struct{ got, want string }{
		"between its ends":               {bar(20, 0.5, 0.3, 0.7), "██████[███░░░░]░░░░░"},
		"all":                            {bar(20, 1, 0.8, 1), "████████████████[██]"},
		"none":                           {bar(20, 0, 0, 0.2), "[░░░]░░░░░░░░░░░░░░░"},
		"ends in one cell are the lower": {bar(10, 0.95, 0.93, 0.98), "█████████["},
		"no interval":                    {bar(10, 0.5, -1, 2), "█████░░░░░"},
		"the upper end alone":            {bar(10, 0.5, -1, 0.8), "█████░░░]░"},
		"no room":                        {bar(0, 0.5, 0.3, 0.7), ""},
	} {
		if c.got != c.want {
			t.Errorf("%s: %q, want %q", name, c.got, c.want)
		}
	}
	if got := draw.Share(10, 0.55, 0.2, 0.8, draw.OnTime, true).Lines()[0]; got != "##[##...]." {
		t.Errorf("as ASCII: %q", got)
	}
}
