package keys_test

import (
	"testing"
	"time"

	"barline/tui/keys"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
)

func press(r rune, at int) keys.Press {
	return keys.Press{KeyMsg: tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}}, At: time.Duration(at) * time.Millisecond}
}

func TestGuard(t *testing.T) {
	type stroke struct {
		key  rune
		at   int // ms
		want bool
	}
	for name, strokes := range map[string][]stroke{
		"a first press counts":                               {{'a', 0, true}},
		"a held key is one press":                            {{'a', 0, true}, {'a', 500, false}, {'a', 530, false}, {'a', 560, false}, {'a', 2000, true}},
		"a key held for long stays one press":                {{'a', 0, true}, {'a', 660, false}, {'a', 750, false}, {'a', 840, false}, {'a', 930, false}},
		"a repeat within the hold is none":                   {{'a', 0, true}, {'a', 699, false}},
		"a second press after the hold counts":               {{'a', 0, true}, {'a', 700, true}},
		"another key counts at once":                         {{'a', 0, true}, {'b', 10, true}},
		"after another key the first one counts":             {{'a', 0, true}, {'b', 10, true}, {'a', 20, true}},
		"after the hold a repeat still needs a pause before": {{'a', 0, true}, {'a', 690, false}, {'a', 830, false}, {'a', 980, true}},
	} {
		t.Run(name, func(t *testing.T) {
			var g keys.Guard
			for _, s := range strokes {
				var got bool
				if g, got = g.Admit(press(s.key, s.at), keys.Hold); got != s.want {
					t.Errorf("%c at %d ms: counts %t, want %t", s.key, s.at, got, s.want)
				}
			}
		})
	}
}

func TestAPasteIsNoKey(t *testing.T) {
	b := key.NewBinding(key.WithKeys("a", "[a]"))
	p := press('a', 0)
	if !p.Is(b) {
		t.Error("a typed a is not the key a")
	}
	p.Paste = true
	if p.Is(b) {
		t.Error("a pasted a is taken for the key a")
	}
}

func TestATappedKeyCountsAgainSooner(t *testing.T) {
	var g keys.Guard
	for _, s := range []struct {
		at   int
		want bool
	}{{0, true}, {100, false}, {300, true}, {390, false}, {600, true}} {
		var got bool
		if g, got = g.Admit(press('e', s.at), keys.Tap); got != s.want {
			t.Errorf("at %d ms: counts %t, want %t", s.at, got, s.want)
		}
	}
}
