package journal_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"barline/cmd/barline/internal/journal"
)

// TestAFileOfEachSchemaOpensWithItsBrewsIntact opens the files that were made
// when each schema was the newest, and exports what they hold. Made with
// BARLINE_UPDATE=1, for a schema that has no file yet.
func TestAFileOfEachSchemaOpensWithItsBrewsIntact(t *testing.T) {
	for schema := 1; schema <= journal.Schema; schema++ {
		file, lines := fmt.Sprintf("testdata/schema%d.db", schema), fmt.Sprintf("testdata/schema%d.jsonl", schema)
		if schema == journal.Schema && os.Getenv("BARLINE_UPDATE") != "" {
			j := fresh(t)
			fullOf(t, j)
			drifts(t, j, journal.Counting{Recipe: "Quayside press"}) // fills the cache
			must(t, os.WriteFile(lines, exported(t, j), 0o644))
			must(t, j.Close())
			text, err := os.ReadFile(j.Path())
			must(t, err)
			must(t, os.WriteFile(file, text, 0o644))
		}
		text, err := os.ReadFile(file)
		must(t, err)
		want, err := os.ReadFile(lines)
		must(t, err)
		path := filepath.Join(t.TempDir(), "journal.db")
		must(t, os.WriteFile(path, text, 0o600))
		j := open(t, path)
		if j.Schema() != journal.Schema || j.ReadOnly() != nil {
			t.Errorf("schema %d is now %d, read-only because of %v", schema, j.Schema(), j.ReadOnly())
		}
		if got := exported(t, j); !bytes.Equal(got, want) {
			t.Errorf("a file of schema %d exports\n%s\nwant\n%s", schema, got, want)
		}
		sound(t, j)
		record(t, j, brewed(press(t), morning), follow(press(t)))
		sound(t, j)
		other := fresh(t)
		if _, err := other.Import(ctx, bytes.NewReader(want)); err != nil {
			t.Errorf("lines of schema %d: %v", schema, err)
		}
	}
}

// What an older schema packed is not read as if it were packed as now.
func TestPiecesOfAnOlderFormAreNotKept(t *testing.T) {
	text, err := os.ReadFile("testdata/schema2.db")
	must(t, err)
	path := filepath.Join(t.TempDir(), "journal.db")
	must(t, os.WriteFile(path, text, 0o600))
	tamper(t, path, "INSERT INTO pieces (recipe, kind, slot, brews, cells, left_out, piece) VALUES ('Quayside press', 'service', 0, 1, 1, 0, x'01')")
	j := open(t, path)
	if n := pieces(t, j); n != 0 {
		t.Errorf("%d pieces are kept", n)
	}
	sound(t, j)
}
