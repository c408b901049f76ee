package main

import (
	"bytes"
	"context"
	"errors"
	"slices"
	"sync"
	"time"

	"barline/brew/drift"
	"barline/cmd/barline/internal/journal"
	"barline/tui"
	"barline/tui/pages"
)

// book is the journal as the pages ask it. It opens the file when it is first
// asked, and is safe for concurrent use.
type book struct {
	app      *app
	terminal *tui.Terminal // on which brews that are taken up go on
	path     string

	opening sync.Mutex // guards the next two; held while the file is opened, which may take long
	journal *journal.Journal
	gone    []*journal.Journal // that were let go of, but may still be in use

	mu      sync.Mutex
	cursors map[string]journal.Cursor // where the list goes on, by the last brew shown
	keepers []*keeper                 // of brews that may still have something to save
	moved   string                    // where a damaged file was set aside; "" for none

	saving  sync.WaitGroup // of brews that go into a new file
	later   bytes.Buffer   // what is to be told of them at the end
	unsaved error
}

func (a *app) book() *book {
	path, _ := a.journalFile() // "" for no place: what is brewed then goes to a rescue file
	return &book{app: a, path: path, cursors: map[string]journal.Cursor{}}
}

// open opens the file, if it is there or may be made.
func (b *book) open() (*journal.Journal, error) {
	b.stay()
	b.opening.Lock()
	defer b.opening.Unlock()
	if b.journal != nil {
		return b.journal, nil
	}
	j, err := journal.Open(b.path, journal.Options{})
	b.journal = j
	return j, err
}

// keep has the record of one more brew ended in the end. Those of earlier
// brews that are whole and saved are ended now: a bar that brews all day holds
// one file open, not hundreds. So are those that the file will not take any
// more, or the next brews would not be saved either.
func (b *book) keep(k *keeper) {
	k.aside, k.before = b.setAside, b.stay
	moved := b.movedAway() != nil
	lost := func(k *keeper) bool { return k.lost() || moved && k.over() }
	b.mu.Lock()
	defer b.mu.Unlock()
	if !moved {
		b.keepers = slices.DeleteFunc(b.keepers, (*keeper).settle)
	}
	anew := slices.DeleteFunc(slices.Clone(b.keepers), func(k *keeper) bool { return !lost(k) })
	b.keepers = append(slices.DeleteFunc(b.keepers, lost), k)
	if len(anew) > 0 {
		b.saving.Go(func() { b.saveAnew(anew) })
	}
}

// saveAnew brings brews that the file did not take where they can be kept, and
// notes what is to be told at the end.
func (b *book) saveAnew(lost []*keeper) {
	e := b.app.env
	var told bytes.Buffer
	e.stderr = &told
	var errs []error
	for _, k := range lost {
		errs = append(errs, k.close(e))
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	told.WriteTo(&b.later)
	b.unsaved = errors.Join(append(errs, b.unsaved)...)
}

// close ends the records, closes the file, and tells what is to be told.
func (b *book) close() error {
	told, err := b.save()
	b.app.stderr.Write(told)
	return err
}

// save does so without telling: a terminal that takes no more must not keep
// what was brewed from where it belongs. It returns what is to be told.
func (b *book) save() (told []byte, err error) {
	b.saving.Wait()
	b.mu.Lock()
	defer b.mu.Unlock()
	errs := []error{b.unsaved}
	e := b.app.env
	e.stderr = &b.later
	for _, k := range b.keepers {
		errs = append(errs, k.close(e))
	}
	if b.moved != "" {
		tellAside(e.stderr, b.moved)
	}
	told = bytes.Clone(b.later.Bytes())
	b.keepers, b.moved, b.unsaved = nil, "", nil
	b.later.Reset()
	return told, errors.Join(append(errs, b.shut())...)
}

// tellWithin is how long a terminal that took no more output is tried once more.
const tellWithin = 100 * time.Millisecond

// abandon saves what it can, for the end of a program whose terminal takes no
// more output. What is to be told is told where that still goes.
func (b *book) abandon() {
	told, _ := b.save()
	done := make(chan struct{})
	go func() {
		defer close(done)
		b.app.stderr.Write(told)
	}()
	select {
	case <-done:
	case <-time.After(tellWithin):
	}
}

// stay lets go of a file that was moved or replaced since it was opened, and
// takes its log out of the way of the one that is there now.
func (b *book) stay() {
	if fault := b.movedAway(); fault != nil {
		journal.ClearLog(fault, b.app.clock.Now().Wall)
		b.letGo()
	}
}

// movedAway returns the fault of a file that is open and was moved or replaced,
// nil where it was not.
func (b *book) movedAway() (fault *journal.Fault) {
	b.opening.Lock()
	defer b.opening.Unlock()
	if b.journal != nil {
		errors.As(b.journal.Here(), &fault)
	}
	return fault
}

// letGo has the file opened anew by the next who asks.
func (b *book) letGo() {
	b.opening.Lock()
	defer b.opening.Unlock()
	if b.journal != nil {
		b.gone, b.journal = append(b.gone, b.journal), nil
	}
}

// shut closes the file, which may be opened again.
func (b *book) shut() error {
	b.letGo()
	b.opening.Lock()
	defer b.opening.Unlock()
	var errs []error
	for _, j := range b.gone {
		errs = append(errs, j.Close())
	}
	b.gone = nil
	return errors.Join(errs...)
}

// sayKept writes the debriefs of the brews that were recorded.
func (b *book) sayKept() {
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, k := range b.keepers {
		if k.brewed() == nil {
			continue
		}
		r := k.recorder.Record()
		if lane, err := r.Fold(); err == nil {
			printDebrief(b.app.stdout, conditions(r.Brew).Of(lane))
		}
	}
}

// Brews returns a piece of the list.
func (b *book) Brews(f pages.Filter, behind string, n int) ([]pages.Brewed, bool, error) {
	if missing(b.path) {
		return nil, false, nil // looking makes no file
	}
	j, err := b.open()
	if err != nil {
		return nil, false, err
	}
	filter := journal.Filter{Recipe: f.Recipe, Person: f.Person, Kind: drift.Kind(f.Kind)}
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
