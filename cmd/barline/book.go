package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"sync"
	"time"

	"barline/brew"
	"barline/cmd/barline/internal/clock"
	"barline/cmd/barline/internal/journal"
	"barline/tui"
	"barline/tui/live"
	"barline/tui/pages"
)

// book is the journal as the pages ask it. It opens the file when it is first
// asked, and is safe for concurrent use.
type book struct {
	app      *app
	terminal *tui.Terminal // on which brews that are taken up go on
	path     string
	mine     bool // the path is the platform's, so that a damaged file may be moved

	mu      sync.Mutex
	journal *journal.Journal
	cursors map[string]journal.Cursor // where the list goes on, by the last brew shown
	keepers []*keeper                 // of brews that were taken up
}

func (a *app) book() (*book, error) {
	path, err := a.journalFile()
	if err != nil {
		return nil, err
	}
	return &book{app: a, path: path, mine: a.flags.journal == "", cursors: map[string]journal.Cursor{}}, nil
}

// open opens the file, if it is there or may be made.
func (b *book) open() (*journal.Journal, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.journal != nil {
		return b.journal, nil
	}
	j, err := journal.Open(b.path, journal.Options{})
	b.journal = j
	return j, err
}

// close closes the file and ends the records of brews that were taken up.
func (b *book) close() error {
	var errs []error
	for _, k := range b.keepers {
		errs = append(errs, k.close(b.app.env))
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.journal != nil {
		errs = append(errs, b.journal.Close())
	}
	return errors.Join(errs...)
}

// Brews returns a piece of the list.
func (b *book) Brews(f pages.Filter, behind string, n int) ([]pages.Brewed, bool, error) {
	if _, err := os.Stat(b.path); errors.Is(err, fs.ErrNotExist) {
		return nil, false, nil // looking makes no file
	}
	j, err := b.open()
	if err != nil {
		return nil, false, err
	}
	filter := journal.Filter{Recipe: f.Recipe, Person: f.Person, Kind: journal.Kind(f.Kind)}
	if f.Days > 0 {
		y, m, d := b.app.clock.Now().Wall.Date()
		filter.Since = time.Date(y, m, d-f.Days+1, 0, 0, 0, 0, time.Local)
	}
	b.mu.Lock()
	from := b.cursors[behind]
	b.mu.Unlock()
	page, err := j.List(context.Background(), filter, from, n)
	if err != nil {
		return nil, false, err
	}
	out := make([]pages.Brewed, len(page.Brews))
	for i, brewed := range page.Brews {
		out[i] = b.app.brewed(brewed)
	}
	if len(out) > 0 {
		b.mu.Lock()
		b.cursors[out[len(out)-1].ID] = page.Next
		b.mu.Unlock()
	}
	return out, page.More, nil
}

// brewed returns a brew as the list shows it.
func (a *app) brewed(b journal.Brew) pages.Brewed {
	return pages.Brewed{ID: b.ID, When: a.when(b.Start), Recipe: b.Recipe, Person: b.Person, Kind: string(b.Kind), End: endWords(b)}
}

// when is a day and a time of day, as the configuration wants it.
func (a *app) when(t time.Time) string {
	if a.config.twelve {
		return t.Format("2006-01-02 3:04 pm")
	}
	return t.Format("2006-01-02 15:04")
}

// Past returns a brew whole.
func (b *book) Past(id string) (pages.Past, error) {
	j, err := b.open()
	if err != nil {
		return pages.Past{}, err
	}
	r, err := j.Load(context.Background(), id)
	if err != nil {
		return pages.Past{}, err
	}
	lane, err := r.Fold()
	if err != nil {
		return pages.Past{}, err
	}
	return pages.Past{Brewed: b.app.brewed(r.Brew), Lane: lane, Conditions: conditions(r.Brew), Reading: readingOf(r), Said: said(r, lane)}, nil
}

// readingOf gathers the readings that stand.
func readingOf(r journal.Record) brew.Reading {
	var out brew.Reading
	for _, reading := range journal.Current(r.Readings) {
		switch {
		case reading.What == journal.BeverageWeight && reading.Value != nil:
			m := brew.Mass(*reading.Value*float64(brew.Gram) + 0.5)
			out.Beverage = &m
		case reading.What == journal.Strength && reading.Value != nil:
			p := brew.Percent(*reading.Value)
			out.Strength = &p
		case reading.What == journal.Taste:
			out.Taste = reading.Text
		}
	}
	return out
}

// said is what else is known of a brew, a line each.
func said(r journal.Record, lane brew.Lane) []string {
	lines := []string{"started " + r.Start.Format("2006-01-02 15:04:05 -07:00")}
	for _, line := range [][2]string{{"coffee", r.Coffee}, {"lot", r.Lot}, {"setting", r.Setting}} {
		if line[1] != "" {
			lines = append(lines, line[0]+" "+line[1])
		}
	}
	if r.Kettle != nil {
		lines = append(lines, "kettle "+r.Kettle.String())
	}
	stands := map[string]bool{}
	for _, reading := range journal.Current(r.Readings) {
		stands[reading.ID] = true
		lines = append(lines, fmt.Sprintf("%s: %s", reading.What, readingWords(reading)))
	}
	for _, reading := range r.Readings {
		if !stands[reading.ID] {
			lines = append(lines, fmt.Sprintf("%s before it was corrected: %s", reading.What, readingWords(reading)))
		}
	}
	for _, event := range r.Events {
		if event.Kind == brew.EventNote {
			lines = append(lines, "note at "+brew.Clock(lane.Elapsed(event.At))+": "+event.Text)
		}
	}
	return lines
}

// Measure keeps readings that were taken later. One that says something else
// than the one that stands replaces it; the old one is kept.
func (b *book) Measure(id string, now brew.Reading) error {
	j, err := b.open()
	if err != nil {
		return err
	}
	r, err := j.Load(context.Background(), id)
	if err != nil {
		return err
	}
	for _, reading := range readings(now, b.app.clock.Now().Wall, b.app.config.by) {
		same := false
		for _, old := range journal.Current(r.Readings) {
			if old.What != reading.What {
				continue
			}
			reading.Replaces = old.ID
			same = old.Text == reading.Text && equal(old.Value, reading.Value)
		}
		if same {
			continue
		}
		if err := j.AddReading(context.Background(), id, reading); err != nil {
			return err
		}
	}
	return nil
}

func equal(a, b *float64) bool { return a == nil && b == nil || a != nil && b != nil && *a == *b }

// lookBack looks for a brew that was cut off and can go on, and at whether
// what is brewed now can be saved.
func (b *book) lookBack() (*tui.CutOff, string) {
	if _, err := os.Stat(b.path); errors.Is(err, fs.ErrNotExist) {
		return nil, ""
	}
	j, err := b.open()
	if err != nil {
		return nil, b.troubled(err)
	}
	if fault := j.ReadOnly(); fault != nil {
		return nil, "nothing will be saved: " + fault.Error()
	}
	found, err := j.Interrupted(context.Background(), b.moment(), mostInterrupted)
	if err != nil {
		return nil, err.Error()
	}
	for _, in := range found {
		if in.Err == nil {
			return b.cutOff(in), ""
		}
	}
	return nil, ""
}

// mostInterrupted is how many of the latest brews that were cut off are looked
// at.
const mostInterrupted = 8

// troubled says why the journal cannot be used. A damaged one in the
// platform's place is set aside, so that this shift's brews can be saved.
func (b *book) troubled(err error) string {
	var fault *journal.Fault
	if !errors.As(err, &fault) || fault.Cause != journal.Damaged || !b.mine {
		return "nothing will be saved: " + err.Error()
	}
	to, err := journal.SetAside(b.path, b.app.clock.Now().Wall)
	if err != nil {
		return "nothing will be saved: the journal is damaged and cannot be set aside: " + err.Error()
	}
	return "the journal is damaged; it is kept as " + to + ", and a new one is begun"
}

// moment is what the machine's clocks read now.
func (b *book) moment() journal.Now {
	now := b.app.clock.Now()
	return journal.Now{Wall: now.Wall, Elapsed: now.Elapsed, Boot: b.app.clock.Boot()}
}

// cutOff returns a brew that was cut off, as it is offered.
func (b *book) cutOff(in journal.Interrupted) *tui.CutOff {
	by := ""
	if in.Person != "" {
		by = " by " + in.Person
	}
	words := []string{
		in.Recipe + by + ", started " + b.app.when(in.Start),
		"Its clock reads " + brew.Clock(in.At) + "; the last that was kept is from " + brew.Clock(in.Last) + ".",
	}
	if in.By == journal.Wall {
		words = append(words, "The machine was started anew meanwhile, so the clock goes by the time of day.")
	}
	return &tui.CutOff{Words: words, TakeUp: func() (live.Page, error) { return b.takeUp(in.ID) }}
}

// takeUp goes on with a brew.
func (b *book) takeUp(id string) (live.Page, error) {
	now := b.moment()
	recorder, in, err := b.journal.TakeUp(context.Background(), id, now)
	if err != nil {
		return live.Page{}, err
	}
	r := recorder.Record()
	lane, err := r.Fold()
	if err != nil {
		return live.Page{}, err
	}
	k := &keeper{path: b.path, clock: b.app.clock, record: r, begun: make(chan struct{}), recorder: recorder}
	close(k.begun)
	b.keepers = append(b.keepers, k)
	opt := b.app.liveOptions()
	opt.Plans, opt.Title, opt.By, opt.Kind, opt.Speed, opt.From = []*brew.Plan{r.Plan}, r.Recipe, r.Person, string(r.Kind), r.Speed, r.From
	opt.Recorder = k
	opt = b.app.onScreen(opt, b.terminal)
	zero := now.Elapsed - time.Duration(float64(in.At)/r.Speed)
	return live.Resume(opt, brew.TimelineOf(lane), zero, len(r.Events)), nil
}

// slept returns a function that tells of the machine's sleep since it was
// last asked.
func slept(c clock.Clock) func() string {
	var mu sync.Mutex
	last := c.Now()
	return func() string {
		mu.Lock()
		defer mu.Unlock()
		before := last
		last = c.Now()
		if sleep, ok := last.SleptSince(before); ok {
			return sleep.String()
		}
		return ""
	}
}
