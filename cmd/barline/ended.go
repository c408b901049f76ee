package main

import (
	"context"
	"errors"
	"os"
	"os/signal"
	"syscall"

	"barline/tui"
)

// untilSignal returns a context that a signal which ends the program cancels,
// so that a command can take away what it left half done. stop gives the
// signals back.
func untilSignal(ctx context.Context) (out context.Context, stop func()) {
	out, cancel := context.WithCancelCause(ctx)
	caught := make(chan os.Signal, 1)
	signal.Notify(caught, syscall.SIGINT, syscall.SIGTERM, syscall.SIGHUP)
	go func() {
		select {
		case s := <-caught:
			cancel(&tui.Ended{Signal: s.(syscall.Signal)})
		case <-out.Done():
		}
	}()
	return out, func() { signal.Stop(caught); cancel(nil) }
}

// signalled returns the signal that cancelled a context, nil where none did.
func signalled(ctx context.Context) error {
	var ended *tui.Ended
	if errors.As(context.Cause(ctx), &ended) {
		return ended
	}
	return nil
}
