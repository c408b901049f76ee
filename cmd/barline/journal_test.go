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
	"barline/cmd/barline/internal/journal"
	"barline/tui/draw"
	"barline/tui/pages"
)

// hostile is a name that would colour the terminal, ring it, go to its corner
// and break the row.
const hostile = "\x1b[31mEve\a\n\tr\u009bow\u202e"

// record keeps a brew that was stopped, with its own words for everything.
func (b bench) record(change func(*journal.Record)) string {
	b.t.Helper()
	k := b.starts("Ada", 8)
	r := k.recorder.Record()
	must(b.t, k.close(b.env))
	r.ID, r.Events = "", append(r.Events, brew.Event{Kind: brew.EventNote, At: 9 * time.Second, Source: brew.FromKey, Text: hostile},
		brew.Event{Kind: brew.EventStop, At: 10 * time.Second, Source: brew.FromKey, Text: hostile})
	change(&r)
	j, err := b.book().open()
	must(b.t, err)
	rec, err := j.Begin(r)
	must(b.t, err)
	must(b.t, rec.End(context.Background()))
	return rec.ID()
}

// Whatever a name or a note holds, nothing of it steers the terminal, and a
// row stays a row.
func TestWhatIsListedDoesNotSteerTheTerminal(t *testing.T) {
	b := newBench(t)
	id := b.record(func(r *journal.Record) {
		plan := *r.Plan
		plan.Name, plan.Beats = "press "+hostile, append([]brew.Beat{}, plan.Beats...)
		for i := range plan.Beats {
			plan.Beats[i].Name += hostile
		}
		r.Plan, r.Person, r.Lot, r.Coffee, r.Setting = &plan, hostile, hostile, hostile, hostile
		r.Readings = []journal.Reading{{What: journal.Taste, Text: hostile, Taken: r.Start}}
	})
	for _, args := range [][]string{{"journal"}, {"journal", "show", id}, {"journal", "forget", id}, {"journal", "verify"}} {
		code, out, stderr := plainlyIn(t, b, args...)
		if code != exitOK {
			t.Errorf("%q: %d %s", args, code, stderr)
		}
		for _, line := range strings.Split(strings.TrimSuffix(out, "\n"), "\n") {
			if draw.OneLine(line) != line {
				t.Errorf("%q writes %q", args, line)
			}
		}
		if args[len(args)-1] != "verify" && !strings.Contains(out, "[31mEve") {
			t.Errorf("%q writes\n%s", args, out)
		}
	}
	if _, out, _ := plainlyIn(t, b, "journal"); strings.Count(out, "\n") != 2 {
		t.Errorf("two brews are listed as\n%s", out)
	}
	_, out, _ := plainlyIn(t, b, "journal", "show", id)
	for _, want := range []string{`^by \[31mEve  row$`, `^lot \[31mEve  row$`, `^taste: \[31mEve  row$`, `^note at 0:09: \[31mEve  row$`, `, stopped at 0:10: \[31mEve  row$`} {
		if !regexp.MustCompile("(?m)" + want).MatchString(out) {
			t.Errorf("it does not say %s:\n%s", want, out)
		}
	}
}

// What would steer a terminal is not taken for a name in the first place.
func TestAFlagWithAControlCharacterIsRefused(t *testing.T) {
	for _, flag := range []string{"by", "coffee", "lot", "setting"} {
		b := newBench(t)
		code, out, stderr := plainlyIn(t, b, "brew", "quayside-press", "--plain", "--"+flag, "a\x1b[31m")
		if code != exitUsage || !strings.Contains(stderr, `error: --`+flag+` "a\x1b[31m" holds a control character`) || strings.Contains(out+stderr, "\x1b") {
			t.Errorf("--%s: %d %q%q", flag, code, out, stderr)
		}
	}
}

