package pages

import (
	"barline/tui/draw"
	"barline/tui/keys"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
)

// CutOffKeys are the keys of the page that offers a brew which was cut off.
type CutOffKeys struct{ TakeUp, Leave key.Binding }

// DefaultCutOffKeys returns the keys of that page.
func DefaultCutOffKeys() CutOffKeys {
	return CutOffKeys{
		TakeUp: key.NewBinding(key.WithKeys("t"), key.WithHelp("t", "take it up")),
		Leave:  key.NewBinding(key.WithKeys("q", "esc", "ctrl+c"), key.WithHelp("q", "leave it as cut off")),
	}
}

// Bindings returns every key, in the order of the help.
func (k CutOffKeys) Bindings() []key.Binding { return []key.Binding{k.TakeUp, k.Leave} }

// CutOff is the page that tells of a brew which the program was torn out of,
// and that it can still go on.
type CutOff struct {
	words         []string // what was being brewed, how far it is, a line each
	keys          CutOffKeys
	width, height int
}

// NewCutOff returns the page; the words say what was being brewed.
func NewCutOff(words []string, k CutOffKeys) CutOff { return CutOff{words: words, keys: k} }

// TakeUpMsg says that the brew is to go on.
type TakeUpMsg struct{}

// DroppedMsg says that it stays cut off.
type DroppedMsg struct{}

// Resize tells the page how many cells it may draw on.
func (p CutOff) Resize(width, height int) CutOff {
	p.width, p.height = max(width, 0), max(height, 0)
	return p
}

// Update answers a message.
func (p CutOff) Update(msg tea.Msg) (CutOff, tea.Cmd) {
	k, ok := msg.(keys.Press)
	switch {
	case !ok:
	case k.Is(p.keys.TakeUp):
		return p, func() tea.Msg { return TakeUpMsg{} }
	case k.Is(p.keys.Leave):
		return p, func() tea.Msg { return DroppedMsg{} }
	}
	return p, nil
}

// Draw returns the page on a canvas of its size. Where not all of it fits, the
// keys do.
func (p CutOff) Draw() *draw.Canvas {
	c := draw.NewCanvas(p.width, p.height)
	y, foot := 0, p.height-1
	gap := 0
	if p.height >= 10 {
		gap = 1
	}
	for i, text := range append([]string{"A brew was cut off. It can go on."}, p.words...) {
		role := draw.Plain
		switch i {
		case 0:
			role = draw.Caution
		case 1:
			role = draw.Strong
		}
		for _, line := range draw.Wrap(text, p.width) {
			if y < foot {
				c.Text(0, y, line, role)
			}
			y++
		}
		if i < 2 {
			y += gap
		}
	}
	c.Help(foot, p.keys.Bindings())
	return c
}
