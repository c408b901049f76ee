package rehearsal_test

import (
	"testing"

	"barline/tui/rehearsal"
)

func TestTheBell(t *testing.T) {
	for name, c := range map[string]struct {
		play     func(*player) *player
		from, at float64
		want     int
	}{
		"nothing":                       {nil, 3, 4, 0},
		"a line rings nothing":          {nil, 7.5, 8.1, 0},
		"water is announced":            {nil, 14.5, 15.1, 1},
		"water":                         {nil, 19.5, 20.1, 2},
		"late, but not too late":        {nil, 19.5, 20.25, 2},
		"too late to ring":              {nil, 19.5, 20.3, 0},
		"a cue of a cup that has begun": {func(p *player) *player { return p.press(" ", 21) }, 28.5, 29.1, 2},
		"a minute left":                 {func(p *player) *player { return p.perform(89, 0.1) }, 89.5, 90, 3},
		"no time left":                  {func(p *player) *player { return p.perform(149, 0.1) }, 149.5, 150.1, 3},
		"after the limit":               {func(p *player) *player { return p.perform(151, 0.1) }, 151.5, 152, 0},
	} {
		t.Run(name, func(t *testing.T) {
			strokes := 0
			p := begun(t, 80, 24, rehearsal.Options{Bell: func(n int) { strokes += n }})
			if c.play != nil {
				p = c.play(p)
			}
			p.wait(c.from)
			strokes = 0
			p.wait(c.at)
			if strokes != c.want {
				t.Errorf("%d strokes, want %d", strokes, c.want)
			}
		})
	}
}
