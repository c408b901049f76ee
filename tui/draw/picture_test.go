package draw_test

import (
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"barline/tui/draw"
)

// brews draws pictures of up to eight lanes; each label is made of a letter
// of its own, so that it can be told apart on the screen.
func brews(t *rapid.T) draw.Picture {
	names := []rune(letterSet)
	p := draw.Picture{Still: rapid.IntRange(0, 4).Draw(t, "still") == 0}
	moment := func(name string, most int) time.Duration {
		return time.Duration(rapid.IntRange(0, most*10).Draw(t, name)) * second / 10
	}
	p.Now = moment("now", 400)
	for range rapid.IntRange(1, 8).Draw(t, "lanes") {
		at := moment("zero", 100)
		l := draw.Lane{Floating: rapid.Bool().Draw(t, "floating")}
		for range rapid.IntRange(0, 6).Draw(t, "spans") {
			s := draw.Span{Start: at, End: at + moment("length", 60) + second/10, Busy: rapid.Bool().Draw(t, "busy")}
			at = s.End + moment("gap", 20)*time.Duration(rapid.IntRange(0, 1).Draw(t, "hangs"))
			if len(names) > 0 {
				s.Label = strings.Repeat(string(names[0]), rapid.IntRange(1, 9).Draw(t, "letters"))
				names = names[1:]
			}
			l.Spans = append(l.Spans, s)
			l.Stair = append(l.Stair, draw.Level{At: s.End, Grams: float64(10 * len(l.Spans))})
			l.Marks = append(l.Marks, draw.Mark{
				At: s.End + moment("drift", 9) - 4*second, Due: s.End, Early: moment("early", 5), Late: moment("late", 5),
				State: draw.MarkState(rapid.IntRange(0, 5).Draw(t, "state")), Hollow: rapid.Bool().Draw(t, "hollow"),
			})
		}
		p.Lanes = append(p.Lanes, l)
	}
	return p
}

func TestShownHoldsThePlayheadAndMovesByWholeColumns(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := brews(t)
		columns := rapid.IntRange(1, 300).Draw(t, "columns")
		from, to := p.Shown(columns)
		if to <= from {
			t.Fatalf("shown from %v to %v", from, to)
		}
		still := p
		still.Still = true
		first, last := still.Shown(columns)
		for _, l := range p.Lanes {
			for _, s := range l.Spans {
				if s.Start < first || s.End > last {
					t.Fatalf("a still picture shows %v to %v, but a span lies from %v to %v", first, last, s.Start, s.End)
				}
			}
		}
		if p.Still {
			return
		}
		if p.Now < from || p.Now >= to {
			t.Fatalf("shown from %v to %v, but the playhead stands at %v", from, to, p.Now)
		}
		if perColumn := (to - from) / time.Duration(columns); perColumn > 4*second {
			t.Fatalf("a column holds %v", perColumn)
		}
		later := p
		later.Now += second
		next, end := later.Shown(columns)
		if to-from == 4*second*time.Duration(columns) && end-next == to-from && (next-from)%(4*second) != 0 {
			t.Fatalf("a second later the picture moves on by %v", next-from)
		}
	})
}

func TestShown(t *testing.T) {
	p := press()
	long := round()
	for name, c := range map[string]struct {
		p        draw.Picture
		columns  int
		from, to time.Duration
	}{
		"a brew that fits is shown whole":                  {p, 80, 0, 140 * second},
		"one that does not is shown around the playhead":   {at(long, 200), 60, 120 * second, 360 * second},
		"its beginning stays as long as it can":            {at(long, 20), 60, 0, 240 * second},
		"its end stays as well":                            {at(long, 380), 60, 152 * second, 392 * second},
		"past its end it grows by a quarter of a minute":   {at(p, 141), 80, 0, 150 * second},
		"at its end too, so that the playhead has a place": {at(p, 140), 80, 0, 150 * second},
		"an empty one shows a minute":                      {draw.Picture{Still: true}, 80, 0, 60 * second},
	} {
		if from, to := c.p.Shown(c.columns); from != c.from || to != c.to {
			t.Errorf("%s: %v to %v, want %v to %v", name, from, to, c.from, c.to)
		}
	}
}

func at(p draw.Picture, seconds int) draw.Picture {
	p.Now = time.Duration(seconds) * second
	return p
}
