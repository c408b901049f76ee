package main

import (
	"bytes"
	"context"
	"io"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/cmd/barline/internal/clock"
	"barline/cmd/barline/internal/journal"
	"barline/recipes"
	"barline/tui/keys"
	"barline/tui/live"
	"barline/tui/pages"

	tea "github.com/charmbracelet/bubbletea"
)

// bench is an app on a clock of its own, with a journal of its own.
type bench struct {
	*app
	t      *testing.T
	clock  *clock.Fake
	stderr *bytes.Buffer
}

// eight is when the clocks of these tests begin.
var eight = time.Date(2026, 11, 30, 8, 0, 0, 0, time.FixedZone("", 3600))

func newBench(t *testing.T) bench {
	t.Helper()
	f := clock.NewFake(eight, clock.Boottime, "one")
	home, stderr := t.TempDir(), &bytes.Buffer{}
	getenv := func(name string) string {
		return map[string]string{"HOME": home, "XDG_DATA_HOME": home + "/data", "TERM": "xterm"}[name]
	}
	return bench{&app{env: env{stdin: strings.NewReader(""), stdout: io.Discard, stderr: stderr, getenv: getenv, clock: f}}, t, f, stderr}
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func (b bench) book() *book {
	b.t.Helper()
	out := b.app.book()
	b.t.Cleanup(func() { out.close() })
	return out
}

// document returns a shipped recipe's file.
func document(t testing.TB, name string) *recipes.Document {
	t.Helper()
	shelf, err := recipes.NewShelf(nil, brew.Bar{})
	must(t, err)
	entry, err := shelf.Find(name)
	must(t, err)
	return entry.Document
}

// starts begins a brew with some marks, at the seconds given, and returns what
// keeps its record. The clock is left at the last of them.
func (b bench) starts(by string, seconds ...int) *keeper {
	b.t.Helper()
	d := document(b.t, "quayside-press")
	plan, err := brew.NewPlan(d.Recipe(), b.bar())
	must(b.t, err)
	_, k, err := b.brewing(&brewFlags{speed: 1, by: by}, plan, d.Text())
	must(b.t, err)
	zero := b.clock.Now().Elapsed
	must(b.t, k.Append(0, brew.Event{Kind: brew.EventStart, Source: brew.FromKey}, zero))
	for n, s := range seconds {
		at := time.Duration(s) * time.Second
		b.clock.Advance(zero + at - b.clock.Now().Elapsed)
		must(b.t, k.Append(n+1, brew.Event{Kind: brew.EventMark, At: at, Source: brew.FromKey}, zero))
	}
	return k
}

// cutOff is a brew that nobody ends: its lock is given back, as it is when the
// process dies.
func (b bench) cutOff(by string, seconds ...int) string {
	b.t.Helper()
	k := b.starts(by, seconds...)
	must(b.t, k.recorder.End(context.Background()))
	return k.recorder.ID()
}

// screen returns what a page says at a moment of the machine's clock.
func screen(p live.Page, at time.Duration) string {
	p, _ = p.Resize(80, 24).Update(keys.Press{KeyMsg: tea.KeyMsg{Type: tea.KeyF20}, At: at})
	return strings.Join(p.Draw().Lines(), "\n")
}

func TestABrewThatWasCutOffGoesOnWithItsClockRight(t *testing.T) {
	for name, c := range map[string]struct {
		happen func(*clock.Fake)
		clock  string // at which it goes on
		last   string // of the words on the page
	}{
		"at once":                             {func(*clock.Fake) {}, "0:52", "its clock stands at 0:52 and runs on."},
		"after half a minute":                 {func(f *clock.Fake) { f.Advance(30 * time.Second) }, "1:22", "its clock stands at 1:22 and runs on."},
		"the machine slept meanwhile":         {func(f *clock.Fake) { f.Sleep(30 * time.Second) }, "1:22", "its clock stands at 1:22 and runs on."},
		"the clock on the wall was set back":  {func(f *clock.Fake) { f.Advance(30 * time.Second); f.SetWall(eight.Add(-time.Hour)) }, "1:22", "its clock stands at 1:22 and runs on."},
		"the clock on the wall was set ahead": {func(f *clock.Fake) { f.Advance(30 * time.Second); f.SetWall(eight.Add(48 * time.Hour)) }, "1:22", "its clock stands at 1:22 and runs on."},
		"daylight saving began meanwhile": {func(f *clock.Fake) {
			f.Advance(30 * time.Second)
			f.SetWall(f.Now().Wall.In(time.FixedZone("", 7200)))
		}, "1:22", "its clock stands at 1:22 and runs on."},
		"the machine was started anew":       {func(f *clock.Fake) { f.Reboot(45*time.Second, "two") }, "1:37", "The machine was started anew meanwhile, so its clock goes by the time of day."},
		"anew, and in another zone of time":  {func(f *clock.Fake) { f.Reboot(45*time.Second, "two"); f.SetWall(f.Now().Wall.UTC()) }, "1:37", "The machine was started anew meanwhile, so its clock goes by the time of day."},
		"just before it is too late":         {func(f *clock.Fake) { f.Advance(3*time.Minute + 27*time.Second) }, "4:19", "its clock stands at 4:19 and runs on."},
		"it should have ended by itself ago": {func(f *clock.Fake) { f.Advance(2*time.Minute + 40*time.Second) }, "3:32", "its clock stands at 3:32 and runs on."},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBench(t)
			id := b.cutOff("Ada", 8, 52)
			c.happen(b.clock)
			book := b.book()
			cuts, told := book.lookBack()
			if len(cuts) != 1 || told != "" {
				t.Fatalf("%d brews are offered, and %q is told", len(cuts), told)
			}
			words := cuts[0].Words
			if words[0] != "Quayside press by Ada, started 2026-11-30 08:00" || !strings.HasSuffix(words[len(words)-1], c.last) {
				t.Errorf("%q", words)
			}
			page, err := cuts[0].TakeUp()
			must(t, err)
			// The first frame is right, before anything has told the page the time.
			first := strings.Join(page.Resize(80, 24).Draw().Lines(), "\n")
			at := b.clock.Now().Elapsed
			if now := screen(page, at); first != now && !page.Timeline().Ended() && !strings.Contains(now, "finished") {
				t.Errorf("the first frame is\n%s\nand then comes\n%s", first, now)
			}
			lane := page.Timeline().Lane(0)
			if got := brew.Clock(lane.Elapsed(at - page.Zero())); got != c.clock {
				t.Errorf("the clock goes on at %s, want %s", got, c.clock)
			}
			if lane.Beat(page.Timeline().Lane(0).Last()).Marked != 52*time.Second {
				t.Error("the marks are not there")
			}
			// What comes goes into the same record.
			events := lane.Events()
			note := events[len(events)-1]
			if note.Kind != brew.EventNote || !strings.HasPrefix(note.Text, "taken up again") {
				t.Errorf("the last event is %+v", note)
			}
			if again, _ := b.book().lookBack(); len(again) != 0 {
				t.Error("it is offered to another terminal, too")
			}
			must(t, book.close())
			j, err := journal.Open(book.path, journal.Options{})
			must(t, err)
			defer j.Close()
			r, err := j.Load(context.Background(), id)
			must(t, err)
			if len(r.Events) != len(events) {
				t.Errorf("%d events are kept, want %d", len(r.Events), len(events))
			}
		})
	}
}

