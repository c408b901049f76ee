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
