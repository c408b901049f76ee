package rehearsal_test

import (
	"strings"
	"testing"

	"barline/brew"
	"barline/tui/rehearsal"
)

// A press that would start a brew so early that zero again could no longer put
// it right is asked for once more. The record has it all the same.
func TestAStartLongAheadIsPressedTwice(t *testing.T) {
	for name, c := range map[string]struct {
		presses []float64
		begun   float64 // 0 where the cup has not begun
		notes   int
	}{
		"just in reach of zero again":    {[]float64{5}, 5, 0},
		"out of its reach":               {[]float64{4.9}, 0, 1},
		"pressed once more it is meant":  {[]float64{3, 6}, 6, 1},
		"once more, but much later":      {[]float64{1, 7.5}, 7.5, 1},
		"too late to be the same press":  {[]float64{-18, -11}, 0, 2},
		"too early, then when it is due": {[]float64{3, 20}, 20, 1},
	} {
		t.Run(name, func(t *testing.T) {
			rec := &keeping{}
			p := begun(t, 80, 24, rehearsal.Options{Plan: plan(t, "three"), Recorder: rec})
			zero := p.page.Run().Plan().Cups[left].Zero.Seconds()
			for _, at := range c.presses {
				p.press(" ", zero-20+at)
			}
			run := rec.run(t, 0)
			if lane := run.Lanes().Lane(left); lane.Started() != (c.begun != 0) || lane.Started() && lane.Zero() != sec(zero-20+c.begun) {
				t.Errorf("begun %v at %s", lane.Started(), lane.Zero())
			}
			notes := 0
			for _, e := range run.Events() {
				if e.Kind == brew.EventNote && strings.HasSuffix(e.Text, "ahead of water on left") {
					notes++
				}
			}
			if notes != c.notes {
				t.Errorf("%d notes, want %d", notes, c.notes)
			}
		})
	}
	p := begun(t, 40, 12, rehearsal.Options{Plan: plan(t, "three")}).press(" ", 12)
	if s := seen(t, p.page); !s.says("due in 28 s: space again starts left") {
		t.Errorf("nobody is told:\n%s", s.text())
	}
}

// What was pressed in the take before confirms nothing in this one.
func TestAPressOfTheTakeBeforeConfirmsNothing(t *testing.T) {
	p := begun(t, 80, 24, rehearsal.Options{Plan: plan(t, "three")}).press(" ", 22).press("q", 22.5).press("r", 23)
	p.press("f19", 24).press(" ", 25)
	if run := p.page.Run(); run.Lanes().Lane(left).Started() || len(p.page.Takes()) != 2 {
		t.Errorf("%d takes, the cup has begun: %v", len(p.page.Takes()), run.Lanes().Lane(left).Started())
	}
}

// A line that is tied to something far ahead begins with a second press: a key
// for the line that went on by itself, pressed late, would skip to it.
func TestATiedLineFarAheadIsPressedTwice(t *testing.T) {
	for name, c := range map[string]struct {
		presses []float64 // of the line's key; the water comes at 20
		marks   int
		notes   int
	}{
		"once":                          {[]float64{29}, 0, 1},
		"twice":                         {[]float64{29, 31}, 1, 1},
		"twice, but long apart":         {[]float64{22, 29}, 0, 2},
		"in the reach of what it is on": {[]float64{1}, 1, 0},
		"a little ahead":                {[]float64{40}, 1, 0},
	} {
		t.Run(name, func(t *testing.T) {
			rec := &keeping{}
			p := begun(t, 80, 24, rehearsal.Options{Recorder: rec})
			water := false
			for _, at := range c.presses {
				if at > 20 && !water {
					p.press(" ", 20)
					water = true
				}
				p.press("l", at)
			}
			marks, notes := 0, 0
			for _, e := range rec.run(t, 0).Events() {
				switch {
				case e.Kind == brew.EventMark && e.Lane == talk:
					marks++
				case e.Kind == brew.EventNote && strings.Contains(e.Text, " ahead of part "):
					notes++
				}
			}
			if marks != c.marks || notes != c.notes {
				t.Errorf("%d marks and %d notes, want %d and %d", marks, notes, c.marks, c.notes)
			}
		})
	}
	p := begun(t, 40, 12, rehearsal.Options{}).press(" ", 20).press(" ", 28).press("l", 29)
	if s := seen(t, p.page); !s.says("due in 21 s: l again begins it now") {
		t.Errorf("nobody is told:\n%s", s.text())
	}
}

// A press too early for the water is none for a line.
func TestAnEarlyPressCountsForItsOwnKey(t *testing.T) {
	p := begun(t, 80, 24, rehearsal.Options{Plan: plan(t, "three")}).press("l", 1)
	line := 0
	for at := 3.0; len(p.page.Run().Plan().Lines[line+1].Behind) == 0; at += 2 {
		p.press("l", at)
		line = p.page.Run().At(p.page.At()).Line
	}
	now := p.page.At().Seconds()
	p.press(" ", now+2).press("l", now+4)
	if got := p.page.Run().At(p.page.At()).Line; got != line {
		t.Errorf("part %d has begun behind part %d, which waits", got+1, line+1)
	}
}
