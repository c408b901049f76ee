package journal_test

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"barline/brew"
	"barline/cmd/barline/internal/journal"
)

// causeOf returns an error's cause and fails where it is no fault, or one that
// says too little.
func causeOf(t testing.TB, err error) journal.Cause {
	t.Helper()
	var f *journal.Fault
	if !errors.As(err, &f) {
		t.Errorf("%v is no fault", err)
		return ""
	}
	if f.Hint() == "" || !strings.Contains(f.Error(), f.Path) || f.Path == "" {
		t.Errorf("%q with the hint %q says too little", f.Error(), f.Hint())
	}
	return f.Cause
}

// changed waits for the next change that a recorder tells.
func changed(t testing.TB, rec *journal.Recorder) journal.Status {
	t.Helper()
	select {
	case s, more := <-rec.Changes():
		if !more {
			t.Fatal("no change was told before the end")
		}
		return s
	case <-time.After(10 * time.Second):
		t.Fatalf("no change is told; the status is %+v", rec.Status())
	}
	return journal.Status{}
}

// finish ends a recorder, which must not take long.
func finish(t testing.TB, rec *journal.Recorder) error {
	t.Helper()
	soon, cancel := context.WithTimeout(ctx, 20*time.Second)
	defer cancel()
	err := rec.End(soon)
	if errors.Is(err, context.DeadlineExceeded) {
		t.Fatal("the end does not come")
	}
	return err
}

// failing is a disk that can be made to fail.
type failing struct{ fault atomic.Pointer[journal.Fault] }

func (d *failing) write() error {
	if f := d.fault.Load(); f != nil {
		return f
	}
	return nil
}

func (d *failing) options() journal.Options {
	return journal.Options{Retry: 5 * time.Millisecond, BeforeWrite: d.write}
}

// The wait before trying again has an upper bound: a disk that had no room for
// half an hour is used again within a second, not within another half hour.
func TestTheWaitBeforeTryingAgainIsBounded(t *testing.T) {
	left := atomic.Int64{}
	left.Store(18) // waits of 2, 4 and 8 ms; doubled each time the last would be of 9 min
	write := func() error {
		if left.Add(-1) >= 0 {
			return &journal.Fault{Cause: journal.Full}
		}
		return nil
	}
	j := openWith(t, t.TempDir()+"/journal.db", journal.Options{Retry: 2 * time.Millisecond, BeforeWrite: write})
	rec := begin(t, j, brewed(press(t), morning))
	rec.Append(0, follow(press(t))[0])
	for deadline := time.Now().Add(30 * time.Second); rec.Status().Saved == 0; time.Sleep(time.Millisecond) {
		if time.Now().After(deadline) {
			t.Fatal("it is not tried again")
		}
	}
	must(t, finish(t, rec))
}

func TestAFaultThatPassesIsCaughtUpInOrder(t *testing.T) {
	for _, cause := range []journal.Cause{journal.Full, journal.Locked, journal.Failing} {
		t.Run(string(cause), func(t *testing.T) {
			var disk failing
			j := openWith(t, t.TempDir()+"/journal.db", disk.options())
			r := brewed(press(t), morning)
			events := follow(r.Plan)
			rec := begin(t, j, r)
			if err := rec.Append(0, events[0]); err != nil {
				t.Fatal(err)
			}
			disk.fault.Store(&journal.Fault{Cause: cause, Path: j.Path()})
			var wait sync.WaitGroup
			for n := 3; n >= 1; n-- {
				wait.Go(func() {
					if err := rec.Append(n, events[n]); causeOf(t, err) != cause {
						t.Errorf("event %d: %v", n, err)
					}
				})
			}
			wait.Wait()
			if s := changed(t, rec); s.Saved != 1 || causeOf(t, s.Fault) != cause {
				t.Errorf("the change says %+v", s)
			}
			time.Sleep(30 * time.Millisecond) // several attempts
			select {
			case s := <-rec.Changes():
				t.Errorf("the same fault is told again: %+v", s)
			default:
			}
			if s := rec.Status(); s.Saved != 1 || s.Waiting != 3 {
				t.Errorf("status %+v", s)
			}
			disk.fault.Store(nil)
			if s := changed(t, rec); s.Fault != nil || s.Saved != 4 || s.Waiting != 0 {
				t.Errorf("after it passed: %+v", s)
			}
			for n := 1; n < len(events); n++ {
				if err := rec.Append(n, events[n]); err != nil {
					t.Errorf("event %d: %v", n, err)
				}
			}
			if err := finish(t, rec); err != nil {
				t.Fatal(err)
			}
			if got := load(t, j, r.ID).Events; !reflect.DeepEqual(got, events) {
				t.Errorf("got %v, want %v", got, events)
			}
			if _, more := <-rec.Changes(); more {
				t.Error("the channel of changes is open after the end")
			}
			sound(t, j)
		})
	}
}

