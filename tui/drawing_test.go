package tui_test

import (
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"barline/brew"
	"barline/tui/live"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/vt"
)

// How much is drawn: a terminal over a slow line, or one that is filmed, must
// not be flooded, and nothing may flicker.

// sized are the sizes at which the drawing is measured, each with the most
// cells that may change within any one second of a brew, and within one in
// which no cue begins, is announced or marked. Chosen a tenth above what was
// measured over all shipped recipes with every mark made.
var sized = []struct{ width, height, most, quiet int }{
	{40, 12, 480, 210}, {80, 24, 1150, 360}, {200, 60, 6600, 1080},
}

// marking brews a plan with a mark at each asked beat, and returns what was
// written while it was being brewed, the first being what stood there at its
// start, and the moments at which more changes than figures.
func marking(t *testing.T, plan *brew.Plan, width, height int) (frames []frame, turns []time.Duration) {
	synctest.Test(t, func(t *testing.T) {
		s := brewIn(t, plan, live.Options{})
		s.send(tea.WindowSizeMsg{Width: width, Height: height})
		zero := s.prepare(plan)
		lane, _ := brew.NewLane(plan).Apply(brew.Event{Kind: brew.EventStart})
		for i, b := range plan.Beats {
			if at := lane.Beat(i).Called; b.Asked && at > s.since(zero) {
				s.until(zero + at)
				s.press(" ")
			}
		}
		for _, c := range plan.Cues {
			turns = append(turns, zero+c.Start, zero+c.End, zero+c.Start-live.DefaultAhead)
		}
		s.until(zero + plan.End + brew.FinishAfter + time.Second)
		s.leave()
		frames = s.out.frames
		begins := slices.IndexFunc(frames, func(f frame) bool { return f.at >= zero })
		ends := slices.IndexFunc(frames, func(f frame) bool { return strings.Contains(f.text, "readings") })
		frames = frames[begins-1 : ends]
	})
	return frames, turns
}

// emulator is a terminal that counts how many of its cells a frame changes.
type emulator struct {
	*vt.Emulator
	cells []string
}

func newEmulator(t *testing.T, width, height int) *emulator {
	e := &emulator{vt.NewEmulator(width, height), make([]string, width*height)}
	var drained sync.WaitGroup
	drained.Go(func() { io.Copy(io.Discard, e.Emulator) })
	t.Cleanup(func() {
		e.InputPipe().(io.Closer).Close()
		drained.Wait()
		e.Close()
	})
	return e
}

// show shows a frame and returns how many cells are other ones than before.
func (e *emulator) show(text string) (changed int) {
	e.Write([]byte(text))
	for y := range e.Height() {
		for x := range e.Width() {
			now := " "
			if c := e.CellAt(x, y); c != nil {
				now = c.Content
			}
			if at := &e.cells[y*e.Width()+x]; *at != now {
				*at = now
				changed++
			}
		}
	}
	return changed
}

// drawn is what was measured of the drawing at one size.
type drawn struct {
	most, quiet    int // cells that change in one second
	where          string
	cells, bytes   int
	frames, second float64
}

// measure shows an emulator all frames of a brew.
func (d *drawn) measure(t *testing.T, file string, plan *brew.Plan, width, height int) {
	frames, turns := marking(t, plan, width, height)
	// From the top of the screen to the bottom, and never cleared in between.
	whole := regexp.MustCompile(fmt.Sprintf(`(?s)^\x1b\[H.*\x1b\[%d;?H$`, height))
	screen := newEmulator(t, width, height)
	screen.show(frames[0].text)
	changed := make([]int, len(frames))
	for i, f := range frames[1:] {
		if !whole.MatchString(f.text) || strings.Contains(f.text, "\x1b[2J") || strings.Contains(f.text, "\x1b[J") {
			t.Fatalf("%s: a write is no frame, or clears the screen: %.200q", file, f.text)
		}
		if f.at-frames[i].at < frameTime-time.Millisecond {
			t.Errorf("%s: two writes %s apart", file, f.at-frames[i].at)
		}
		i++
		changed[i] = screen.show(f.text)
		d.cells, d.bytes = d.cells+changed[i], d.bytes+len(f.text)
		within := 0
		for j := i; j > 0 && frames[j].at > f.at-time.Second; j-- {
			within += changed[j]
		}
		if within > d.most {
			d.most, d.where = within, fmt.Sprintf("%s at %s", file, brew.Exact(f.at-frames[0].at))
		}
		turns := slices.ContainsFunc(turns, func(at time.Duration) bool { return f.at-time.Second-frameTime <= at && at <= f.at })
		if !turns {
			d.quiet = max(d.quiet, within)
		}
	}
	d.frames += float64(len(frames) - 1)
	d.second += (frames[len(frames)-1].at - frames[0].at).Seconds()
}

// A frame is one write, and what it changes is bounded.
func TestWhatIsDrawnIsBounded(t *testing.T) {
	for _, size := range sized {
		t.Run(fmt.Sprintf("%dx%d", size.width, size.height), func(t *testing.T) {
			t.Parallel()
			var d drawn
			for file, plan := range shipped(t) {
				d.measure(t, file, plan, size.width, size.height)
			}
			t.Logf("of %d cells at most %d change in a second (%s), %d in a quiet one, %.0f on the average; %.1f frames and %.0f bytes a second",
				size.width*size.height, d.most, d.where, d.quiet, float64(d.cells)/d.second, d.frames/d.second, float64(d.bytes)/d.second)
			if d.most > size.most || d.quiet > size.quiet {
				t.Errorf("in a second %d cells change (%s), no more than %d may; in a quiet one %d, of %d", d.most, d.where, size.most, d.quiet, size.quiet)
			}
			if d.quiet == 0 || d.frames < d.second {
				t.Error("too little is drawn: the test does not test")
			}
		})
	}
}
