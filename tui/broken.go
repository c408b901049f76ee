package tui

import (
	"fmt"
	"runtime/debug"

	tea "github.com/charmbracelet/bubbletea"
)

// broke ends the program for a panic in a goroutine.
func (w *watch) broke(why any, stack []byte) {
	w.tell(why, stack)
	w.broken.Store(true)
	w.program.Kill()
}

// tell keeps in words why the program broke, for the screen that is left is
// not the one that stays.
func (w *watch) tell(why any, stack []byte) {
	words := fmt.Sprintf("barline broke: %v\n\n%s", why, stack)
	w.why.CompareAndSwap(nil, &words)
}

// watched returns a command that tells of its panic, and then panics on: the
// library ends the program, but what it says is lost with the screen.
func watched(cmd tea.Cmd, broke func(why any, stack []byte)) tea.Cmd {
	if cmd == nil || broke == nil {
		return cmd
	}
	return func() tea.Msg {
		defer func() {
			if why := recover(); why != nil {
				broke(why, debug.Stack())
				panic(why)
			}
		}()
		msg := cmd()
		if batch, ok := msg.(tea.BatchMsg); ok {
			for i := range batch {
				batch[i] = watched(batch[i], broke)
			}
		}
		return msg
	}
}
