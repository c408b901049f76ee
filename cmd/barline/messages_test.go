package main

import (
	"strings"
	"testing"
)

// A file's name may hold codes that would clear the screen of whoever reads
// the message about it.
func TestAMessageDoesNotSteerTheTerminal(t *testing.T) {
	_, _, stderr := plainly(t, theProgram(t), t.TempDir(), "", "check", "no\x1b[2Jsuch\u202e.yaml")
	if strings.ContainsAny(stderr, "\x1b\u202e") || !strings.Contains(stderr, "such") || strings.Count(stderr, "\n") < 1 {
		t.Errorf("%q", stderr)
	}
}
