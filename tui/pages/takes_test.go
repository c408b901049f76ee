package pages_test

import (
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/routine"
	"barline/recipes"
	"barline/tui/draw"
	"barline/tui/pages"

	tea "github.com/charmbracelet/bubbletea"
)

// lantern returns the plan of the shipped routine of three cones, dry or not.
func lantern(t testing.TB, dry bool) *routine.Plan {
	t.Helper()
	text, err := fs.ReadFile(recipes.ShippedRoutines(), "lantern-three-cones.yaml")
	if err != nil {
		t.Fatal(err)
	}
	shelf, err := recipes.NewShelf(nil, brew.Bar{})
	if err != nil {
		t.Fatal(err)
	}
	doc, _ := recipes.ParseRoutine("lantern-three-cones.yaml", text)
	resolved, faults := doc.Resolve(recipes.FindOn(shelf), brew.Bar{})
	if faults.Err() != nil {
		t.Fatal(faults)
	}
	if dry {
		resolved = resolved.Dry()
	}
	return routine.Solve(resolved, routine.Usual).Plan()
}

// rehearsed plays a plan with hands that are late by so much, and more in the
// second section, and a voice that marks its lines.
func rehearsed(p *routine.Plan, n int, late float64, r *rand.Rand, opt routine.Options) routine.Result {
	run := routine.NewRun(p, opt)
	do := func(e brew.Event) {
		for _, c := range run.Clock(e.At) {
			run, _ = run.Apply(c)
		}
		run, _ = run.Apply(e)
	}
	draws := func(scale float64) time.Duration {
		return time.Duration((late + scale*r.NormFloat64()) * float64(time.Second)).Round(10 * time.Millisecond)
	}
	do(brew.Event{Kind: brew.EventMark, Lane: p.CallsLane(), At: run.Begins()})
	for how := routine.Running; how == routine.Running; how, _, _ = run.Ending() {
		now := latest(run)
		look, next := run.At(now), time.Duration(-1)
		for _, w := range run.Wanted(now) {
			if next < 0 || w.Called < next {
				next = w.Called
			}
		}
		if talk := now + look.NextIn; look.NextLine >= 0 && !look.Waits && talk < next {
			do(brew.Event{Kind: brew.EventMark, Lane: p.TalkLane(), At: talk + max(draws(0.6), 0)})
			continue
		}
		e, _ := run.Meant(max(next+draws(1), now), brew.FromKey)
		do(e)
	}
	take := routine.Take{ID: fmt.Sprintf("%08d-take", n), Start: monday.Add(time.Duration(n) * 7 * time.Hour), Person: crew[n%len(crew)], Speed: 1, Dry: false}
	return routine.Of(take, run)
}

// latest is the moment of a run's latest event.
func latest(run routine.Run) time.Duration {
	at := run.Begins()
	for _, e := range run.Events() {
		at = max(at, e.At)
	}
	return at
}

// box is a record of takes.
type box struct {
	all     []routine.Result
	leftOut int
	err     error
}

func (b box) Takes(string) ([]routine.Result, int, error) { return b.all, b.leftOut, b.err }

// takesBox is so many takes, the last of them dry, in part and broken off.
func takesBox(t testing.TB, n int) box {
	p, r := lantern(t, false), rand.New(rand.NewPCG(3, 9))
	var b box
	for i := range n {
		b.all = append(b.all, rehearsed(p, i, 1.5-float64(i)/float64(n), r, p.Whole()))
	}
	part := rehearsed(p, n, 0.5, r, routine.Options{From: 1, To: 3})
	dry := rehearsed(lantern(t, true), n+1, 0.2, r, p.Whole())
	dry.Dry = true
	b.all = append(b.all, part, dry)
	return b
}

// unfinished adds takes that do not count to a box: two that were stopped, one
// that was cut off, one at another speed, and a stopped one without water.
func (b box) unfinished() box {
	stopped, cut, slow, dry := b.all[0], b.all[0], b.all[0], b.all[0]
	stopped.Ending, cut.Ending, slow.Speed = routine.Stopped, routine.Running, 10
	dry.Ending, dry.Dry = routine.Stopped, true
	b.all = append([]routine.Result{stopped, cut, slow, dry, stopped}, b.all...)
	return b
}

// taking is the page with keys pressed, every command run at once, and whether
// it said that the person goes back.
func taking(source pages.TakesSource, ascii bool, w, h int, names ...string) (pages.Takes, bool) {
	back := false
	p, cmd := pages.NewTakes(source, "Lantern, three cones", pages.DefaultTakesKeys(), ascii)
	p = p.Resize(w, h)
	run := func(cmd tea.Cmd) {
		for cmd != nil {
			msg := cmd()
			_, left := msg.(pages.BackMsg)
			back = back || left
			p, cmd = p.Update(msg)
		}
	}
	run(cmd)
	for _, name := range names {
		var cmd tea.Cmd
		p, cmd = p.Update(key(name))
		run(cmd)
	}
	return p, back
}

