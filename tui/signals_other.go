//go:build !unix

package tui

import (
	"os"
	"os/signal"
	"syscall"

	tea "github.com/charmbracelet/bubbletea"
)

// controlling is the terminal that controls the process.
const controlling = "CONIN$"

// signals answers the interrupt, the only signal there is here.
func (w *watch) signals() (stop func()) {
	caught := make(chan os.Signal, 1)
	signal.Notify(caught, os.Interrupt)
	w.terminal.guard(func() {
		select {
		case <-caught:
			w.end(syscall.SIGINT)
		case <-w.done:
		}
	})
	return func() { signal.Stop(caught) }
}

// suspend does nothing: a program cannot be stopped and continued here.
func suspend() tea.Msg { return nil }
