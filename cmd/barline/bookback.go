package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"sync"

	"barline/brew"
	"barline/cmd/barline/internal/clock"
	"barline/cmd/barline/internal/journal"
	"barline/tui"
	"barline/tui/live"
)

// mostInterrupted is how many of the latest brews that were cut off are looked
// at.
const mostInterrupted = 8

// lookBack looks for brews that were cut off and can go on, and at whether
// what is brewed now can be saved.
func (b *book) lookBack() ([]tui.CutOff, string) {
	found, told := b.interrupted()
	var cuts []tui.CutOff
	for _, in := range found {
		cuts = append(cuts, tui.CutOff{Words: b.cutOffWords(in), TakeUp: func() (live.Page, error) { return b.takeUp(in.ID) }})
	}
	return cuts, told
}

// tellBack says the same as lines; nothing is taken up there.
func (b *book) tellBack(w io.Writer) {
	found, told := b.interrupted()
	if told != "" {
		say(w, "%s", told)
	}
	for _, in := range found {
		fmt.Fprintln(w, "a brew was cut off:")
		for _, words := range b.cutOffWords(in) {
			say(w, "%s", words)
		}
		fmt.Fprintln(w, "barline takes it up at a terminal; here it stays cut off")
	}
}

// interrupted returns the brews that can be taken up, and what the person
// must know of the file, "" for nothing.
func (b *book) interrupted() (found []journal.Interrupted, told string) {
	if b.path != "" && missing(b.path) {
		return nil, ""
	}
	j, err := b.open()
	if err != nil {
		return nil, b.troubled(err)
	}
	if fault := j.ReadOnly(); fault != nil {
		return nil, b.troubled(fault)
	}
	all, err := j.Interrupted(context.Background(), b.moment(), mostInterrupted)
	if err != nil {
		return nil, b.troubled(err)
	}
	for _, in := range all {
		if in.Err == nil && in.Take == "" { // a cup of a routine does not go on without it
			found = append(found, in)
		}
	}
	return found, ""
}

// troubled says why the journal cannot be used. A damaged one is set aside, so
// that this shift's brews can be saved.
func (b *book) troubled(err error) string {
	var fault *journal.Fault
	if errors.As(err, &fault) && fault.Passes() {
		return "nothing can be saved for now: " + err.Error()
	}
	if fault == nil || fault.Cause != journal.Damaged || !b.app.mayMove(fault) {
		return "nothing will be saved: " + err.Error()
	}
	to, err := b.setAside(fault)
	switch {
	case errors.Is(err, journal.ErrElsewhere):
		return "the journal was damaged, a new one is begun: another terminal has set the old one aside"
	case err != nil:
		return "nothing will be saved: the journal is damaged and cannot be set aside: " + err.Error()
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	b.moved = to
	return "the journal is damaged, a new one is begun; the old one is kept as " + to
}

// setAside moves a damaged file out of the way, and lets go of it. Where a file
// that is open cannot be renamed it is closed before.
func (b *book) setAside(fault *journal.Fault) (to string, err error) {
	if to, err = b.app.setAside(fault); err != nil && !errors.Is(err, journal.ErrElsewhere) {
		b.shut()
		to, err = b.app.setAside(fault)
	}
	b.letGo()
	return to, err
}

// tellAside says where a damaged journal is, and what can be done with it.
func tellAside(w io.Writer, path string) {
	fmt.Fprintf(w, "the damaged journal is kept as %s\nhint: %s\n", path, salvageHint(path))
}

// mayMove reports whether a damaged file may be renamed: it bears the mark of
// a journal, or is where one is kept where nobody says otherwise. What somebody
// named may be anything.
func (a *app) mayMove(fault *journal.Fault) bool {
	return fault.Ours || a.flags.journal == "" && a.config.journal == ""
}

// moment is what the machine's clocks read now.
func (b *book) moment() journal.Now {
	now := b.app.clock.Now()
	return journal.Now{Wall: now.Wall, Elapsed: now.Elapsed, Boot: b.app.clock.Boot()}
}

// cutOffWords says what was being brewed and until when it can go on.
func (b *book) cutOffWords(in journal.Interrupted) []string {
	by := ""
	if in.Person != "" {
		by = " by " + in.Person
	}
	words := []string{
		in.Recipe + by + ", started " + b.app.when(in.Start),
		"The last that was kept is from " + brew.Clock(in.Last) + "; its clock stands at " + brew.Clock(in.At) + " and runs on.",
	}
	if in.By == journal.Wall {
		words = append(words, "The machine was started anew meanwhile, so its clock goes by the time of day.")
	}
	return words
}

// takeUp goes on with a brew.
func (b *book) takeUp(id string) (live.Page, error) {
	j, err := b.open()
	if err != nil {
		return live.Page{}, err
	}
	recorder, _, err := j.TakeUp(context.Background(), id, b.moment())
	if err != nil {
		return live.Page{}, err
	}
	r := recorder.Record()
	lane, err := r.Fold()
	if err != nil {
		return live.Page{}, errors.Join(err, recorder.End(context.Background()))
	}
	k := &keeper{path: b.path, clock: b.app.clock, record: r, mayMove: b.app.mayMove, aside: b.setAside, typed: b.app.typed, begun: make(chan struct{}), recorder: recorder}
	close(k.begun)
	b.keep(k)
	opt := b.app.liveOptions()
	opt.Plans, opt.Title, opt.By, opt.Kind, opt.Speed, opt.From = []*brew.Plan{r.Plan}, r.Recipe, r.Person, string(r.Kind), r.Speed, r.From
	opt.Recorder = k
	opt = b.app.onScreen(opt, b.terminal)
	return live.Resume(opt, brew.TimelineOf(lane), r.Clock.Zero, len(r.Events)), nil
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
