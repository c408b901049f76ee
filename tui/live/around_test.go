package live_test

import (
	"fmt"
	"strings"
	"testing"

	"barline/brew"
	"barline/tui/live"
)

// The scenes before the start and after the end.

func preparing(name string, ticks int) func(t testing.TB, w, h int) *player {
	return func(t testing.TB, w, h int) *player {
		p := open(t, w, h, live.Options{Plans: []*brew.Plan{recipe(t, name)}, By: "Ada"})
		for i := range ticks {
			p.press(" ", float64(i-50))
		}
		return p
	}
}

// pressed is a press brewed to its end, a little off.
func pressed(t testing.TB, w, h int) *player {
	return pressing(t, w, h).press(" ", 9.2).press(" ", 57.5).press(" ", 112.4).press(" ", 139.8)
}

// noted is the same with a recorder.
func noted(r live.Recorder) func(t testing.TB, w, h int) *player {
	return func(t testing.TB, w, h int) *player {
		opt := live.Options{Plans: []*brew.Plan{recipe(t, "press")}, By: "Ada", Recorder: r}
		return begun(t, w, h, opt).press(" ", 9.2).press(" ", 57.5).press(" ", 112.4).press(" ", 139.8).settle()
	}
}

const pressCare = "Stand, press straight down on a dry, firm table. If it needs force, stop, draw back, let it drain. Defer to house rules and trained practice"