func TestTheEndTriesOnceMore(t *testing.T) {
	var disk failing
	o := disk.options()
	o.Retry = time.Hour
	j := openWith(t, t.TempDir()+"/journal.db", o)
	r := brewed(press(t), morning)
	events := follow(r.Plan)
	rec := begin(t, j, r)
	disk.fault.Store(&journal.Fault{Cause: journal.Full, Path: j.Path()})
	for n, e := range events {
		if err := rec.Append(n, e); err == nil {
			t.Fatal("it was saved")
		}
	}
	disk.fault.Store(nil)
	if err := finish(t, rec); err != nil {
		t.Fatal(err)
	}
	if got := load(t, j, r.ID).Events; !reflect.DeepEqual(got, events) {
		t.Errorf("got %v, want %v", got, events)
	}
}

func TestAFaultThatDoesNotPassIsToldOnceAndNotTriedAgain(t *testing.T) {
	for _, cause := range []journal.Cause{journal.ReadOnly, journal.Damaged, journal.Newer, journal.Foreign, journal.Missing, journal.Broken} {
		t.Run(string(cause), func(t *testing.T) {
			tries := 0
			j := openWith(t, t.TempDir()+"/journal.db", journal.Options{Retry: time.Millisecond, BeforeWrite: func() error {
				tries++
				return &journal.Fault{Cause: cause, Path: "somewhere"}
			}})
			r := brewed(press(t), morning)
			rec := begin(t, j, r)
			for n, e := range follow(r.Plan) {
				if err := rec.Append(n, e); causeOf(t, err) != cause {
					t.Errorf("event %d: %v", n, err)
				}
			}
			time.Sleep(20 * time.Millisecond)
			if err := finish(t, rec); causeOf(t, err) != cause {
				t.Errorf("the end: %v", err)
			}
			want := 1
			if cause == journal.ReadOnly || cause == journal.Missing {
				want = 2 // at first, and at the end
			}
			if tries != want {
				t.Errorf("tried %d times, want %d", tries, want)
			}
			if s := changed(t, rec); causeOf(t, s.Fault) != cause {
				t.Errorf("told %+v", s)
			}
			if s, more := <-rec.Changes(); more {
				t.Errorf("told again %+v", s)
			}
			rescued(t, rec, 0)
		})
	}
}

// rescued imports what a recorder rescues into an empty journal and into the
// one where the first saved events already are, and fails where it is not the
// whole brew.
func rescued(t testing.TB, rec *journal.Recorder, saved int) {
	t.Helper()
	var out bytes.Buffer
	if err := rec.Rescue(&out); err != nil {
		t.Fatal(err)
	}
	whole := rec.Record()
	for _, have := range []int{0, saved} {
		j := fresh(t)
		if have > 0 {
			part := whole
			part.Readings, part.Weights = nil, nil
			part.Events = nil
			record(t, j, part, whole.Events[:have])
		}
		if _, err := j.Import(ctx, bytes.NewReader(out.Bytes())); err != nil {
			t.Fatalf("%v\n%s", err, out.Bytes())
		}
		got := load(t, j, whole.ID)
		if !reflect.DeepEqual(got.Events, whole.Events) || !reflect.DeepEqual(got.Readings, whole.Readings) || len(got.Weights) != len(whole.Weights) {
			t.Errorf("rescued %v, want %v", got.Events, whole.Events)
		}
		sound(t, j)
	}
}

