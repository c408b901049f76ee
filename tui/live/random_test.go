package live_test

import (
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/tui/draw"
	"barline/tui/live"

	"github.com/charmbracelet/x/ansi"
	"pgregory.net/rapid"
)

// prompts draws a text that makes, behind a verb, a prompt of up to 40
// characters.
func prompts(verb string) *rapid.Generator[string] {
	return rapid.Custom(func(t *rapid.T) string {
		room := brew.LongestPrompt - len(verb) - len(": ")
		text := rapid.StringMatching(`[a-z]{1,9}( [a-z]{1,9}){0,5}`).Draw(t, "text")
		return strings.TrimSpace(text[:min(len(text), room)])
	})
}

// plans draws a valid plan: pours to a reading, busy and free steps, behind
// each other, with pauses, or pinned to the clock.
func plans(wide bool) *rapid.Generator[*brew.Plan] {
	return rapid.Custom(func(t *rapid.T) *brew.Plan {
		r := brew.Recipe{Name: "Any brew", Method: brew.OtherMethod, Dose: 20 * brew.Gram, Temperature: 93, Grind: "medium"}
		var end, busy, start time.Duration // of all so far, of the busy ones; of the last one
		for i := range rapid.IntRange(1, 12).Draw(t, "steps") {
			s := step(t, i, wide)
			begins := end
			switch anchor := rapid.IntRange(0, 3).Draw(t, "anchor"); {
			case i == 0:
			case anchor == 0:
				s.Anchor, s.Offset = brew.After, seconds(t, 1, 90)
				begins += s.Offset
			case anchor == 1: // it may begin inside a free step
				s.Anchor, s.Offset = brew.At, max(busy, start)+seconds(t, 0, 600)
				begins = s.Offset
			}
			start, end = begins, max(end, begins+s.Over)
			if usual, _ := s.Action.Usual(); usual.Hands == brew.Busy {
				busy = begins + s.Over
			}
			if s.Action == brew.Pour {
				r.Water += s.Amount
			}
			r.Steps = append(r.Steps, s)
		}
		for range rapid.IntRange(0, 4).Draw(t, "chores") {
			r.Prepare = append(r.Prepare, brew.Chore{Do: sentence(wide).Draw(t, "chore")})
		}
		r.Afterwards = r.Prepare
		plan, err := brew.NewPlan(r, brew.Bar{})
		if err != nil {
			t.Fatalf("no plan: %v", err)
		}
		return plan.WithMarks(rapid.SampledFrom([]brew.Policy{brew.MarksAsked, brew.MarksAll, brew.MarksNone}).Draw(t, "marks"))
	})
}

func seconds(t *rapid.T, least, most int) time.Duration {
	return time.Duration(rapid.IntRange(least, most).Draw(t, "seconds")) * s
}

// step draws one step; the first one is always a pour.
func step(t *rapid.T, i int, wide bool) brew.Step {
	actions := []brew.Action{brew.Pour, brew.Swirl, brew.Press, brew.Drawdown, brew.Seal, brew.Do, brew.Stir, brew.Wait, brew.Taste}
	a := rapid.SampledFrom(actions).Draw(t, "action")
	if i == 0 {
		a = brew.Pour
	}
	usual, _ := a.Usual()
	out := brew.Step{Action: a, Over: seconds(t, 1, 120)}
	switch a {
	case brew.Pour:
		out.Amount = brew.Mass(rapid.IntRange(1, 1000).Draw(t, "grams")) * brew.Gram
	case brew.Wait:
	default:
		out.Text = prompts(usual.Verb).Draw(t, "prompt")
		if wide && rapid.Bool().Draw(t, "wide") {
			out.Text = "注湯 茶豆 ゆっくり"
		}
	}
	if rapid.Bool().Draw(t, "labelled") {
		out.Label = sentence(wide).Draw(t, "label")
	}
	if rapid.Bool().Draw(t, "caution") {
		out.Caution = sentence(wide).Draw(t, "caution")
	}
	out.Why = sentence(wide).Draw(t, "why")
	return out
}

