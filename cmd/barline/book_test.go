package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
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

// Readings are added and corrected later; the old value is kept, and what was
// not touched is not written again.
func TestReadingsAreCorrected(t *testing.T) {
	b := newBench(t)
	b.config.by = "Bo"
	k, id := b.ended("Ada")
	must(t, k.close(b.env))
	book := b.book()
	measure := func(typed ...string) {
		t.Helper()
		b.clock.Advance(time.Minute)
		must(t, book.Measure(id, typing(t, typed...)))
	}
	said := func() string {
		t.Helper()
		past, err := book.Past(id)
		must(t, err)
		return strings.Join(past.Said[2:], "\n") // behind its start and its coffee
	}
	measure("150", "1.4", "")
	if got, want := said(), "beverage weight: 150 g\nstrength: 1.4 %"; got != want {
		t.Errorf("at first:\n%s\nwant\n%s", got, want)
	}
	measure("150", "1.4", "")
	measure("152.5", "1.4", "thin")
	want := "beverage weight: 152.5 g\nstrength: 1.4 %\ntaste: thin\nbeverage weight before it was corrected: 150 g"
	if got := sorted(said()); got != sorted(want) {
		t.Errorf("corrected:\n%s\nwant\n%s", got, want)
	}
	past, err := book.Past(id)
	must(t, err)
	if r := past.Reading; r.Beverage == nil || *r.Beverage != 152_500 || r.Strength == nil || *r.Strength != 1.4 || r.Taste != "thin" {
		t.Errorf("what stands is %+v", r)
	}
	j, err := book.open()
	must(t, err)
	record, err := j.Load(context.Background(), id)
	must(t, err)
	if len(record.Readings) != 4 || record.Readings[0].By != "Bo" {
		t.Errorf("%d readings are kept, want 4: %+v", len(record.Readings), record.Readings)
	}
	// A remark that came with a figure from elsewhere is not lost over it.
	strength := 1.43
	must(t, j.AddReading(context.Background(), id, journal.Reading{What: journal.Strength, Value: &strength, Text: "rinsed the prism",
		Taken: b.clock.Now().Wall, Replaces: idOf(record.Readings, journal.Strength)}))
	measure("152.5", "1.43", "thin")
	if got := said(); !strings.Contains(got, "strength: 1.43 % rinsed the prism") {
		t.Errorf("the remark is lost:\n%s", got)
	}
	// What was taken back no longer stands, and is kept as well.
	measure("-", "-", "-")
	past, err = book.Past(id)
	must(t, err)
	if got := said(); past.Reading != (brew.Reading{}) || !strings.Contains(got, "strength before it was corrected: 1.43 %") || !strings.Contains(got, "taste before it was corrected: thin") {
		t.Errorf("taken back, %+v stands:\n%s", past.Reading, got)
	}
	measure("149", "", "")
	if past, err = book.Past(id); err != nil || past.Reading.Beverage == nil || *past.Reading.Beverage != 149_000 {
		t.Errorf("after it was taken back, %+v stands, %v", past.Reading, err)
	}
}

// typing returns what is said of a cup where this is typed: beverage, strength
// and taste.
func typing(t testing.TB, typed ...string) (c brew.Correction) {
	t.Helper()
	for i, text := range typed {
		must(t, live.Readings[i].Take(&c, text))
	}
	return c
}

// ended is a brew that was stopped, and may be measured.
func (b bench) ended(by string) (k *keeper, id string) {
	b.t.Helper()
	k = b.starts(by, 8, 52)
	must(b.t, k.Append(3, brew.Event{Kind: brew.EventStop, At: time.Minute, Source: brew.FromKey}, 0))
	return k, k.recorder.ID()
}

// stands returns what the record says of a brew's cup: what stands, then what
// was corrected.
func (b *book) stands(t testing.TB, id string) (brew.Reading, string) {
	t.Helper()
	past, err := b.Past(id)
	must(t, err)
	return past.Reading, strings.Join(past.Said[2:], "\n") // behind its start and its coffee
}

