package live_test

import (
	"fmt"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"barline/brew"
	"barline/tui/keys"
	"barline/tui/live"

	tea "github.com/charmbracelet/bubbletea"
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

// cooled plays a brew that nobody marks, from its start until the page sleeps
// for good, by its own alarms alone: the moments after 0:00 at which it woke
// once the debrief stood, and what its screen then said of the wait. Where again
// is not 0, its zero is set again so long after the start.
func cooled(t *testing.T, again time.Duration, change func(*live.Options)) (woke []time.Duration, said []string) {
	synctest.Test(t, func(t *testing.T) {
		start := time.Now()
		opt := live.Options{Title: "Quayside press", Plans: []*brew.Plan{recipe(t, "press")}, Keys: live.DefaultKeys(), Ahead: live.DefaultAhead}
		opt.Now = func() time.Duration { return machineZero + time.Since(start) }
		change(&opt)
		p := live.New(opt).Resize(100, 50)
		p, _ = p.Update(keys.Press{KeyMsg: message("s"), At: opt.Now()})
		time.Sleep(2 * s)
		p, cmd := p.Update(keys.Press{KeyMsg: message(" "), At: opt.Now()})
		if again > 0 {
			time.Sleep(again)
			p, cmd = p.Update(keys.Press{KeyMsg: message("z"), At: opt.Now()})
		}
		for range 2000 {
			msgs := results([]tea.Cmd{cmd})
			if len(msgs) == 0 {
				return
			}
			p, cmd = p.Update(msgs[0])
			if p.Timeline().Ended() {
				woke = append(woke, opt.Now()-p.Zero())
				screen := strings.Join(p.Draw().Lines(), "\n")
				i := max(strings.Index(screen, "to drink"), strings.Index(screen, "the cup is colder"))
				if i < 0 {
					said = append(said, "")
					continue
				}
				line, _, _ := strings.Cut(screen[i:], "\n")
				said = append(said, strings.TrimSpace(line))
			}
		}
		t.Error("it never sleeps")
	})
	return woke, said
}

// The brew of 2:20 ends by itself at 3:20. From there on the page wakes once a
// minute, on the minute, as long as the wait is said otherwise in it.
func TestTheWaitRunsWhileTheDebriefStands(t *testing.T) {
	woke, said := cooled(t, 0, func(*live.Options) {})
	if len(woke) != 23 || woke[1] != 4*time.Minute || woke[22] != 25*time.Minute {
		t.Fatalf("it wakes at %v", woke)
	}
	for i, at := range woke[1:] {
		if at != time.Duration(i+4)*time.Minute {
			t.Errorf("it wakes at %v", at)
		}
	}
	for i, want := range map[int]string{0: "to drink at 60 °C: in about 15 min (9 to 22); an estimate", 1: "to drink at 60 °C: in about 14 min (8 to 21); an estimate", 9: "to drink now, as two in three like it; at 60 °C in about 6 min; an estimate", 22: "the cup is colder by now than most like it; an estimate"} {
		if said[i] != want {
			t.Errorf("after %v it says %q", woke[i], said[i])
		}
	}
	if woke, _ := cooled(t, 5*s, func(*live.Options) {}); len(woke) != 23 || woke[1] != 4*time.Minute+5*s {
		t.Errorf("with a zero five seconds later it wakes at %v", woke)
	}
	for what, change := range map[string]func(*live.Options){
		"practice at ten times the speed": func(o *live.Options) { o.Speed = 10 },
		"practice of the press alone":     func(o *live.Options) { o.From = 90 * s },
	} {
		if woke, said := cooled(t, 0, change); len(woke) != 1 || said[0] != "" {
			t.Errorf("%s: it wakes at %v and says %q", what, woke, said)
		}
	}
}

// A key while the alarm is set sets no other: a person who scrolls for a minute
// would leave as many of them asleep as keys.
func TestKeysInTheDebriefSetNoMoreAlarms(t *testing.T) {
	p := begun(t, 80, 24, live.Options{Plans: []*brew.Plan{recipe(t, "press")}})
	p.press("f", 150).press("y", 151).wait(205)
	alarms := func() (n int) {
		for _, msg := range results(p.cmds) {
			if strings.HasSuffix(fmt.Sprintf("%T", msg), "tickMsg") {
				n++
			}
		}
		p.cmds = nil
		return n
	}
	if !p.page.Timeline().Ended() {
		t.Fatal("the brew goes on")
	}
	alarms()
	for i := range 30 {
		p.press("down", 206+0.1*float64(i))
	}
	if n := alarms(); n != 0 {
		t.Errorf("30 keys set %d alarms", n)
	}
	if p.wait(241); alarms() != 1 {
		t.Error("after the alarm's minute no other is set")
	}
}