// around are the moments without a running clock.
var around = []scene{
	{name: "prepare", play: preparing("press", 2), sizes: all, spells: []string{"PREPARE?", "> [ ] Rinse the filter in the cap, lock the cap, empty the server", "14 g to 210 g at 93 °C", "next: Pour to 50 g"},
		wide: []string{"[x] Grind 14 g", "[ ] Brewer on the server, both on the scale; add 14 g, level, tare", "! bloom: Near-boiling water scalds at once: keep the spout low and your other hand off the rim", "! press: " + pressCare}},
	{name: "ready", play: preparing("press", 4), sizes: all, spells: []string{"READY?", "space as water meets coffee", "Pour to 50 g", "! bloom: Near-boiling water scalds at once: keep the spout low and your other hand off the rim", "! press: " + pressCare}},
	{name: "ready-cupping", play: preparing("cupping", 5), sizes: usual, spells: []string{"space as water meets coffee", "Pour to 196 g"},
		wide: []string{"! fill: Near-boiling water in an open bowl: pour low, keep the table clear, move no full bowl", "! break: Steam scalds too: close is near enough to smell, not to touch", "! first taste: Try a drop first: coffee above 70 °C burns, and a slurp is hot before you know it"}},
	{name: "ready-in-the-middle", play: func(t testing.TB, w, h int) *player {
		return open(t, w, h, live.Options{Plans: []*brew.Plan{recipe(t, "press")}, From: 100 * s, Kind: "practice"}).tick()
	}, sizes: usual, spells: []string{"space starts the clock at 1:40", "Open: plunger out"}},
	{name: "ready-six", play: func(t testing.TB, w, h int) *player {
		return open(t, w, h, round(t, 6)).tick()
	}, sizes: usual, wide: []string{"flat bed: 24 g to 384 g", "Pour to 50 g"}},
	{name: "many-cautions", play: func(t testing.TB, w, h int) *player {
		p := open(t, w, h, round(t, 6)).tick()
		for i := range 60 {
			p.press("down", -80+float64(i))
		}
		return p
	}, sizes: usual, spells: []string{"pour away from people", "space as water meets coffee"}, wide: []string{"! plunger: lift: Hold the pot by its handle; the glass burns"}},
	{name: "count-in", play: func(t testing.TB, w, h int) *player {
		opt := live.Options{Plans: []*brew.Plan{recipe(t, "press")}, By: "Ada", CountIn: 5 * s}
		return open(t, w, h, opt).tick().press(" ", -5)
	}, at: -2.4, sizes: all, spells: []string{"-0:03?", "READY?", "3 s?", "water meets coffee at 0:00", ">>>> in 3 s", "Pour to 50 g"}},
	{name: "debrief", play: pressed, sizes: all, spells: []string{"Quayside press, finished at 2:19", "The second pour ended 5.5 s late"},
		wide: []string{"beat written called marked slip drift", "second pour, end 0:52 0:52 0:57.5 +5.5 s +5.5 s late", "press, end 2:20 2:20.4 2:19.8 -0.6 s -0.2 s on time", "contact: 2 min 19.8 s", "space readings", "q leave"}},
	{name: "debrief-stopped", play: func(t testing.TB, w, h int) *player {
		p := pressing(t, w, h).press(" ", 9.2)
		return p.press("q", 20).press("y", 21).write("the cup fell off the table, and the barista slipped on it", 22).press("enter", 30)
	}, sizes: usual, spells: []string{"stopped at 0:21: the cup fell off the table, and the barista slipped on it"}, wide: []string{"not reached"}},
	{name: "debrief-scrolled", play: func(t testing.TB, w, h int) *player {
		p := pressed(t, w, h)
		for i := range 99 {
			p.press("down", 141+float64(i)/10)
		}
		return p
	}, sizes: all, spells: []string{"Push out the puck and rinse the plunger while they are warm"}},
	{name: "debrief-reading", play: func(t testing.TB, w, h int) *player {
		return pressed(t, w, h).press(" ", 150).write("182.5", 152)
	}, sizes: all, spells: []string{"beverage in the server, g: 182.5_", "enter keep, or leave out", "esc back"}},
	{name: "debrief-wrong-reading", play: func(t testing.TB, w, h int) *player {
		return pressed(t, w, h).press(" ", 150).press("enter", 152).write("1,35", 153).press("enter", 154)
	}, sizes: usual, spells: []string{"strength, %: 1,35_", `! "1,35": write the decimal with a point`}},
	{name: "debrief-read", play: func(t testing.TB, w, h int) *player {
		p := noted(&keeping{events: map[int]brew.Event{}})(t, w, h).press(" ", 150)
		p.write("182.5", 152).press("enter", 153).write("1.35", 154).press("enter", 155)
		return p.write("round, a little thin", 156).press("enter", 158).settle()
	}, sizes: usual, spells: []string{"saved: beverage 182.5 g"}, wide: []string{"strength 1.35 %, taste: round, a little thin",
		"the cup strength 1.35 ± 0.03 %, extraction 20.53 ± 0.49 % by immersion as aimed", "to drink at 60 °C: in about 16 min (10 to 23); an estimate"}},
	{name: "debrief-unsaved", play: noted(unplugged{errDisk}), sizes: usual, spells: []string{"! not saved: no space left on the disk"}},
	{name: "debrief-marks-missing", play: func(t testing.TB, w, h int) *player {
		p := coning(t, w, h).press(" ", 15.5).press(" ", 60)
		return p.wait(400)
	}, sizes: usual, spells: []string{"unmarked"}},
	{name: "debrief-late-bed", play: func(t testing.TB, w, h int) *player {
		return coning(t, w, h).press(" ", 9).press(" ", 62).press(" ", 104).press(" ", 188)
	}, sizes: usual, spells: []string{"+20.0 s late, by the bed"}},
	{name: "debrief-second-of-six", play: func(t testing.TB, w, h int) *player {
		return begun(t, w, h, round(t, 6)).press(" ", 8).wait(600).press("tab", 601)
	}, sizes: usual, spells: []string{"cone: Six for the window table, finished at"}},
}

func TestScreensAroundTheBrew(t *testing.T) {
	for _, scene := range around {
		t.Run(scene.name, func(t *testing.T) {
			var file strings.Builder
			for _, size := range scene.sizes {
				p := scene.play(t, size.w, size.h)
				if scene.at != 0 {
					p.wait(scene.at)
				}
				s := seen(t, p.page, size.w, size.h)
				scene.check(s)
				fmt.Fprintf(&file, "-- %s --\n%s\n", size, strings.Join(s.lines, "\n"))
			}
			golden(t, scene.name+".txt", file.String())
		})
	}
}