// A page that was opened before somebody else added a reading does not take
// that back, nor what was corrected meanwhile.
func TestAPageSaysOnlyWhatWasTyped(t *testing.T) {
	b := newBench(t)
	k, id := b.ended("Ada")
	must(t, k.close(b.env))
	p, q := b.book(), b.book()
	stale, err := p.Past(id)
	must(t, err)
	must(t, q.Measure(id, typing(t, "150", "1.3")))
	must(t, q.Measure(id, typing(t, "", "1.4")))
	page := reviewedBy(p, stale)
	measure(t, page, "", "", "thin")
	got, said := q.stands(t, id)
	if got.Beverage == nil || *got.Beverage != 150_000 || got.Strength == nil || *got.Strength != 1.4 || got.Taste != "thin" {
		t.Errorf("%+v stands:\n%s", got, said)
	}
}

// reviewedBy is the page of a brew of the record as the book's owner sees it.
func reviewedBy(b *book, past pages.Past) live.Page {
	return live.Review(live.Options{
		Plans: []*brew.Plan{past.Lane.Plan()}, Title: past.Recipe, Keys: live.DefaultKeys(),
		Now: func() time.Duration { return time.Hour }, Recorder: ofPast{b, past.ID},
	}, brew.TimelineOf(past.Lane), past.Reading).Resize(80, 24)
}

// ofPast is what a page of the record gives its readings to.
type ofPast struct {
	book *book
	id   string
}

func (o ofPast) Append(int, brew.Event, time.Duration) error { return nil }
func (o ofPast) Measure(c brew.Correction) error             { return o.book.Measure(o.id, c) }

// measure types readings on a debrief's page, and runs what it commands.
func measure(t testing.TB, p live.Page, typed ...string) live.Page {
	t.Helper()
	at := time.Hour
	press := func(k tea.KeyMsg) {
		at += time.Second
		var cmd tea.Cmd
		if p, cmd = p.Update(keys.Press{KeyMsg: k, At: at}); cmd != nil {
			p, _ = p.Update(cmd())
		}
	}
	press(tea.KeyMsg{Type: tea.KeySpace, Runes: []rune(" ")})
	for _, text := range typed {
		if text != "" {
			press(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(text)})
		}
		press(tea.KeyMsg{Type: tea.KeyEnter})
	}
	return p
}

// The debrief of a brew says what stands from now on, also where somebody has
// said something else of its cup from the record meanwhile.
func TestTheLatestReadingStandsWhereverItIsFrom(t *testing.T) {
	for name, typed := range map[string][3]string{
		"the debrief is the later one": {"record", "debrief", "151 g 1.4 %"},
		"the record is the later one":  {"debrief", "record", "150 g 1.3 %"},
	} {
		b := newBench(t)
		k, id := b.ended("Ada")
		other := b.book()
		for _, who := range typed[:2] {
			b.clock.Advance(time.Minute)
			if who == "record" {
				must(t, other.Measure(id, typing(t, "150", "1.3")))
			} else {
				must(t, k.Measure(typing(t, "151", "1.4")))
			}
		}
		must(t, k.close(b.env))
		got, said := other.stands(t, id)
		if stands := fmt.Sprintf("%s %g %%", got.Beverage, float64(*got.Strength)); stands != typed[2] ||
			strings.Count(said, "strength") != 2 || strings.Count(said, "before it was corrected") != 2 {
			t.Errorf("%s: %s stands, want %s:\n%s", name, stands, typed[2], said)
		}
		// And it is taken back as a whole, not down to the one before.
		b.clock.Advance(time.Minute)
		must(t, other.Measure(id, typing(t, "-", "-")))
		if got, said := other.stands(t, id); !got.Empty() {
			t.Errorf("%s: taken back, %+v stands:\n%s", name, got, said)
		}
		must(t, other.close())
		if code, out, err := plainlyIn(t, b, "journal", "verify"); code != exitOK {
			t.Errorf("%s: %s%s", name, out, err)
		}
	}
}