func TestARescueHasTheWholeBrewSavedOrNot(t *testing.T) {
	var disk failing
	j := openWith(t, t.TempDir()+"/journal.db", disk.options())
	r := brewed(press(t), morning)
	r.RoundOf = &journal.Round{ID: idAt(morning), Kind: journal.BarRound, Name: "early", Start: morning}
	r.Lane, r.Order = 2, "table 4"
	events := follow(r.Plan)
	rec := begin(t, j, r)
	for n, e := range events {
		if n == 3 {
			disk.fault.Store(&journal.Fault{Cause: journal.Full, Path: j.Path()})
		}
		if err := rec.Append(n, e); (err == nil) != (n < 3) {
			t.Fatalf("event %d: %v", n, err)
		}
	}
	strength := 1.42
	if err := rec.Reading(journal.Reading{What: journal.Strength, Value: &strength, Taken: morning.Add(5 * time.Minute)}); causeOf(t, err) != journal.Full {
		t.Error(err)
	}
	mass := brew.Mass(50_000)
	if err := rec.Weight(journal.Weight{Beat: "first pour, end", Mass: &mass, Taken: morning.Add(5 * time.Minute)}); causeOf(t, err) != journal.Full {
		t.Error(err)
	}
	if err := finish(t, rec); causeOf(t, err) != journal.Full {
		t.Error(err)
	}
	rescued(t, rec, 3)
	disk.fault.Store(nil)
	var out bytes.Buffer
	if err := rec.Rescue(&out); err != nil {
		t.Fatal(err)
	}
	done, err := j.Import(ctx, &out)
	if err != nil || done.Grown != 1 {
		t.Errorf("into its own journal: %+v, %v", done, err)
	}
	if got := load(t, j, r.ID); len(got.Events) != len(events) || len(got.Readings) != 1 || len(got.Weights) != 1 || got.Round != r.RoundOf.ID || got.Order != "table 4" {
		t.Errorf("got %+v", got)
	}
	sound(t, j)
}

func TestAPanicOfTheDriverIsAFault(t *testing.T) {
	j := openWith(t, t.TempDir()+"/journal.db", journal.Options{BeforeWrite: func() error { panic("out of order") }})
	rec := begin(t, j, brewed(press(t), morning))
	if err := rec.Append(0, brew.Event{Kind: brew.EventStart, Source: brew.FromKey}); causeOf(t, err) != journal.Broken {
		t.Error(err)
	}
	if err := finish(t, rec); causeOf(t, err) != journal.Broken {
		t.Error(err)
	}
	rescued(t, rec, 0)
}

func TestALockHeldByAnotherProgramIsWaitedOut(t *testing.T) {
	path := filepath.Join(t.TempDir(), "journal.db")
	j := openWith(t, path, journal.Options{Busy: 300 * time.Millisecond, Retry: 50 * time.Millisecond})
	r := brewed(press(t), morning)
	events := follow(r.Plan)
	rec := begin(t, j, r)
	if err := rec.Append(0, events[0]); err != nil {
		t.Fatal(err)
	}
	_, lines := helper(t, "hold", path, "2s")
	await(t, lines, "holding")
	began := time.Now()
	if err := rec.Append(1, events[1]); causeOf(t, err) != journal.Locked {
		t.Fatalf("got %v", err)
	}
	if d := time.Since(began); d < 250*time.Millisecond || d > 1500*time.Millisecond {
		t.Errorf("told after %s, want about 300 ms", d)
	}
	if s := changed(t, rec); causeOf(t, s.Fault) != journal.Locked {
		t.Errorf("%+v", s)
	}
	await(t, lines, "let go")
	let := time.Now()
	if s := changed(t, rec); s.Fault != nil || s.Saved != 2 {
		t.Errorf("%+v", s)
	}
	if d := time.Since(let); d > 1500*time.Millisecond {
		t.Errorf("caught up %s after the lock was given back", d)
	}
	finish(t, rec)
	if got := load(t, j, r.ID).Events; !reflect.DeepEqual(got, events[:2]) {
		t.Errorf("got %v", got)
	}
}

