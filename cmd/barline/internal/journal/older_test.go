//go:build linux

package journal_test

import (
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"barline/cmd/barline/internal/journal"
)

// TestAFileThatCannotBeWrittenIsGatheredAllTheSame looks at one of the first
// schema, which knows no pieces, and at one whose pieces can be read but not
// added to, on a disk that was mounted read-only.
func TestAFileThatCannotBeWrittenIsGatheredAllTheSame(t *testing.T) {
	dir := inside(t, "mount -t tmpfs tmpfs $DIR")
	if dir == "" {
		return
	}
	want := map[string]string{}
	for _, name := range []string{"schema1.db", "schema2.db"} {
		text, err := os.ReadFile("testdata/" + name)
		must(t, err)
		must(t, os.WriteFile(filepath.Join(dir, name), text, 0o600))
		free := filepath.Join(t.TempDir(), name)
		must(t, os.WriteFile(free, text, 0o600))
		want[name] = told(t, folded(t, open(t, free), "Quayside press", "service"))
	}
	must(t, syscall.Mount("", dir, "", syscall.MS_REMOUNT|syscall.MS_RDONLY, ""))
	for name, schema := range map[string]int{"schema1.db": 1, "schema2.db": 2} {
		j := open(t, filepath.Join(dir, name))
		if j.ReadOnly() == nil || j.Schema() != schema {
			t.Errorf("%s: schema %d, read-only because of %v", name, j.Schema(), j.ReadOnly())
		}
		if got := told(t, drifts(t, j, journal.Counting{Recipe: "quayside press"}).Record); got != want[name] {
			t.Errorf("%s: told\n%s\nwant\n%s", name, got, want[name])
		}
		sound(t, j)
	}
}
