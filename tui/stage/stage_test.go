package stage_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/tui/draw"
	"barline/tui/stage"

	"pgregory.net/rapid"
)

// full is a view of which every part has something to show.
func full() stage.View {
	return stage.View{
		Title: "Window table", Aside: "by Ada", Badge: "2", Clock: "1:12", Amount: "288 g",
		Word: "POUR", On: true, Left: "12 s",
		Lane: "2 cone", Label: "last pour", Prompt: "Pour to 288 g", Until: "by 1:24", Also: []string{"64 g to go", "1 press: drawdown for 20 s"},
		Next:  stage.Next{Prompt: "Swirl once round", Lane: "3 flat bed", In: "8 s", At: "may wait 4 s"},
		Below: []stage.Text{{Text: "Bo: 3 flat bed: Pour to 180 g"}},
		Care:  stage.Care{Text: "keep the bed level", Role: draw.Faint},
		Picture: draw.Picture{Lanes: []draw.Lane{
			{Name: "1 press", Spans: []draw.Span{{End: 30 * time.Second, Busy: true}}}, {Name: "2 cone"},
		}},
		Answer: stage.Cut{Head: "[x] ", Middle: "2 cone: bloom, end", Tail: " 0.0 s on time"},
		Waits:  stage.Cut{Head: "pending: ", Middle: "1 press: bloom, end", Tail: ", for 4 s"},
	}
}

func needs() stage.Needs {
	n := stage.LeastNeeds()
	n.Badge, n.Weight, n.Below, n.Lanes = "8", "288g", 1, 9
	n.Words = append(n.Words, "POUR")
	n.Prompts = []stage.Need{{Lane: "2 cone", Prompt: "Pour to 288 g"}, {Lane: "3 flat bed", Prompt: "Swirl once round"}}
	return n
}

func drawn(width, height int, n stage.Needs, v stage.View) (*draw.Canvas, string) {
	c := draw.NewCanvas(width, height)
	stage.Draw(c, n, v, draw.Theme{})
	return c, strings.Join(c.Lines(), "\n")
}

func TestWhatMustBeSeenIsThereWhole(t *testing.T) {
	for _, size := range [][2]int{{40, 12}, {80, 24}, {200, 60}} {
		_, text := drawn(size[0], size[1], needs(), full())
		for _, want := range []string{"Pour to 288 g", "by 1:24", "next in 8 s, 3 flat bed", "Swirl once round", "Bo: 3 flat bed: Pour to 180 g"} {
			if !strings.Contains(text, want) {
				t.Errorf("%d by %d: %q is missing:\n%s", size[0], size[1], want, text)
			}
		}
	}
}

// The badge is as large as the clock and looks like the key that it is: it
// must not be taken for a part of the clock, nor of the action below it.
func TestTheBadgeStandsBeforeTheClock(t *testing.T) {
	for _, c := range []struct {
		width, height int
		face          draw.Face
	}{{40, 12, draw.Short}, {80, 24, draw.Tall}, {200, 60, 2 * draw.Tall}} {
		canvas, text := drawn(c.width, c.height, needs(), full())
		badge := draw.Figures("2", c.face, draw.Key, false)
		y := firstRow(canvas, c.face)
		for row := range badge.Height {
			for col := range badge.Width {
				if got, want := canvas.At(col, y+row), badge.At(col, row); got != want {
					t.Fatalf("%d by %d: the cell at %d,%d of the badge is %v, want %v:\n%s", c.width, c.height, col, row, got, want, text)
				}
			}
		}
	}
}

// firstRow returns the first row of the clock.
func firstRow(c *draw.Canvas, face draw.Face) int {
	return stage.Lay(c.Width, c.Height, needs(), false)[stage.ClockPart].Bottom() - int(face)
}

func TestWithoutANextOneItIsSaidUnlessItIsToBeQuiet(t *testing.T) {
	v := full()
	v.Next = stage.Next{}
	if _, text := drawn(80, 24, needs(), v); !strings.Contains(text, "nothing after this") {
		t.Error("it is not said")
	}
	v.Next.Quiet = true
	if _, text := drawn(80, 24, needs(), v); strings.Contains(text, "nothing after this") {
		t.Error("it is said")
	}
}

// Lanes that are many get the rows that figures would like.
func TestManyLanesGetTheRowsThatAreLeft(t *testing.T) {
	for lanes, want := range map[int]int{0: 7, 9: 8} {
		n := needs()
		n.Lanes = lanes
		if got := stage.Lay(80, 26, n, false)[stage.LinePart].H; got != want {
			t.Errorf("%d lanes have %d rows, want %d", lanes, got, want)
		}
	}
}

// Where there are many lanes, words of caution leave them in sight and turn.
func TestCautionLeavesManyLanesInSight(t *testing.T) {
	v := full()
	v.Care = stage.Care{Text: strings.TrimSpace(strings.Repeat("hot water scalds ", 20)), Role: draw.Caution}
	seen := map[string]bool{}
	for i := range 12 {
		v.At = time.Duration(i) * time.Second
		c, text := drawn(80, 24, needs(), v)
		if !strings.Contains(text, "2 cone ") || !strings.Contains(text, "1 press ") {
			t.Fatalf("the lanes are not in sight:\n%s", text)
		}
		seen[strings.Join(c.Lines(), "\n")] = true
	}
	if len(seen) < 2 {
		t.Error("the words do not turn")
	}
}