// What is taken back in the debrief and was never said leaves nothing behind.
func TestNothingIsTakenBackThatWasNotSaid(t *testing.T) {
	b := newBench(t)
	k, _ := b.ended("Ada")
	must(t, k.Measure(typing(t, "-", "-", "-")))
	must(t, k.Measure(typing(t, "150")))
	must(t, k.Measure(typing(t, "-")))
	if all := k.recorder.Record().Readings; len(all) != 2 || all[1].Replaces != all[0].ID {
		t.Errorf("the readings are %+v", all)
	}
	must(t, k.close(b.env))
}

// plainlyIn runs a command on the bench's clock and journal.
func plainlyIn(t testing.TB, b bench, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	var out, err bytes.Buffer
	e := b.env
	e.args, e.stdout, e.stderr = args, &out, &err
	code = run(context.Background(), e)
	return code, out.String(), err.String()
}

func idOf(all []journal.Reading, what journal.What) string {
	for _, r := range journal.Current(all) {
		if r.What == what {
			return r.ID
		}
	}
	return ""
}

func sorted(text string) string {
	lines := strings.Split(text, "\n")
	for i := range lines {
		for j := i + 1; j < len(lines); j++ {
			if lines[j] < lines[i] {
				lines[i], lines[j] = lines[j], lines[i]
			}
		}
	}
	return strings.Join(lines, "\n")
}

// A damaged journal is set aside with its name told, unless it was named for
// this once and does not say of itself that it is one.
func TestADamagedJournalIsSetAside(t *testing.T) {
	torn := func(b []byte) []byte { return b[:len(b)-5000] }
	for name, c := range map[string]struct {
		flag   bool
		damage func([]byte) []byte
		moved  bool
		told   string
	}{
		"in its place, cut short":             {false, torn, true, "the journal is damaged, a new one is begun; the old one is kept as PATH.damaged-2026-11-30T080101"},
		"in its place, its head overwritten":  {false, func(b []byte) []byte { copy(b, bytes.Repeat([]byte("x"), 100)); return b }, true, "the journal is damaged, a new one is begun; the old one is kept as PATH.damaged-2026-11-30T080101"},
		"named, and it says that it is one":   {true, torn, true, "the journal is damaged, a new one is begun; the old one is kept as PATH.damaged-2026-11-30T080101"},
		"named, and it may be something else": {true, func(b []byte) []byte { copy(b, bytes.Repeat([]byte("x"), 100)); return b }, false, "nothing will be saved: not a journal, or one whose head is damaged: PATH"},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBench(t)
			path, err := b.journalFile()
			must(t, err)
			if c.flag {
				b.flags.journal = path
			}
			must(t, b.starts("Ada", 8).close(b.env))
			b.clock.Advance(53 * time.Second)
			content, err := os.ReadFile(path)
			must(t, err)
			content = c.damage(content)
			must(t, os.WriteFile(path, content, 0o600))
			book := b.book()
			_, told := book.lookBack()
			if want := strings.ReplaceAll(c.told, "PATH", path); told != want {
				t.Errorf("told is %q, want %q", told, want)
			}
			kept := path
			if c.moved {
				kept += ".damaged-2026-11-30T080101"
			}
			if now, err := os.ReadFile(kept); err != nil || !bytes.Equal(now, content) {
				t.Errorf("%s is not as it was: %v", kept, err)
			}
			// The shift goes on in a new file, or with a rescue.
			k := b.starts2("Bo", !c.moved)
			err = k.close(b.env)
			if (err == nil) != c.moved {
				t.Errorf("the next brew: %v, %s", err, b.stderr)
			}
			must(t, book.close())
			if c.moved != strings.Contains(b.stderr.String(), "the damaged journal is kept as "+kept) {
				t.Errorf("at the end it says %s", b.stderr)
			}
		})
	}
}

