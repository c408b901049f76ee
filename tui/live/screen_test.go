package live_test

import (
	"fmt"
	"strings"
	"testing"
	"time"
	"unicode"

	"barline/brew"
	"barline/tui/draw"
	"barline/tui/live"

	"github.com/charmbracelet/x/ansi"
)

// screen is what a person sees: the cells as text.
type screen struct {
	t interface {
		Helper()
		Errorf(string, ...any)
	}
	*draw.Canvas
	lines []string
}

func seen(t testing.TB, p live.Page, width, height int) screen {
	t.Helper()
	c := p.Draw()
	if c.Width != width || c.Height != height {
		t.Fatalf("the canvas is %d by %d, want %d by %d", c.Width, c.Height, width, height)
	}
	return screen{t, c, sized(t, c.Lines(), width, height)}
}

// sized checks that lines fill the screen and are not wider, by our own count
// and by that of the library that writes them out.
func sized(t testing.TB, lines []string, width, height int) []string {
	t.Helper()
	if len(lines) != max(height, 1) {
		t.Errorf("%d lines on a screen of %d", len(lines), height)
	}
	for _, line := range lines {
		if a, b := draw.Width(line), ansi.StringWidth(line); a > width || a != b {
			t.Errorf("%q takes %d cells by our count and %d by the library's; the screen has %d", line, a, b, width)
		}
	}
	return lines
}

// says reports whether a text stands whole in one row.
func (s screen) says(text string) bool {
	for _, line := range s.lines {
		if strings.Contains(line, text) {
			return true
		}
	}
	return false
}

// spells reports whether a text stands on the screen whole, on as many rows
// as it takes.
func (s screen) spells(text string) bool {
	return strings.Contains(words(strings.Join(s.lines, " ")), words(text))
}

// words is a text with one blank between two words.
func words(text string) string { return strings.Join(strings.Fields(text), " ") }

// shows reports whether a text stands on the screen in figures of any size,
// or as plain text with nothing that touches it.
func (s screen) shows(text string) bool {
	if strings.ContainsFunc(text, unicode.IsSpace) && s.shows(strings.ReplaceAll(text, " ", "")) {
		return true
	}
	for _, f := range []draw.Face{draw.Short, draw.Tall, 2 * draw.Tall, 3 * draw.Tall, 4 * draw.Tall} {
		if s.has(draw.Figures(text, f, draw.Plain, false)) || s.has(draw.Figures(text, f, draw.Plain, true)) {
			return true
		}
	}
	line := draw.NewCanvas(draw.Width(text), 1)
	line.Text(0, 0, text, draw.Plain)
	return s.has(line)
}

// has reports whether a picture stands on the screen with nothing to its left
// and right.
func (s screen) has(o *draw.Canvas) bool {
	for y := range s.Height - o.Height + 1 {
		for x := range s.Width - o.Width + 1 {
			if s.hasAt(o, x, y) {
				return true
			}
		}
	}
	return false
}

func (s screen) hasAt(o *draw.Canvas, x, y int) bool {
	for row := range o.Height {
		for col := -1; col <= o.Width; col++ {
			if !same(s.At(x+col, y+row).Rune, o.At(col, row).Rune) {
				return false
			}
		}
	}
	return true
}

func same(a, b rune) bool { return a == b || a <= ' ' && b <= ' ' }

