package journal_test

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"testing"
	"time"

	"barline/brew"
	"barline/cmd/barline/internal/journal"
)

// faultIn returns the fault in an error.
func faultIn(t testing.TB, err error) *journal.Fault {
	t.Helper()
	var f *journal.Fault
	if !errors.As(err, &f) {
		t.Fatalf("%v is no fault", err)
	}
	return f
}

// whole returns a journal's file with one brew, closed.
func whole(t *testing.T) (path, id string) {
	t.Helper()
	j := fresh(t)
	id = record(t, j, brewed(cone(t), morning), follow(cone(t)))
	must(t, j.Close())
	return j.Path(), id
}

// underWay returns the files of a journal that was killed while its only brew
// was in the log alone.
func underWay(t *testing.T) (path, id string) {
	t.Helper()
	j := fresh(t)
	id = record(t, j, brewed(cone(t), morning), follow(cone(t)))
	path = filepath.Join(t.TempDir(), "killed.db")
	for suffix, text := range contents(t, j.Path()) {
		if suffix != "-shm" {
			must(t, os.WriteFile(path+suffix, []byte(text), 0o600))
		}
	}
	must(t, j.Close())
	return path, id
}

// A file that was emptied, or nearly, beside its log: SQLite takes it for a new
// one and throws the log away, in which the brews are.
func TestTheLogOfAFileThatWasEmptiedIsKept(t *testing.T) {
	for _, left := range []int64{0, 1, 2, 99} {
		path, id := underWay(t)
		must(t, os.Truncate(path, left))
		before := contents(t, path)
		if _, err := journal.Open(path, journal.Options{}); causeOf(t, err) != journal.Damaged {
			t.Errorf("%d bytes are left: opening gives %v", left, err)
		}
		var lines bytes.Buffer
		brews, lost, err := journal.Salvage(ctx, path, &lines)
		if err != nil || brews != 1 || len(lost) > 0 {
			t.Errorf("%d bytes are left: %d brews are salvaged, lost %v, %v", left, brews, lost, err)
		}
		if after := contents(t, path); !reflect.DeepEqual(before, after) {
			t.Errorf("%d bytes are left: the files were changed", left)
		}
		other := fresh(t)
		if _, err := other.Import(ctx, &lines); err != nil {
			t.Fatal(err)
		}
		load(t, other, id)
	}
}

func TestAFileOfAFewBytesIsNotOverwritten(t *testing.T) {
	path := filepath.Join(t.TempDir(), "note.txt")
	must(t, os.WriteFile(path, []byte("x"), 0o600))
	_, err := journal.Open(path, journal.Options{})
	if f := faultIn(t, err); f.Cause != journal.Damaged || f.Ours {
		t.Errorf("opening gives %v, ours %t", err, f.Ours)
	}
	if text, err := os.ReadFile(path); err != nil || string(text) != "x" {
		t.Errorf("it holds %q, %v", text, err)
	}
}

// A file that ends within its last page passes SQLite's own checks, and its
// next write would fill that page up with zeros.
func TestAFileThatEndsWithinAPageIsDamaged(t *testing.T) {
	path, _ := whole(t)
	info, err := os.Stat(path)
	must(t, err)
	must(t, os.Truncate(path, info.Size()-200))
	_, err = journal.Open(path, journal.Options{})
	if f := faultIn(t, err); f.Cause != journal.Damaged || !f.Ours {
		t.Errorf("opening gives %v, ours %t", err, f.Ours)
	}
}

// A program that is killed while it makes the file leaves a rollback journal
// beside it, which a connection that only reads cannot roll back.
func TestAFileWhoseMakingWasCutOffIsMadeAnew(t *testing.T) {
	path := filepath.Join(t.TempDir(), "journal.db")
	must(t, os.WriteFile(path, cutOffMaking(t, path+"-journal"), 0o600))
	j := open(t, path)
	if j.ReadOnly() != nil {
		t.Fatalf("it cannot be written: %v", j.ReadOnly())
	}
	record(t, j, brewed(cone(t), morning), follow(cone(t)))
	sound(t, j)
}

// cutOffMaking writes the rollback journal of a transaction that made the file
// from nothing (SQLite's file format, section 3: its head says how many pages
// there were before, none, and none are in it), and returns the file half made.
func cutOffMaking(t *testing.T, journalPath string) []byte {
	t.Helper()
	head := make([]byte, 512)
	copy(head, "\xd9\xd5\x05\xf9\x20\xa1\x63\xd7")
	copy(head[8:], []byte{0, 0, 0, 0, 1, 2, 3, 4, 0, 0, 0, 0, 0, 0, 2, 0, 0, 0, 0x10, 0})
	must(t, os.WriteFile(journalPath, head, 0o600))
	text, err := os.ReadFile(fresh(t).Path())
	must(t, err)
	return text[:4096]
}

