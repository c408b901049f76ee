package journal

import (
	"fmt"

	"barline/brew"
)

// early are events that came before their turn, by number.
type early map[int]*waiting

// waiting is an event that waits for those before it, and whoever gave it; the
// same event may be given by several.
type waiting struct {
	brew.Event
	turn  chan struct{} // closed when it has come
	write *write        // that brings it to the file; there when the turn has come
}

// add takes in event n, or finds it there.
func (all early) add(n int, e brew.Event) (*waiting, error) {
	if was, there := all[n]; there {
		if !sameEvent(was.Event, e) {
			return nil, fmt.Errorf("two events have the number %d: %s and %s", n, was.Kind, e.Kind)
		}
		return was, nil
	}
	all[n] = &waiting{Event: e, turn: make(chan struct{})}
	return all[n], nil
}

// answer gives event n its write, and forgets it.
func (all early) answer(n int, one *write) {
	all[n].write = one
	close(all[n].turn)
	delete(all, n)
}

// admitted waits for the event's turn.
func (w *waiting) admitted() *write {
	<-w.turn
	return w.write
}
