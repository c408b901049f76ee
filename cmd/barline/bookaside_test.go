package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"barline/brew"
)

// A damaged journal is set aside with its name told, unless it was named for
// this once and does not say of itself that it is one.
func TestADamagedJournalIsSetAside(t *testing.T) {
	torn := func(b []byte) []byte { return b[:len(b)-5000] }
	for name, c := range map[string]struct {
		flag   bool
		damage func([]byte) []byte
		moved  bool
		told   string
	}{
		"in its place, cut short":             {false, torn, true, "the journal is damaged, a new one is begun; the old one is kept as PATH.damaged-2026-11-30T080101"},
		"in its place, its head overwritten":  {false, func(b []byte) []byte { copy(b, bytes.Repeat([]byte("x"), 100)); return b }, true, "the journal is damaged, a new one is begun; the old one is kept as PATH.damaged-2026-11-30T080101"},
		"named, and it says that it is one":   {true, torn, true, "the journal is damaged, a new one is begun; the old one is kept as PATH.damaged-2026-11-30T080101"},
		"named, and it may be something else": {true, func(b []byte) []byte { copy(b, bytes.Repeat([]byte("x"), 100)); return b }, false, "nothing will be saved: not a journal, or one whose head is damaged: PATH"},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBench(t)
			path, err := b.journalFile()
			must(t, err)
			if c.flag {
				b.flags.journal = path
			}
			must(t, b.starts("Ada", 8).close(b.env))
			b.clock.Advance(53 * time.Second)
			content, err := os.ReadFile(path)
			must(t, err)
			content = c.damage(content)
			must(t, os.WriteFile(path, content, 0o600))
			book := b.book()
			_, told := book.lookBack()
			if want := strings.ReplaceAll(c.told, "PATH", path); told != want {
				t.Errorf("told is %q, want %q", told, want)
			}
			kept := path
			if c.moved {
				kept += ".damaged-2026-11-30T080101"
			}
			if now, err := os.ReadFile(kept); err != nil || !bytes.Equal(now, content) {
				t.Errorf("%s is not as it was: %v", kept, err)
			}
			// The shift goes on in a new file, or with a rescue.
			k := b.starts2("Bo", !c.moved)
			err = k.close(b.env)
			if (err == nil) != c.moved {
				t.Errorf("the next brew: %v, %s", err, b.stderr)
			}
			must(t, book.close())
			if c.moved != strings.Contains(b.stderr.String(), "the damaged journal is kept as "+kept) {
				t.Errorf("at the end it says %s", b.stderr)
			}
		})
	}
}

// starts2 is starts for a journal that may not take anything.
func (b bench) starts2(by string, fails bool) *keeper {
	b.t.Helper()
	d := document(b.t, "quayside-press")
	plan, err := brew.NewPlan(d.Recipe(), b.bar())
	must(b.t, err)
	_, k, err := b.brewing(&brewFlags{speed: 1, by: by}, plan, d.Text())
	must(b.t, err)
	if err := k.Append(0, brew.Event{Kind: brew.EventStart, Source: brew.FromKey}, b.clock.Now().Elapsed); (err != nil) != fails {
		b.t.Errorf("the first event: %v", err)
	}
	return k
}

// What the damaged file held can be got out of it.
func TestWhatCanBeReadOfADamagedJournalIsSalvaged(t *testing.T) {
	b := newBench(t)
	for range 40 {
		b.clock.Advance(5 * time.Minute)
		k := b.starts("Ada", 8, 52)
		must(t, k.close(b.env))
	}
	path, _ := b.journalFile()
	content, err := os.ReadFile(path)
	must(t, err)
	const page = 4096
	readable, parts := 0, 0
	for n := 1; n < len(content)/page; n++ {
		damaged := filepath.Join(t.TempDir(), "damaged.db")
		wiped := bytes.Clone(content)
		copy(wiped[n*page:], make([]byte, page))
		must(t, os.WriteFile(damaged, wiped, 0o600))
		var out, told bytes.Buffer
		e := b.env
		e.stdout, e.stderr, e.args = &out, &told, []string{"--journal", damaged, "journal", "export", "--salvage"}
		code := run(context.Background(), e)
		match := regexp.MustCompile(`(\d+) brews? could be read`).FindStringSubmatch(told.String())
		if match == nil {
			if code != exitInput || told.String() != "error: the journal is damaged: "+damaged+"\n" {
				t.Errorf("page %d: exit code %d, %s", n, code, &told)
			}
			continue
		}
		readable++
		if match[1] != "40" {
			parts++
			if code != exitInput {
				t.Errorf("page %d: %s, but exit code %d", n, match[0], code)
			}
		}
		saved := filepath.Join(t.TempDir(), "saved.jsonl")
		must(t, os.WriteFile(saved, out.Bytes(), 0o600))
		out.Reset()
		e.args = []string{"--journal", filepath.Join(t.TempDir(), "new.db"), "journal", "import", saved}
		if code := run(context.Background(), e); code != exitOK || !strings.HasPrefix(out.String(), match[1]+" added") {
			t.Errorf("page %d: exit code %d, %s%s", n, code, &out, &told)
		}
	}
	if readable == 0 || parts == 0 {
		t.Errorf("%d files could be read, %d of them in part: the test does not test", readable, parts)
	}
	t.Logf("of %d files with a page wiped, %d could be read, %d of them in part", len(content)/page-1, readable, parts)
}

// The brews of a shift do not hold their files open for all of it.
func TestEarlierBrewsAreEndedWhenANewOneBegins(t *testing.T) {
	b := newBench(t)
	book := b.book()
	open := func() int {
		t.Helper()
		files, err := os.ReadDir("/proc/self/fd")
		if err != nil {
			t.Skip("SKIPPED: open files cannot be counted here")
		}
		n := 0
		for _, f := range files {
			if to, _ := os.Readlink("/proc/self/fd/" + f.Name()); strings.HasPrefix(to, book.path) {
				n++
			}
		}
		return n
	}
	for range 30 {
		k := b.starts("Ada", 8)
		must(t, k.Append(2, brew.Event{Kind: brew.EventStop, At: 9 * time.Second, Source: brew.FromKey}, 0))
		book.keep(k)
	}
	for range 200 { // they end in their own time
		if open() < 20 {
			break
		}
		time.Sleep(10 * time.Millisecond)
	}
	if n := open(); n >= 20 {
		t.Errorf("%d files are open after 30 brews", n)
	}
	if len(book.keepers) != 1 {
		t.Errorf("%d brews are kept in mind", len(book.keepers))
	}
	// The last one has ended as well.
	book.keep(&keeper{begun: make(chan struct{})})
	if len(book.keepers) != 1 {
		t.Errorf("%d brews are kept in mind", len(book.keepers))
	}
}
