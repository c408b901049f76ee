//go:build unix

package tui

import (
	"os"
	"os/signal"
	"syscall"
	"time"

	tea "github.com/charmbracelet/bubbletea"
)

// controlling is the terminal that controls the process.
const controlling = "/dev/tty"

// signals answers signals until the function it returns is called: those that
// end the program end it with the terminal restored; a stop gives the terminal
// back until the program goes on. Each kind has a goroutine of its own, for a
// terminal that takes no more output holds up a stop, and must not hold up the
// end.
func (w *watch) signals() (stop func()) {
	ends, stops := make(chan os.Signal, 8), make(chan os.Signal, 8)
	signal.Notify(ends, syscall.SIGINT, syscall.SIGTERM, syscall.SIGHUP, syscall.SIGQUIT)
	signal.Notify(stops, syscall.SIGTSTP, syscall.SIGCONT)
	w.terminal.guard(func() { w.each(ends, w.end) })
	w.terminal.guard(func() {
		w.program.Send(nil) // waits until the program has the terminal, and can give it back
		w.each(stops, func(s syscall.Signal) { w.answer(s, stops) })
	})
	return func() { signal.Stop(ends); signal.Stop(stops) }
}

// each answers signals until the program has ended.
func (w *watch) each(caught <-chan os.Signal, answer func(syscall.Signal)) {
	for {
		select {
		case s := <-caught:
			answer(s.(syscall.Signal))
		case <-w.done:
			return
		}
	}
}

// answer answers a stop, or that the program goes on, which can be behind a
// stop that is not to be caught; caught is where the next ones come. The clock
// does not stop, for it is a difference of instants.
func (w *watch) answer(s syscall.Signal, caught <-chan os.Signal) {
	w.answering.Lock()
	defer w.answering.Unlock()
	if w.ends() {
		return
	}
	w.program.ReleaseTerminal()
	select {
	case <-w.terminal.out.drained():
	case <-time.After(stalledFor):
	}
	w.terminal.restore()
	if s == syscall.SIGTSTP {
		w.stop(caught)
	}
	if w.ends() {
		return
	}
	w.terminal.keys.anew.Store(true)
	w.program.RestoreTerminal()
	w.resumed = true
	w.program.Send(tea.ResumeMsg{})
}

// onTheWay is how long a signal that has come may take to be passed on.
const onTheWay = 20 * time.Millisecond

// stop stops the whole group, as the shell expects of a job, and returns when
// it goes on. Whoever continued it while the terminal was being given
// back does not do so again.
func (w *watch) stop(caught <-chan os.Signal) {
	for waited := time.After(onTheWay); waited != nil; {
		select {
		case s := <-caught:
			if s == syscall.SIGCONT {
				return
			}
		case <-waited:
			waited = nil
		}
	}
	if w.ends() || os.Getpid() == 1 { // the first process of a container cannot be stopped
		return
	}
	syscall.Kill(0, syscall.SIGSTOP)
	for s := range caught {
		if s == syscall.SIGCONT {
			return
		}
	}
}

// suspend is the key's way to stop the program.
func suspend() tea.Msg {
	syscall.Kill(os.Getpid(), syscall.SIGTSTP)
	return nil
}
