//go:build unix

package tui

import (
	"os"
	"os/signal"
	"syscall"

	tea "github.com/charmbracelet/bubbletea"
)

// controlling is the terminal that controls the process.
const controlling = "/dev/tty"

// signals answers signals until the function it returns is called: those that
// end the program end it with the terminal restored; a stop gives the terminal
// back until the program goes on.
func (w *watch) signals() (stop func()) {
	caught := make(chan os.Signal, 8)
	signal.Notify(caught, syscall.SIGINT, syscall.SIGTERM, syscall.SIGHUP, syscall.SIGQUIT, syscall.SIGTSTP, syscall.SIGCONT)
	w.terminal.guard(func() {
		paused := false
		for {
			select {
			case s := <-caught:
				paused = w.answer(s.(syscall.Signal), paused)
			case <-w.done:
				return
			}
		}
	})
	return func() { signal.Stop(caught) }
}

// answer answers one signal and returns whether the terminal is given back.
// A stop stops the whole group, as the shell expects of a job; the clock does
// not stop, for it is a difference of instants.
func (w *watch) answer(s syscall.Signal, paused bool) bool {
	switch {
	case s == syscall.SIGTSTP && !paused:
		w.program.ReleaseTerminal()
		w.terminal.restore()
		syscall.Kill(0, syscall.SIGSTOP)
		return true // here the process goes on; SIGCONT follows
	case s == syscall.SIGCONT:
		if !paused { // after a stop that could not be caught
			w.program.ReleaseTerminal()
		}
		w.program.RestoreTerminal()
		w.program.Send(tea.ResumeMsg{})
	case s != syscall.SIGTSTP:
		w.end(s)
	}
	return false
}

// suspend is the key's way to stop the program.
func suspend() tea.Msg {
	syscall.Kill(os.Getpid(), syscall.SIGTSTP)
	return nil
}
