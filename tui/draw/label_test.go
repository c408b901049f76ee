package draw_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"barline/tui/draw"
)

func TestNamesKeepABlankBetweenThem(t *testing.T) {
	row := func(past, on, next string) string {
		p := draw.Picture{Now: 6 * second, To: 20 * second, Lanes: []draw.Lane{{Spans: []draw.Span{
			span(0, 5, true), span(5, 10, true), span(10, 15, true),
		}}}}
		for i, label := range []string{past, on, next} {
			p.Lanes[0].Spans[i].Label = label
		}
		return strings.TrimRight(lines(draw.Timeline(20, 4, p, true))[2], " ")
	}
	for _, c := range []struct{ past, on, next, want string }{
		{"stir", "seal", "open", "stir seal open"},
		{"swirl", "pour", "open", "     pour open"},  // the first would touch
		{"stir", "press", "open", "stir press open"}, // the last stands later in its span
		{"stir", "press", "serve", "stir press"},
	} {
		if got := row(c.past, c.on, c.next); got != c.want {
			t.Errorf("%s, %s, %s: got %q, want %q", c.past, c.on, c.next, got, c.want)
		}
	}
}

func TestTheNameOfWhatIsOnIsCutRatherThanLeftOut(t *testing.T) {
	p := draw.Picture{Now: 3 * second, To: 10 * second, Lanes: []draw.Lane{{Spans: []draw.Span{span(0, 6, true)}}}}
	p.Lanes[0].Spans[0].Label = "second pour"
	if got := lines(draw.Timeline(8, 4, p, false))[2]; got != "second ~" {
		t.Errorf("got %q", got)
	}
}

// letterSet is the letters of labels; none of them stands in a sign or in a
// word of the timeline's own.
const letterSet = "ABCDEFGHIJKLMNOPQRSTUVWYZbcfhijklpqstuvwyz茶豆"

func TestLabelsNeverOverlap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := brews(t)
		w, h := rapid.IntRange(1, 200).Draw(t, "width"), rapid.IntRange(1, 60).Draw(t, "height")
		c := draw.Timeline(w, h, p, false)
		rows := c.Lines()
		for _, l := range p.Lanes {
			for _, s := range l.Spans {
				if s.Label != "" {
					whole(t, rows, s.Label)
				}
			}
		}
	})
}

// whole fails unless a label is either not on the screen or there once, whole
// (or marked as cut), with no other label's letter beside it.
func whole(t *rapid.T, rows []string, label string) {
	letter := []rune(label)[0]
	seen := 0
	for _, row := range rows {
		seen += strings.Count(row, string(letter))
	}
	if seen == 0 {
		return
	}
	for _, row := range rows {
		before, after, found := strings.Cut(row, strings.Repeat(string(letter), seen))
		if !found {
			continue
		}
		if seen < len([]rune(label)) && !strings.HasPrefix(after, "~") {
			t.Fatalf("of %q only %d letters are shown:\n%s", label, seen, strings.Join(rows, "\n"))
		}
		for _, neighbour := range []string{string([]rune(" " + before)[len([]rune(before)):]), string([]rune(after + " ")[:1])} {
			if strings.ContainsAny(neighbour, letterSet) {
				t.Fatalf("%q touches another label:\n%s", label, strings.Join(rows, "\n"))
			}
		}
		return
	}
	t.Fatalf("%q is torn apart:\n%s", label, strings.Join(rows, "\n"))
}
