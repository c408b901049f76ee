//go:build linux

package journal_test

import (
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"syscall"
	"testing"
	"time"

	"barline/cmd/barline/internal/journal"
)

// TestAFullDiskLosesNothing fills a small file system in the middle of a brew,
// makes room again, and fills it for good.
func TestAFullDiskLosesNothing(t *testing.T) {
	dir := inside(t, "mount -t tmpfs -o size=1m tmpfs $DIR")
	if dir == "" {
		return
	}
	path := filepath.Join(dir, "journal.db")
	j := openWith(t, path, journal.Options{Retry: 10 * time.Millisecond})
	early := record(t, j, brewed(cone(t), morning), follow(cone(t)))

	r := brewed(press(t), morning.Add(time.Hour))
	events := follow(r.Plan)
	rec := begin(t, j, r)
	for n := range 3 {
		must(t, rec.Append(n, events[n]))
	}
	fill(t, dir)
	n, failed := 3, false
	for ; n < len(events) && !failed; n++ {
		err := rec.Append(n, events[n])
		if failed = err != nil; failed && causeOf(t, err) != journal.Full {
			t.Errorf("event %d: %v", n, err)
		}
	}
	if !failed {
		t.Fatal("the disk was never full: the test does not test")
	}
	if s := changed(t, rec); causeOf(t, s.Fault) != journal.Full || s.Saved != n-1 {
		t.Errorf("told %+v after %d events", s, n)
	}
	if got := load(t, j, r.ID); !reflect.DeepEqual(got.Events, events[:n-1]) {
		t.Errorf("of what was saved %d events can be read, want %d", len(got.Events), n-1)
	}
	rescued(t, rec, 3)
	must(t, os.Remove(filepath.Join(dir, "filler")))
	if s := changed(t, rec); s.Fault != nil || s.Saved != n {
		t.Errorf("with room again: %+v", s)
	}
	for ; n < len(events); n++ {
		must(t, rec.Append(n, events[n]))
	}
	must(t, finish(t, rec))
	sound(t, j)

	// A brew that begins on a full disk, and its lock with it, and stays so.
	fill(t, dir)
	last := brewed(press(t), morning.Add(2*time.Hour))
	rec = begin(t, j, last)
	for n, e := range events {
		if err := rec.Append(n, e); err == nil {
			t.Skip("SKIPPED, NOT TESTED: the log had room for a whole brew")
		} else if causeOf(t, err) != journal.Full {
			t.Errorf("event %d: %v", n, err)
		}
	}
	if err := finish(t, rec); causeOf(t, err) != journal.Full {
		t.Errorf("the end: %v", err)
	}
	must(t, os.Remove(filepath.Join(dir, "filler")))
	rescued(t, rec, 0)
	j.Close()
	j = open(t, path)
	for _, id := range []string{early, r.ID} {
		if got := load(t, j, id); got.End != journal.Finished {
			t.Errorf("%s: %+v", id, got.Brew)
		}
	}
	sound(t, j)
}

// fill leaves no room on a file system.
func fill(t *testing.T, dir string) {
	t.Helper()
	f, err := os.Create(filepath.Join(dir, "filler"))
	must(t, err)
	defer f.Close()
	for size := 1 << 16; size > 0; size /= 2 {
		for err == nil {
			_, err = f.Write(make([]byte, size))
		}
		if !errors.Is(err, syscall.ENOSPC) {
			t.Fatal(err)
		}
		err = nil
	}
}

// TestAFullDiskAtTheStart makes the journal itself impossible.
func TestAFullDiskAtTheStart(t *testing.T) {
	dir := inside(t, "mount -t tmpfs -o size=64k tmpfs $DIR")
	if dir == "" {
		return
	}
	fill(t, dir)
	path := filepath.Join(dir, "journal.db")
	if _, err := journal.Open(path, journal.Options{}); causeOf(t, err) != journal.Full {
		t.Errorf("got %v", err)
	}
	r := brewed(press(t), morning)
	rec, err := journal.BeginAt(path, journal.Options{}, r)
	must(t, err)
	for n, e := range follow(r.Plan) {
		if err := rec.Append(n, e); causeOf(t, err) != journal.Full {
			t.Errorf("event %d: %v", n, err)
		}
	}
	if err := finish(t, rec); causeOf(t, err) != journal.Full {
		t.Errorf("the end: %v", err)
	}
	rescued(t, rec, 0)
}

