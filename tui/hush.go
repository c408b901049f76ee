package tui

import (
	"time"

	"github.com/charmbracelet/x/term"
)

// A terminal that was asked something and has not answered when the program
// ends would type its answer into the shell. It is waited for a little, for an
// answer takes one way there and back; a second behind the question none is
// expected any more.
const (
	hushFor      = 300 * time.Millisecond
	answerWithin = time.Second
)

// asked notes that the terminal was asked something.
func (t *Terminal) asked() { t.openSince.Store(time.Now().UnixNano()) }

// answered notes that it has answered.
func (t *Terminal) answered() { t.openSince.Store(0) }

// hush takes an answer that is still to come out of the input. Until it has
// come the terminal shows nothing of what it is sent.
func (t *Terminal) hush() {
	since := t.openSince.Load()
	if since == 0 || t.in == nil || !waits || time.Since(time.Unix(0, since)) > answerWithin {
		return
	}
	state, err := term.MakeRaw(t.in.Fd())
	if err != nil {
		return
	}
	defer term.Restore(t.in.Fd(), state)
	for wait := hushFor; comes(t.in, wait); wait = pieceWithin {
		var answer [64]byte
		if n, err := t.in.Read(answer[:]); n == 0 || err != nil {
			return
		}
	}
}
