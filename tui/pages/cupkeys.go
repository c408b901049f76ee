package pages

import "github.com/charmbracelet/bubbles/key"

// CupKeys are the keys of the cup page, beside figures, the point and
// backspace, which type.
type CupKeys struct {
	Next, Before, Balance, Picture, Clear, More, Earlier, Leave key.Binding
}

// DefaultCupKeys returns the keys of the cup page.
func DefaultCupKeys() CupKeys {
	bind := func(help, desc string, keys ...string) key.Binding {
		return key.NewBinding(key.WithKeys(keys...), key.WithHelp(help, desc))
	}
	return CupKeys{
		Next:    bind("down", "next figure", "down", "tab", "enter"),
		Before:  bind("up", "figure before", "up", "shift+tab"),
		Balance: bind("b", "balance", "b"),
		Picture: bind("p", "picture", "p"),
		Clear:   bind("x", "clear", "x", "delete"),
		More:    bind("page-down", "more", "pgdown"),
		Earlier: bind("page-up", "back up", "pgup"),
		Leave:   bind("q", "back", "q", "esc", "ctrl+c"),
	}
}

// Bindings returns every key, in the order of the help.
func (k CupKeys) Bindings() []key.Binding {
	return []key.Binding{k.Next, k.Leave, k.Picture, k.Balance, k.Before, k.Clear, k.More, k.Earlier}
}
