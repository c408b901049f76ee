package draw_test

import (
	"strings"
	"testing"

	"barline/tui/draw"
)

func TestWaterIsSolidBehindThePlayheadAndShadedAhead(t *testing.T) {
	for _, ascii := range []bool{false, true} {
		c := draw.Timeline(80, 16, press(), ascii)
		head := column(lines(c)[0], "0:48") + 2
		solid, shade := "▁▂▃▄▅▆▇█", "░"
		if ascii {
			solid, shade = ".#", ":"
		}
		bottom := 10 // its last row
		for x := 6; x < 80; x++ {
			want := solid
			if x > head {
				want = shade
			}
			if r := c.At(x, bottom).Rune; x != head && !strings.ContainsRune(want, r) {
				t.Errorf("ascii %v, column %d: %q, want one of %q", ascii, x, r, want)
			}
		}
		if r := c.At(79, 1).Rune; !strings.ContainsRune(shade, r) {
			t.Errorf("ascii %v: the full weight does not reach the top row: %q", ascii, r)
		}
	}
}

// The height of the stair is read off the picture, in eighths of a row.
func TestStairStandsAsHighAsItsWater(t *testing.T) {
	p := draw.Picture{Still: true, To: 100 * second, Lanes: []draw.Lane{{
		Stair: []draw.Level{{0, 0}, {50 * second, 100}, {50 * second, 120}, {75 * second, 120}, {75 * second, 200}},
	}}}
	c := draw.Timeline(106, 8, p, false) // 100 columns of a second each, 4 rows of stair
	stair := 0
	for y := range c.Height {
		if c.At(105, y).Role == draw.Water {
			stair++
		}
	}
	for second, grams := range map[int]float64{10: 21, 30: 61, 49: 99, 50: 120, 70: 120, 75: 200, 99: 200} {
		eighths := 0
		for y := range stair {
			if r := c.At(6+second, y).Rune; r != 0 {
				eighths += int(r-'▁') + 1
			}
		}
		if want := int(grams/200*float64(8*stair) + 0.5); eighths != want {
			t.Errorf("at %d s the water stands %d eighths high, want %d of %d", second, eighths, want, 8*stair)
		}
	}
}

func TestALittleWaterToComeIsALine(t *testing.T) {
	p := draw.Picture{To: 100 * second, Lanes: []draw.Lane{{Stair: []draw.Level{{0, 0}, {10 * second, 3}, {50 * second, 3}, {60 * second, 200}}}}}
	c := draw.Timeline(106, 10, p, false)
	if r := c.At(36, 5).Rune; r != '▁' {
		t.Errorf("3 g to come are drawn as %q", r)
	}
	if r := c.At(100, 5).Rune; r != '░' {
		t.Errorf("200 g to come are drawn as %q", r)
	}
}