func TestABrewThatIsTooLateIsListedAsCutOff(t *testing.T) {
	for name, happen := range map[string]func(*clock.Fake){
		"two minutes past its end":                 func(f *clock.Fake) { f.Advance(3*time.Minute + 29*time.Second) },
		"the next day":                             func(f *clock.Fake) { f.Advance(24 * time.Hour) },
		"anew, and the wall was set back an hour":  func(f *clock.Fake) { f.Reboot(45*time.Second, "two"); f.SetWall(eight.Add(-time.Hour)) },
		"anew, and the wall was set ahead a year":  func(f *clock.Fake) { f.Reboot(45*time.Second, "two"); f.SetWall(eight.AddDate(1, 0, 0)) },
		"the machine slept through it, same start": func(f *clock.Fake) { f.Sleep(time.Hour) },
	} {
		t.Run(name, func(t *testing.T) {
			b := newBench(t)
			b.cutOff("Ada", 8, 52)
			happen(b.clock)
			book := b.book()
			if cuts, told := book.lookBack(); len(cuts) != 0 || told != "" {
				t.Errorf("%d brews are offered, and %q is told", len(cuts), told)
			}
			list, _, err := book.Brews(pages.Filter{}, "", 10)
			must(t, err)
			if len(list) != 1 || list[0].End != "cut off" {
				t.Errorf("the list is %+v", list)
			}
			past, err := book.Past(list[0].ID)
			must(t, err)
			if !past.Conditions.CutOff || past.Lane.Beat(past.Lane.Last()).Marked != 52*time.Second {
				t.Errorf("it is %+v", past.Conditions)
			}
		})
	}
}

