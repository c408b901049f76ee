// Package keys is what the pages share about the keyboard: key presses
// stamped with the moment they arrived, and the rule that tells a press from
// a key held down. It binds nothing; each page has its own key map.
package keys

import (
	"slices"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
)

// Press is a key press with the moment it came in at, on the machine's clock
// of elapsed time. Pages take these instead of the library's own message, so
// that no page has to ask a clock.
type Press struct {
	tea.KeyMsg
	At time.Duration
}

// Is reports whether the press is one of the binding's keys. A paste is never
// a key, and neither are different letters that came in one piece: where the
// terminal does not bracket pastes, that is what one looks like.
func (p Press) Is(bindings ...key.Binding) bool {
	return !p.Paste && key.Matches(p, bindings...)
}

// String returns the key's name. Letters that came in one piece and are all
// the same are that key, held down while nobody read.
func (p Press) String() string {
	if run := p.Runes; p.Type == tea.KeyRunes && !p.Paste && len(run) > 1 && !slices.ContainsFunc(run, func(r rune) bool { return r != run[0] }) {
		p.Runes = run[:1]
	}
	return p.KeyMsg.String()
}

// A terminal sends the same bytes for a press and for a repeat of a held key.
// Measured: the first repeat comes 200 to 660 ms after the press, the
// following ones every 15 to 90 ms.
const (
	repeatGap = 150 * time.Millisecond
	// Hold is how long a press shuts out more of the same key, so that a key
	// held down is one press.
	Hold = 700 * time.Millisecond
	// Tap is the hold of a key that is meant to be pressed again and again.
	Tap = repeatGap
)

// Guard tells presses from repeats, key by key. The zero Guard has seen
// nothing. It is a value: Admit returns the guard that has seen the press.
type Guard struct {
	key    string
	seen   time.Duration // of the key's last event
	acted  time.Duration // of its last press
	primed bool
}

// Admit reports whether a press counts as one. Another press of the same key
// counts when nothing came from it for 150 ms and its last press is the hold
// past; another key always counts.
func (g Guard) Admit(p Press, hold time.Duration) (Guard, bool) {
	name := p.String()
	if g.primed && name == g.key && (p.At-g.seen < repeatGap || p.At-g.acted < hold) {
		g.seen = p.At
		return g, false
	}
	return Guard{key: name, seen: p.At, acted: p.At, primed: true}, true
}
