package rehearsal_test

import (
	"reflect"
	"testing"

	"barline/brew/routine"
	"barline/tui/draw"
	"barline/tui/rehearsal"

	"pgregory.net/rapid"
)

// strokes are the keys that a person may hit, and one that means nothing; the
// likelier ones stand there more than once.
var strokes = []string{" ", " ", " ", " ", "l", "l", "u", "s", "e", "z", "n", "t", "q", "y", "r", "enter", "esc", "up", "down", "x", "1", "ctrl+c", "pgdown", "f20"}

// Whatever is pressed whenever, the page draws a screen of the size it has,
// and the record tells the takes as the page does: no mark is lost.
func TestAnyKeysAtAnyTime(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		name := rapid.SampledFrom([]string{"short", "mixed"}).Draw(r, "routine")
		opt := rehearsal.Options{Plan: planOf(t, name, rapid.Bool().Draw(r, "dry")), By: "Imre", CountIn: sec(rapid.Float64Range(0, 4).Draw(r, "count-in"))}
		opt.Run = routine.Options{From: rapid.IntRange(0, 2).Draw(r, "from"), Manual: rapid.Bool().Draw(r, "manual")}
		opt.Run.To = rapid.IntRange(opt.Run.From, len(opt.Plan.Sections)-1).Draw(r, "to")
		opt.Theme.ASCII = rapid.Bool().Draw(r, "ascii")
		rec := &keeping{}
		opt.Recorder = rec
		p := opened(t, 80, 24, opt)
		at := 0.0
		for range rapid.IntRange(0, 60).Draw(r, "keys") {
			at += rapid.Float64Range(0, 40).Draw(r, "pause")
			before := p.page
			p.press(rapid.SampledFrom(strokes).Draw(r, "key"), at)
			p.page.News(before)
		}
		w, h := rapid.IntRange(0, 260).Draw(r, "width"), rapid.IntRange(0, 80).Draw(r, "height")
		for _, size := range []size{{w, h}, {w % 12, h % 5}, {80, 24}, {40, 12}} {
			c := p.page.Resize(size.w, size.h).Draw()
			if c.Width != size.w || c.Height != size.h {
				r.Fatalf("the canvas is %d by %d on a screen of %s", c.Width, c.Height, size)
			}
			for _, line := range c.Lines() {
				if draw.Width(line) > size.w {
					r.Fatalf("%q is wider than %d", line, size.w)
				}
			}
		}
		if err := p.page.Unsaved(); err != nil {
			r.Fatal(err)
		}
		takes := p.page.Takes()
		if len(takes) != len(rec.takes) {
			r.Fatalf("the page had %d takes, the record has %d", len(takes), len(rec.takes))
		}
		for i, want := range takes {
			run := rec.run(t, i)
			got := routine.Of(want.Take, run)
			if !reflect.DeepEqual(got.Marks, want.Marks) || !reflect.DeepEqual(got.Sections, want.Sections) || got.Ending != want.Ending || got.Penalty != want.Penalty {
				r.Fatalf("take %d of the record is another: ended %s at %s, on the page %s at %s", i, got.Ending, got.Ended, want.Ending, want.Ended)
			}
		}
	})
}

// The most cells that a second of a take changes, by the size of the screen.
func TestASecondChangesFewCells(t *testing.T) {
	for size, most := range map[size]int{{40, 12}: 260, {80, 24}: 600, {200, 60}: 2600} {
		t.Run(size.String(), func(t *testing.T) {
			p := begun(t, size.w, size.h, rehearsal.Options{Plan: plan(t, "three")})
			last, worst, when := p.page.Draw(), 0, 0.0
			for at := 1.0; at < 600; at++ {
				p.perform(at, 0.7)
				c := p.page.Draw()
				if n := changed(last, c); n > worst {
					worst, when = n, at
				}
				last = c
			}
			t.Logf("at most %d cells, at %g s", worst, when)
			if worst > most {
				t.Errorf("%d cells changed in a second, want at most %d", worst, most)
			}
			if p.page.Run().At(600*s).Pending != nil && len(p.page.Run().Events()) < 15 {
				t.Error("it was not performed")
			}
		})
	}
}

func changed(a, b *draw.Canvas) (n int) {
	for y := range a.Height {
		for x := range a.Width {
			if a.At(x, y) != b.At(x, y) {
				n++
			}
		}
	}
	return n
}

// What matters is never covered by what is said: at every second of a take the
// rows of the cues are those of a take without a word.
func TestNoCueIsHiddenByText(t *testing.T) {
	for _, size := range usual[:2] {
		p := begun(t, size.w, size.h, rehearsal.Options{Plan: plan(t, "three")})
		for at := 1.0; at < 560; at++ {
			p.perform(at, 0.7)
			s := seen(t, p.page)
			for _, want := range p.page.Cues() {
				if !s.says(want) {
					t.Fatalf("%s, %g s: %q is not there:\n%s", size, at, want, s.text())
				}
			}
		}
	}
}