// Only the file that was found damaged is moved, not the one that another
// terminal has begun in its place.
func TestAGoodFileIsNotSetAside(t *testing.T) {
	path, _ := whole(t)
	must(t, os.Truncate(path, 100_000))
	_, damage := journal.Open(path, journal.Options{})
	first, err := journal.SetAside(faultIn(t, damage), morning)
	must(t, err)
	good := open(t, path)
	id := record(t, good, brewed(cone(t), morning), follow(cone(t)))
	if second, err := journal.SetAside(faultIn(t, damage), morning); !errors.Is(err, journal.ErrElsewhere) {
		t.Errorf("set aside again as %q, %v", second, err)
	}
	load(t, good, id)
	if _, err := os.Stat(first); err != nil {
		t.Errorf("the first one: %v", err)
	}
}

// What is written to a file that was moved away or removed is not where anybody
// looks for it, so it is not saved.
func TestAFileThatWasMovedIsNotWrittenToUnnoticed(t *testing.T) {
	for name, away := range map[string]func(path string) error{
		"moved":   func(path string) error { return os.Rename(path, path+".old") },
		"removed": os.Remove,
		"another in its place": func(path string) error {
			return errors.Join(os.Rename(path, path+".old"), os.WriteFile(path, nil, 0o600))
		},
	} {
		j := fresh(t)
		r := brewed(cone(t), morning)
		events := follow(cone(t))
		rec := begin(t, j, r)
		must(t, rec.Append(0, events[0]))
		must(t, away(j.Path()))
		if err := rec.Append(1, events[1]); causeOf(t, err) != journal.Moved {
			t.Errorf("%s: the next event: %v", name, err)
		}
		if err := finish(t, rec); causeOf(t, err) != journal.Moved {
			t.Errorf("%s: the end: %v", name, err)
		}
		rescued(t, rec, 0)
	}
}

func TestAFileThatWasRemovedAfterTheLastEventIsNoticedAtTheEnd(t *testing.T) {
	j := fresh(t)
	rec := begin(t, j, brewed(cone(t), morning))
	must(t, rec.Append(0, brew.Event{Kind: brew.EventStart, Source: brew.FromKey}))
	must(t, os.Remove(j.Path()))
	if err := finish(t, rec); causeOf(t, err) != journal.Moved {
		t.Errorf("the end: %v", err)
	}
}

func TestAFileThatWasPutBackIsWrittenAtTheEnd(t *testing.T) {
	j := fresh(t)
	r := brewed(cone(t), morning)
	events := follow(cone(t))
	rec := begin(t, j, r)
	must(t, os.Rename(j.Path(), j.Path()+".old"))
	for n, e := range events {
		if err := rec.Append(n, e); causeOf(t, err) != journal.Moved {
			t.Fatalf("event %d: %v", n, err)
		}
	}
	must(t, os.Rename(j.Path()+".old", j.Path()))
	must(t, finish(t, rec))
	if got := load(t, j, r.ID); len(got.Events) != len(events) {
		t.Errorf("%d events, want %d", len(got.Events), len(events))
	}
}

// A file that is cut short says all the same whether it is a journal.
func TestADamagedFileStillBearsItsMark(t *testing.T) {
	path, _ := whole(t)
	info, err := os.Stat(path)
	must(t, err)
	must(t, os.Truncate(path, info.Size()/4096/2*4096))
	_, err = journal.Open(path, journal.Options{})
	if f := faultIn(t, err); f.Cause != journal.Damaged || !f.Ours {
		t.Errorf("opening gives %v, ours %t", err, f.Ours)
	}
}

// A log whose file is gone is set aside under a name that is there, from which
// what it holds can be salvaged.
func TestALogWithoutItsFileIsSetAside(t *testing.T) {
	path, _ := underWay(t)
	must(t, os.Remove(path))
	_, damage := journal.Open(path, journal.Options{})
	aside, err := journal.SetAside(faultIn(t, damage), morning)
	must(t, err)
	if _, err := os.Stat(aside); err != nil {
		t.Errorf("the name that is told: %v", err)
	}
	if brews, _, err := journal.Salvage(ctx, aside, io.Discard); err != nil || brews != 1 {
		t.Errorf("%d brews are salvaged, %v", brews, err)
	}
	// Meanwhile somebody has begun a new file.
	record(t, open(t, path), brewed(cone(t), morning), follow(cone(t)))
	if again, err := journal.SetAside(faultIn(t, damage), morning); !errors.Is(err, journal.ErrElsewhere) {
		t.Errorf("the new file is set aside as %q, %v", again, err)
	}
}

