package draw_test

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"barline/tui/draw"
)

var update = flag.Bool("update", false, "write the golden pictures anew")

// golden compares pictures with testdata/name.txt.
func golden(t *testing.T, name string, pictures ...*draw.Canvas) {
	t.Helper()
	var b strings.Builder
	for _, c := range pictures {
		for _, line := range c.Lines() {
			b.WriteString(line + "\n")
		}
		b.WriteString(strings.Repeat("~", c.Width) + "\n")
	}
	path := filepath.Join("testdata", name+".txt")
	if *update {
		if err := os.MkdirAll("testdata", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v (run the test with -update)", err)
	}
	if b.String() != string(want) {
		t.Errorf("%s changed; got\n%swant\n%s", path, b.String(), want)
	}
}
