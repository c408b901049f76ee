package live_test

import (
	"strings"
	"testing"

	"barline/brew"
	"barline/tui/live"

	"pgregory.net/rapid"
)

func TestLayout(t *testing.T) {
	long, short := awkward(t), recipe(t, "long-pour")
	plain := planned(t, brew.Recipe{
		Name: "Plain", Method: brew.Cone, Dose: 12 * brew.Gram, Water: 180 * brew.Gram, Temperature: 92, Grind: "medium",
		Steps: []brew.Step{{Action: brew.Pour, Amount: 180 * brew.Gram, Over: 20 * s}, {Action: brew.Swirl, Text: "gently"}},
	})
	for name, c := range map[string]struct {
		plan *brew.Plan
		size size
		want string
	}{
		"all of it is there at 80 by 24":                     {plain, size{80, 24}, "title 1, clock 5, gap 1, action 5, detail 1, next 1, care 1, line 7, mark 1, help 1"},
		"long prompts take no more rows where they fit":      {long, size{80, 24}, "title 1, clock 5, gap 1, action 5, detail 1, next 1, care 1, line 7, mark 1, help 1"},
		"at 40 by 12 the figures are small":                  {plain, size{40, 12}, "clock 3, gap 1, action 3, detail 1, next 1, line 1, mark 1, help 1"},
		"at 40 by 12 long prompts push out the keys":         {long, size{40, 12}, "clock 3, action 3, detail 2, next 2, line 1, mark 1"},
		"a narrow high screen keeps the figures small":       {plain, size{40, 24}, "title 1, gap 1, clock 3, gap 1, action 3, gap 1, detail 1, next 1, care 2, gap 1, line 7, mark 1, help 1"},
		"a wide low screen keeps them small, too":            {plain, size{200, 12}, "clock 3, gap 1, action 3, detail 1, next 1, line 1, mark 1, help 1"},
		"a wall has figures of ten rows":                     {short, size{200, 60}, "title 1, gap 1, clock 10, gap 1, action 10, gap 1, detail 1, next 1, care 2, gap 1, line 24, gap 1, mark 1, help 1"},
		"below 40 by 12 the clock and the action stay":       {long, size{20, 5}, "clock 1, action 1, detail 2, next 1"},
		"three rows have no next":                            {long, size{20, 3}, "clock 1, action 1, detail 1"},
		"one row has the clock":                              {long, size{20, 1}, "clock 1"},
		"nothing has nothing":                                {long, size{0, 0}, ""},
		"a clock too wide for its figures is plain":          {plain, size{30, 24}, "title 1, gap 1, clock 1, gap 1, action 1, gap 1, detail 1, next 1, care 2, gap 1, line 10, gap 1, mark 1, help 1"},
		"eight rows have small figures before a mark's row":  {plain, size{80, 8}, "clock 3, action 3, detail 1, next 1"},
		"the largest figures take the marks' row at the end": {plain, size{80, 9}, "clock 3, action 3, detail 1, next 1, mark 1"},
	} {
		p := live.New(live.Options{Plans: []*brew.Plan{c.plan}}).Resize(c.size.w, c.size.h)
		if got := strings.Join(p.Layout(), ", "); got != c.want {
			t.Errorf("%s:\n got %s\nwant %s", name, got, c.want)
		}
	}
}

// No part covers another one or leaves the screen.
func TestPartsStandBelowEachOther(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		opt := options(r, true)
		opt.Theme.ASCII = rapid.Bool().Draw(r, "ascii")
		w, h := rapid.IntRange(0, 300).Draw(r, "width"), rapid.IntRange(0, 100).Draw(r, "height")
		y := 0
		for _, b := range live.New(opt).Resize(w, h).Boxes() {
			if b[3] == 0 {
				continue
			}
			if b[0] != 0 || b[2] != w || b[1] < y || b[1]+b[3] > h {
				r.Fatalf("a part stands at %v below row %d on a screen of %d by %d", b, y, w, h)
			}
			y = b[1] + b[3]
		}
	})
}
