//go:build unix

package journal_test

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"golang.org/x/sys/unix"

	"barline/cmd/barline/internal/journal"
)

// running reports whether another terminal sees the one brew as under way.
func running(t testing.TB, j *journal.Journal) bool {
	t.Helper()
	page, err := j.List(ctx, journal.Filter{End: journal.Running}, journal.Cursor{}, 2)
	must(t, err)
	return len(page.Brews) == 1
}

// Whoever forgets a brew holds it until it is gone, so that nobody takes it up
// meanwhile.
func TestABrewIsHeldUntilItIsForgotten(t *testing.T) {
	j := fresh(t)
	r := cutOff(t, j, func(*journal.Record) {})
	other, patient := open(t, j.Path()), openWith(t, j.Path(), journal.Options{Busy: time.Minute})
	db := raw(t, j.Path())
	_, err := db.Exec("BEGIN IMMEDIATE") // somebody saves something, which takes a while
	must(t, err)
	forgotten := make(chan error, 1)
	go func() { forgotten <- patient.Forget(ctx, r.ID) }()
	for deadline := time.Now().Add(20 * time.Second); !running(t, other); time.Sleep(time.Millisecond) {
		if time.Now().After(deadline) {
			t.Fatal("it is not held")
		}
	}
	for range 50 {
		if !running(t, other) {
			t.Fatal("it is not held any more, and not forgotten")
		}
		time.Sleep(time.Millisecond)
	}
	_, err = db.Exec("COMMIT")
	must(t, err)
	must(t, <-forgotten)
	if _, err := other.Load(ctx, r.ID); err != journal.ErrNotFound {
		t.Errorf("loading it gives %v", err)
	}
}

// A lock counts only while its file has its name: one whose file went away
// between opening and locking holds nobody off.
func TestALockWhoseFileWentAwayIsNone(t *testing.T) {
	j := fresh(t)
	r := cutOff(t, j, func(*journal.Record) {})
	other := open(t, j.Path())
	path := filepath.Join(j.Path()+"-live", r.ID)
	must(t, os.MkdirAll(filepath.Dir(path), 0o700))
	stop, stopped := make(chan struct{}), make(chan struct{})
	go func() { // another terminal that holds and lets go, as quick as it can
		defer close(stopped)
		for {
			select {
			case <-stop:
				return
			default:
			}
			f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o600)
			if err != nil {
				continue
			}
			if unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB) == nil {
				open, _ := f.Stat()
				if named, err := os.Stat(path); err == nil && os.SameFile(open, named) {
					os.Remove(path)
				}
			}
			f.Close()
		}
	}()
	now := journal.Now{Wall: morning.Add(time.Minute), Elapsed: 5060 * time.Second, Boot: "boot-1"}
	held := 0
	for n := 0; n < 400 && held < 60; n++ {
		rec, _, err := j.TakeUp(ctx, r.ID, now)
		if err == journal.ErrLive {
			continue
		}
		must(t, err)
		held++
		if !running(t, other) {
			t.Fatal("it is taken up, and another terminal does not know")
		}
		must(t, rec.End(ctx))
	}
	close(stop)
	<-stopped
	if held == 0 {
		t.Error("it was never taken up: the test does not test")
	}
}
