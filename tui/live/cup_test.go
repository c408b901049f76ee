package live_test

import (
	"strings"
	"testing"

	"barline/brew"
	"barline/tui/live"
)

// The debrief says what was read of the cup, against its aim; a brew of the
// record is not told to cool, and one that was stopped has no cup.
func TestTheDebriefSaysWhatTheCupTells(t *testing.T) {
	for name, c := range map[string]struct {
		lanes     []brew.Lane
		read      brew.Reading
		says, not []string
	}{
		"of the record": {[]brew.Lane{ended(t, "finish", 9.2, 53.1, 112.4, 141)}, measuredCup(), []string{
			"the cup strength 1.43 ± 0.03 %, extraction 21.76 ± 0.49 % by immersion", "the extraction is 1.26 points above its aim; common practice is to grind coarser",
		}, []string{"to drink at"}},
		"not read":          {[]brew.Lane{ended(t, "finish", 9.2, 53.1, 112.4, 141)}, brew.Reading{}, nil, []string{"the cup strength"}},
		"stopped":           {[]brew.Lane{ended(t, "stop", 9.2, 53.1)}, measuredCup(), nil, []string{"by immersion"}},
		"of two, whose cup": {[]brew.Lane{ended(t, "finish", 9.2, 53.1, 112.4, 141), ended(t, "finish", 9.2, 53.1, 112.4, 141)}, measuredCup(), nil, []string{"extraction 2"}},
	} {
		opt := live.Options{Title: "Quayside press", Keys: live.DefaultKeys()}
		for _, l := range c.lanes {
			opt.Plans = append(opt.Plans, l.Plan())
		}
		screen := strings.Join(strings.Fields(strings.Join(live.Review(opt, brew.TimelineOf(c.lanes...), c.read).Resize(120, 60).Draw().Lines(), " ")), " ")
		for _, text := range c.says {
			if !strings.Contains(screen, text) {
				t.Errorf("%s: no %q in %s", name, text, screen)
			}
		}
		for _, text := range c.not {
			if strings.Contains(screen, text) {
				t.Errorf("%s: %q in %s", name, text, screen)
			}
		}
	}
}
