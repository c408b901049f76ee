package main

import (
	"bytes"
	"os"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/cmd/barline/internal/journal"
	"barline/tui/pages"
)

// lasting is a keeper whose brew is over, under a book that will end it.
func (b bench) lasting(book *book, by string) *keeper {
	b.t.Helper()
	d := document(b.t, "quayside-press")
	plan, err := brew.NewPlan(d.Recipe(), b.bar())
	must(b.t, err)
	_, k, err := b.brewing(&brewFlags{speed: 1, by: by}, plan, d.Text())
	must(b.t, err)
	book.keep(k)
	zero := b.clock.Now().Elapsed
	k.Append(0, brew.Event{Kind: brew.EventStart, Source: brew.FromKey}, zero)
	k.Append(1, brew.Event{Kind: brew.EventMark, At: 8 * time.Second, Source: brew.FromKey}, zero)
	k.Append(2, brew.Event{Kind: brew.EventStop, At: time.Minute, Source: brew.FromKey}, zero)
	return k
}

// brewsIn returns who brewed what a journal holds.
func brewsIn(t *testing.T, path string) string {
	t.Helper()
	j, err := journal.Open(path, journal.Options{})
	must(t, err)
	defer j.Close()
	page, err := j.List(t.Context(), journal.Filter{}, journal.Cursor{}, 100)
	must(t, err)
	var who []string
	for _, b := range page.Brews {
		who = append(who, b.Person)
	}
	return strings.Join(who, " ")
}

// A file that turns out to be damaged at its first write costs no brew: the one
// under way goes into a new file when it is over, and so do the next ones.
func TestBrewsOfADamagedJournalGoIntoANewOne(t *testing.T) {
	b := newBench(t)
	path, err := b.journalFile()
	must(t, err)
	first := b.starts("Ada", 8)
	must(t, first.close(b.env))
	content, err := os.ReadFile(path)
	must(t, err)
	wipe(t, content, first.recorder.ID())
	must(t, os.WriteFile(path, content, 0o600))
	book := b.book()
	if fault := b.lasting(book, "Bo").recorder.Status().Fault; fault == nil {
		t.Fatal("the damage is not noticed")
	}
	b.clock.Advance(2 * time.Minute)
	book.keep(&keeper{begun: make(chan struct{})}) // the next brew is being prepared
	book.saving.Wait()
	if got := brewsIn(t, path); got != "Bo" {
		t.Errorf("before the program ends the new file has %q", got)
	}
	b.lasting(book, "Cy")
	must(t, book.close())
	if got := brewsIn(t, path); got != "Cy Bo" {
		t.Errorf("the new file has %q", got)
	}
	told := b.stderr.String()
	if strings.Count(told, "is kept as") != 1 || !strings.Contains(told, "the brew is in a new one") || strings.Contains(told, "rescue") {
		t.Errorf("at the end it says\n%s", told)
	}
	aside := path + ".damaged-2026-11-30T" + asideTime(t, path)
	if now, err := os.ReadFile(aside); err != nil || len(now) < len(content) {
		t.Errorf("the damaged one: %d bytes, %v", len(now), err)
	}
}

// wipe overwrites the page of the index that has a brew's id, at which opening
// does not look.
func wipe(t *testing.T, content []byte, id string) {
	t.Helper()
	const page, leafOfAnIndex = 4096, 0x0a // SQLite's file format, section 1.6
	for n := page; n < len(content); n += page {
		if content[n] == leafOfAnIndex && bytes.Contains(content[n:n+page], []byte(id)) {
			copy(content[n:n+page], make([]byte, page))
			return
		}
	}
	t.Fatal("the page was not found")
}

// asideTime is the time in the name of the only file that was set aside.
func asideTime(t *testing.T, path string) string {
	t.Helper()
	_, found, _ := strings.Cut(strings.Join(namesBeside(t, path), " "), ".damaged-2026-11-30T")
	return strings.Fields(found)[0]
}

