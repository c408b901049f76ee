package live_test

import (
	"errors"
	"testing"

	"barline/tui/live"

	tea "github.com/charmbracelet/bubbletea"
)

func TestALedgerTakenUpHoldsWhatWasKept(t *testing.T) {
	var l live.Ledger
	l, n := l.From(3).Next()
	if n != 3 || l.Events() != 4 {
		t.Fatalf("the event after three is number %d of %d", n, l.Events())
	}
	for event, safe := range []bool{true, true, true, false} {
		if hollow := l.Hollow(event, 0, 0).Learn(2, nil).IsHollow(0, 0); hollow == safe {
			t.Errorf("event %d: hollow %t", event, hollow)
		}
	}
	full := errors.New("disk full")
	if fault := l.Learn(2, full).Fault(); fault != nil {
		t.Errorf("what the record holds already cannot fail: %v", fault)
	}
	if fault := l.Learn(3, full).Fault(); fault != full {
		t.Errorf("got %v, want %v", fault, full)
	}
}

// A take that follows another knows nothing of its marks, but is still owed the
// answers: the page does not go before they are in.
func TestALedgerTurnedToAnotherTakeOwesTheAnswersStill(t *testing.T) {
	var l live.Ledger
	l, n := l.Next()
	l = l.Await().Hollow(n, 1, 2).From(0)
	if l.IsHollow(1, 2) || l.Events() != 0 {
		t.Errorf("a mark of the take before is there, of %d events", l.Events())
	}
	l, left := l.Close(tea.Quit)
	if left != nil {
		t.Fatal("it goes with an answer owed")
	}
	if _, left = l.Answered(tea.Quit); left == nil {
		t.Error("it stays when the answers are in")
	}
}