// TestAReadOnlyFolder brews on a disk that was mounted read-only, which binds
// the superuser as well.
func TestAReadOnlyFolder(t *testing.T) {
	dir := inside(t, "mount -t tmpfs tmpfs $DIR")
	if dir == "" {
		return
	}
	path := filepath.Join(dir, "journal.db")
	j := open(t, path)
	old := record(t, j, brewed(cone(t), morning), follow(cone(t)))
	cut := brewed(press(t), morning.Add(time.Hour))
	record(t, j, cut, follow(cut.Plan)[:2])
	must(t, j.Close())
	must(t, syscall.Mount("", dir, "", syscall.MS_REMOUNT|syscall.MS_RDONLY, ""))

	j = open(t, path)
	if f := j.ReadOnly(); f == nil || f.Cause != journal.ReadOnly {
		t.Fatalf("read-only because of %v", f)
	}
	if got := load(t, j, old); got.End != journal.Finished {
		t.Errorf("got %+v", got.Brew)
	}
	sound(t, j)
	r := brewed(press(t), morning.Add(2*time.Hour))
	rec := begin(t, j, r)
	for n, e := range follow(r.Plan) {
		if err := rec.Append(n, e); causeOf(t, err) != journal.ReadOnly {
			t.Errorf("event %d: %v", n, err)
		}
	}
	if err := finish(t, rec); causeOf(t, err) != journal.ReadOnly {
		t.Errorf("the end: %v", err)
	}
	rescued(t, rec, 0)
	_, _, err := j.TakeUp(ctx, cut.ID, journal.Now{Wall: cut.Start.Add(time.Minute)})
	if causeOf(t, err) != journal.ReadOnly {
		t.Errorf("taking up gives %v", err)
	}
	if _, err := journal.Open(filepath.Join(dir, "new.db"), journal.Options{}); causeOf(t, err) != journal.ReadOnly {
		t.Errorf("a new file gives %v", err)
	}
	if _, err := journal.Open(filepath.Join(dir, "folder", "new.db"), journal.Options{}); causeOf(t, err) != journal.ReadOnly {
		t.Errorf("a new folder gives %v", err)
	}
}

// TestADiskThatFailsInMidBrewLosesNothing lets no file grow any more, which
// concerns the whole process, so it has one of its own.
func TestADiskThatFailsInMidBrewLosesNothing(t *testing.T) {
	if inside(t, "true") == "" {
		return
	}
	j := fresh(t)
	r := brewed(press(t), morning)
	events := follow(r.Plan)
	rec := begin(t, j, r)
	for n := range 3 {
		must(t, rec.Append(n, events[n]))
	}
	var was syscall.Rlimit
	must(t, syscall.Getrlimit(syscall.RLIMIT_FSIZE, &was))
	must(t, syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: 1, Max: was.Max}))
	for n, e := range events[3:] {
		if err := rec.Append(n+3, e); err == nil {
			t.Errorf("event %d was saved", n+3)
		} else {
			t.Logf("%s: %v", causeOf(t, err), err)
		}
	}
	err := finish(t, rec)
	must(t, syscall.Setrlimit(syscall.RLIMIT_FSIZE, &was))
	if causeOf(t, err) == "" {
		t.Error(err)
	}
	rescued(t, rec, 3)
	if got := load(t, j, r.ID).Events; !reflect.DeepEqual(got, events[:3]) {
		t.Errorf("of what was saved, %v is left", got)
	}
	sound(t, j)
}

// TestWhoLooksIsNotTakenForWhoBrews looks at a brew that was cut off while
// somebody else looks at it too.
func TestWhoLooksIsNotTakenForWhoBrews(t *testing.T) {
	j := fresh(t)
	r := brewed(press(t), morning)
	record(t, j, r, follow(r.Plan)[:2])
	left, err := os.Create(filepath.Join(j.Path()+"-live", r.ID))
	must(t, err)
	defer left.Close()
	must(t, syscall.Flock(int(left.Fd()), syscall.LOCK_SH))
	if got := load(t, j, r.ID); got.End != journal.CutOff {
		t.Errorf("it is %q", got.End)
	}
	must(t, syscall.Flock(int(left.Fd()), syscall.LOCK_EX))
	if got := load(t, j, r.ID); got.End != journal.Running {
		t.Errorf("while it is held it is %q", got.End)
	}
}

// What lies in a log counts, so where the log cannot be read the file is not
// read as if it had none.
func TestAFileIsNotReadWithoutItsLog(t *testing.T) {
	dir := inside(t, "mount -t tmpfs tmpfs $DIR")
	if dir == "" {
		return
	}
	killed, _ := underWay(t)
	path := filepath.Join(dir, "journal.db")
	for suffix, text := range contents(t, killed) {
		must(t, os.WriteFile(path+suffix, []byte(text), 0o600))
	}
	must(t, syscall.Mount("", dir, "", syscall.MS_REMOUNT|syscall.MS_RDONLY, ""))
	if _, err := journal.Open(path, journal.Options{}); err == nil {
		t.Error("it is read without its log")
	}
}
