package main

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"barline/cmd/barline/internal/page"

	"github.com/rogpeppe/go-internal/testscript"
)

// Each script is a behaviour of report, over the journal of shiftOf.
func TestReportScripts(t *testing.T) {
	from := filepath.Join(t.TempDir(), "bar.db")
	shiftOf(t, from)
	bar, err := os.ReadFile(from)
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir: "testdata/report",
		Setup: func(e *testscript.Env) error {
			e.Setenv("HOME", e.WorkDir)
			e.Setenv("XDG_CONFIG_HOME", filepath.Join(e.WorkDir, "config"))
			e.Setenv("XDG_DATA_HOME", filepath.Join(e.WorkDir, "data"))
			e.Setenv("TZ", "UTC")
			for _, n := range []int{104, 159} {
				e.Setenv(fmt.Sprintf("BREW%d", n), shiftID(startOf(n), n))
			}
			return os.WriteFile(filepath.Join(e.WorkDir, "bar.db"), bar, 0o600)
		},
		UpdateScripts: os.Getenv("UPDATE_SCRIPTS") != "",
	})
}

// reportOf runs the command on a journal, and returns what it says.
func reportOf(journal string, args ...string) (code int, said string) {
	var out strings.Builder
	e := machine()
	e.args, e.stdout, e.stderr = append([]string{"--journal", journal, "report"}, args...), &out, &out
	e.getenv = func(string) string { return "" }
	return run(context.Background(), e), out.String()
}

// Brews that cannot be read are owned up to.
func TestAReportSaysWhatCannotBeRead(t *testing.T) {
	path := filepath.Join(t.TempDir(), "bar.db")
	shiftOf(t, path)
	db, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if _, err := db.Exec("UPDATE brews SET start = 'noon' WHERE id = ?", shiftID(startOf(171), 171)); err != nil {
		t.Fatal(err)
	}
	code, said := reportOf(path, "Dock few", "-o", "-")
	if code != exitOK || !strings.Contains(said, "<li>1\u00a0brew of the journal cannot be read") {
		t.Errorf("code %d, and the page does not say that a brew cannot be read: %.300s", code, said)
	}
}

// Where a page cannot be put in its place, its part does not stay.
func TestAPartOfAReportDoesNotStay(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "page.html")
	if err := os.Mkdir(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := (target{path: dir}).write(nil, []byte("a page")); err == nil {
		t.Error("a page was written over a folder")
	}
	if !missing(dir + ".part") {
		t.Error("the part is still there")
	}
}

// A link stays a link: what it leads to is written over.
func TestAReportIsWrittenThroughALink(t *testing.T) {
	dir := t.TempDir()
	journal, real, link := filepath.Join(dir, "bar.db"), filepath.Join(dir, "real.html"), filepath.Join(dir, "link.html")
	shiftOf(t, journal)
	write := func(to string, more ...string) int {
		code, _ := reportOf(journal, append([]string{"Dock few", "-o", to}, more...)...)
		return code
	}
	if code := write(real); code != exitOK {
		t.Fatalf("code %d", code)
	}
	if err := os.Symlink("real.html", link); err != nil {
		t.Skip(err)
	}
	if err := os.WriteFile(real, []byte("mine"), 0o644); err != nil {
		t.Fatal(err)
	}
	if code := write(link); code != exitInput {
		t.Errorf("over a file of one's own behind a link: code %d, want %d", code, exitInput)
	}
	if code := write(link, "--force"); code != exitOK {
		t.Errorf("with --force: code %d", code)
	}
	if to, err := os.Readlink(link); err != nil || to != "real.html" {
		t.Errorf("the link leads to %q, %v", to, err)
	}
	if text, err := os.ReadFile(real); err != nil || !strings.Contains(string(text), "<h1>Dock few</h1>") {
		t.Errorf("behind the link there is %.40q, %v", text, err)
	}
	if err := os.Remove(real); err != nil {
		t.Fatal(err)
	}
	if code := write(link); code != exitOK || missing(real) {
		t.Errorf("through a link to what is not there: code %d", code)
	}
	if to, err := os.Readlink(link); err != nil || to != "real.html" {
		t.Errorf("then the link leads to %q, %v", to, err)
	}
}

// Who may read a report may read the one that takes its place, and nobody else.
func TestAReportKeepsItsMode(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("modes are kept otherwise there")
	}
	path := filepath.Join(t.TempDir(), "page.html")
	for _, mode := range []os.FileMode{0o600, 0o664} {
		if err := errors.Join(os.WriteFile(path, []byte(page.Mark), mode), os.Chmod(path, mode)); err != nil {
			t.Fatal(err)
		}
		if err := (target{path: path}).write(nil, []byte("a page")); err != nil {
			t.Fatal(err)
		}
		if info, err := os.Stat(path); err != nil || info.Mode().Perm() != mode {
			t.Errorf("%v, %v, want %v", info.Mode().Perm(), err, mode)
		}
	}
}