// starts2 is starts for a journal that may not take anything.
func (b bench) starts2(by string, fails bool) *keeper {
	b.t.Helper()
	d := document(b.t, "quayside-press")
	plan, err := brew.NewPlan(d.Recipe(), b.bar())
	must(b.t, err)
	_, k, err := b.brewing(&brewFlags{speed: 1, by: by}, plan, d.Text())
	must(b.t, err)
	if err := k.Append(0, brew.Event{Kind: brew.EventStart, Source: brew.FromKey}, b.clock.Now().Elapsed); (err != nil) != fails {
		b.t.Errorf("the first event: %v", err)
	}
	return k
}

// What the damaged file held can be got out of it.
func TestWhatCanBeReadOfADamagedJournalIsSalvaged(t *testing.T) {
	b := newBench(t)
	for range 40 {
		b.clock.Advance(5 * time.Minute)
		k := b.starts("Ada", 8, 52)
		must(t, k.close(b.env))
	}
	path, _ := b.journalFile()
	content, err := os.ReadFile(path)
	must(t, err)
	const page = 4096
	readable, parts := 0, 0
	for n := 3; n < len(content)/page; n += 4 {
		damaged := filepath.Join(t.TempDir(), "damaged.db")
		wiped := bytes.Clone(content)
		copy(wiped[n*page:], make([]byte, page))
		must(t, os.WriteFile(damaged, wiped, 0o600))
		var out, told bytes.Buffer
		e := b.env
		e.stdout, e.stderr, e.args = &out, &told, []string{"--journal", damaged, "journal", "export", "--salvage"}
		code := run(context.Background(), e)
		match := regexp.MustCompile(`(\d+) brews? could be read`).FindStringSubmatch(told.String())
		if match == nil {
			if code != exitInput || told.String() != "error: the journal is damaged: "+damaged+"\n" {
				t.Errorf("page %d: exit code %d, %s", n, code, &told)
			}
			continue
		}
		readable++
		if match[1] != "40" {
			parts++
			if code != exitInput {
				t.Errorf("page %d: %s, but exit code %d", n, match[0], code)
			}
		}
		saved := filepath.Join(t.TempDir(), "saved.jsonl")
		must(t, os.WriteFile(saved, out.Bytes(), 0o600))
		out.Reset()
		e.args = []string{"--journal", filepath.Join(t.TempDir(), "new.db"), "journal", "import", saved}
		if code := run(context.Background(), e); code != exitOK || !strings.HasPrefix(out.String(), match[1]+" added") {
			t.Errorf("page %d: exit code %d, %s%s", n, code, &out, &told)
		}
	}
	if readable == 0 || parts == 0 {
		t.Errorf("%d files could be read, %d of them in part: the test does not test", readable, parts)
	}
	t.Logf("of %d files with a page wiped, %d could be read, %d of them in part", (len(content)/page)/4, readable, parts)
}

// The brews of a shift do not hold their files open for all of it.
func TestEarlierBrewsAreEndedWhenANewOneBegins(t *testing.T) {
	b := newBench(t)
	book := b.book()
	open := func() int {
		t.Helper()
		files, err := os.ReadDir("/proc/self/fd")
		if err != nil {
			t.Skip("SKIPPED: open files cannot be counted here")
		}
		n := 0
		for _, f := range files {
			if to, _ := os.Readlink("/proc/self/fd/" + f.Name()); strings.HasPrefix(to, book.path) {
				n++
			}
		}
		return n
	}
	for range 30 {
		k := b.starts("Ada", 8)
		must(t, k.Append(2, brew.Event{Kind: brew.EventStop, At: 9 * time.Second, Source: brew.FromKey}, 0))
		book.keep(k)
	}
	for range 200 { // they end in their own time
		if open() < 20 {
			break
		}
		time.Sleep(10 * time.Millisecond)
	}
	if n := open(); n >= 20 {
		t.Errorf("%d files are open after 30 brews", n)
	}
	if len(book.keepers) != 1 {
		t.Errorf("%d brews are kept in mind", len(book.keepers))
	}
	// The last one has ended as well.
	book.keep(&keeper{begun: make(chan struct{})})
	if len(book.keepers) != 1 {
		t.Errorf("%d brews are kept in mind", len(book.keepers))
	}
}
