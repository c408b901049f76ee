package live_test

import (
	"slices"
	"strings"
	"testing"

	"barline/brew"
	"barline/tui/draw"
	"barline/tui/live"
)

func TestALongWordLeavesRoomForTheSeconds(t *testing.T) {
	p := coning(t, 80, 24).wait(120)
	s := seen(t, p.page, 80, 24)
	if !s.has(draw.Figures("DRAWDOWN", draw.Short, draw.Now, false)) || !s.has(draw.Figures("48s", draw.Tall, draw.Plain, false)) {
		t.Errorf("the word or the seconds are not in their figures:\n%s", strings.Join(s.lines, "\n"))
	}
}

func TestTheUnitGivesWayToTheFigures(t *testing.T) {
	p := begun(t, 40, 12, live.Options{Plans: []*brew.Plan{recipe(t, "cupping")}}).wait(610)
	s := seen(t, p.page, 40, 12)
	if !s.has(draw.Figures("10:10", draw.Short, draw.Strong, false)) || !s.has(draw.Figures("196", draw.Short, draw.Water, false)) {
		t.Errorf("the clock or the weight are not in figures:\n%s", strings.Join(s.lines, "\n"))
	}
	p.page = p.page.Resize(80, 24)
	if s := seen(t, p.page, 80, 24); !s.has(draw.Figures("196g", draw.Tall, draw.Water, false)) {
		t.Error("where there is room the unit is missing")
	}
}

func TestTheTimeStaysWhereTheGramsDoNot(t *testing.T) {
	plan := planned(t, brew.Recipe{
		Name: "Plain", Method: brew.Cone, Dose: 12 * brew.Gram, Water: 180 * brew.Gram, Temperature: 92, Grind: "medium",
		Steps: []brew.Step{{Action: brew.Pour, Amount: 180 * brew.Gram, Over: 20 * s, Label: "fill"}},
	})
	opt := live.Options{Plans: []*brew.Plan{plan, plan}, Names: []string{"flat bed 1", "flat bed 2"}}
	p := begun(t, 40, 12, opt).wait(5)
	for width, want := range map[int]string{
		60: "flat bed 1: fill: Pour 180 g, by 0:20, 135 g to go",
		46: "flat bed 1: Pour 180 g, by 0:20, 135 g to go",
		40: "flat bed 1: Pour 180 g, by 0:20",
		24: "flat bed 1: by 0:20",
		15: "by 0:20",
	} {
		p.page = p.page.Resize(width, 8)
		if s := seen(t, p.page, width, 8); !s.says(want) {
			t.Errorf("%d columns: %q is missing:\n%s", width, want, strings.Join(s.lines, "\n"))
		}
	}
}

// Below 40 by 12 clock and action stay, as far as there are cells for them. A
// question takes the last row of any screen.
func TestTinyScreens(t *testing.T) {
	for _, sc := range slices.Concat(brewing, around) {
		p := sc.play(t, 80, 24)
		if sc.at != 0 && !sc.still {
			p.wait(sc.at)
		}
		asked := slices.Contains([]string{"leave-asked", "why-stopped", "note"}, sc.name)
		for w := 1; w <= 8; w++ {
			for h := 1; h <= 3; h++ {
				p.page = p.page.Resize(w, h)
				s := seen(t, p.page, w, h)
				if !p.page.Busy() || w < 8 || asked && h < 3 {
					continue
				}
				if !strings.Contains(s.lines[0], ":") {
					t.Errorf("%s at %d by %d: no clock in %q", sc.name, w, h, s.lines)
				}
				if h > 1 && strings.Trim(s.lines[1], "ABCDEFGHIJKLMNOPQRSTUVWXYZ~ ") == s.lines[1] {
					t.Errorf("%s at %d by %d: no action in %q", sc.name, w, h, s.lines)
				}
			}
		}
	}
}
