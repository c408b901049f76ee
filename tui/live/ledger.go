package live

import (
	"slices"

	tea "github.com/charmbracelet/bubbletea"
)

// Ledger is what a page knows of its record: how many events it has had, which
// of them are safe, which marks are not, and whether it goes once they are.
type Ledger struct {
	events  int
	kept    Kept
	hollow  []hollow
	awaited int // answers that the recorder still owes
	closing bool
}

// hollow is a mark that was made, or moved, but is not in the record yet.
type hollow struct{ event, lane, beat int }

// From returns the ledger of a record that holds so many events, of a brew that
// is taken up or begins. Answers to what was handed over before are still owed.
func (l Ledger) From(events int) Ledger {
	l.events, l.kept, l.hollow = events, KeptUpTo(events), nil
	return l
}

// Next counts an event and returns its number, from 0.
func (l Ledger) Next() (Ledger, int) {
	l.events++
	return l, l.events - 1
}

// Events returns how many there were.
func (l Ledger) Events() int { return l.events }

// Await counts an answer that the recorder owes from now on.
func (l Ledger) Await() Ledger {
	l.awaited++
	return l
}

// Hollow shows the mark of a lane's beat as hollow until an event is kept.
func (l Ledger) Hollow(event, lane, beat int) Ledger {
	l.hollow = append(slices.Clip(l.hollow), hollow{event, lane, beat})
	return l
}

// IsHollow reports whether the record does not hold the mark of a beat yet.
func (l Ledger) IsHollow(lane, beat int) bool {
	return slices.ContainsFunc(l.hollow, func(h hollow) bool { return h.lane == lane && h.beat == beat })
}

// Learn takes note of whether an event is safe: nil is that it is.
func (l Ledger) Learn(event int, err error) Ledger {
	l.kept = l.kept.Answer(event, err)
	l.hollow = slices.DeleteFunc(slices.Clone(l.hollow), func(h hollow) bool { return l.kept.Holds(h.event) })
	return l
}

// Fault returns why an event is not safe, nil where nothing is amiss.
func (l Ledger) Fault() error { return l.kept.Fault() }

// Answered counts an answer that was owed. It returns the command by which the
// page is left where that was what it waited for.
func (l Ledger) Answered(left tea.Cmd) (Ledger, tea.Cmd) {
	l.awaited--
	if l.closing && l.awaited == 0 {
		return l, left
	}
	return l, nil
}

// Close returns the command by which the page is left, nil where it is to wait
// for Answered: a program that quits does not wait for what it was given to do.
// Asked a second time it does not wait either.
func (l Ledger) Close(left tea.Cmd) (Ledger, tea.Cmd) {
	if l.awaited > 0 && !l.closing {
		l.closing = true
		return l, nil
	}
	return l, left
}

// Stay takes back that the page is to go.
func (l Ledger) Stay() Ledger {
	l.closing = false
	return l
}

// Closing reports whether the page goes when the answers are in.
func (l Ledger) Closing() bool { return l.closing }
