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
	mayMove func(*journal.Fault) bool            // whether a damaged file may be set aside
	aside   func(*journal.Fault) (string, error) // does that
	before  func()                               // is called before the file is opened
	typed   func(args ...string) string          // a command line on this journal

	begun    chan struct{} // closed when recorder or fault is there
	once     sync.Once
	recorder *journal.Recorder
	fault    error
}

// keeper returns what keeps the record of a brew.
func (a *app) keeper(f *brewFlags, opt live.Options, marks brew.Policy, text []byte) (*keeper, error) {
	path, _ := a.journalFile() // "" for no place: the brew goes on all the same
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
		mayMove: a.mayMove, aside: a.setAside, before: func() {}, typed: a.typed, begun: make(chan struct{}),
	}, nil
}

// setAside moves a damaged file out of the way.
func (a *app) setAside(fault *journal.Fault) (string, error) {
	return journal.SetAside(fault, a.clock.Now().Wall)
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
	k.before()
	r := k.record
	at := zero + time.Duration(float64(e.At)/r.Speed) // a service runs before its brew begins
	r.Start, r.StartAt = k.clock.Now().WallAt(at), e.At
	r.Clock = journal.Clock{Kept: journal.Kept(k.clock.Kept()), Boot: k.clock.Boot(), Zero: zero}
	k.recorder, k.fault = journal.BeginAt(k.path, journal.Options{}, r)
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

// over reports whether its brew has ended.
func (k *keeper) over() bool { r := k.brewed(); return r != nil && r.Record().End != "" }

// lost reports whether the file will take nothing more of a brew that is over.
func (k *keeper) lost() bool {
	var fault *journal.Fault
	return k.over() && errors.As(k.recorder.Status().Fault, &fault) && (fault.Cause == journal.Damaged || fault.Cause == journal.Moved)
}

// saveWithin is how long the end of the program waits for the disk.
const saveWithin = 5 * time.Second

// close ends the record. A brew that could not be saved because the file is
// damaged goes into a new one, whole. What cannot be saved at all is written to
// a rescue file that import takes, or where that cannot be either, to standard
// error; the error is then errUnsaved.
func (k *keeper) close(e env) error {
	select {
	case <-k.begun:
	default:
		return nil // nothing was brewed
	}
	err := k.end()
	if err == nil || k.anew(e, err) {
		return nil
	}
	fmt.Fprintf(e.stderr, "error: the brew is not in the journal: %s\n", err)
	if k.recorder == nil {
		return errUnsaved
	}
	if path, err := k.rescue(e.getenv); err == nil {
		fmt.Fprintf(e.stderr, "the whole brew is in %s\nhint: %s takes it in\n", path, k.typed("journal", "import", path))
	} else {
		k.rescueTo(e.stderr)
	}
	if fault := (*journal.Fault)(nil); errors.As(err, &fault) {
		fmt.Fprintf(e.stderr, "hint: %s\n", faultHint(fault))
	}
	return errUnsaved
}

// anew saves the whole brew in a new file, where the old one turned out to be
// damaged and may be set aside, or is not there any more.
func (k *keeper) anew(e env, err error) bool {
	var fault *journal.Fault
	if k.recorder == nil || !errors.As(err, &fault) {
		return false
	}
	was := fault
	for range 2 { // the log of a file that was moved away is in the way as well
		if !k.clear(e, fault) {
			return false
		}
		if err := k.again(); err == nil {
			fmt.Fprintf(e.stderr, "%s; the brew is in a new one\n", was)
			return true
		} else if !errors.As(err, &fault) {
			return false
		}
	}
	return false
}

// clear makes the journal's place free for a new file, and reports whether it
// is.
func (k *keeper) clear(e env, fault *journal.Fault) bool {
	switch fault.Cause {
	case journal.Moved:
		return journal.ClearLog(fault, k.clock.Now().Wall) == nil
	case journal.Damaged:
		return k.mayMove(fault) && k.moveAside(e, fault) == nil
	}
	return false
}

// again saves the whole brew in the file that is there now.
func (k *keeper) again() error {
	r, err := journal.BeginAt(k.path, journal.Options{}, k.recorder.Record())
	if err != nil {
		return err
	}
	ctx, cancel := context.WithTimeout(context.Background(), saveWithin)
	defer cancel()
	return r.End(ctx)
}

// moveAside sets the damaged file aside, and says where it is. That another
// terminal has done so already is as good.
func (k *keeper) moveAside(e env, fault *journal.Fault) error {
	to, err := k.aside(fault)
	if errors.Is(err, journal.ErrElsewhere) {
		return nil
	}
	if err == nil {
		tellAside(e.stderr, to)
	}
	return err
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

// rescue writes the whole brew beside the journal, in the home, or in the
// folder for temporary files, wherever it can.
func (k *keeper) rescue(getenv func(string) string) (path string, err error) {
	return k.rescueAs(fmt.Sprintf("barline-rescue-%s.jsonl", k.recorder.ID()), getenv, k.recorder.Rescue)
}

func (k *keeper) rescueAs(name string, getenv func(string) string, write func(io.Writer) error) (path string, err error) {
	for _, folder := range []string{folderOf(k.path), getenv("HOME"), getenv("USERPROFILE"), os.TempDir()} {
		if folder == "" {
			continue
		}
		path = filepath.Join(folder, name)
		if err = writeWhole(path, write); err == nil {
			return path, nil
		}
	}
	return "", err
}

// rescueTo writes the whole brew among other messages, between two marks by
// which import finds it.
func (k *keeper) rescueTo(w io.Writer) {
	fmt.Fprintf(w, "the whole brew follows; from a file with these lines %s takes it in\n%s\n", k.typed("journal", "import", "FILE"), journal.RescueBegins)
	k.recorder.Rescue(w)
	fmt.Fprintln(w, journal.RescueEnds)
}

// folderOf returns the folder of a file, "" for that of none.
func folderOf(path string) string {
	if path == "" {
		return ""
	}
	return filepath.Dir(path)
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
