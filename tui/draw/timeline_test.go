package draw_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/mattn/go-runewidth"
	"pgregory.net/rapid"

	"barline/tui/draw"
)

func TestTimelineLooksAsDrawn(t *testing.T) {
	for name, ascii := range map[string]bool{"timeline": false, "timeline-ascii": true} {
		var pictures []*draw.Canvas
		still := press()
		still.Still = true
		for _, h := range []int{16, 8, 5, 3, 1} {
			pictures = append(pictures, draw.Timeline(80, h, press(), ascii))
		}
		pictures = append(pictures, draw.Timeline(40, 6, press(), ascii), draw.Timeline(80, 9, still, ascii))
		for _, h := range []int{26, 14, 8, 6, 4} {
			pictures = append(pictures, draw.Timeline(100, h, round(), ascii))
		}
		pictures = append(pictures, draw.Timeline(80, 6, everyMark(), ascii))
		golden(t, name, pictures...)
	}
}

// lines returns a picture's rows, blanks at their ends kept.
func lines(c *draw.Canvas) []string {
	all := make([]string, c.Height)
	for y := range all {
		row := make([]rune, c.Width)
		for x := range row {
			row[x] = max(c.At(x, y).Rune, ' ')
		}
		all[y] = string(row)
	}
	return all
}

func column(line, text string) int {
	before, _, found := strings.Cut(line, text)
	if !found {
		return -1
	}
	return len([]rune(before))
}

func TestTallTimelineShowsAllThatIsKnown(t *testing.T) {
	c := draw.Timeline(80, 16, press(), false)
	rows := lines(c)
	clock := column(rows[0], "0:48")
	if clock < 0 {
		t.Fatalf("the clock does not stand above the playhead:\n%s", strings.Join(rows, "\n"))
	}
	head := clock + 2
	for y := 1; y < 13; y++ {
		if cell := c.At(head, y); cell.Role != draw.Now {
			t.Errorf("row %d: the playhead is missing in column %d", y, head)
		}
	}
	if !strings.HasPrefix(rows[1], "210 g ") {
		t.Errorf("the weight is missing: %q", rows[1])
	}
	if label := column(rows[13], "second pour"); label != 6+74*36/140 {
		t.Errorf("'second pour' begins in column %d, want %d where its span does", label, 6+74*36/140)
	}
	for text, at := range map[string]int{"0:00": 0, "0:30": 30, "1:00": 60, "1:30": 90, "2:00": 120} {
		if got, want := column(rows[15], text), 6+74*at/140; got != want {
			t.Errorf("the ruler's %s stands in column %d, want %d", text, got, want)
		}
	}
}

func TestStillPictureHasNoPlayhead(t *testing.T) {
	p := press()
	p.Still = true
	c := draw.Timeline(80, 16, p, false)
	for y := range c.Height {
		for x := range c.Width {
			if cell := c.At(x, y); cell.Role == draw.Now {
				t.Fatalf("%q at %d,%d stands in the role of now", cell.Rune, x, y)
			}
		}
	}
}

func TestLessHeightDropsTheLeastImportantFirst(t *testing.T) {
	has := func(p draw.Picture, h int) string {
		all := strings.Join(lines(draw.Timeline(80, h, p, false)), "\n")
		var found []string
		for name, sign := range map[string]string{
			"bar": "▄▄", "clock": "0:48", "ruler": "1:00", "labels": "second pour", "marks": "▃", "stair": "░",
		} {
			if strings.Contains(all, sign) {
				found = append(found, name)
			}
		}
		slices.Sort(found)
		return strings.Join(found, " ")
	}
	for h, want := range map[int]string{
		1: "bar",
		2: "bar clock",
		3: "bar clock ruler",
		4: "bar clock labels ruler",
		5: "bar clock labels marks ruler",
		7: "bar clock labels marks ruler stair",
	} {
		if got := has(press(), h); got != want {
			t.Errorf("%d rows show %q, want %q", h, got, want)
		}
	}
}

func TestLanesThatDoNotFitAreCounted(t *testing.T) {
	c := draw.Timeline(80, 4, round(), false)
	rows := lines(c)
	if !strings.HasPrefix(rows[0], "press 1") || !strings.HasPrefix(rows[2], "cone") || !strings.HasPrefix(rows[3], "and 3 more") {
		t.Errorf("got\n%s", strings.Join(rows, "\n"))
	}
}

func TestClockAboveThePlayheadIsAlwaysWhole(t *testing.T) {
	for now := 0; now < 60; now++ {
		p := draw.Picture{Now: time.Duration(now) * second, To: 60 * second, Lanes: []draw.Lane{{}}}
		row := lines(draw.Timeline(30, 2, p, false))[0]
		if !strings.Contains(row, fmt.Sprintf("0:%02d", now)) {
			t.Errorf("at %d s the first row is %q", now, row)
		}
	}
	p := draw.Picture{Now: 60 * second, To: 60 * second, Lanes: []draw.Lane{{}}}
	if got := strings.Join(draw.Timeline(30, 2, p, false).Lines(), ""); got != "" {
		t.Errorf("the playhead is out of sight, but %q is drawn", got)
	}
}

func TestTimelineIsNeverLargerThanAsked(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := brews(t)
		for i := range p.Lanes {
			p.Lanes[i].Name = rapid.StringMatching(`[0-9茶]{0,20}`).Draw(t, "name")
		}
		w, h := rapid.IntRange(1, 300).Draw(t, "width"), rapid.IntRange(1, 100).Draw(t, "height")
		ascii := rapid.Bool().Draw(t, "ascii")
		terminal := &runewidth.Condition{EastAsianWidth: ascii} // which the ASCII mode is for
		c := draw.Timeline(w, h, p, ascii)
		if c.Width != w || c.Height != h {
			t.Fatalf("the picture is %d×%d, want %d×%d", c.Width, c.Height, w, h)
		}
		rendered := c.Lines()
		if len(rendered) != h {
			t.Fatalf("%d lines, want %d", len(rendered), h)
		}
		for _, line := range rendered {
			if got := terminal.StringWidth(line); got > w {
				t.Fatalf("line %q is %d cells wide, want at most %d", line, got, w)
			}
		}
	})
}
