package rehearsal

import "github.com/charmbracelet/bubbles/key"

// KeyMap holds the page's keys. Help and the README's table are made from it.
type KeyMap struct {
	Mark  key.Binding
	Line  key.Binding // the next line begins now
	Call  key.Binding // time is called
	Undo  key.Binding
	Skip  key.Binding
	Nudge key.Binding
	Zero  key.Binding
	Note  key.Binding

	Leave key.Binding // asks whether to stop, or leaves the end page
	Yes   key.Binding
	Again key.Binding // the next take, where Leave has asked and on the end page

	Up, Down    key.Binding
	Enter, Back key.Binding // while a note is typed
}

// DefaultKeys returns the keys as they are without a configuration.
func DefaultKeys() KeyMap {
	bind := func(help, desc string, keys ...string) key.Binding {
		return key.NewBinding(key.WithKeys(keys...), key.WithHelp(help, desc))
	}
	return KeyMap{
		Mark:  bind("space", "mark", " ", "enter", "pgdown"),
		Line:  bind("l", "next line", "l", "right"),
		Call:  bind("t", "call time", "t"),
		Undo:  bind("u", "take back", "u", "backspace"),
		Skip:  bind("s", "skip", "s"),
		Nudge: bind("e", "1 s earlier", "e"),
		Zero:  bind("z", "zero again", "z"),
		Note:  bind("n", "note", "n"),
		Leave: bind("q", "leave", "q", "ctrl+c"),
		Yes:   bind("y", "yes", "y", "ctrl+c"),
		Again: bind("r", "again", "r"),
		Up:    bind("up", "scroll up", "up", "k"),
		Down:  bind("down", "scroll down", "down", "j"),
		Enter: bind("enter", "keep", "enter"),
		Back:  bind("esc", "back", "esc", "ctrl+c"),
	}
}

// as returns a binding that does something else at the moment.
func as(b key.Binding, desc string) key.Binding {
	b.SetHelp(b.Help().Key, desc)
	return b
}

// Ready returns the keys before a take begins.
func (k KeyMap) Ready() []key.Binding {
	return []key.Binding{as(k.Mark, "call time and begin"), k.Leave, k.Down, k.Up}
}

// Counting returns the keys while the clock counts in.
func (k KeyMap) Counting() []key.Binding { return []key.Binding{as(k.Leave, "back")} }

// Running returns the keys during a take.
func (k KeyMap) Running() []key.Binding {
	return []key.Binding{k.Mark, k.Line, k.Undo, k.Call, k.Skip, as(k.Leave, "stop"), k.Nudge, k.Zero, k.Note}
}

// Stopping returns the keys while the page asks whether to stop; marks are
// taken meanwhile.
func (k KeyMap) Stopping() []key.Binding {
	return []key.Binding{as(k.Yes, "stop the take"), as(k.Again, "stop it and begin the next"), k.Mark}
}

// Calling returns the keys while the page asks whether to call time early.
func (k KeyMap) Calling() []key.Binding { return []key.Binding{as(k.Yes, "call time now"), k.Mark} }

// Typing returns the keys while a note is typed.
func (k KeyMap) Typing() []key.Binding { return []key.Binding{k.Enter, k.Back} }

// Over returns the keys of the end page.
func (k KeyMap) Over() []key.Binding {
	return []key.Binding{as(k.Again, "the next take"), k.Leave, as(k.Undo, "take the call back"), k.Down, k.Up}
}
