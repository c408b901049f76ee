//go:build linux

package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// TestTheRecordAtATerminal lists, narrows, opens and corrects what was brewed,
// at a terminal with the true journal below it.
func TestTheRecordAtATerminal(t *testing.T) {
	t.Parallel()
	program, home := theProgram(t), t.TempDir()
	recipe := filepath.Join(home, "fast.yaml")
	must(t, os.WriteFile(recipe, []byte(fast), 0o644))
	path := filepath.Join(home, "kept.db")
	for _, by := range []string{"Ada", "Bo", "Ada"} {
		if code, out, err := plainly(t, program, home, "\nn slow kettle\nq enough\n31.5\n1.4\nthin\n", "--journal", path, "brew", recipe, "--plain", "--speed", "2", "--by", by, "--lot", "twelve"); code != exitStopped {
			t.Fatalf("%d %s%s", code, out, err)
		}
	}
	s := start(t, program, "--journal", path)
	s.await("> A fast cup")
	s.press("r")
	s.await("1 of 3")
	s.press("p")
	s.awaitAll("what was brewed, by Ada", "Bo ")
	s.await("1 of 2")
	s.press("\r")
	s.await("in the record")
	s.await("lot twelve")
	s.await("strength: 1.4 %")
	s.await("slow kettle")
	s.press(" ")
	s.await("beverage in the server, g (31.5 g so far, - takes it back): _")
	s.press("\r")
	s.await("strength, % (1.4 % so far, - takes it back): _")
	s.press("1.52\r")
	s.await("taste (thin so far, - takes it back): _")
	s.press("\r")
	s.await("saved: beverage 31.5 g, strength 1.52 %, taste: thin")
	s.await("strength before it was corrected: 1.4 %")
	time.Sleep(800 * time.Millisecond)
	s.press("q")
	s.await("what was brewed, by Ada")
	time.Sleep(800 * time.Millisecond)
	s.press("q")
	s.await("what shall it be?")
	time.Sleep(800 * time.Millisecond)
	s.press("q")
	if code := s.leaves(); code != exitOK {
		t.Errorf("exit code %d", code)
	}
	if s.says("A fast cup:") {
		t.Errorf("a brew of the record is told as brewed now:\n%s", s.text())
	}
	_, out, _ := plainly(t, program, home, "", "--journal", path, "journal", "show", s.newest(path))
	for _, want := range []string{"\nstrength: 1.52 %\n", "\nstrength before it was corrected: 1.4 %\n", "\nbeverage weight: 31.5 g\n", "\ntaste: thin\n"} {
		if !strings.Contains(out, want) {
			t.Errorf("the record does not say %q:\n%s", want, out)
		}
	}
	if strings.Count(out, "beverage weight") != 1 {
		t.Errorf("what was not touched was written again:\n%s", out)
	}
}

// newest returns the id of the latest brew.
func (s *terminal) newest(path string) string {
	_, out, _ := plainly(s.t, s.cmd.Path, s.folder, "", "--journal", path, "journal", "--last", "1")
	id, _, _ := strings.Cut(out, " ")
	return id
}
