//go:build linux

package main

import (
	"bytes"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	_ "modernc.org/sqlite"
)

// What a person sees when the record cannot be written, with the whole
// program at a terminal, and what becomes of the brew.

// inside runs the calling test again in a process and a mount namespace of
// its own, prepared by a shell command in which $DIR is a folder of the
// test's. It returns that folder there, and "" here.
func inside(t *testing.T, prepare string) string {
	t.Helper()
	t.Parallel()
	if os.Getenv("BARLINE_INSIDE") == t.Name() {
		return os.Getenv("DIR")
	}
	if err := exec.Command("unshare", "--mount", "true").Run(); err != nil {
		t.Skipf("SKIPPED, NOT TESTED: mounting is not permitted here: %v", err)
	}
	script := "set -e; " + prepare + "; exec \"$0\" -test.run '^" + t.Name() + "$' -test.v"
	cmd := exec.Command("unshare", "--mount", "sh", "-c", script, os.Args[0])
	cmd.Env = append(os.Environ(), "BARLINE_INSIDE="+t.Name(), "DIR="+t.TempDir())
	out, err := cmd.CombinedOutput()
	if err != nil || !strings.Contains(string(out), "--- PASS: "+t.Name()) {
		t.Errorf("%v\n%s", err, out)
	}
	return ""
}

// pours is a recipe with marks to be made every few seconds.
const pours = `name: Four pours
method: cone
dose: 30 g
water: 240 g
temperature: 93 °C
grind: medium
window: 30 s
steps:
  - {pour: 60 g, over: 3 s, label: one}
  - {at: 0:03, pour: 60 g, over: 3 s, label: two}
  - {at: 0:06, pour: 60 g, over: 3 s, label: three}
  - {at: 0:09, pour: 60 g, over: 3 s, label: four}
`

// slower makes its pours 20 s long.
var slower = strings.NewReplacer("over: 3 s", "over: 20 s", "at: 0:03, ", "", "at: 0:06, ", "", "at: 0:09, ", "")

// pourAt starts a brew of it into a journal, and returns it under way.
func pourAt(t *testing.T, program, path string) *terminal {
	t.Helper()
	recipe := filepath.Join(t.TempDir(), "pours.yaml")
	must(t, os.WriteFile(recipe, []byte(pours), 0o644))
	s := start(t, program, "--journal", path, "brew", recipe, "--by", "Ada")
	s.await("water meets coffee")
	return s
}

// restOf makes the marks that are left, two keys by turns, and leaves.
func (s *terminal) restOf(names ...string) (code int, said string) {
	s.t.Helper()
	for i, name := range names {
		s.await(": " + "Pour 60 g, by 0:" + map[string]string{"one": "03", "two": "06", "three": "09", "four": "12"}[name])
		time.Sleep(2 * time.Second)
		s.press([]string{" ", "\r"}[i%2])
		s.await(name + ", end ")
	}
	s.await("finished at 0:1")
	time.Sleep(800 * time.Millisecond)
	s.press("q")
	code = s.leaves()
	time.Sleep(100 * time.Millisecond)
	return code, s.text()
}

// plainly runs a command of the program and returns what it says.
func plainly(t *testing.T, program, home, stdin string, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	var out, err bytes.Buffer
	cmd := exec.Command(program, args...)
	cmd.Env = append(os.Environ(), "HOME="+home, "XDG_CONFIG_HOME="+home, "XDG_DATA_HOME="+home, "TMPDIR="+home)
	cmd.Stdin, cmd.Stdout, cmd.Stderr = strings.NewReader(stdin), &out, &err
	cmd.Run()
	return cmd.ProcessState.ExitCode(), out.String(), err.String()
}

