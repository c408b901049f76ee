package service

import (
	"slices"
	"strings"

	"github.com/charmbracelet/bubbles/key"
)

// KeyMap holds the page's keys. Help and the README's table are made from it.
type KeyMap struct {
	Mark  key.Binding // each of its keys is a person's own where there are several
	Lane  key.Binding // the keys of the lanes
	Add   key.Binding
	Undo  key.Binding
	Skip  key.Binding
	Done  key.Binding // of a chore
	Nudge key.Binding
	Zero  key.Binding
	Note  key.Binding

	Name   key.Binding
	Hold   key.Binding
	First  key.Binding
	Remake key.Binding
	Cancel key.Binding

	Brewers key.Binding
	Kettle  key.Binding
	People  key.Binding
	Dose    key.Binding

	Help  key.Binding
	Leave key.Binding
	Yes   key.Binding

	More, Less  key.Binding // brewers
	Up, Down    key.Binding // after the service
	Open        key.Binding // a debrief
	Enter, Back key.Binding // while a line is typed, or something is asked
}

// DefaultKeys returns the keys as they are without a configuration.
func DefaultKeys() KeyMap {
	bind := func(help, desc string, keys ...string) key.Binding {
		return key.NewBinding(key.WithKeys(keys...), key.WithHelp(help, desc))
	}
	return KeyMap{
		Mark:    bind("space", "mark", " ", "enter", "pgdown"),
		Lane:    bind("1-9", "a lane", strings.Split(laneKeys, "")...),
		Add:     bind("a", "add", "a"),
		Undo:    bind("u", "take back", "u", "backspace"),
		Skip:    bind("s", "skip", "s"),
		Done:    bind("f", "chore done", "f"),
		Nudge:   bind("e", "1 s earlier", "e"),
		Zero:    bind("z", "zero again", "z"),
		Note:    bind("n", "note", "n"),
		Name:    bind("t", "name, cups, coffee", "t"),
		Hold:    bind("h", "hold", "h"),
		First:   bind("m", "move up", "m"),
		Remake:  bind("r", "remake", "r"),
		Cancel:  bind("x", "cancel", "x"),
		Brewers: bind("b", "brewers", "b"),
		Kettle:  bind("k", "kettle empty", "k"),
		People:  bind("p", "who is at work", "p"),
		Dose:    bind("d", "dose", "d"),
		Help:    bind("?", "keys", "?"),
		Leave:   bind("q", "close", "q", "ctrl+c"),
		Yes:     bind("y", "yes", "y", "ctrl+c"),
		More:    bind("+", "one more", "+", "="),
		Less:    bind("-", "one fewer", "-"),
		Up:      bind("up", "move up", "up"),
		Down:    bind("down", "move down", "down"),
		Open:    bind("enter", "its debrief, readings", "enter"),
		Enter:   bind("enter", "keep, or leave out", "enter"),
		Back:    bind("esc", "back", "esc", "ctrl+c"),
	}
}

// as returns a binding that does something else at the moment.
func as(b key.Binding, desc string) key.Binding {
	b.SetHelp(b.Help().Key, desc)
	return b
}

// Serving returns the keys while the service goes on, in the order of the
// help.
func (k KeyMap) Serving() []key.Binding {
	return []key.Binding{
		k.Mark, k.Lane, k.Add, k.Help, k.Undo, k.Cancel, k.Hold, k.Leave, k.First, k.Remake, k.Name,
		k.Done, k.Skip, k.Nudge, k.Zero, k.Note, k.Brewers, k.Kettle, k.People, k.Dose,
	}
}

// Choosing returns the keys while an order or a recipe is chosen. Marks are
// taken meanwhile.
func (k KeyMap) Choosing() []key.Binding {
	return []key.Binding{as(k.Lane, "that one"), k.Mark, k.Back}
}

// Counting returns the keys while the brewers are counted.
func (k KeyMap) Counting() []key.Binding { return []key.Binding{k.More, k.Less, k.Mark, k.Back} }

// Sure returns the keys while the page asks whether it is meant.
func (k KeyMap) Sure() []key.Binding {
	no := as(k.Back, "no")
	no.SetKeys("esc") // whoever presses ctrl-c twice wants to be out
	return []key.Binding{k.Yes, k.Mark, no}
}

// Typing returns the keys while a line is typed.
func (k KeyMap) Typing() []key.Binding { return []key.Binding{k.Enter, k.Back} }

// Over returns the keys after the service.
func (k KeyMap) Over() []key.Binding {
	return []key.Binding{as(k.Leave, "leave"), k.Open, k.Down, k.Up}
}

// markers returns whose mark each of the mark keys is, of so many persons, -1
// for anybody's: with several persons each has one of the keys, and those for
// whom there is none share the last.
func (k KeyMap) markers(people int) []int {
	out := make([]int, len(k.Mark.Keys()))
	for i := range out {
		out[i] = -1
		shared := i == len(out)-1 && people > len(out)
		if people > 1 && i < people && !shared {
			out[i] = i
		}
	}
	return out
}

// marker returns whose mark a key is, -1 for anybody's.
func (k KeyMap) marker(name string, people int) int {
	if i := slices.Index(k.Mark.Keys(), name); i >= 0 {
		return k.markers(people)[i]
	}
	return -1
}
