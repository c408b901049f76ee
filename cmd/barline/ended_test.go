package main

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"barline/tui"

	"github.com/spf13/cobra"
)

// A signal cancels what is under way and gives its exit code.
func TestASignalCancels(t *testing.T) {
	ctx, stop := untilSignal(context.Background())
	defer stop()
	self, err := os.FindProcess(os.Getpid())
	if err != nil {
		t.Fatal(err)
	}
	if err := self.Signal(syscall.SIGINT); err != nil {
		t.Skip(err)
	}
	<-ctx.Done()
	var ended *tui.Ended
	if err := context.Cause(ctx); !errors.As(err, &ended) || exitCode(&cobra.Command{}, err, io.Discard) != 130 {
		t.Errorf("it is cancelled by %v, code %d", err, exitCode(&cobra.Command{}, err, io.Discard))
	}
}

// A demo that a signal ends says so by its code, and leaves nothing.
func TestADemoThatASignalEndsLeavesNothing(t *testing.T) {
	folder := t.TempDir()
	ctx, cancel := context.WithCancelCause(context.Background())
	cancel(&tui.Ended{Signal: syscall.SIGTERM})
	b := newBench(t)
	cmd := newDemo(b.app)
	cmd.SetArgs([]string{filepath.Join(folder, "bar.db")})
	cmd.SilenceErrors, cmd.SilenceUsage = true, true
	if code := exitCode(cmd, cmd.ExecuteContext(ctx), io.Discard); code != 143 {
		t.Errorf("code %d, want 143", code)
	}
	if left, err := os.ReadDir(folder); err != nil || len(left) > 0 {
		t.Errorf("it left %v, %v", left, err)
	}
}
