package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"sync"
	"time"

	"barline/brew"
	"barline/brew/drift"
	"barline/cmd/barline/internal/clock"
	"barline/cmd/barline/internal/journal"
	"barline/tui/live"
)

// keeper keeps one brew in the journal. The record begins with the brew's
// first event, so that a brew which never starts leaves none.
type keeper struct {
	path    string
	clock   clock.Clock
	record  journal.Record
	movable bool // the file may be set aside where it is damaged

	begun    chan struct{} // closed when recorder or fault is there
	once     sync.Once
	recorder *journal.Recorder
	fault    error
}

// keeper returns what keeps the record of a brew.
func (a *app) keeper(f *brewFlags, opt live.Options, marks brew.Policy, text []byte) (*keeper, error) {
	path, err := a.journalFile()
	if err != nil {
		return nil, err
	}
	plan := opt.Plans[0]
	b := journal.Brew{
		Kind: drift.Kind(opt.Kind), Speed: opt.Speed, From: opt.From, Marks: marks, Person: opt.By,
		Coffee:  firstOf(f.coffee, plan.Coffee, a.config.coffee),
		Lot:     firstOf(f.lot, plan.Lot, a.config.lot),
		Setting: firstOf(f.setting, plan.Setting, a.config.setting),
		Kettle:  a.config.kettle,
	}
	if f.kettle != "" {
		t, err := kettleAt(f.kettle)
		if err != nil {
			return nil, fmt.Errorf("--kettle %w", err)
		}
		b.Kettle = &t
	}
	return &keeper{
		path: path, clock: a.clock, record: journal.Record{Brew: b, Plan: plan, Text: string(text)},
		movable: a.mayMove(path), begun: make(chan struct{}),
	}, nil
}

// Append saves event n of the brew; zero is what the machine's clock read at
// the timeline's zero.
func (k *keeper) Append(n int, e brew.Event, zero time.Duration) error {
	if n == 0 {
		k.once.Do(func() { k.begin(e, zero) })
	}
	<-k.begun
	if k.fault != nil {
		return k.fault
	}
	return k.recorder.Append(n, e)
}

func (k *keeper) begin(e brew.Event, zero time.Duration) {
	defer close(k.begun)
	r := k.record
	r.Start, r.StartAt = k.clock.Now().WallAt(zero+e.At), e.At
	r.Clock = journal.Clock{Kept: journal.Kept(k.clock.Kept()), Boot: k.clock.Boot(), Zero: zero}
	k.recorder, k.fault = journal.BeginAt(k.path, journal.Options{}, r)
}

// Measure saves what was measured of the cup.
func (k *keeper) Measure(r brew.Reading) error {
	<-k.begun
	if k.fault != nil {
		return k.fault
	}
	var errs []error
	for _, reading := range readings(r, k.clock.Now().Wall, k.record.Person) {
		errs = append(errs, k.recorder.Reading(reading))
	}
	return errors.Join(errs...)
}

// readings returns what was measured as the journal keeps it.
func readings(r brew.Reading, at time.Time, by string) []journal.Reading {
	var out []journal.Reading
	add := func(what journal.What, value *float64, text string) {
		out = append(out, journal.Reading{What: what, Value: value, Text: text, Taken: at, By: by})
	}
	if r.Beverage != nil {
		grams := r.Beverage.Grams()
		add(journal.BeverageWeight, &grams, "")
	}
	if r.Strength != nil {
		percent := float64(*r.Strength)
		add(journal.Strength, &percent, "")
	}
	if r.Taste != "" {
		add(journal.Taste, nil, r.Taste)
	}
	return out
}

// brewed returns the recorder where the brew has begun, nil where it has not
// or was refused.
func (k *keeper) brewed() *journal.Recorder {
	select {
	case <-k.begun:
		return k.recorder
	default:
		return nil
	}
}

// settle reports whether the record is whole and saved, or was never begun by
// a page that is gone; it is then ended and need not be looked at again.
func (k *keeper) settle() bool {
	r := k.brewed()
	if r == nil {
		return false
	}
	if status := r.Status(); status.Waiting > 0 || status.Fault != nil || r.Record().End == "" {
		return false
	}
	go r.End(context.Background())
	return true
}

// saveWithin is how long the end of the program waits for the disk.
const saveWithin = 5 * time.Second

// close ends the record. What could not be saved is written to a rescue file
// that import takes, or where that cannot be either, to standard error; the
// error is then errUnsaved.
func (k *keeper) close(e env) error {
	select {
	case <-k.begun:
	default:
		return nil // nothing was brewed
	}
	err := k.end()
	if err == nil {
		return nil
	}
	fmt.Fprintf(e.stderr, "error: the brew is not in the journal: %s\n", err)
	if k.recorder == nil {
		return errUnsaved
	}
	if path, err := k.rescue(e.getenv); err == nil {
		fmt.Fprintf(e.stderr, "the whole brew is in %s\nhint: barline journal import %s takes it in\n", path, path)
	} else {
		fmt.Fprintln(e.stderr, "the whole brew follows; barline journal import takes these lines from a file")
		k.recorder.Rescue(e.stderr)
	}
	k.advise(e, err)
	return errUnsaved
}

// end waits until all is saved, and returns why something is not.
func (k *keeper) end() error {
	if k.fault != nil {
		return k.fault
	}
	ctx, cancel := context.WithTimeout(context.Background(), saveWithin)
	defer cancel()
	err := k.recorder.End(ctx)
	if !errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	if fault := k.recorder.Status().Fault; fault != nil {
		return fault
	}
	return fmt.Errorf("the disk has not answered for %s", brew.Spoken(saveWithin))
}

// advise says what can be done about a fault. A file that turned out to be
// damaged is set aside, so that the next brew has one to go into.
func (k *keeper) advise(e env, err error) {
	var fault *journal.Fault
	switch {
	case !errors.As(err, &fault):
	case fault.Cause == journal.Damaged && k.movable:
		if to, err := journal.SetAside(k.path, k.clock.Now().Wall); err == nil {
			tellAside(e.stderr, to)
		}
	default:
		fmt.Fprintf(e.stderr, "hint: %s\n", fault.Hint())
	}
}

// rescue writes the whole brew beside the journal, in the home, or in the
// folder for temporary files, wherever it can.
func (k *keeper) rescue(getenv func(string) string) (path string, err error) {
	name := fmt.Sprintf("barline-rescue-%s.jsonl", k.recorder.ID())
	for _, folder := range []string{filepath.Dir(k.path), getenv("HOME"), getenv("USERPROFILE"), os.TempDir()} {
		if folder == "" {
			continue
		}
		path = filepath.Join(folder, name)
		if err = writeWhole(path, k.recorder.Rescue); err == nil {
			return path, nil
		}
	}
	return "", err
}

// writeWhole makes a file of what write writes, safe on the disk, or none.
func writeWhole(path string, write func(io.Writer) error) error {
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	if err = errors.Join(write(file), file.Sync(), file.Close()); err != nil {
		os.Remove(path)
	}
	return err
}