// rescuedMarks takes a rescue file in and returns how many marks of its brew
// there are.
func rescuedMarks(t *testing.T, program, folder string) int {
	t.Helper()
	files, _ := filepath.Glob(filepath.Join(folder, "barline-rescue-*.jsonl"))
	if len(files) != 1 {
		t.Fatalf("rescue files in %s: %v", folder, files)
	}
	home := t.TempDir()
	if code, out, err := plainly(t, program, home, "", "journal", "import", files[0]); code != exitOK || !strings.HasPrefix(out, "1 added") {
		t.Fatalf("import: %d %s%s", code, out, err)
	}
	_, out, _ := plainly(t, program, home, "", "journal", "show", "0")
	return len(regexp.MustCompile(`(?m)^\w+, end .* on time$`).FindAllString(out, -1))
}

// squeezed is what is on a screen without its blanks and line ends, wherever
// the terminal broke a line.
func squeezed(text string) string { return strings.Join(strings.Fields(text), "") }

// TestADiskThatFillsInMidBrew fills a small file system between two marks.
func TestADiskThatFillsInMidBrew(t *testing.T) {
	dir := inside(t, "mount -t tmpfs -o size=1m tmpfs $DIR")
	if dir == "" {
		return
	}
	program := theProgram(t)
	path := filepath.Join(dir, "journal.db")
	s := pourAt(t, program, path)
	s.press(" ")
	time.Sleep(2500 * time.Millisecond)
	s.press("\r")
	s.await("[x] one, end ")
	fillUp(t, dir)
	code, said := s.restOf("two", "three", "four")
	raw := s.raw.String()
	if !strings.Contains(raw, "! not saved: the disk is full: ") {
		t.Errorf("in the brew it is not told:\n%s", said)
	}
	for _, want := range []string{"error: the brew is not in the journal: the disk is full: " + path, "the whole brew is in " + s.folder + "/barline-rescue-", "hint: make room on the disk"} {
		if !strings.Contains(squeezed(said), squeezed(want)) {
			t.Errorf("at the end it does not say %q:\n%s", want, said)
		}
	}
	if code != exitUnsaved {
		t.Errorf("exit code %d, want %d", code, exitUnsaved)
	}
	if n := rescuedMarks(t, program, s.folder); n != 4 {
		t.Errorf("%d marks are rescued, want 4", n)
	}
	must(t, os.Remove(filepath.Join(dir, "filler")))
	if code, out, err := plainly(t, program, s.folder, "", "--journal", path, "journal", "verify"); code != exitOK || out != "1 brew, nothing is wrong\n" {
		t.Errorf("with room again: %s%s", out, err)
	}
}

