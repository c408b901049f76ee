package draw_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"barline/tui/draw"
)

func TestMeter(t *testing.T) {
	for name, c := range map[string]struct {
		width        int
		done, target float64
		ascii        bool
		want         string
	}{
		"nothing is done":                       {8, 0, 2, false, "░░░░░░░░"},
		"half is done":                          {8, 0.5, 2, false, "████░░░░"},
		"a column fills by eighths":             {4, 0.28125, 2, false, "█▏░░"},
		"a column is nearly full":               {4, 0.46875, 2, false, "█▉░░"},
		"all is done":                           {8, 1, 2, false, "████████"},
		"more than all is all":                  {8, 7, 2, false, "████████"},
		"far more than all is all":              {8, 1e300, 2, false, "████████"},
		"a target ahead of all is left out":     {8, 0.5, -0.05, false, "████░░░░"},
		"less than nothing is nothing":          {8, -7, 2, false, "░░░░░░░░"},
		"no number is nothing":                  {8, math.NaN(), math.NaN(), false, "░░░░░░░░"},
		"the target is ahead":                   {8, 0.25, 0.5, false, "██░░▌░░░"},
		"the target is passed":                  {8, 0.75, 0.5, false, "████▌█░░"},
		"the target is the end":                 {8, 0.25, 1, false, "██░░░░░▌"},
		"the target is the beginning":           {8, 0.25, 0, false, "▌█░░░░░░"},
		"in ASCII mode a column is full or not": {8, 0.30, 0.75, true, "##....|."},
		"there is no room":                      {0, 0.5, 0.5, false, ""},
	} {
		if got := draw.Meter(c.width, c.done, c.target, draw.Now, c.ascii).Lines()[0]; got != c.want {
			t.Errorf("%s: got %q, want %q", name, got, c.want)
		}
	}
}

func TestMeterNeverFallsWhileMoreIsDone(t *testing.T) {
	filled := func(width int, done float64) int {
		eighths := 0
		for _, r := range draw.Meter(width, done, -1, draw.Now, false).Lines()[0] {
			if i := strings.IndexRune("█▉▊▋▌▍▎▏", r); i >= 0 {
				eighths += 8 - i/3
			}
		}
		return eighths
	}
	rapid.Check(t, func(t *rapid.T) {
		width := rapid.IntRange(0, 300).Draw(t, "width")
		a, b := rapid.Float64Range(-1, 2).Draw(t, "a"), rapid.Float64Range(-1, 2).Draw(t, "b")
		if a > b {
			a, b = b, a
		}
		if filled(width, a) > filled(width, b) {
			t.Fatalf("%d columns: %v fills %d eighths, %v only %d", width, a, filled(width, a), b, filled(width, b))
		}
		want := min(max(b, 0), 1) * float64(8*width)
		if got := float64(filled(width, b)); math.Abs(got-want) > 1 {
			t.Fatalf("%d columns: %v fills %v eighths, want %v", width, b, got, want)
		}
	})
}