func TestTakesPage(t *testing.T) {
	many, few := takesBox(t, 12), takesBox(t, 2)
	for _, c := range []struct {
		name       string
		source     box
		ascii      bool
		keys       string
		says, wide []string
	}{
		{"takes", many, false, "", []string{"Lantern, three cones: takes", "section", "Welcome", "whole", "enter"}, []string{
			"12 takes, version", "written this median 10 best spread trend slip lost", "time is lost in", "drift of the take", "● hands", "penalty", "v other takes",
		}},
		{"takes-first", many, false, "up up up up", []string{"> "}, []string{"> 07 Jan", "down next take"}},
		{"takes-ascii", many, true, "up", []string{"whole"}, []string{"@ hands", "o talk"}},
		{"takes-beside", many, false, "up enter", []string{"A ", "B ", "drift of", "start of"}, []string{"against the plan", "B later", "start of left", "The coffee"}},
		{"takes-beside-scrolled", many, false, "up enter pgdown pgdown", []string{"drift of"}, []string{"enter all takes"}},
		{"takes-part", many, false, "v v", []string{"Lantern, three cones: takes"}, []string{"1 take, The coffee to The second", "is told from 3 takes on"}},
		{"takes-dry", many, false, "v", []string{"Lantern, three cones: takes"}, []string{"1 take, without water"}},
		{"takes-few", few, false, "", []string{"2 takes", "-"}, []string{"is told from 3 takes on"}},
		{"takes-unfinished", few.unfinished(), false, "", []string{"2 takes"}, []string{"- not counted: 2 stopped, 1 cut off, 1 at another speed"}},
		{"takes-unread", box{all: few.all, leftOut: 1}, false, "", []string{"2 takes"}, []string{"- 1 take cannot be read and is left out"}},
		{"takes-empty", box{}, false, "", []string{"no take yet that was finished"}, nil},
		{"takes-error", box{err: errors.New("the journal is damaged")}, false, "", []string{"! the journal is damaged", "q back"}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			screens(t, c.name, c.says, c.wide, func(w, h int) *draw.Canvas {
				p, _ := taking(c.source, c.ascii, w, h, strings.Fields(c.keys)...)
				return p.Draw()
			})
		})
	}
}

// At 80×24 the drift of the take is drawn, however much there is to say.
func TestTakesDrawTheDriftAtTheUsualSize(t *testing.T) {
	source := takesBox(t, 24).unfinished()
	source.leftOut = 2
	p, _ := taking(source, false, 80, 24)
	text := strings.Join(p.Draw().Lines(), "\n")
	for _, want := range []string{"drift of the take, late above the line", "time is lost in", "the latest 5 takes are alike", "24 of 24"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in\n%s", want, text)
		}
	}
}

// The keys do what they say, and nothing where there is nothing to do.
func TestTakesKeys(t *testing.T) {
	source := takesBox(t, 4)
	if _, back := taking(source, false, 80, 24, "q"); !back {
		t.Error("q does not go back")
	}
	if _, back := taking(source, false, 80, 24, "enter", "q"); back {
		t.Error("q leaves the page from two takes beside each other")
	}
	if _, back := taking(source, false, 80, 24, "enter", "q", "q"); !back {
		t.Error("q does not go back from there")
	}
	line := func(names ...string) string {
		p, _ := taking(source, false, 200, 60, names...)
		for _, l := range p.Draw().Lines() {
			if strings.HasPrefix(l, "> ") || strings.HasPrefix(l, "A ") {
				return l
			}
		}
		return ""
	}
	latest, first := line(), line("up", "up", "up")
	if latest == first || line("up", "down") != latest || line("up", "up", "up", "up", "up") != first || line("down") != latest {
		t.Errorf("%q and %q", latest, first)
	}
	if beside := line("up", "up", "up", "enter"); !strings.Contains(beside, first[2:14]) {
		t.Errorf("%q beside, %q was chosen", beside, first)
	}
	p, _ := taking(source, false, 80, 24, "enter") // the latest beside the one before it
	if lines := p.Draw().Lines(); lines[1][3:] == lines[2][3:] || !strings.Contains(lines[1], latest[2:14]) {
		t.Errorf("%q beside %q", lines[1], lines[2])
	}
	if around := line("v", "v", "v"); around != latest {
		t.Errorf("after all pools %q, want %q", around, latest)
	}
	for _, name := range []string{"up", "down", "enter", "v", "pgdown", "pgup", "x"} {
		taking(box{}, false, 80, 24, name)
		taking(box{err: errors.New("no")}, false, 80, 24, name)
	}
}

// Whatever the size, the page fits it, and its name is there.
func TestTakesFitEverySize(t *testing.T) {
	source := takesBox(t, 5)
	for _, names := range [][]string{nil, {"enter"}, {"v"}, {"enter", "pgdown"}} {
		for h := 0; h <= 40; h++ {
			for _, w := range []int{0, 1, 7, 12, 20, 39, 40, 63, 80, 129, 130, 200} {
				p, _ := taking(source, false, w, h, names...)
				lines := sized(t, p.Draw(), w, h)
				if h > 0 && w >= 10 && !strings.HasPrefix(lines[0], "Lantern") {
					t.Fatalf("%dx%d: %q", w, h, lines[0])
				}
			}
		}
	}
}

// BenchmarkTakes is the page over a thousand takes: what its command works out
// of those that were replayed, and one picture.
func BenchmarkTakes(b *testing.B) {
	source := takesBox(b, 1000)
	for b.Loop() {
		p, cmd := pages.NewTakes(source, "Lantern, three cones", pages.DefaultTakesKeys(), false)
		p, _ = p.Resize(200, 60).Update(cmd())
		p.Draw()
	}
}
