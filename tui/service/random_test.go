package service_test

import (
	"reflect"
	"testing"

	"barline/brew"
	"barline/brew/bar"
	"barline/tui/draw"

	"github.com/charmbracelet/x/ansi"
	"pgregory.net/rapid"
)

// strokes are the keys that a person may hit, and one that means nothing; what
// makes a service move comes more often.
var strokes = []string{
	" ", " ", " ", " ", "enter", "pgdown", "1", "2", "3", "4", "A", "0", "a", "a", "a", "u", "x", "h", "m", "r", "t", "n",
	"s", "e", "z", "f", "b", "+", "-", "k", "p", "d", "?", "q", "y", "esc", "backspace", "up", "down", "ctrl+c", "w", ",", "f20",
}

// Whatever is pressed, resized and answered, the page draws a screen of the
// size it has, and the record holds every event once: the same service comes
// out of it.
func TestAnyKeysOnAnyScreen(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		people := []string{"Ada", "Bo", "Cleo"}[:rapid.IntRange(1, 3).Draw(r, "people")]
		opt := alone(t)
		opt.Service = bench(t, rapid.IntRange(1, 4).Draw(r, "brewers"), people...)
		opt.Theme.ASCII = rapid.Bool().Draw(r, "ascii")
		p, k := recorded(t, opt)
		p.order(rapid.StringMatching(`[1-6]{0,3}`).Draw(r, "orders"), 1)
		at := 10.0
		for range rapid.IntRange(0, 40).Draw(r, "keys") {
			at += rapid.Float64Range(0, 30).Draw(r, "pause")
			p.slow = rapid.Bool().Draw(r, "slow")
			p.stroke(r, rapid.SampledFrom(strokes).Draw(r, "key"), at)
		}
		p.settle()
		w, h := rapid.IntRange(0, 220).Draw(r, "width"), rapid.IntRange(0, 70).Draw(r, "height")
		for _, size := range []size{{w, h}, {w % 12, h % 5}, {40, 12}} {
			p.fits(r, size)
		}
		p.replayed(r, k, bench(t, 1, people...))
	})
}

// stroke presses a key, and sees to it that a mark is not lost: where a mark
// key is pressed and something waits for it, something is marked.
func (p *player) stroke(r *rapid.T, key string, at float64) {
	before := p.page
	p.press("f19", at)
	awake := p.page
	p.press(key, at+0.001)
	if key != " " || awake.Typing() || awake.Over() {
		return
	}
	s := awake.Service()
	person := -1
	if len(s.People()) > 1 {
		person = 0
	}
	if _, any := s.Nearest(sec(at+0.001), -1, person); any && marksIn(p.page.Service()) == marksIn(s) {
		r.Fatalf("at %v a mark is lost (before: %d events)", at, before.Service().Count())
	}
}

// marksIn counts the starts and marks that ever happened.
func marksIn(s bar.Service) (n int) {
	for i := range s.Brews() {
		for _, e := range s.Lane(i).Events() {
			if e.Kind == brew.EventMark || e.Kind == brew.EventStart {
				n++
			}
		}
	}
	return n
}

func (p *player) fits(r *rapid.T, size size) {
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

// replayed checks that the record gives the same service.
func (p *player) replayed(r *rapid.T, k *keeping, fresh bar.Service) {
	got := p.page.Service()
	if len(k.events) != got.Count() {
		r.Fatalf("%d events in the record, %d happened", len(k.events), got.Count())
	}
	all, _ := got.Kit()
	again := bar.NewService(menu(p.t), all, fresh.People())
	for n := range len(k.events) {
		again, _ = again.Apply(k.events[n])
	}
	if at := p.page.At(); !reflect.DeepEqual(again.Look(at), got.Look(at)) {
		r.Fatal("another service comes out of the record")
	}
}
