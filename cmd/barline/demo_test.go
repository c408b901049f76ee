package main

import (
	"context"
	"io"
	"os"
	"strings"
	"testing"

	"barline/cmd/barline/internal/clock"
)

// A journal that cannot be written to its end leaves nothing behind.
func TestDemoThatIsBrokenOffLeavesNothing(t *testing.T) {
	folder := t.TempDir()
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	var said strings.Builder
	e := env{
		args: []string{"demo", folder + "/bar.db"}, stdin: strings.NewReader(""), stdout: io.Discard, stderr: &said,
		getenv: func(string) string { return "" }, clock: clock.Machine{},
	}
	if code := run(ctx, e); code != exitInput {
		t.Errorf("it ends with %d: %s", code, said.String())
	}
	if left, err := os.ReadDir(folder); err != nil || len(left) > 0 {
		t.Errorf("it left %v, %v", left, err)
	}
}
