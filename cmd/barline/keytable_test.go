package main

import (
	"os"
	"strings"
	"testing"

	"barline/tui"
)

// The README's table of keys is what the pages are driven by.
func TestTheReadmeHasTheKeys(t *testing.T) {
	const (
		readme      = root + "/README.md"
		begin, end  = "<!-- keys -->\n", "<!-- /keys -->"
		howToUpdate = "run go test ./cmd/barline -run ReadmeHasTheKeys -update"
	)
	text, err := os.ReadFile(readme)
	before, rest, opened := strings.Cut(string(text), begin)
	got, after, closed := strings.Cut(rest, end)
	if err != nil || !opened || !closed {
		t.Skipf("SKIPPED, and the table of keys is not checked: no README.md with %q and %q (%v)", strings.TrimSpace(begin), end, err)
	}
	want := keyTable()
	if *update && got != want {
		if err := os.WriteFile(readme, []byte(before+begin+want+end+after), 0o644); err != nil {
			t.Fatal(err)
		}
		got = want
	}
	if got != want {
		t.Errorf("README.md says\n%s\nwant\n%s\n%s", got, want, howToUpdate)
	}
}

// keyTable returns the keys of every page as a table.
func keyTable() string {
	var b strings.Builder
	b.WriteString("| page | keys | what they do |\n| --- | --- | --- |\n")
	page := ""
	for _, k := range tui.KeyTable() {
		name := k.Page
		if name == page {
			name = ""
		}
		page = k.Page
		b.WriteString("| " + name + " | " + strings.Join(k.Keys, ", ") + " | " + k.Does + " |\n")
	}
	return b.String()
}