// Where every lane has a row none is written over, neither by words of caution nor by
// why a cue is done so.
func TestCareCoversNoLane(t *testing.T) {
	for _, role := range []draw.Role{draw.Caution, draw.Faint} {
		v := full()
		v.Care = stage.Care{Text: strings.TrimSpace(strings.Repeat("hot water scalds ", 9)), Role: role}
		for lanes := 1; lanes <= 6; lanes++ {
			v.Picture.Lanes = nil
			for i := range lanes {
				v.Picture.Lanes = append(v.Picture.Lanes, draw.Lane{Name: "brew " + string(rune('a'+i)), Spans: []draw.Span{{End: time.Minute, Busy: true}}})
			}
			for height := 20; height <= 40; height++ {
				if stage.Lay(80, height, needs(), false)[stage.LinePart].H < lanes {
					continue
				}
				_, text := drawn(80, height, needs(), v)
				for _, l := range v.Picture.Lanes {
					if !strings.Contains(text, l.Name) {
						t.Fatalf("%d lanes on %d rows: %q is missing:\n%s", lanes, height, l.Name, text)
					}
				}
			}
		}
	}
}

func TestACutTextKeepsItsEnds(t *testing.T) {
	c := stage.Cut{Head: "[x] ", Middle: "a very long name", Tail: " +2.0 s late"}
	for width, want := range map[int]string{40: "[x] a very long name +2.0 s late", 24: "[x] a very ~ +2.0 s late", 17: "[x] ~ +2.0 s late"} {
		if got := c.Fit(width); got != want {
			t.Errorf("%d columns: %q, want %q", width, got, want)
		}
	}
}

// No part covers another one or leaves the screen, and what is drawn has the
// screen's size.
func TestAnyViewFitsAnyScreen(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		text := rapid.StringMatching(`([a-z]{1,9} ){0,8}`)
		v := full()
		v.Badge, v.Clock, v.Amount = rapid.StringMatching(`[1-9A]?`).Draw(r, "badge"), rapid.SampledFrom([]string{"", "0:00", "12:59:59"}).Draw(r, "clock"), rapid.SampledFrom([]string{"", "9 g", "1288 g", "64%"}).Draw(r, "amount")
		v.Prompt, v.Lane, v.Care.Text = text.Draw(r, "prompt"), text.Draw(r, "lane"), text.Draw(r, "care")
		v.Also = rapid.SliceOfN(text, 0, 3).Draw(r, "also")
		v.Care.Role = rapid.SampledFrom([]draw.Role{draw.Faint, draw.Caution}).Draw(r, "role")
		n := needs()
		n.Below, n.Lanes = rapid.IntRange(0, 4).Draw(r, "below"), rapid.IntRange(0, 20).Draw(r, "lanes")
		n.Prompts = append(n.Prompts, stage.Need{Lane: v.Lane, Prompt: v.Prompt})
		w, h := rapid.IntRange(0, 220).Draw(r, "width"), rapid.IntRange(0, 70).Draw(r, "height")
		if c, _ := drawn(w, h, n, v); c.Width != w || c.Height != h {
			r.Fatalf("the canvas is %d by %d", c.Width, c.Height)
		}
		y := 0
		for part, b := range stage.Lay(w, h, n, false) {
			if b.H > 0 && (b.Y < y || b.Bottom() > h) {
				r.Fatalf("%s stands at %+v below row %d on a screen of %d rows", stage.Part(part), b, y, h)
			}
			y = max(y, b.Bottom())
		}
	})
}

// What must be there has the row that it needs before what is good to know.
func TestDetailsGiveWayInTheirOrder(t *testing.T) {
	for width, want := range map[int]string{
		100: "2 cone: last pour: Pour to 288 g, by 1:24, 64 g to go, 1 press: drawdown for 20 s",
		70:  "2 cone: last pour: Pour to 288 g, by 1:24, 64 g to go",
		50:  "2 cone: Pour to 288 g, by 1:24, 64 g to go",
		40:  "2 cone: Pour to 288 g, by 1:24",
		24:  "Pour to 288 g, by 1:24",
	} {
		n := needs()
		n.Prompts = nil
		_, text := drawn(width, 8, n, full())
		if !strings.Contains(text, want) {
			t.Errorf("%d columns: %q is missing:\n%s", width, want, text)
		}
	}
}

func TestCountdownsAndWords(t *testing.T) {
	for d, want := range map[time.Duration]string{0: "0 s", time.Millisecond: "1 s", 59 * time.Second: "59 s", 60 * time.Second: "1:00", 89*time.Second + 1: "1:30"} {
		if got := stage.Countdown(d); got != want {
			t.Errorf("%v is %q, want %q", d, got, want)
		}
	}
	if got := fmt.Sprint(stage.Word(brew.Pour), stage.Percent(0.29), stage.Weight(1499*brew.Milligram)); got != "POUR29%1 g" {
		t.Errorf("got %q", got)
	}
}

// Behind a badge the weight does without its unit before the figures get
// smaller.
func TestTheUnitGivesWayToTheBadge(t *testing.T) {
	n := needs()
	n.Clock = "10:00"
	if got := stage.Lay(80, 24, n, false)[stage.ClockPart].H; got != int(draw.Tall) {
		t.Errorf("the clock has %d rows, want %d", got, draw.Tall)
	}
	v := full()
	v.Clock = "10:12"
	c, text := drawn(80, 24, n, v)
	figure := draw.Figures("288", draw.Tall, draw.Water, false)
	for x := range figure.Width {
		if got, want := c.At(80-figure.Width+x, firstRow(c, draw.Tall)), figure.At(x, 0); got != want {
			t.Fatalf("the weight without its unit is not at the right end:\n%s", text)
		}
	}
}