func namesBeside(t *testing.T, path string) (names []string) {
	t.Helper()
	files, err := os.ReadDir(folderOf(path))
	must(t, err)
	for _, f := range files {
		if strings.Contains(f.Name(), ".damaged-") && !strings.HasSuffix(f.Name(), "-wal") && !strings.HasSuffix(f.Name(), "-shm") {
			names = append(names, f.Name())
		}
	}
	if len(names) != 1 {
		t.Fatalf("%d files were set aside: %v", len(names), names)
	}
	return names
}

// A file that is moved or removed in mid-brew: the brew goes where the next
// one will be looked for.
func TestABrewWhoseJournalIsMovedAwayGoesIntoANewOne(t *testing.T) {
	for name, away := range map[string]func(string) error{
		"removed": os.Remove,
		"moved":   func(path string) error { return os.Rename(path, path+".old") },
	} {
		t.Run(name, func(t *testing.T) {
			b := newBench(t)
			path, err := b.journalFile()
			must(t, err)
			k := b.starts("Ada", 8)
			must(t, away(path))
			if err := k.Append(2, brew.Event{Kind: brew.EventMark, At: 52 * time.Second, Source: brew.FromKey}, 0); err == nil {
				t.Error("a mark that went to the file that was moved is said to be saved")
			}
			must(t, k.close(b.env))
			if got := brewsIn(t, path); got != "Ada" {
				t.Errorf("the new file has %q", got)
			}
			if told := b.stderr.String(); !strings.Contains(told, "was moved or removed") || !strings.Contains(told, "the brew is in a new one") {
				t.Errorf("at the end it says\n%s", told)
			}
		})
	}
}

// Where no place is known for the journal the brew goes on, and is rescued.
func TestABrewGoesOnWhereNoPlaceIsKnownForTheJournal(t *testing.T) {
	b := newBench(t)
	b.env.getenv = func(string) string { return "" }
	t.Setenv("TMPDIR", t.TempDir())
	book := b.book()
	if _, told := book.lookBack(); !strings.Contains(told, "nothing will be saved: the journal cannot be opened: no place is known for it") {
		t.Errorf("told is %q", told)
	}
	k := b.lasting(book, "Ada")
	if err := k.close(b.env); err != errUnsaved {
		t.Errorf("the end: %v", err)
	}
	rescue := os.TempDir() + "/barline-rescue-" + k.recorder.ID() + ".jsonl"
	if _, err := os.Stat(rescue); err != nil || !strings.Contains(b.stderr.String(), rescue) {
		t.Errorf("the rescue: %v\n%s", err, b.stderr)
	}
}

// A journal that is put in another's place in a session, as a sync program
// does it, is taken as it is, and the next brew goes into it.
func TestABrewGoesIntoTheJournalThatIsThereNow(t *testing.T) {
	b := newBench(t)
	path, err := b.journalFile()
	must(t, err)
	must(t, b.starts("Ada", 8).close(b.env))
	content, err := os.ReadFile(path)
	must(t, err)
	book := b.book()
	if _, _, err := book.Brews(pages.Filter{}, "", 10); err != nil { // opens the file
		t.Fatal(err)
	}
	b.lasting(book, "Bo")
	must(t, os.WriteFile(path+".new", content, 0o600))
	must(t, os.Rename(path+".new", path))
	b.clock.Advance(2 * time.Minute)
	b.lasting(book, "Cy")
	must(t, book.close())
	if got := brewsIn(t, path); got != "Cy Bo Ada" {
		t.Errorf("the file has %q\n%s", got, b.stderr)
	}
	j, err := journal.Open(path, journal.Options{})
	must(t, err)
	defer j.Close()
	if findings, _, err := j.Verify(t.Context()); err != nil || len(findings) != 0 {
		t.Errorf("%v, %v", findings, err)
	}
}

// A file that was named by hand may go away in mid-brew, too.
func TestABrewWhoseNamedJournalIsRemovedGoesIntoANewOne(t *testing.T) {
	b := newBench(t)
	path, err := b.journalFile()
	must(t, err)
	b.flags.journal = path
	k := b.starts("Ada", 8)
	must(t, os.Remove(path))
	must(t, k.close(b.env))
	if got := brewsIn(t, path); got != "Ada" {
		t.Errorf("the new file has %q\n%s", got, b.stderr)
	}
}