// sentence draws words up to the longest text that a recipe may have.
func sentence(wide bool) *rapid.Generator[string] {
	return rapid.Custom(func(t *rapid.T) string {
		text := rapid.StringMatching(`[a-z]{1,12}( [a-z]{1,12}){0,24}`).Draw(t, "sentence")
		if wide && rapid.Bool().Draw(t, "wide") {
			text = "珈琲 " + text
		}
		return strings.TrimSpace(text[:min(len(text), brew.LongestText)])
	})
}

// options draws how a brew of one to six lanes is called.
func options(t *rapid.T, wide bool) live.Options {
	opt := live.Options{Title: rapid.StringMatching(`[A-Z][a-z]{0,30}`).Draw(t, "title"), By: "Ada"}
	for range rapid.IntRange(1, 6).Draw(t, "lanes") {
		opt.Plans = append(opt.Plans, plans(wide).Draw(t, "plan"))
		opt.Names = append(opt.Names, rapid.StringMatching(`[a-z]{0,9}( [0-9])?`).Draw(t, "name"))
	}
	opt.CountIn = seconds(t, 0, 5)
	return opt
}

// strokes are the keys that a person may hit, and one that means nothing.
var strokes = []string{" ", "u", "s", "e", "z", "n", "q", "y", "enter", "esc", "tab", "up", "down", "x", "1", "ctrl+c", "f20"}

// Whatever is brewed, typed and resized, the page draws a screen of the size
// it has.
func TestAnyPageFitsAnyScreen(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		opt := options(r, true)
		opt.Theme.ASCII = rapid.Bool().Draw(r, "ascii")
		opt.From = min(seconds(r, 0, 100), opt.Plans[0].End-1)
		if rapid.Bool().Draw(r, "recorded") {
			opt.Recorder = unplugged{errDisk}
		}
		p := open(t, 80, 24, opt)
		if rapid.Bool().Draw(r, "ready") {
			p.tick()
		}
		at := -10.0
		for range rapid.IntRange(0, 25).Draw(r, "keys") {
			at += rapid.Float64Range(0, 60).Draw(r, "pause")
			p.press(rapid.SampledFrom(strokes).Draw(r, "key"), at)
			if rapid.Bool().Draw(r, "answered") {
				p.settle()
			}
		}
		w, h := rapid.IntRange(0, 300).Draw(r, "width"), rapid.IntRange(0, 100).Draw(r, "height")
		for _, size := range []size{{w, h}, {w % 12, h % 5}} {
			c := p.page.Resize(size.w, size.h).Draw()
			if c.Width != size.w || c.Height != size.h {
				r.Fatalf("the canvas is %d by %d on a screen of %s", c.Width, c.Height, size)
			}
			for _, line := range c.Lines() {
				if a, b := draw.Width(line), ansi.StringWidth(line); a > size.w || a != b {
					r.Fatalf("%q takes %d cells by our count and %d by the library's; the screen has %d", line, a, b, size.w)
				}
			}
		}
	})
}

// The glance rule holds for any recipe at any moment, whatever was marked, on
// any screen of 40 by 12 and more.
func TestWhatMattersIsAlwaysThereWhole(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		opt := options(r, false)
		opt.CountIn = 0
		p := begun(t, 80, 24, opt)
		at := 0.0
		for range rapid.IntRange(0, 12).Draw(r, "keys") {
			at += rapid.Float64Range(0, 40).Draw(r, "pause")
			p.press(rapid.SampledFrom([]string{" ", " ", " ", "u", "s", "e", "f20"}).Draw(r, "key"), at)
		}
		at += rapid.Float64Range(0, 40).Draw(r, "pause")
		p.wait(at)
		if !p.page.Busy() {
			r.Skip("it is over")
		}
		w, h := rapid.IntRange(40, 220).Draw(r, "width"), rapid.IntRange(12, 70).Draw(r, "height")
		if rapid.Bool().Draw(r, "small") {
			w, h = 40, 12
		}
		page := p.page.Resize(w, h)
		c := page.Draw()
		screen{r, c, c.Lines()}.glance(page, sec(at))
	})
}
