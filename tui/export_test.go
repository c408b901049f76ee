package tui

import "time"

// Sift is what takes a terminal's answers out of what is read from it.
func Sift(sync func()) func([]byte) []byte { return (&answers{sync: sync, heard: func() {}}).sift }

// Broken returns a program whose first command panics.
func Broken(opt Options, why string) Model {
	opt.LookBack = func() ([]CutOff, string) { panic(why) }
	return Open(opt)
}

// BreakIn lets a goroutine of the terminal's own panic after a while.
func (t *Terminal) BreakIn(d time.Duration) {
	t.guard(func() {
		time.Sleep(d)
		panic("broken in a goroutine")
	})
}

// AsASCII is what a terminal of ASCII alone gets of a text.
var AsASCII = asASCII

// Ask is how the terminal is asked for synchronised output, Know that it has
// answered.
func (t *Terminal) Ask(kind string) { t.askSync(kind) }
func (t *Terminal) Know()           { t.synced.Store(true) }

// Watched is how commands are watched for a panic.
var Watched = watched

// Drain waits until all that was written is with the terminal.
func (t *Terminal) Drain() { <-t.out.drained() }

// OnRepaint sets what asks for the whole screen.
func (t *Terminal) OnRepaint(ask func()) { t.out.repaint = ask }
