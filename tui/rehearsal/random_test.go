package rehearsal_test

import (
	"reflect"
	"slices"
	"strings"
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
			cut := rapid.IntRange(1, len(rec.takes[i])).Draw(r, "cut off behind")
			if kept, of := len(rec.upTo(t, i, cut).Events()), len(run.Events()); kept > of || kept == of && cut < len(rec.takes[i]) {
				r.Fatalf("cut off behind %d of %d happenings take %d has %d of %d events", cut, len(rec.takes[i]), i, kept, of)
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

// What matters is never covered by what is said: on screens of every size, with
// lines of whatever length and script, the cues of this moment, the time left
// and how things stand are whole, and what is said is drawn or goes on.
func TestNoCueIsHiddenByText(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		w, h := rapid.IntRange(40, 200).Draw(r, "width"), rapid.IntRange(12, 60).Draw(r, "height")
		if at := rapid.IntRange(0, 5).Draw(r, "usual"); at < len(usual) {
			w, h = usual[at].w, usual[at].h
		}
		routine := wordy(r, plan(t, rapid.SampledFrom([]string{"short", "mixed", "three"}).Draw(r, "routine")))
		p := begun(t, w, h, rehearsal.Options{Plan: routine, By: "Imre"})
		p.page = p.page.Resize(w, h)
		at := 0.0
		for range rapid.IntRange(1, 12).Draw(r, "moments") {
			at += rapid.Float64Range(0.1, 60).Draw(r, "pause")
			if rapid.Bool().Draw(r, "performed") {
				p.perform(at, 0.7)
			} else {
				p.wait(at)
			}
			if p.ending() != "" {
				return
			}
			s := seen(t, p.page)
			for _, want := range p.page.Cues() {
				if !s.says(want) {
					r.Fatalf("%d by %d, %g s: %q is not there:\n%s", w, h, at, want, s.text())
				}
			}
			for _, want := range p.page.Standing() {
				if !s.says(want) && !s.shows(want) {
					r.Fatalf("%d by %d, %g s: %q is not there:\n%s", w, h, at, want, s.text())
				}
			}
			for _, size := range []size{{w, h}, {w % 12, h % 5}} {
				for _, line := range seen(t, p.page.Resize(size.w, size.h)).lines {
					if draw.Width(line) > size.w {
						r.Fatalf("%q is wider than %d", line, size.w)
					}
				}
			}
		}
	})
}

// wordy returns a plan with other words: long ones, none at all for a while,
// wide and combining letters, some that run from right to left, pictures.
func wordy(r *rapid.T, plan *routine.Plan) *routine.Plan {
	word := rapid.SampledFrom([]string{
		"I", "pour", "space", "l:", "|", "in", "3", "s:", "\n", "\t", "\x1b[2J", "\u202e", "珈琲豆を挽いてから注ぎます", "قهوة", "שלום", "☕", "👩‍🍳",
		"e\u0301", "naïve", "don\u2019t", strings.Repeat("long", 60), strings.Repeat("珈琲", 70),
	})
	out := *plan
	out.Lines = slices.Clone(plan.Lines)
	for i := range out.Lines {
		if out.Lines[i].Words == "" {
			continue
		}
		most := rapid.SampledFrom([]int{1, 5, 40, 400}).Draw(r, "most")
		out.Lines[i].Words = strings.Join(rapid.SliceOfN(word, 1, most).Draw(r, "words"), " ")
	}
	return &out
}
