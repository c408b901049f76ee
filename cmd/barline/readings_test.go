package main

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/cmd/barline/internal/journal"
	"barline/tui/keys"
	"barline/tui/live"
	"barline/tui/pages"

	tea "github.com/charmbracelet/bubbletea"
)

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