func TestAHintIsTypedAsItStands(t *testing.T) {
	for word, want := range map[string][2]string{ // on a system with POSIX's shell, on Windows
		"journal.db":      {"journal.db", "journal.db"},
		"/srv/a-b_c/1.db": {"/srv/a-b_c/1.db", "/srv/a-b_c/1.db"},
		"my bar.db":       {"'my bar.db'", `"my bar.db"`},
		"the bar's.db":    {`'the bar'\''s.db'`, `"the bar's.db"`},
		"~/x":             {"'~/x'", `"~/x"`},
		"$HOME":           {"'$HOME'", `"$HOME"`},
		"":                {"''", `""`},
		`C:\Bar\1.db`:     {`'C:\Bar\1.db'`, `"C:\Bar\1.db"`},
	} {
		for i, goos := range []string{"linux", "windows"} {
			if got := quoted(word, goos); got != want[i] {
				t.Errorf("%s on %s is typed %s, want %s", word, goos, got, want[i])
			}
		}
	}
	b := newBench(t)
	b.flags.config, b.flags.journal = "my config.yaml", "my bar.db"
	if got, want := b.typed("journal", "verify"), "barline --config 'my config.yaml' --journal 'my bar.db' journal verify"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	if got, want := newBench(t).typed("journal"), "barline journal"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

// A day of the filter is that of the machine's zone, and is included.
func TestTheDaysOfTheFlags(t *testing.T) {
	zone := time.Local
	time.Local = eight.Location()
	defer func() { time.Local = zone }()
	b := newBench(t)
	for _, wall := range []time.Time{eight.Add(-8*time.Hour - time.Second), eight.Add(-8 * time.Hour), eight, eight.Add(16*time.Hour - time.Second), eight.Add(16 * time.Hour)} {
		b.clock.SetWall(wall)
		must(t, b.starts("Ada").close(b.env))
	}
	for flags, want := range map[string]int{
		"--since 2026-11-30":                      4,
		"--until 2026-11-30":                      4,
		"--since 2026-11-30 --until 2026-11-30":   3,
		"--until 2026-11-29":                      1,
		"--since 2026-12-01":                      1,
		"--since 1700-01-01 --until 2200-12-31":   5,
		"--since 2026-11-29 --until 2026-11-29 ":  1,
		"--until 2026-11-30 --by ada --last 1000": 4,
	} {
		code, out, stderr := plainlyIn(t, b, append([]string{"journal"}, strings.Fields(flags)...)...)
		if n := strings.Count(out, "\n"); code != exitOK || n != want {
			t.Errorf("%s lists %d, want %d: %s%s", flags, n, want, out, stderr)
		}
	}
}

// A rescue leaves alone what has its name already, and is for nobody else to
// read; where no file can be made at all it goes among the messages.
func TestARescueOverwritesNothing(t *testing.T) {
	b := newBench(t)
	b.flags.journal = filepath.Join(t.TempDir(), "taken")
	must(t, os.Mkdir(b.flags.journal, 0o700))
	k := b.refuses(t)
	name := filepath.Join(filepath.Dir(b.flags.journal), "barline-rescue-"+k.recorder.ID()+".jsonl")
	must(t, os.WriteFile(name, []byte("mine"), 0o644))
	if err := k.close(b.env); err != errUnsaved {
		t.Errorf("closing gives %v", err)
	}
	if text, _ := os.ReadFile(name); string(text) != "mine" {
		t.Errorf("the file is now %q", text)
	}
	second := filepath.Join(b.getenv("HOME"), filepath.Base(name))
	info, err := os.Stat(second)
	must(t, err)
	if info.Mode().Perm() != 0o600 {
		t.Errorf("the rescue has the mode %v", info.Mode())
	}
	if !strings.Contains(b.stderr.String(), "the whole brew is in "+second+"\nhint: "+b.typed("journal", "import", second)+" takes it in\n") {
		t.Errorf("it says\n%s", b.stderr)
	}
}

// refuses begins a brew that cannot be saved.
func (b bench) refuses(t *testing.T) *keeper {
	t.Helper()
	d := document(t, "quayside-press")
	plan, err := brew.NewPlan(d.Recipe(), b.bar())
	must(t, err)
	_, k, err := b.brewing(&brewFlags{speed: 1, by: "Ada"}, plan, d.Text())
	must(t, err)
	if err := k.Append(0, brew.Event{Kind: brew.EventStart, Source: brew.FromKey}, b.clock.Now().Elapsed); err == nil {
		t.Fatal("it is saved: the test does not test")
	}
	return k
}

// The journal is for nobody else to read.
func TestTheJournalIsPrivate(t *testing.T) {
	b := newBench(t)
	book := b.book()
	must(t, b.starts("Ada").close(b.env))
	_, _, err := book.Brews(pages.Filter{}, "", 1) // holds the file open
	must(t, err)
	for _, suffix := range []string{"", "-wal", "-shm"} {
		info, err := os.Stat(book.path + suffix)
		must(t, err)
		if info.Mode().Perm()&0o077 != 0 {
			t.Errorf("journal.db%s has the mode %v", suffix, info.Mode())
		}
	}
}

// The flag goes over the configuration, which goes over the platform's place.
func TestWhichFileTheJournalIs(t *testing.T) {
	for name, c := range map[string]struct{ flag, config, want string }{
		"the platform's place": {"", "", "HOME/data/barline/journal.db"},
		"the configuration's":  {"", "/srv/c.db", "/srv/c.db"},
		"the flag's":           {"f.db", "", "f.db"},
		"the flag's over it":   {"f.db", "/srv/c.db", "f.db"},
	} {
		b := newBench(t)
		b.flags.journal, b.config.journal = c.flag, c.config
		got, err := b.journalFile()
		if want := strings.Replace(c.want, "HOME", b.getenv("HOME"), 1); err != nil || got != want {
			t.Errorf("%s: %s, %v, want %s", name, got, err, want)
		}
	}
}

// watchedOut is an output that takes so many bytes.
type watchedOut struct {
	bytes.Buffer
	most int
}

func (w *watchedOut) Write(p []byte) (int, error) {
	if w.Len()+len(p) > w.most {
		return 0, os.ErrClosed
	}
	return w.Buffer.Write(p)
}

// An output that breaks off in the middle is an error, too.
func TestAnOutputThatBreaksOffIsAnError(t *testing.T) {
	b := newBench(t)
	for range 3 {
		b.clock.Advance(time.Minute)
		must(t, b.starts("Ada").close(b.env))
	}
	_, whole, _ := plainlyIn(t, b, "journal", "export")
	for _, most := range []int{0, 100, len(whole) - 1, len(whole)} {
		var stderr bytes.Buffer
		e := b.env
		e.args, e.stdout, e.stderr = []string{"journal", "export"}, &watchedOut{most: most}, &stderr
		code := run(context.Background(), e)
		if most == len(whole) && code != exitOK || most < len(whole) && (code != exitInput || !strings.HasPrefix(stderr.String(), "error: the output cannot be written: file already closed\n")) {
			t.Errorf("of %d bytes %d: exit code %d, %s", len(whole), most, code, stderr.String())
		}
	}
}
