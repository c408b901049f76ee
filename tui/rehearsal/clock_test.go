package rehearsal_test

import (
	"testing"

	"barline/brew"
	"barline/tui/rehearsal"
)

// The page wakes when something changes, at whatever fraction of a second.
func TestThePageWakesInTime(t *testing.T) {
	for name, c := range map[string]struct {
		play     func(*player) *player
		at, want float64
	}{
		"the next second of the clock":     {func(p *player) *player { return p }, 3.2, 4},
		"a cue begins":                     {func(p *player) *player { return p.press(" ", 20.4) }, 28.25, 28.4},
		"a cue is announced":               {func(p *player) *player { return p.press(" ", 18.4).press(" ", 26.4) }, 43.1, 43.4},
		"a line begins":                    {func(p *player) *player { return p.press("l", 1.3) }, 9.1, 9.3},
		"a countdown turns":                {func(p *player) *player { return p.press(" ", 20.4).press(" ", 28.4) }, 33.1, 33.4},
		"a wait grows":                     {func(p *player) *player { return p }, 23.1, 23.2},
		"a weight grows":                   {func(p *player) *player { return p.press(" ", 20) }, 21.01, 21.2},
		"what a key did has been read":     {func(p *player) *player { return p.press("u", 4.7) }, 10.1, 10.7},
		"a minute left, all being on time": {func(p *player) *player { return p.perform(88, 0) }, 89.2, 90},
	} {
		t.Run(name, func(t *testing.T) {
			p := c.play(begun(t, 80, 24, rehearsal.Options{})).wait(c.at)
			if got := p.page.Changes(); got != sec(c.want) {
				t.Errorf("it wakes at %s, want %s", got, sec(c.want))
			}
		})
	}
}

func TestAnAnnouncementWakesThePageAtAnyFraction(t *testing.T) {
	p := begun(t, 80, 24, rehearsal.Options{Ahead: sec(2.5)}).press(" ", 18.4).press(" ", 26.4).wait(45.5)
	if got := p.page.Changes(); got != sec(45.9) {
		t.Errorf("it wakes at %s, want 45.9s", got)
	}
}

func TestABrewEndsByItself(t *testing.T) {
	rec := &keeping{}
	p := begun(t, 80, 24, rehearsal.Options{Recorder: rec}).perform(120, 0.25)
	how, at, _ := rec.run(t, 0).Lanes().Lane(left).Ending()
	if how != brew.Finished || at > 72*s || p.page.Run().Lanes().Lane(left).Zero() != sec(20.25) {
		t.Errorf("the cup is %q at %s", how, at)
	}
}

// The machine slept: the take says so, in its record too.
func TestSleepIsToldAndKept(t *testing.T) {
	rec := &keeping{}
	p := begun(t, 80, 24, rehearsal.Options{Recorder: rec, Slept: func() string { return "the machine slept for 9 s" }})
	p.slow = true
	p.zero = start
	p.cmds = nil
	p.wait(3)
	for _, msg := range results(p.cmds) {
		p.page, _ = p.page.Update(msg)
	}
	if !seen(t, p.page).says("! the machine slept for 9 s") {
		t.Error("nobody is told")
	}
	var notes []string
	for _, e := range p.page.Run().Events() {
		if e.Kind == brew.EventNote && e.Source == brew.FromClock {
			notes = append(notes, e.Text)
		}
	}
	if len(notes) != 1 {
		t.Errorf("notes %q", notes)
	}
}
