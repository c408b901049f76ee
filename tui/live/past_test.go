package live_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/tui/draw/svg"
	"barline/tui/keys"
	"barline/tui/live"

	tea "github.com/charmbracelet/bubbletea"
)

// ended returns a lane of the press with marks at the given seconds, and an
// end for "finish" or "stop".
func ended(t testing.TB, end string, marks ...float64) brew.Lane {
	l, _ := brew.NewLane(recipe(t, "press")).Apply(brew.Event{Kind: brew.EventStart, Source: brew.FromKey})
	for _, at := range marks {
		l, _ = l.Apply(brew.Event{Kind: brew.EventMark, At: sec(at), Source: brew.FromKey})
	}
	switch end {
	case "finish":
		due, _ := l.EndsItself()
		l, _ = l.Apply(brew.Event{Kind: brew.EventFinish, At: due, Source: brew.FromClock})
	case "stop":
		l, _ = l.Apply(brew.Event{Kind: brew.EventStop, At: sec(60), Source: brew.FromKey, Text: "the cup fell"})
	}
	return l
}

// reviewed returns the debrief of a lane as the record shows it.
func reviewed(t testing.TB, l brew.Lane, r brew.Reading, opt live.Options, w, h int) *player {
	opt.Plans, opt.Title, opt.By, opt.Keys = []*brew.Plan{l.Plan()}, l.Plan().Name, "Ada", live.DefaultKeys()
	opt.Now = func() time.Duration { return 1000 * time.Hour }
	return &player{t: t, page: live.Review(opt, brew.TimelineOf(l), r).Resize(w, h), zero: machineZero}
}

var corrected = []string{
	"started 2026-11-30 08:14:09 +01:00, service, by Ada", "coffee washed, light to medium", "lot twelve", "kettle 95 °C",
	"beverage weight: 182.5 g", "strength: 1.43 %", "taste: round, a little thin at the end",
	"strength before it was corrected: 1.34 %", "note at 0:41: the kettle was slow", "note at 1:02: the machine slept for 31 s",
}

func measuredCup() brew.Reading {
	beverage, strength := brew.Mass(182_500), brew.Percent(1.43)
	return brew.Reading{Beverage: &beverage, Strength: &strength, Taste: "round, a little thin at the end"}
}

// past are brews of the record.
var past = []scene{
	{name: "corrected", play: func(t testing.TB, w, h int) *player {
		return reviewed(t, ended(t, "finish", 9.2, 53.1, 112.4, 141), measuredCup(), live.Options{Said: corrected}, w, h)
	}, sizes: all, spells: []string{"Quayside press, finished at 2:21"}, wide: []string{"bloom, end", "space readings", "q leave"},
		never: []string{"take back, go on"}},
	{name: "corrected-scrolled", play: func(t testing.TB, w, h int) *player {
		p := reviewed(t, ended(t, "finish", 9.2, 53.1, 112.4, 141), measuredCup(), live.Options{Said: corrected}, w, h)
		for i := range 40 {
			p.press("down", 200+float64(i))
		}
		return p
	}, sizes: usual, wide: []string{"strength: 1.43 %", "strength before it was corrected: 1.34 %", "note at 1:02: the machine slept for 31 s"}},
	{name: "corrected-again", play: func(t testing.TB, w, h int) *player {
		return reviewed(t, ended(t, "finish", 9.2, 53.1, 112.4, 141), measuredCup(), live.Options{Said: corrected}, w, h).
			press(" ", 200).press("enter", 201).write("1.5", 202)
	}, sizes: usual, spells: []string{"1.43 % so far", "1.5_"}},
	{name: "cut-off", play: func(t testing.TB, w, h int) *player {
		return reviewed(t, ended(t, "", 9.2, 53.1), brew.Reading{}, live.Options{CutOff: true, Said: corrected[:2]}, w, h)
	}, sizes: usual, spells: []string{"Quayside press, cut off"}},
	{name: "still-running", play: func(t testing.TB, w, h int) *player {
		return reviewed(t, ended(t, "", 9.2), brew.Reading{}, live.Options{}, w, h)
	}, sizes: usual, spells: []string{"Quayside press, still running"}, never: []string{"cut off"}},
	{name: "never-started", play: func(t testing.TB, w, h int) *player {
		l := brew.NewLane(recipe(t, "press"))
		return reviewed(t, l, brew.Reading{}, live.Options{CutOff: true}, w, h)
	}, sizes: usual, spells: []string{"Quayside press, cut off"}},
}

