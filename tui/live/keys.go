package live

import "github.com/charmbracelet/bubbles/key"

// KeyMap holds the page's keys. Help and the README's table are made from it.
type KeyMap struct {
	Mark   key.Binding
	Undo   key.Binding
	Skip   key.Binding
	Finish key.Binding // once the last cue is over
	Zero   key.Binding
	Nudge  key.Binding
	Note   key.Binding
	Leave  key.Binding
	Yes    key.Binding // stops a brew, where Leave has asked

	Up, Down key.Binding // in the debrief
	Lane     key.Binding // the next one, in the debrief

	Enter, Back key.Binding // while a line is typed
}

// DefaultKeys returns the keys as they are without a configuration. Foot
// switches send space, enter or page-down.
func DefaultKeys() KeyMap {
	bind := func(help, desc string, keys ...string) key.Binding {
		return key.NewBinding(key.WithKeys(keys...), key.WithHelp(help, desc))
	}
	return KeyMap{
		Mark:   bind("space", "mark", " ", "enter", "pgdown"),
		Undo:   bind("u", "take back", "u", "backspace"),
		Skip:   bind("s", "skip", "s"),
		Finish: bind("f", "finish", "f"),
		Zero:   bind("z", "zero again", "z"),
		Nudge:  bind("e", "1 s earlier", "e"),
		Note:   bind("n", "note", "n"),
		Leave:  bind("q", "leave", "q", "ctrl+c"),
		Yes:    bind("y", "stop the brew", "y", "ctrl+c"),
		Up:     bind("up", "scroll up", "up", "k"),
		Down:   bind("down", "scroll down", "down", "j"),
		Lane:   bind("tab", "next lane", "tab"),
		Enter:  bind("enter", "keep, or leave out", "enter"),
		Back:   bind("esc", "back", "esc", "ctrl+c"),
	}
}

// as returns a binding that does something else at the moment.
func as(b key.Binding, desc string) key.Binding {
	b.SetHelp(b.Help().Key, desc)
	return b
}

// Preparing returns the keys while things are prepared; ready is that all of
// it is ticked off.
func (k KeyMap) Preparing(ready bool) []key.Binding {
	if ready {
		return []key.Binding{as(k.Mark, "start"), k.Undo, k.Leave, k.Down, k.Up}
	}
	return []key.Binding{as(k.Mark, "done"), as(k.Skip, "all done"), k.Undo, k.Leave, k.Down, k.Up}
}

// Brewing returns the keys while the clock runs.
func (k KeyMap) Brewing() []key.Binding {
	return []key.Binding{k.Mark, k.Undo, k.Skip, k.Finish, k.Nudge, k.Zero, k.Note, k.Leave}
}

// Counting returns the keys while the clock counts in.
func (k KeyMap) Counting() []key.Binding { return []key.Binding{as(k.Leave, "back")} }

// Stopping returns the keys while the page asks whether to stop.
func (k KeyMap) Stopping() []key.Binding { return []key.Binding{k.Yes} }

// Typing returns the keys while a line is typed: a note, why a brew was
// stopped, or a reading.
func (k KeyMap) Typing() []key.Binding { return []key.Binding{k.Enter, k.Back} }

// Reviewing returns the keys of the debrief before its readings are taken.
func (k KeyMap) Reviewing() []key.Binding {
	return []key.Binding{as(k.Mark, "readings"), k.Leave, as(k.Undo, "take back, go on"), k.Lane, k.Down, k.Up}
}

// Closing returns the keys of the debrief once its readings are taken.
func (k KeyMap) Closing() []key.Binding {
	return []key.Binding{as(k.Mark, "leave"), k.Leave, k.Lane, k.Down, k.Up}
}

// preparingKeys returns the keys that do something while things are prepared.
func (p Page) preparingKeys() []key.Binding {
	k := p.opt.Keys
	more := len(p.cautionLines()) > p.readying().cautions.H
	k.Down.SetEnabled(more)
	k.Up.SetEnabled(more)
	return k.Preparing(p.ready())
}

// runningKeys returns the keys that do something while the clock runs.
func (p Page) runningKeys() []key.Binding {
	if p.phase == counting {
		return p.opt.Keys.Counting()
	}
	k := p.opt.Keys
	k.Finish.SetEnabled(p.over())
	k.Skip.SetEnabled(!p.over())
	return k.Brewing()
}

// debriefKeys returns the keys that do something in the debrief.
func (p Page) debriefKeys() []key.Binding {
	k, last := p.opt.Keys, p.review().last
	k.Lane.SetEnabled(p.timeline.Lanes() > 1)
	k.Undo.SetEnabled(p.reopens())
	k.Down.SetEnabled(p.report.top < last)
	k.Up.SetEnabled(p.report.top > 0)
	switch {
	case p.asking != nothing || p.report.asks():
		return k.Typing()
	case p.report.taken():
		k.Leave.SetEnabled(false) // the other key says it already
		return k.Closing()
	}
	return k.Reviewing()
}