// fillUp leaves no room on a file system.
func fillUp(t *testing.T, dir string) {
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

// TestAFolderThatIsReadOnly brews into a journal on a disk that was mounted
// read-only, which binds the superuser as well.
func TestAFolderThatIsReadOnly(t *testing.T) {
	dir := inside(t, "mount -t tmpfs tmpfs $DIR")
	if dir == "" {
		return
	}
	program := theProgram(t)
	path := filepath.Join(dir, "journal.db")
	recipe := filepath.Join(t.TempDir(), "pours.yaml")
	must(t, os.WriteFile(recipe, []byte(pours), 0o644))
	home := t.TempDir()
	if code, out, err := plainly(t, program, home, "\n", "--journal", path, "brew", recipe, "--plain", "--speed", "100"); code != exitOK {
		t.Fatalf("%d %s%s", code, out, err)
	}
	must(t, syscall.Mount("", dir, "", syscall.MS_REMOUNT|syscall.MS_RDONLY, ""))

	s := pourAt(t, program, path)
	s.await("! nothing will be saved: the journal cannot be written:")
	s.await("space as water meets coffee") // and how to start is to be seen
	s.press("\r")
	s.await("! not saved: the journal cannot be written:")
	code, said := s.restOf("one", "two", "three", "four")
	if code != exitUnsaved || !strings.Contains(squeezed(said), squeezed("hint: allow writing to the file and its folder, or name another file with --journal")) {
		t.Errorf("exit code %d:\n%s", code, said)
	}
	if n := rescuedMarks(t, program, s.folder); n != 4 {
		t.Errorf("%d marks are rescued, want 4", n)
	}
	code, out, err := plainly(t, program, home, "\n", "--journal", path, "brew", recipe, "--plain", "--speed", "100")
	if code != exitUnsaved || !strings.HasPrefix(out, "nothing will be saved: the journal cannot be written: "+path+"\n") ||
		!strings.Contains(out, "\nnot saved: the journal cannot be written: "+path+"\n") || !strings.HasPrefix(err, "error: the brew is not in the journal: the journal cannot be written: "+path+"\n") {
		t.Errorf("as lines, exit code %d:\n%s%s", code, out, err)
	}
	// What it held can be read, and nothing is tried on it.
	if code, out, err := plainly(t, program, home, "", "--journal", path, "journal"); code != exitOK || strings.Count(out, "Four pours") != 1 {
		t.Errorf("the list: %d %s%s", code, out, err)
	}
	for _, args := range [][]string{{"forget", "0", "--yes"}, {"forget", "0"}, {"import", exportedTo(t, program, home, path)}} {
		code, out, err := plainly(t, program, home, "y\n", append([]string{"--journal", path, "journal"}, args...)...)
		if code != exitUnsaved || out != "" || !strings.HasPrefix(err, "error: the journal cannot be written: "+path+"\nhint: allow writing") {
			t.Errorf("%v: %d %s%s", args, code, out, err) // and nobody is asked for nothing
		}
	}
}

// exportedTo exports a journal to a file and returns its name.
func exportedTo(t *testing.T, program, home, path string) string {
	t.Helper()
	code, out, err := plainly(t, program, home, "", "--journal", path, "journal", "export")
	if code != exitOK {
		t.Fatalf("export: %d %s", code, err)
	}
	file := filepath.Join(t.TempDir(), "export.jsonl")
	must(t, os.WriteFile(file, []byte(out), 0o600))
	return file
}

// practised returns a journal with a brew in it, and an export of it.
func practised(t *testing.T, program, home string) (path, export string) {
	t.Helper()
	path, recipe := filepath.Join(home, "first.db"), filepath.Join(home, "pours.yaml")
	must(t, os.WriteFile(recipe, []byte(pours), 0o644))
	if code, out, err := plainly(t, program, home, "\n", "--journal", path, "brew", recipe, "--plain", "--speed", "100"); code != exitOK {
		t.Fatalf("%d %s%s", code, out, err)
	}
	return path, exportedTo(t, program, home, path)
}

// TestImportingOntoADiskThatIsFull names the disk, not the file that is taken
// in, whose lines are good.
func TestImportingOntoADiskThatIsFull(t *testing.T) {
	dir := inside(t, "mount -t tmpfs -o size=1m tmpfs $DIR")
	if dir == "" {
		return
	}
	program, home := theProgram(t), t.TempDir()
	_, export := practised(t, program, home)
	path := filepath.Join(dir, "journal.db")
	if code, out, err := plainly(t, program, home, "", "--journal", path, "journal", "import", export); code != exitOK {
		t.Fatalf("%d %s%s", code, out, err)
	}
	line, err := os.ReadFile(export)
	must(t, err)
	id := regexp.MustCompile(`"id":"([0-9a-f-]{36})"`).FindSubmatch(line)[1]
	var more bytes.Buffer
	for n := range 4000 {
		more.Write(bytes.ReplaceAll(line, id, fmt.Appendf(nil, "%s%06d", id[:30], n)))
	}
	big := filepath.Join(home, "big.jsonl")
	must(t, os.WriteFile(big, more.Bytes(), 0o600))
	code, out, said := plainly(t, program, home, "", "--journal", path, "journal", "import", big)
	if code != exitUnsaved || out != "" || said != "error: the disk is full: "+path+"\nhint: make room on the disk\n" {
		t.Errorf("%d %s%s", code, out, said)
	}
	if code, out, said := plainly(t, program, home, "", "--journal", path, "journal", "verify"); code != exitOK || out != "1 brew, nothing is wrong\n" {
		t.Errorf("after it: %d %s%s", code, out, said)
	}
}

// TestImportingIntoADamagedJournal names the journal.
func TestImportingIntoADamagedJournal(t *testing.T) {
	t.Parallel()
	program, home := theProgram(t), t.TempDir()
	path, export := practised(t, program, home)
	whole, err := os.ReadFile(path)
	must(t, err)
	must(t, os.Truncate(path, int64(len(whole)/2)))
	code, out, said := plainly(t, program, home, "", "--journal", path, "journal", "import", export)
	if want := "error: the journal is damaged: " + path + "\nhint: barline --journal " + path + " journal export --salvage writes what can still be read\n"; code != exitInput || out != "" || said != want {
		t.Errorf("%d %s%s, want %s", code, out, said, want)
	}
}

// TestAJournalThatMayNotBeRead says that it is a matter of permission.
func TestAJournalThatMayNotBeRead(t *testing.T) {
	t.Parallel()
	program, home := theProgram(t), t.TempDir()
	path, _ := practised(t, program, home)
	must(t, os.Chmod(path, 0))
	cmd := exec.Command(program, "--journal", path, "journal")
	if os.Getuid() == 0 { // whom nothing is forbidden: somebody else reads it
		public, err := os.MkdirTemp("/tmp", "barline-permission-")
		must(t, err)
		defer os.RemoveAll(public)
		must(t, os.Chmod(public, 0o755))
		text, err := os.ReadFile(program)
		must(t, err)
		cmd.Path, path = filepath.Join(public, "barline"), filepath.Join(public, "journal.db")
		must(t, os.WriteFile(cmd.Path, text, 0o755))
		must(t, os.WriteFile(path, []byte("SQLite format 3\x00"+strings.Repeat("\x00", 5000)), 0o600))
		cmd.Args = []string{"barline", "--journal", path, "journal"}
		cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: 65534, Gid: 65534}}
		home = public
	}
	var said bytes.Buffer
	cmd.Dir, cmd.Stderr = filepath.Dir(cmd.Path), &said
	cmd.Env = []string{"HOME=" + home, "TMPDIR=" + home}
	if err := cmd.Run(); err != nil && cmd.ProcessState == nil {
		t.Skipf("SKIPPED, NOT TESTED: no program can be started as somebody else: %v", err)
	}
	if want := "error: no permission to read the journal: " + path + "\nhint: allow reading the file and its folder, or name another file with --journal\n"; cmd.ProcessState.ExitCode() != exitInput || said.String() != want {
		t.Errorf("%d %s, want %s", cmd.ProcessState.ExitCode(), said.String(), want)
	}
}