func TestAJournalThatIsLockedAtTheStartIsOpenedLater(t *testing.T) {
	path := filepath.Join(t.TempDir(), "journal.db")
	open(t, path).Close()
	_, lines := helper(t, "hold", path, "1s")
	await(t, lines, "holding")
	o := journal.Options{Busy: 100 * time.Millisecond, Retry: 50 * time.Millisecond}
	if _, err := journal.Open(path, o); causeOf(t, err) != journal.Locked {
		t.Fatalf("got %v", err)
	}
	r := brewed(press(t), morning)
	events := follow(r.Plan)
	rec, err := journal.BeginAt(path, o, r)
	if err != nil {
		t.Fatal(err)
	}
	if err := rec.Append(0, events[0]); causeOf(t, err) != journal.Locked {
		t.Fatalf("got %v", err)
	}
	await(t, lines, "let go")
	for n, e := range events[1:] {
		for rec.Append(n+1, e) != nil {
			time.Sleep(10 * time.Millisecond)
		}
	}
	if err := finish(t, rec); err != nil {
		t.Fatal(err)
	}
	j := open(t, path)
	if got := load(t, j, r.ID).Events; !reflect.DeepEqual(got, events) {
		t.Errorf("got %v", got)
	}
}

func TestWhatCannotBeOpenedSaysWhy(t *testing.T) {
	for name, c := range map[string]struct {
		prepare func(t *testing.T, path string)
		want    journal.Cause
	}{
		"a folder in the file's place": {func(t *testing.T, path string) { must(t, os.Mkdir(path, 0o700)) }, journal.Missing},
		"a file in the folder's place": {func(t *testing.T, path string) {
			must(t, os.Remove(filepath.Dir(path)))
			must(t, os.WriteFile(filepath.Dir(path), []byte("x"), 0o600))
		}, journal.Missing},
		"a text": {func(t *testing.T, path string) {
			must(t, os.WriteFile(path, []byte(strings.Repeat("name: Quayside press\n", 100)), 0o600))
		}, journal.Damaged},
		"a short text": {func(t *testing.T, path string) {
			must(t, os.WriteFile(path, []byte("name: x\n"), 0o600))
		}, journal.Damaged},
		"another program's database": {func(t *testing.T, path string) { tamper(t, path, "CREATE TABLE birds (n)") }, journal.Foreign},
		"a database with another mark": {func(t *testing.T, path string) {
			tamper(t, path, "PRAGMA application_id = 7", "CREATE TABLE birds (n)")
		}, journal.Foreign},
		"a journal whose mark is lost": {func(t *testing.T, path string) {
			open(t, path).Close()
			tamper(t, path, "PRAGMA application_id = 7")
		}, journal.Damaged},
		"a journal whose schema number is lost": {func(t *testing.T, path string) {
			open(t, path).Close()
			tamper(t, path, "PRAGMA user_version = 0")
		}, journal.Damaged},
		"a journal without its tables": {func(t *testing.T, path string) {
			open(t, path).Close()
			tamper(t, path, "DROP TABLE events")
		}, journal.Damaged},
		"a log without its file": {func(t *testing.T, path string) {
			must(t, os.WriteFile(path+"-wal", []byte("something"), 0o600))
		}, journal.Damaged},
		"a log beside an empty file": {func(t *testing.T, path string) {
			must(t, os.WriteFile(path, nil, 0o600))
			must(t, os.WriteFile(path+"-wal", []byte("something"), 0o600))
		}, journal.Damaged},
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "folder", "journal.db")
			must(t, os.Mkdir(filepath.Dir(path), 0o700))
			c.prepare(t, path)
			before := contents(t, path)
			j, err := journal.Open(path, journal.Options{})
			if err == nil {
				j.Close()
				t.Fatal("it was opened")
			}
			if got := causeOf(t, err); got != c.want {
				t.Errorf("got %s, %v, want %s", got, err, c.want)
			}
			if after := contents(t, path); !reflect.DeepEqual(before, after) {
				t.Error("the file was changed")
			}
			r := brewed(press(t), morning)
			rec, err := journal.BeginAt(path, journal.Options{}, r)
			must(t, err)
			if err := rec.Append(0, follow(r.Plan)[0]); causeOf(t, err) != c.want {
				t.Errorf("brewing gives %v", err)
			}
			if err := finish(t, rec); causeOf(t, err) != c.want {
				t.Errorf("the end gives %v", err)
			}
			rescued(t, rec, 0)
			if after := contents(t, path); !reflect.DeepEqual(before, after) {
				t.Error("the file was changed by brewing")
			}
		})
	}
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// contents returns what a journal's file and its log hold.
func contents(t testing.TB, path string) map[string]string {
	t.Helper()
	out := map[string]string{}
	for _, suffix := range []string{"", "-wal"} {
		if text, err := os.ReadFile(path + suffix); err == nil && (suffix == "" || len(text) > 0) {
			out[suffix] = string(text)
		}
	}
	return out
}