func TestPastScreens(t *testing.T) {
	for _, scene := range past {
		t.Run(scene.name, func(t *testing.T) {
			var file strings.Builder
			for _, size := range scene.sizes {
				p := scene.play(t, size.w, size.h)
				s := seen(t, p.page, size.w, size.h)
				scene.check(s)
				fmt.Fprintf(&file, "-- %s --\n%s\n", size, strings.Join(s.lines, "\n"))
				picture(t, "past-"+scene.name, size, p)
			}
			golden(t, "past-"+scene.name+".txt", file.String())
		})
	}
}

// picture writes a screen as a picture into the folder that BARLINE_PICTURES
// names, to be looked at.
func picture(t testing.TB, name string, size size, p *player) {
	if folder := os.Getenv("BARLINE_PICTURES"); folder != "" {
		file := filepath.Join(folder, name+"-"+size.String()+".svg")
		if err := os.WriteFile(file, []byte(svg.SVG(p.page.Draw(), svg.Dark)), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// What was typed goes into the record and nothing else: what stands there may
// have been corrected at another terminal meanwhile.
func TestAReadingIsCorrectedAndTheOthersStand(t *testing.T) {
	for name, c := range map[string]struct {
		typed []string
		said  string // what goes into the record; "" for nothing
		seen  string // what the page then has for the reading
	}{
		"nothing is typed":        {[]string{"", "", ""}, "", "182.5 g, 1.43 %, round, a little thin at the end"},
		"the strength":            {[]string{"", "1.5", ""}, "strength 1.5", "182.5 g, 1.5 %, round, a little thin at the end"},
		"the strength as it was":  {[]string{"", "1.43", ""}, "strength 1.43", "182.5 g, 1.43 %, round, a little thin at the end"},
		"the taste":               {[]string{"", "", "sharp"}, `taste "sharp"`, "182.5 g, 1.43 %, sharp"},
		"everything":              {[]string{"180", "1.5", "sharp"}, `beverage 180 g strength 1.5 taste "sharp"`, "180 g, 1.5 %, sharp"},
		"the strength is no more": {[]string{"", "-", ""}, "strength 0", "182.5 g, -, round, a little thin at the end"},
		"all are taken back":      {[]string{"-", " - ", "-"}, `beverage 0 g strength 0 taste ""`, "-, -, "},
		"a wrong one":             {[]string{"", "150 %"}, "", "182.5 g, 1.43 %, round, a little thin at the end"},
		"nothing of a beverage":   {[]string{"0.0004 g"}, "", "182.5 g, 1.43 %, round, a little thin at the end"},
	} {
		k := &keeping{events: map[int]brew.Event{}}
		p := reviewed(t, ended(t, "finish", 9.2, 53.1, 112.4, 141), measuredCup(), live.Options{Recorder: k}, 80, 24).press(" ", 200)
		for i, text := range c.typed {
			p.write(text, 201+3*float64(i)).press("enter", 203+3*float64(i))
		}
		p.settle()
		if last := c.typed[len(c.typed)-1]; len(c.typed) < 3 && !strings.Contains(strings.Join(p.page.Draw().Lines(), "\n"), fmt.Sprintf("%q is not a figure", last)) {
			t.Errorf("%s: %q is not refused", name, last)
		}
		said := ""
		for _, one := range k.readings {
			said += sayings(one)
		}
		if said != c.said {
			t.Errorf("%s: %s goes into the record, want %s", name, said, c.said)
		}
		r, beverage, strength := p.page.Reading(), "-", "-"
		if r.Beverage != nil {
			beverage = r.Beverage.String()
		}
		if r.Strength != nil {
			strength = fmt.Sprintf("%g %%", float64(*r.Strength))
		}
		if got := fmt.Sprintf("%s, %s, %s", beverage, strength, r.Taste); got != c.seen {
			t.Errorf("%s: the page has %s, want %s", name, got, c.seen)
		}
		if len(k.events) != 0 {
			t.Errorf("%s: events are added to a brew that is over", name)
		}
	}
}

// sayings is a correction in words.
func sayings(c brew.Correction) string {
	var parts []string
	if c.Beverage != nil {
		parts = append(parts, "beverage "+c.Beverage.String())
	}
	if c.Strength != nil {
		parts = append(parts, fmt.Sprintf("strength %g", float64(*c.Strength)))
	}
	if c.Taste != nil {
		parts = append(parts, fmt.Sprintf("taste %q", *c.Taste))
	}
	return strings.Join(parts, " ")
}

// A brew of the record cannot go on, whatever is pressed.
func TestABrewOfTheRecordDoesNotGoOn(t *testing.T) {
	k := &keeping{events: map[int]brew.Event{}}
	p := reviewed(t, ended(t, "finish", 9.2, 53.1, 112.4, 141), brew.Reading{}, live.Options{Recorder: k}, 80, 24)
	before := p.page.Timeline().Lane(0).Events()
	for i, key := range []string{"u", "backspace", "s", "z", "e", "n", "tab", "up", "down"} {
		p.press(key, 200+2*float64(i))
	}
	if after := p.page.Timeline().Lane(0).Events(); len(after) != len(before) || len(k.events) != 0 || p.page.Busy() {
		t.Errorf("%d events, and had %d", len(after), len(before))
	}
	if p.press("q", 300); !p.left() {
		t.Error("q does not leave")
	}
}

// sleepy tells of one sleep at the nth time that it is asked.
func sleepy(n int, text string) func() string {
	return func() string {
		if n--; n == 0 {
			return text
		}
		return ""
	}
}

// A sleep is told on the screen and kept, at the moment of the alarm that
// found it; one from before the start is not.
func TestASleepIsToldAndKept(t *testing.T) {
	for nth, want := range map[int]string{1: "", 2: "the machine slept for 31 s"} {
		k := &keeping{events: map[int]brew.Event{}}
		now := machineZero
		p := open(t, 80, 24, live.Options{Plans: []*brew.Plan{recipe(t, "press")}, Recorder: k, Slept: sleepy(nth, "the machine slept for 31 s")}).tick()
		var cmd tea.Cmd
		p.page, cmd = p.page.Update(keys.Press{KeyMsg: message(" "), At: now})
		for _, msg := range results([]tea.Cmd{cmd}) { // the alarm comes at 1000 h
			p.page, _ = p.page.Update(msg)
		}
		notes := ""
		for _, e := range k.events {
			if e.Kind == brew.EventNote {
				notes += e.Text
			}
		}
		lane := p.page.Timeline().Lane(0)
		for _, e := range lane.Events() {
			if e.Kind == brew.EventNote && (e.Source != brew.FromClock || e.Text != want) {
				t.Errorf("%+v", e)
			}
		}
		if got := fmt.Sprint(len(lane.Events())); want == "" && strings.Contains(strings.Join(p.page.Draw().Lines(), "\n"), "slept") {
			t.Errorf("a sleep before the start is told, %s events", got)
		}
		if want != "" && !strings.Contains(fmt.Sprint(lane.Events()), want) {
			t.Errorf("the sleep is not in the record: %v", lane.Events())
		}
	}
}