// TestALockThatIsHeldForTenSeconds holds the file's lock from another process
// in mid-brew: it is told, nothing is late, and all of it is saved when the
// lock is gone.
func TestALockThatIsHeldForTenSeconds(t *testing.T) {
	t.Parallel()
	const held = 10 * time.Second
	program := theProgram(t)
	path := filepath.Join(t.TempDir(), "journal.db")
	s := pourAt(t, program, path)
	s.press(" ")
	time.Sleep(2 * time.Second)
	s.press("\r")
	s.await("[x] one, end ")
	db, err := sql.Open("sqlite", path)
	must(t, err)
	defer db.Close()
	db.SetMaxOpenConns(1)
	_, err = db.Exec("BEGIN EXCLUSIVE; UPDATE brews SET lot = lot")
	must(t, err)
	began := time.Now()
	s.await(": Pour 60 g, by 0:06")
	time.Sleep(1500 * time.Millisecond)
	s.press(" ")
	s.await("[ ] two, end ")
	s.await("! not saved: another program holds the journal: ")
	s.await(": Pour 60 g, by 0:09") // the calls go on
	time.Sleep(held - time.Since(began))
	if s.says("[x] two, end ") {
		t.Error("a mark is shown as kept while the file is locked")
	}
	_, err = db.Exec("COMMIT")
	must(t, err)
	s.awaitAll("end ", "! not saved")
	s.press("\r")
	s.await("[x] ")
	s.await("finished at ")
	time.Sleep(800 * time.Millisecond)
	s.press("q")
	if code := s.leaves(); code != exitOK {
		t.Errorf("exit code %d", code)
	}
	home := t.TempDir()
	_, out, stderr := plainly(t, program, home, "", "--journal", path, "journal", "verify")
	if out != "1 brew, nothing is wrong\n" {
		t.Errorf("%s%s", out, stderr)
	}
	_, out, _ = plainly(t, program, home, "", "--journal", path, "journal", "show", "0")
	for _, beat := range []string{"one", "two"} {
		if !regexp.MustCompile(`(?m)^` + beat + `, end .* on time$`).MatchString(out) {
			t.Errorf("%s is not in the record:\n%s", beat, out)
		}
	}
}