// What was damaged and has been put in order since is not set aside.
func TestAFileThatWasMendedIsNotSetAside(t *testing.T) {
	path, id := whole(t)
	content, err := os.ReadFile(path)
	must(t, err)
	must(t, os.Truncate(path, 100_000))
	_, damage := journal.Open(path, journal.Options{})
	must(t, os.WriteFile(path, content, 0o600)) // the same file
	if aside, err := journal.SetAside(faultIn(t, damage), morning); !errors.Is(err, journal.ErrElsewhere) {
		t.Errorf("it is set aside as %q, %v", aside, err)
	}
	load(t, open(t, path), id)
}

// The log that a moved file left behind would be taken by the next file of its
// name for its own.
func TestTheLogOfAMovedFileIsTakenOutOfTheWay(t *testing.T) {
	other, kept := whole(t)
	j := fresh(t)
	record(t, j, brewed(press(t), morning), follow(press(t)))
	must(t, os.Rename(other, j.Path()))
	moved := faultIn(t, j.Here())
	must(t, journal.ClearLog(moved, morning))
	now := open(t, j.Path())
	load(t, now, kept)
	record(t, now, brewed(cone(t), morning.Add(time.Hour)), follow(cone(t)))
	// The log of the file that is there now stays, whoever is told what.
	must(t, journal.ClearLog(moved, morning))
	must(t, j.Close())
	sound(t, now)
	if page, err := now.List(ctx, journal.Filter{}, journal.Cursor{}, 10); err != nil || len(page.Brews) != 2 {
		t.Errorf("%d brews, %v", len(page.Brews), err)
	}
}

// Damage done to the head in mid-brew shows when the file is opened anew, so
// the end of a brew does that.
func TestAHeadThatIsOverwrittenInABrewIsNoticedAtItsEnd(t *testing.T) {
	path, _ := whole(t)
	j := open(t, path)
	rec := begin(t, j, brewed(press(t), morning.Add(time.Hour)))
	must(t, rec.Append(0, brew.Event{Kind: brew.EventStart, Source: brew.FromKey}))
	if _, err := raw(t, path).Exec("PRAGMA wal_checkpoint(TRUNCATE)"); err != nil { // or the log would mend the head
		t.Fatal(err)
	}
	file, err := os.OpenFile(path, os.O_WRONLY, 0)
	must(t, err)
	_, err = file.WriteAt(bytes.Repeat([]byte{0xa5}, 100), 0)
	must(t, errors.Join(err, file.Sync()))
	defer file.Close() // not before: that would drop the locks of this process
	if err := finish(t, rec); causeOf(t, err) != journal.Damaged || !faultIn(t, err).Ours {
		t.Errorf("the end: %v", err)
	}
}

// A head can be put back, so what is behind it is not lost.
func TestSalvageMendsAHead(t *testing.T) {
	path, id := whole(t)
	content, err := os.ReadFile(path)
	must(t, err)
	copy(content, bytes.Repeat([]byte{0xa5}, 100))
	must(t, os.WriteFile(path, content, 0o600))
	var lines bytes.Buffer
	if brews, lost, err := journal.Salvage(ctx, path, &lines); err != nil || brews != 1 || len(lost) != 0 {
		t.Fatalf("%d brews are salvaged, lost %v, %v", brews, lost, err)
	}
	other := fresh(t)
	if _, err := other.Import(ctx, &lines); err != nil {
		t.Fatal(err)
	}
	load(t, other, id)
	if now, err := os.ReadFile(path); err != nil || !bytes.Equal(now, content) {
		t.Errorf("the file was changed, %v", err)
	}
}

// Whoever opens a file by a link to where nothing is yet holds its brews where
// those look who come by the file's own name.
func TestALinkToNowhereIsTheFileItPointsTo(t *testing.T) {
	dir := t.TempDir()
	must(t, os.Mkdir(filepath.Join(dir, "real"), 0o700))
	link, path := filepath.Join(dir, "link.db"), filepath.Join(dir, "real", "journal.db")
	must(t, os.Symlink(filepath.Join("real", "journal.db"), link))
	r := brewed(press(t), morning)
	rec := begin(t, open(t, link), r)
	must(t, rec.Append(0, brew.Event{Kind: brew.EventStart, Source: brew.FromKey}))
	if _, _, err := open(t, path).TakeUp(ctx, r.ID, journal.Now{Wall: morning}); !errors.Is(err, journal.ErrLive) {
		t.Errorf("taking it up: %v", err)
	}
}
