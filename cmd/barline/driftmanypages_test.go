//go:build unix

package main

import (
	"fmt"
	"os"
	"os/exec"
	"regexp"
	"runtime/debug"
	"strconv"
	"strings"
	"testing"
	"time"

	"barline/cmd/barline/internal/clock"
	"barline/tui/keys"
	"barline/tui/pages"

	tea "github.com/charmbracelet/bubbletea"
)

// TestDriftPagesOfManyAreOpened opens the three pages over a journal one after
// the other, and says how long each took from the key to the picture. For the
// benchmark it is a process of its own, whose peak memory is theirs.
func TestDriftPagesOfManyAreOpened(t *testing.T) {
	path := os.Getenv("BARLINE_PAGES_OF")
	if path == "" {
		path = t.TempDir() + "/journal.db"
		manyHarbours(t, path, 60)
	}
	defer debug.SetGCPercent(debug.SetGCPercent(sparing)) // as the page has it
	home := t.TempDir()
	getenv := func(name string) string { return map[string]string{"HOME": home, "TERM": "xterm"}[name] }
	a := &app{env: env{stdout: os.Stdout, stderr: os.Stderr, getenv: getenv, clock: clock.Machine{}}}
	a.flags.journal = path
	book := a.book()
	defer book.close()

	began := time.Now()
	page, cmd := pages.NewDrift(book, "Harbour eight", pages.DefaultDriftKeys(), false)
	page = page.Resize(80, 24)
	for _, one := range []struct {
		name, says string
		key        tea.KeyMsg
	}{
		{"recipe", "Harbour eight", tea.KeyMsg{}},
		{"beat", "quartiles", tea.KeyMsg{Type: tea.KeyEnter}},
		{"persons", "tried at least", tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("w")}},
	} {
		if one.name != "recipe" {
			began = time.Now()
			page, cmd = page.Update(keys.Press{KeyMsg: one.key, At: time.Second})
		}
		for cmd != nil {
			page, cmd = page.Update(cmd())
		}
		screen := strings.Join(page.Draw().Lines(), "\n")
		if took := time.Since(began); os.Getenv("BARLINE_PAGES_OF") != "" {
			fmt.Printf("page %s %d\n", one.name, took.Nanoseconds())
		}
		if !strings.Contains(screen, one.says) {
			t.Errorf("the page %s does not say %q:\n%s", one.name, one.says, screen)
		}
		if one.name == "beat" {
			page, cmd = page.Update(keys.Press{KeyMsg: tea.KeyMsg{Type: tea.KeyEsc}, At: 2 * time.Second})
		}
	}
}

// pageTook is what such a process says of a page.
var pageTook = regexp.MustCompile(`(?m)^page (\w+) (\d+)$`)

// openPages notes how long the pages take over a journal, and the peak memory
// of looking at all of them.
func openPages(b *testing.B, path, when string, n int, taken map[string]map[int]spent) {
	b.Helper()
	self := exec.Command(os.Args[0], "-test.run", "^TestDriftPagesOfManyAreOpened$", "-test.v")
	self.Env = append(os.Environ(), "BARLINE_PAGES_OF="+path)
	out := output(b, self)
	all := pageTook.FindAllSubmatch(out, -1)
	if len(all) != 3 {
		b.Fatalf("%d pages were opened: %s", len(all), out)
	}
	for _, m := range all {
		ns, _ := strconv.Atoi(string(m[2]))
		note(taken, "the page "+string(m[1])+", "+when, n, spent{wall: time.Duration(ns), peak: peakOf(self)})
	}
}
