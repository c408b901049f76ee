package draw_test

import (
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"barline/tui/draw"
)

func TestFloatingLaneIsLight(t *testing.T) {
	p := press()
	p.Lanes[0].Name = "cone"
	firm := lines(draw.Timeline(80, 1, p, false))[0]
	p.Lanes[0].Floating = true
	light := lines(draw.Timeline(80, 1, p, false))[0]
	if !strings.HasPrefix(light, "cone ? ") || !strings.Contains(light, "░░") || strings.Contains(light, "▄") {
		t.Errorf("a lane without a zero is drawn %q", light)
	}
	if strings.Contains(firm, "░") || strings.Contains(firm, "?") {
		t.Errorf("a lane with a zero is drawn %q", firm)
	}
}

func TestBusySpansBehindEachOtherAreSeenApart(t *testing.T) {
	p := draw.Picture{Still: true, To: 20 * second, Lanes: []draw.Lane{{Spans: []draw.Span{
		{Start: 2 * second, End: 6 * second, Busy: true}, {Start: 6 * second, End: 10 * second, Busy: true},
		{Start: 10 * second, End: 14 * second}, {Start: 15*second + 500*time.Millisecond, End: 17 * second, Busy: true},
	}}}}
	if got, want := lines(draw.Timeline(20, 1, p, false))[0], "  ▄▄▄▄▗▄▄▄▁▁▁▁ ▗▄   "; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if got, want := lines(draw.Timeline(20, 1, p, true))[0], "  ####[###---- [#   "; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

// bar draws one lane of a column a second, without words.
func bar(p draw.Picture, columns int, spans ...draw.Span) string {
	p.To = time.Duration(columns) * second
	p.Lanes = []draw.Lane{{Spans: spans}}
	return lines(draw.Timeline(columns, 1, p, false))[0]
}

func span(start, end int, busy bool) draw.Span {
	return draw.Span{Start: time.Duration(start) * second, End: time.Duration(end) * second, Busy: busy}
}

func TestBarShowsWhatIsOn(t *testing.T) {
	still := draw.Picture{Still: true}
	short := draw.Span{Start: 3 * second, End: 3*second + second/10, Busy: true}
	for name, c := range map[string]struct{ got, want string }{
		"a boundary belongs to the cue that begins there": {bar(at(draw.Picture{}, 4), 10, span(0, 4, true), span(4, 8, false)), "▄▄▄▄▙▁▁▁  "},
		"nothing is on behind the last one":               {bar(at(draw.Picture{}, 8), 10, span(0, 4, true), span(4, 8, false)), "▄▄▄▄▁▁▁▁▌ "},
		"a busy one stands over a free one":               {bar(still, 10, span(0, 8, false), span(2, 4, true)), "▁▁▄▄▁▁▁▁  "},
		"it does so in any order":                         {bar(still, 10, span(2, 4, true), span(0, 8, false)), "▁▁▄▄▁▁▁▁  "},
		"under the playhead too":                          {bar(at(draw.Picture{}, 3), 10, span(2, 4, true), span(0, 8, false)), "▁▁▄█▁▁▁▁  "},
		"two busy ones over a free one are seen apart":    {bar(still, 10, span(0, 8, false), span(2, 4, true), span(4, 6, true)), "▁▁▄▄▗▄▁▁  "},
		"the shortest one is seen":                        {bar(still, 10, short), "   ▖      "},
		"what is over before the picture is not":          {bar(still, 10, span(-4, 0, true)), "          "},
		"what begins behind the picture is not":           {bar(still, 10, span(10, 12, true)), "          "},
		"what reaches beyond it is cut":                   {bar(still, 10, span(-4, 2, true), span(8, 12, true)), "▄▄      ▄▄"},
	} {
		if c.got != c.want {
			t.Errorf("%s: got %q, want %q", name, c.got, c.want)
		}
	}
}

func TestTheCueThatIsOnIsUnderThePlayhead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := brews(t)
		p.Still = false
		p.To = p.Now + time.Duration(rapid.IntRange(1, 300).Draw(t, "ahead"))*second
		p.From = p.Now - time.Duration(rapid.IntRange(0, 300).Draw(t, "behind"))*second
		w := rapid.IntRange(1, 300).Draw(t, "width")
		ascii := rapid.Bool().Draw(t, "ascii")
		c := draw.Timeline(w, len(p.Lanes), p, ascii) // a bar for each lane and nothing else
		half := int(int64(p.Now-p.From) * int64(2*w) / int64(p.To-p.From))
		for y, l := range p.Lanes {
			want := []string{"▌▐", "||"}
			for _, s := range l.Spans {
				switch on := s.Start <= p.Now && p.Now < s.End; {
				case on && s.Busy:
					want = []string{"██", "HH"}
				case on:
					want = []string{"▙▟", "++"}
				}
			}
			sign := []rune(want[map[bool]int{true: 1}[ascii]])[half%2]
			if cell := c.At(half/2, y); cell.Rune != sign || cell.Role != draw.Now {
				t.Fatalf("lane %d: %q in role %d under the playhead, want %q:\n%s", y, cell.Rune, cell.Role, sign, strings.Join(lines(c), "\n"))
			}
			for x := range w {
				if cell := c.At(x, y); x != half/2 && strings.ContainsRune("▌▐▙▟█", cell.Rune) {
					t.Fatalf("lane %d: a second playhead in column %d", y, x)
				}
			}
		}
	})
}