func (s *terminal) says(text string) bool { return strings.Contains(s.text(), text) }

// TestADamagedJournalAtTheNextBrew cuts a journal short and flips its bytes at
// random places, ten times each (the package below does it two hundred
// times), and brews on: either the file is as good as ever, or it is set aside
// with its name told and the bytes it had, or the brew is rescued.
func TestADamagedJournalAtTheNextBrew(t *testing.T) {
	t.Parallel()
	program, d := theProgram(t), dice(t)
	home := t.TempDir()
	recipe := filepath.Join(home, "pours.yaml")
	must(t, os.WriteFile(recipe, []byte(pours), 0o644))
	for range 12 {
		if code, out, err := plainly(t, program, home, "\n", "brew", recipe, "--plain", "--speed", "100"); code != exitOK {
			t.Fatalf("%d %s%s", code, out, err)
		}
	}
	whole, err := os.ReadFile(filepath.Join(home, "barline", "journal.db"))
	must(t, err)
	outcomes := map[string]int{}
	var mu sync.Mutex
	var wait sync.WaitGroup
	places := make(chan struct{}, 5) // a brew is mostly waiting
	for n := range min(2*rounds(t, 10), 400) {
		damaged := bytes.Clone(whole)
		what := ""
		if n%2 == 0 {
			at := 1 + d.IntN(len(whole)-1)
			damaged, what = damaged[:at], fmt.Sprintf("cut short at %d of %d", at, len(whole))
		} else {
			at := d.IntN(len(whole) - 8)
			for i := range 8 {
				damaged[at+i] ^= byte(1 + d.IntN(255))
			}
			what = fmt.Sprintf("eight bytes flipped at %d", at)
		}
		places <- struct{}{}
		wait.Go(func() {
			defer func() { <-places }()
			became := brewOn(t, program, recipe, damaged, what)
			mu.Lock()
			defer mu.Unlock()
			outcomes[became]++
		})
	}
	wait.Wait()
	t.Logf("%v", outcomes)
	if outcomes["set aside"] == 0 {
		t.Error("no file was found to be damaged: the test does not test")
	}
}

// brewOn puts a file in the journal's place, brews once, and says what became
// of the file.
func brewOn(t *testing.T, program, recipe string, content []byte, what string) string {
	t.Helper()
	home := t.TempDir()
	path := filepath.Join(home, "barline", "journal.db")
	must(t, os.MkdirAll(filepath.Dir(path), 0o700))
	must(t, os.WriteFile(path, content, 0o600))
	code, out, stderr := plainly(t, program, home, "\n", "brew", recipe, "--plain", "--speed", "100", "--lot", "new")
	if !strings.Contains(out, "finished\n") {
		t.Errorf("%s: the brew does not go on: %d\n%s%s", what, code, out, stderr)
	}
	aside, _ := filepath.Glob(path + ".damaged-*")
	for _, name := range aside {
		if strings.HasSuffix(name, "-wal") || strings.HasSuffix(name, "-shm") {
			continue
		}
		kept, err := os.ReadFile(name)
		if err != nil || code == exitOK && !bytes.Equal(kept, content) {
			t.Errorf("%s: what was set aside is not what was there: %v", what, err)
		}
		if !strings.Contains(stderr, "the damaged journal is kept as "+name+"\nhint: barline --journal "+name+" journal export --salvage") {
			t.Errorf("%s: its name is not told:\n%s%s", what, out, stderr)
		}
	}
	switch {
	case code == exitOK && len(aside) > 0:
		before := strings.HasPrefix(out, "the journal is damaged, a new one is begun; the old one is kept as "+aside[0]+"\n")
		during := strings.Contains(out, "not saved: the journal is damaged: "+path) && strings.Contains(stderr, "; the brew is in a new one\n")
		if before == during {
			t.Errorf("%s: it is told neither before the brew nor in it, or twice:\n%s%s", what, out, stderr)
		}
		if _, list, err := plainly(t, program, home, "", "journal"); strings.Count(list, "Four pours") != 1 {
			t.Errorf("%s: the new brew is not in a new file: %s%s", what, list, err)
		}
		return "set aside"
	case code == exitOK:
		// The damage is where the brew neither read nor wrote.
		checkNoneMissing(t, program, home, what)
		return "went on"
	case code == exitUnsaved:
		files, _ := filepath.Glob(filepath.Join(home, "barline", "barline-rescue-*.jsonl"))
		if len(files) != 1 {
			t.Errorf("%s: no rescue:\n%s", what, stderr)
		}
		return "rescued"
	}
	t.Errorf("%s: exit code %d:\n%s%s", what, code, out, stderr)
	return "else"
}

