package tui

import (
	"errors"
	"fmt"
	"os"
	"sync"
	"sync/atomic"
	"syscall"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/term"
)

// Ended is why the program ended other than by the person's leave.
type Ended struct {
	Signal syscall.Signal // SIGHUP too where the terminal was closed without one
}

// Error says it in words.
func (e *Ended) Error() string { return fmt.Sprintf("ended by signal %d, %s", e.Signal, e.Signal) }

// ErrPanic is that the program broke; what is known of it has been printed.
var ErrPanic = errors.New("barline broke; this is a fault of its own")

// stalledFor is how long a terminal that takes no more output can hold up the
// end of the program. A leave for which it does is as good as a closed
// terminal: what there is gets saved.
const stalledFor = 1500 * time.Millisecond

// Run runs the program on the terminal until the person leaves it, a signal
// or the terminal's own end takes it away, or it breaks. The terminal is left
// as it was found in every case. The model is the last that is known: after a
// panic the one that was begun with. The error is *Ended, ErrPanic, or what
// the terminal library says.
//
// Where the terminal takes no more output, stuck is called with the exit code
// after a second and a half: it saves what it can, tells nothing that could be
// held up, and must not return.
func Run(m Model, t *Terminal, stuck func(code int)) (Model, error) {
	w := newWatch(t, stuck)
	m.opt.broke = w.tell
	w.program = NewProgram(m, tea.WithInput(t.input()), tea.WithOutput(t), tea.WithoutSignalHandler())
	end, err := w.run()
	if last, ok := end.(Model); ok {
		m = last
	}
	return m, err
}

// run runs the program on the terminal as Run says. The model it returns may be
// none after a panic.
func (w *watch) run() (tea.Model, error) {
	t := w.terminal
	t.gone = func() { w.end(syscall.SIGHUP) }
	t.guarding.Lock()
	t.onPanic = w.broke
	t.guarding.Unlock()
	stop := w.signals()
	defer stop()
	t.askSync(os.Getenv("TERM")) // with what is drawn first: before that the terminal would echo its answer
	t.out.repaint = func() { w.program.Send(repaintMsg{}) }
	end, err := w.program.Run()
	w.settle()
	w.hurry(w.sign())
	<-t.out.drained()
	close(w.shown)
	if w.waiting != nil && w.waiting() {
		t.asked()
	}
	t.hush()
	t.restore()
	if why := w.why.Load(); why != nil {
		fmt.Fprintln(os.Stderr, *why)
	}
	switch sig := syscall.Signal(w.signal.Load()); {
	case errors.Is(err, tea.ErrProgramPanic), w.broken.Load():
		return end, ErrPanic
	case sig != 0:
		return end, &Ended{sig}
	}
	return end, err
}

// watch ends the program from outside.
type watch struct {
	terminal *Terminal
	program  *tea.Program
	stuck    func(code int)
	waiting  func() bool            // whether the terminal has been asked something else; may be nil
	signal   atomic.Int32           // the first that ended it
	broken   atomic.Bool            // a goroutine panicked
	why      atomic.Pointer[string] // in words
	done     chan struct{}          // closed when the program has ended,
	shown    chan struct{}          // and when the terminal has taken the last of it
	hurried  sync.Once

	answering sync.Mutex // held while the terminal is given back and taken again
	resumed   bool       // it has been taken again
}

func newWatch(t *Terminal, stuck func(code int)) *watch {
	return &watch{terminal: t, stuck: stuck, done: make(chan struct{}), shown: make(chan struct{})}
}

// settle sees to it, once the program has ended, that a stop which is still
// being answered does not take the terminal again.
func (w *watch) settle() {
	w.answering.Lock()
	defer w.answering.Unlock()
	close(w.done)
	if w.resumed {
		w.program.ReleaseTerminal()
	}
}

// ends reports whether the program has ended, or is about to for a signal.
func (w *watch) ends() bool {
	select {
	case <-w.done:
		return true
	default:
		return w.signal.Load() != 0
	}
}

// end quits the program for a signal.
func (w *watch) end(sig syscall.Signal) {
	if !w.signal.CompareAndSwap(0, int32(sig)) {
		return
	}
	w.terminal.guard(func() { w.program.Quit() })
	w.hurry(sig)
}

// hurry sees to it that the end does not wait for a terminal which takes no
// more output. The exit code is then that of a signal.
func (w *watch) hurry(sig syscall.Signal) {
	w.hurried.Do(func() {
		w.terminal.guard(func() {
			select {
			case <-w.shown:
			case <-time.After(stalledFor):
				w.terminal.restore()
				w.stuck(128 + int(sig))
			}
		})
	})
}

// sign returns the signal by which the program ends, or that it is as good as:
// a closed terminal, or an abort.
func (w *watch) sign() syscall.Signal {
	if w.broken.Load() || w.why.Load() != nil {
		return syscall.SIGABRT
	}
	if sig := w.signal.Load(); sig != 0 {
		return syscall.Signal(sig)
	}
	return syscall.SIGHUP
}

// OpenTerminal returns the terminal that the program is to draw on and read
// keys from: the given files, or where the input is no terminal the one that
// controls the process.
func OpenTerminal(in, out *os.File) (*Terminal, error) {
	if !term.IsTerminal(in.Fd()) {
		tty, err := os.OpenFile(controlling, os.O_RDWR, 0)
		if err != nil {
			return nil, errors.New("there is no terminal to read keys from")
		}
		in = tty
	}
	state, err := term.GetState(in.Fd())
	if err != nil {
		return nil, err
	}
	t := NewTerminal(out)
	t.in, t.before, t.ascii = in, state, !saysUTF8(os.Getenv)
	return t, nil
}

// restore puts the terminal's own settings back, whatever else happens.
func (t *Terminal) restore() {
	if t.before != nil {
		term.Restore(t.in.Fd(), t.before)
	}
}
