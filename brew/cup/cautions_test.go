package cup_test

import (
	"strings"
	"testing"

	"barline/brew"
	"barline/brew/cup"
)

func TestCautions(t *testing.T) {
	plan := func(heat brew.Celsius, actions ...brew.Action) *brew.Plan {
		p := &brew.Plan{Temperature: heat}
		for _, a := range actions {
			p.Cues = append(p.Cues, brew.Cue{Action: a})
		}
		return p
	}
	for name, c := range map[string]struct {
		plan      *brew.Plan
		server    brew.Server
		says, not []string
	}{
		"a cone":                {plan(93, brew.Pour), "", []string{"water of 93 °C burns skin deeply within 3 s", "your house"}, []string{"press", "turned"}},
		"a press onto steel":    {plan(93, brew.Pour, brew.Press), brew.Steel, []string{"slowly and straight"}, []string{"glass", "turned"}},
		"a press onto glass":    {plan(93, brew.Pour, brew.Press), brew.ThickGlass, []string{"glass can break"}, nil},
		"a press onto anything": {plan(93, brew.Pour, brew.Press), "", []string{"glass can break"}, nil},
		"a turned brewer":       {plan(93, brew.Pour, brew.Flip, brew.Press), brew.Steel, []string{"held together by friction alone"}, nil},
		"a brew at 50 °C":       {plan(50, brew.Pour), "", []string{"within 8 min"}, nil},
		"a cold brew":           {plan(20, brew.Pour), "", nil, []string{"burns", "house"}},
	} {
		got := strings.Join(cup.Cautions(c.plan, c.server), "\n")
		for _, text := range c.says {
			if !strings.Contains(got, text) {
				t.Errorf("%s: no %q in %q", name, text, got)
			}
		}
		for _, text := range c.not {
			if strings.Contains(got, text) {
				t.Errorf("%s: %q in %q", name, text, got)
			}
		}
	}
}