// checkNoneMissing checks that all thirteen brews are listed. SQLite keeps no
// checksums, so a name may be other letters now: then verify says so.
func checkNoneMissing(t *testing.T, program, home, what string) {
	t.Helper()
	code, list, stderr := plainly(t, program, home, "", "journal")
	if code != exitOK {
		return // it is told
	}
	if strings.Count(list, "\n") != 13 {
		t.Errorf("%s: brews are missing, and nobody says so: %s%s", what, list, stderr)
	}
	if code, told, _ := plainly(t, program, home, "", "journal", "verify"); code == exitOK && strings.Count(list, "Four pours") != 13 {
		t.Errorf("%s: a brew has another name, and nobody says so: %s%s", what, list, told)
	}
}

// TestATakenUpBrewHasTheClockOfTheMachine kills a brew and takes it up in a
// time namespace whose boot clock is 30 s ahead, as it is after a sleep of so
// long.
func TestATakenUpBrewHasTheClockOfTheMachine(t *testing.T) {
	t.Parallel()
	if err := exec.Command("unshare", "--time", "--boottime", "30", "true").Run(); err != nil {
		t.Skipf("SKIPPED, NOT TESTED: a time namespace is not permitted here: %v", err)
	}
	program := theProgram(t)
	folder := t.TempDir()
	path, recipe := filepath.Join(folder, "journal.db"), filepath.Join(folder, "long.yaml")
	must(t, os.WriteFile(recipe, []byte(slower.Replace(pours)), 0o644))
	s := start(t, program, "--journal", path, "brew", recipe)
	s.await("water meets coffee")
	s.press(" ")
	s.await("one: Pour 60 g, by 0:20")
	time.Sleep(500 * time.Millisecond) // the start is kept by now
	must(t, s.cmd.Process.Kill())
	<-s.ended

	slept := filepath.Join(folder, "slept")
	must(t, os.WriteFile(slept, []byte("#!/bin/sh\nexec unshare --time --boottime 30 --fork "+program+" \"$@\"\n"), 0o755))
	after := start(t, slept, "--journal", path, "brew", recipe)
	after.await("A brew was cut off. It can go on.")
	after.press("t")
	after.await("two: Pour 60 g, by 0:40") // as half a minute was slept
	for _, key := range []string{"q", "y", "\r", "q"} {
		time.Sleep(time.Second)
		after.press(key)
	}
	after.await("water meets coffee") // the recipe that was asked for waits
	after.press("\x03")
	if code := after.leaves(); code != exitStopped {
		t.Errorf("exit code %d", code)
	}
	_, out, stderr := plainly(t, program, folder, "", "--journal", path, "journal", "show", "0")
	note := regexp.MustCompile(`note at 0:3\d: taken up again 3\d(\.\d)? s after the last event, by the machine's own clock`)
	if !note.MatchString(out) {
		t.Errorf("%s%s", out, stderr)
	}
}
