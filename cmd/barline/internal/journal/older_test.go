//go:build linux

package journal_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"barline/cmd/barline/internal/journal"
)

// TestAFileThatCannotBeWrittenIsGatheredAllTheSame looks at one of the first
// schema, which knows no pieces, at one that keeps no trace of forgotten brews, and at
// one whose pieces can be read but not added to, on a disk that was mounted read-only.
func TestAFileThatCannotBeWrittenIsGatheredAllTheSame(t *testing.T) {
	dir := inside(t, "mount -t tmpfs tmpfs $DIR")
	if dir == "" {
		return
	}
	want := map[string]string{}
	for _, name := range []string{"schema1.db", "schema2.db", "schema3.db"} {
		text, err := os.ReadFile("testdata/" + name)
		must(t, err)
		must(t, os.WriteFile(filepath.Join(dir, name), text, 0o600))
		free := filepath.Join(t.TempDir(), name)
		must(t, os.WriteFile(free, text, 0o600))
		want[name] = told(t, folded(t, open(t, free), "Quayside press", "service"))
	}
	must(t, syscall.Mount("", dir, "", syscall.MS_REMOUNT|syscall.MS_RDONLY, ""))
	for name, schema := range map[string]int{"schema1.db": 1, "schema2.db": 2, "schema3.db": 3} {
		j := open(t, filepath.Join(dir, name))
		if j.ReadOnly() == nil || j.Schema() != schema {
			t.Errorf("%s: schema %d, read-only because of %v", name, j.Schema(), j.ReadOnly())
		}
		if got := told(t, drifts(t, j, journal.Counting{Recipe: "quayside press"}).Record); got != want[name] {
			t.Errorf("%s: told\n%s\nwant\n%s", name, got, want[name])
		}
		sound(t, j)
		lines, err := os.ReadFile("testdata/" + strings.TrimSuffix(name, ".db") + ".jsonl")
		must(t, err)
		if !bytes.Equal(exported(t, j), lines) {
			t.Errorf("%s exports otherwise than it did", name)
		}
		if left, err := j.Forgotten(ctx, "Quayside press"); err != nil || (len(left) == 1) != (schema == 3) {
			t.Errorf("%s: %v stays, %v", name, left, err)
		}
	}
}