// Of several brews that were cut off, each is offered, the latest first; one
// that is being brewed at another terminal is not.
func TestAllBrewsThatWereCutOffAreOffered(t *testing.T) {
	b := newBench(t)
	b.cutOff("Ada", 8)
	b.clock.Advance(time.Second)
	b.cutOff("Bo", 8)
	b.clock.Advance(time.Second)
	running := b.starts("Cy", 8)
	defer running.close(b.env)
	book := b.book()
	cuts, _ := book.lookBack()
	if len(cuts) != 2 || !strings.HasPrefix(cuts[0].Words[0], "Quayside press by Bo,") || !strings.HasPrefix(cuts[1].Words[0], "Quayside press by Ada,") {
		t.Fatalf("offered are %+v", cuts)
	}
	list, _, err := book.Brews(pages.Filter{}, "", 10)
	must(t, err)
	if list[0].End != "running" {
		t.Errorf("the one at the other terminal is %q", list[0].End)
	}
	// An offer that stands too long says why it is none any more.
	b.clock.Advance(time.Hour)
	if _, err := cuts[0].TakeUp(); err == nil || !strings.Contains(err.Error(), "it should have ended more than 2 min ago") {
		t.Errorf("after an hour: %v", err)
	}
}

// In lines nothing is taken up, but it is told.
func TestWhatWasCutOffIsToldAsLines(t *testing.T) {
	b := newBench(t)
	b.cutOff("Ada", 8)
	b.clock.Advance(10 * time.Second)
	var out bytes.Buffer
	b.book().tellBack(&out)
	want := `a brew was cut off:
Quayside press by Ada, started 2026-11-30 08:00
The last that was kept is from 0:08; its clock stands at 0:18 and runs on.
barline takes it up at a terminal; here it stays cut off
`
	if out.String() != want {
		t.Errorf("got\n%s\nwant\n%s", &out, want)
	}
}

func TestTimesOfDayByTheConfiguration(t *testing.T) {
	for wall, want := range map[time.Time][2]string{
		eight:                         {"2026-11-30 08:00", "2026-11-30 8:00 am"},
		eight.Add(4 * time.Hour):      {"2026-11-30 12:00", "2026-11-30 12:00 pm"},
		eight.Add(7*time.Hour + 1e11): {"2026-11-30 15:01", "2026-11-30 3:01 pm"},
		eight.Add(16 * time.Hour):     {"2026-12-01 00:00", "2026-12-01 12:00 am"},
	} {
		for i, twelve := range []bool{false, true} {
			b := newBench(t)
			b.config.twelve = twelve
			b.clock.SetWall(wall)
			must(t, b.starts("Ada").close(b.env))
			list, _, err := b.book().Brews(pages.Filter{}, "", 10)
			must(t, err)
			if list[0].When != want[i] {
				t.Errorf("got %q, want %q", list[0].When, want[i])
			}
		}
	}
}

// The filter's days are whole days of the place, today among them.
func TestTheDaysOfTheFilter(t *testing.T) {
	b := newBench(t)
	zone := time.Local
	time.Local = eight.Location()
	defer func() { time.Local = zone }()
	for _, back := range []time.Duration{40 * 24 * time.Hour, 29 * 24 * time.Hour, 6*24*time.Hour + 8*time.Hour - time.Second, 8*time.Hour + time.Second, 8*time.Hour - time.Second, 0} {
		b.clock.SetWall(eight.Add(-back))
		must(t, b.starts("Ada").close(b.env))
	}
	for days, want := range map[int]int{0: 6, 1: 2, 7: 4, 30: 5, 365: 6} {
		list, _, err := b.book().Brews(pages.Filter{Days: days}, "", 10)
		must(t, err)
		if len(list) != want {
			t.Errorf("%d brews of the last %d days, want %d", len(list), days, want)
		}
	}
}

// A list longer than a piece is walked piece by piece, each brew once, while
// new ones come in.
func TestTheListGoesOnWhereItEnded(t *testing.T) {
	b := newBench(t)
	book := b.book()
	for range 25 {
		b.clock.Advance(time.Minute)
		must(t, b.starts("Ada").close(b.env))
	}
	seen := map[string]bool{}
	for behind, more := "", true; more; {
		var list []pages.Brewed
		var err error
		list, more, err = book.Brews(pages.Filter{Recipe: "quayside PRESS"}, behind, 10)
		must(t, err)
		for _, one := range list {
			if seen[one.ID] {
				t.Errorf("%s comes twice", one.ID)
			}
			seen[one.ID] = true
		}
		behind = list[len(list)-1].ID
		b.clock.Advance(time.Minute)
		must(t, b.starts("Bo").close(b.env))
	}
	if len(seen) != 25 {
		t.Errorf("%d brews, want 25", len(seen))
	}
}

// Looking for brews makes no file.
func TestLookingMakesNoFile(t *testing.T) {
	b := newBench(t)
	book := b.book()
	if list, more, err := book.Brews(pages.Filter{}, "", 10); len(list) != 0 || more || err != nil {
		t.Errorf("%v %t %v", list, more, err)
	}
	if cuts, told := book.lookBack(); len(cuts) != 0 || told != "" {
		t.Errorf("%v %q", cuts, told)
	}
	if !missing(book.path) {
		t.Error("there is a file")
	}
}