// glance checks the glance rule on a live screen of at least 40 by 12: the
// clock, the action, how much, by when and what next are there, whole. What
// they should be is asked of the engine here, not of the page.
func (s screen) glance(p live.Page, at time.Duration) {
	s.t.Helper()
	need := func(ok bool, what string, args ...any) {
		s.t.Helper()
		if !ok {
			s.t.Errorf("%s is not on the screen:\n%s", fmt.Sprintf(what, args...), strings.Join(s.lines, "\n"))
		}
	}
	t := p.Timeline()
	lane := focused(t, at)
	l := t.Lane(lane)
	own := l.Elapsed(at)
	m, plan := l.At(own), l.Plan()
	clock := at // with several lanes the timeline's
	if t.Lanes() == 1 {
		clock = own
	}
	need(s.shows(brew.Clock(clock)), "the clock, %s,", brew.Clock(clock))
	switch {
	case m.On >= 0:
		cue := plan.Cues[m.On]
		_, end := l.Span(m.On)
		need(s.shows(strings.ToUpper(string(cue.Action))), "the action, %s,", cue.Action)
		need(s.says(cue.Prompt), "the prompt, %q,", cue.Prompt)
		need(s.says("by "+brew.Clock(clock-own+end)), "by when, %s,", brew.Clock(clock-own+end))
		need(s.timed(m.Left), "the time left, %s,", live.Countdown(m.Left))
		s.amount(need, cue, m)
	case m.Next >= 0:
		start, _ := l.Span(m.Next)
		need(s.shows("WAIT"), "the action, WAIT,")
		need(s.says("hands free until "+brew.Clock(clock-own+start)), "until when, %s,", brew.Clock(start))
		need(s.timed(m.NextIn), "the time left, %s,", live.Countdown(m.NextIn))
	}
	next, in := soonest(t, at)
	if next == nil {
		need(s.says("nothing after this"), "that nothing is left")
		return
	}
	lead := "next in "
	if in <= live.DefaultAhead {
		lead = ">>>> in "
	}
	need(s.says(lead+live.Countdown(in)), "%q,", lead+live.Countdown(in))
	need(s.says(next.Prompt), "the next prompt, %q,", next.Prompt)
}

// timed reports whether a countdown is there, large or in words.
func (s screen) timed(left time.Duration) bool {
	return s.shows(live.Countdown(left)) || s.says(live.Countdown(left)+" left")
}

// amount checks how much: how far a press should be, or what the scale should
// read.
func (s screen) amount(need func(bool, string, ...any), cue brew.Cue, m brew.Moment) {
	switch {
	case cue.Action == brew.Press:
		percent := fmt.Sprintf("%.0f%%", max(m.Done*100-0.5+1e-6, 0)) // rounded down
		need(s.shows(percent), "how far, %s,", percent)
	case m.HasReading:
		figure := fmt.Sprintf("%.0f", float64((m.Reading+brew.Gram/2)/brew.Gram))
		need(s.shows(figure+" g") || s.shows(figure), "the weight, %s g,", figure)
	}
}

// focused returns the lane that a person must look at: hands that are busy,
// the latest first, come before what is called next, before what goes on by
// itself, before marks that are missing.
func focused(t brew.Timeline, at time.Duration) int {
	best, rank := 0, time.Duration(1<<62)
	for i := range t.Lanes() {
		l := t.Lane(i)
		if how, _, _ := l.Ending(); how != brew.Running {
			continue
		}
		m := l.At(l.Elapsed(at))
		r := 1000 * time.Hour
		switch {
		case m.On >= 0 && l.Plan().Cues[m.On].Hands == brew.Busy:
			start, _ := l.Span(m.On)
			r = m.At - start
		case m.Next >= 0:
			r += m.NextIn
		case m.On >= 0:
			r += 1000*time.Hour + m.Left
		case m.Pending >= 0:
			r += 3000*time.Hour - l.Beat(m.Pending).Called
		default:
			r += 4000 * time.Hour
		}
		if r < rank {
			best, rank = i, r
		}
	}
	return best
}

// soonest returns the cue that is called next in any lane, nil for none, and
// in how long. Of two at once it is the one of the lane in focus, else the
// first.
func soonest(t brew.Timeline, at time.Duration) (cue *brew.Cue, in time.Duration) {
	for i := range t.Lanes() {
		l := t.Lane(i)
		m := l.At(l.Elapsed(at))
		if m.Next >= 0 && (cue == nil || m.NextIn < in || m.NextIn == in && i == focused(t, at)) {
			cue, in = &l.Plan().Cues[m.Next], m.NextIn
		}
	}
	return cue, in
}
