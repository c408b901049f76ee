package draw_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"barline/tui/draw"
)

func TestWideCharactersNeverTearARow(t *testing.T) {
	for name, c := range map[string]struct {
		draw func(c *draw.Canvas)
		want string
	}{
		"a wide character takes two cells":           {func(c *draw.Canvas) { c.Text(0, 0, "a茶b", draw.Plain) }, "a茶b"},
		"one that does not fit is left out":          {func(c *draw.Canvas) { c.Text(0, 0, "abcde茶", draw.Plain) }, "abcde"},
		"its right half is overwritten":              {func(c *draw.Canvas) { c.Text(0, 0, "茶茶", draw.Plain); c.Set(1, 0, 'x', draw.Plain) }, " x茶"},
		"its left half is overwritten":               {func(c *draw.Canvas) { c.Text(0, 0, "茶茶b", draw.Plain); c.Set(2, 0, 'x', draw.Plain) }, "茶x b"},
		"two are overwritten by one between":         {func(c *draw.Canvas) { c.Text(0, 0, "茶茶", draw.Plain); c.Text(1, 0, "豆", draw.Plain) }, " 豆"},
		"one hangs over the left edge":               {func(c *draw.Canvas) { c.Text(-1, 0, "茶b", draw.Plain) }, " b"},
		"a canvas with one is drawn over the right":  {func(c *draw.Canvas) { c.Draw(5, 0, wide()) }, ""},
		"a canvas with one is drawn over the left":   {func(c *draw.Canvas) { c.Draw(-1, 0, wide()) }, ""},
		"a canvas with one is drawn whole":           {func(c *draw.Canvas) { c.Draw(2, 0, wide()) }, "  茶"},
		"controls and joiners are dropped":           {func(c *draw.Canvas) { c.Text(0, 0, "a\x1b\x00\t\x7f\n\u200d\u0301\u009bb", draw.Plain) }, "ab"},
		"text ends before a column":                  {func(c *draw.Canvas) { c.Right(6, 0, "12 g", draw.Plain) }, "  12 g"},
		"text that is too long for the left is cut":  {func(c *draw.Canvas) { c.Right(2, 0, "1234", draw.Plain) }, "34"},
		"text above and below is nowhere to be seen": {func(c *draw.Canvas) { c.Text(0, -1, "茶", draw.Plain); c.Text(0, 1, "茶", draw.Plain) }, ""},
	} {
		canvas := draw.NewCanvas(6, 1)
		c.draw(canvas)
		if got := canvas.Render(draw.Theme{}); got != c.want {
			t.Errorf("%s: got %q, want %q", name, got, c.want)
		}
	}
}

func wide() *draw.Canvas {
	c := draw.NewCanvas(2, 1)
	c.Text(0, 0, "茶", draw.Plain)
	return c
}

func TestFitMarksWhereItCut(t *testing.T) {
	for _, c := range []struct {
		text  string
		width int
		want  string
	}{
		{"bloom", 5, "bloom"}, {"bloom", 4, "blo~"}, {"bloom", 1, "~"}, {"bloom", 0, ""}, {"bloom", -3, ""},
		{"茶茶", 4, "茶茶"}, {"茶茶", 3, "茶~"}, {"茶茶", 2, "~"},
	} {
		if got := draw.Fit(c.text, c.width); got != c.want {
			t.Errorf("Fit(%q, %d) = %q, want %q", c.text, c.width, got, c.want)
		}
	}
}

func TestFitNeverExceedsItsWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text, width := rapid.String().Draw(t, "text"), rapid.IntRange(0, 20).Draw(t, "width")
		if got := draw.Fit(text, width); draw.Width(got) > width {
			t.Fatalf("Fit(%q, %d) = %q, %d cells", text, width, got, draw.Width(got))
		}
	})
}

func TestAnythingDrawnStaysInsideTheCanvas(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.IntRange(0, 12).Draw(t, "width"), rapid.IntRange(0, 4).Draw(t, "height")
		c := draw.NewCanvas(w, h)
		for range rapid.IntRange(0, 12).Draw(t, "strokes") {
			x, y := rapid.IntRange(-4, 14).Draw(t, "x"), rapid.IntRange(-1, 5).Draw(t, "y")
			text := rapid.StringMatching(`[ab茶豆 ]{0,8}`).Draw(t, "text")
			switch rapid.IntRange(0, 3).Draw(t, "kind") {
			case 0:
				c.Text(x, y, text, draw.Busy)
			case 1:
				c.Right(x, y, text, draw.Faint)
			case 2:
				c.Set(x, y, 'x', draw.Now)
			default:
				o := draw.NewCanvas(5, 2)
				o.Text(0, 0, text, draw.Water)
				c.Draw(x, y, o)
			}
			lines := c.Lines()
			if len(lines) != max(h, 1) {
				t.Fatalf("%d lines, want %d", len(lines), h)
			}
			for y, line := range lines {
				if draw.Width(line) > w {
					t.Fatalf("line %q is wider than %d", line, w)
				}
				cells := 0 // what At says must be what Render shows
				for x := range w {
					if r := c.At(x, y).Rune; r == 0 {
						cells++
					} else if r > 0 {
						cells += draw.Width(string(r))
					}
				}
				if cells != w {
					t.Fatalf("row %d holds %d cells, want %d: %q", y, cells, w, line)
				}
			}
		}
	})
}

func TestRenderWritesCodesAroundRunsOfARole(t *testing.T) {
	theme := draw.Theme{}.With(draw.Busy, "<", ">").With(draw.Inverse, "[", "]")
	c := draw.NewCanvas(12, 2)
	c.Text(0, 0, "a", draw.Plain)
	c.Text(1, 0, "b", draw.Busy)
	c.Text(3, 0, "c", draw.Busy)
	c.Text(5, 0, "d", draw.Plain)
	c.Text(0, 1, "> e  ", draw.Inverse)
	c.Text(6, 1, "f", draw.Plain)
	want := "a<b c >d\n[> e  ] f"
	if got := c.Render(theme); got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if got := c.Render(draw.Theme{}); strings.ContainsAny(got, "<[") {
		t.Errorf("the zero theme wrote codes: %q", got)
	}
}