func TestANewFolderIsMadeAndAnEmptyFileIsANewJournal(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a", "b", "journal.db")
	open(t, path).Close()
	empty := filepath.Join(t.TempDir(), "journal.db")
	must(t, os.WriteFile(empty, nil, 0o600))
	open(t, empty).Close()
}

func TestANewerSchemaIsReadButNotWritten(t *testing.T) {
	path := filepath.Join(t.TempDir(), "journal.db")
	j := open(t, path)
	r := brewed(press(t), morning)
	id := record(t, j, r, follow(r.Plan))
	j.Close()
	tamper(t, path, "PRAGMA user_version = 99", "CREATE TABLE later (n)", "ALTER TABLE brews ADD COLUMN later TEXT")
	before := contents(t, path)
	j = open(t, path)
	if f := j.ReadOnly(); f == nil || f.Cause != journal.Newer || j.Schema() != 99 {
		t.Fatalf("read-only because of %v, schema %d", f, j.Schema())
	}
	if got := load(t, j, id); got.End != journal.Finished {
		t.Errorf("got %+v", got)
	}
	rec := begin(t, j, brewed(cone(t), morning))
	if err := rec.Append(0, brew.Event{Kind: brew.EventStart, Source: brew.FromKey}); causeOf(t, err) != journal.Newer {
		t.Error(err)
	}
	finish(t, rec)
	rescued(t, rec, 0)
	if err := j.Forget(ctx, id); causeOf(t, err) != journal.Newer {
		t.Error(err)
	}
	if err := j.SaveBaseline(ctx, baseline(id)); causeOf(t, err) != journal.Newer {
		t.Error(err)
	}
	j.Close()
	if after := contents(t, path); !reflect.DeepEqual(before, after) {
		t.Error("the file was changed")
	}
}

func baseline(id string) journal.Baseline {
	return journal.Baseline{ID: idAt(morning), Version: "v", Beat: "press, end", Measure: "drift", First: id, Last: id,
		Brews: 25, Low: -1.5e9, Centre: 0.25e9, High: 2e9, Made: morning, By: "Ada"}
}

func TestTerminalsThatOpenAFileAtOnceWaitForEachOther(t *testing.T) {
	for range 150 / slower {
		path := filepath.Join(t.TempDir(), "journal.db")
		var wait sync.WaitGroup
		for range 4 {
			wait.Go(func() {
				j, err := journal.Open(path, journal.Options{Busy: 20 * time.Second})
				if err != nil {
					t.Error(err)
					return
				}
				j.Close()
			})
		}
		wait.Wait()
	}
}
