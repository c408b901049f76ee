package tui

import (
	"barline/tui/pages"

	tea "github.com/charmbracelet/bubbletea"
)

// OpenDrift returns the program on a recipe's drift page, which it ends with.
func OpenDrift(opt Options, recipe string) Model {
	m := Model{opt: opt, alone: true}.resize(defaultWidth, defaultHeight)
	m, m.begin = m.drifts(recipe)
	m.held = false // no key opened it
	return m
}

// drifts turns to the drift page of a recipe, where there is a record to ask.
func (m Model) drifts(recipe string) (Model, tea.Cmd) {
	if m.opt.Drifts == nil {
		return m, nil
	}
	var cmd tea.Cmd
	m.drift, cmd = pages.NewDrift(m.opt.Drifts, recipe, pages.DefaultDriftKeys(), m.opt.Theme.ASCII)
	return m.show(onDrift), cmd
}

// back goes to the shelf, from a cup to its recipe's sheet, or ends the program
// where it was not come from there.
func (m Model) back() (Model, tea.Cmd) {
	switch {
	case m.alone:
		return m, tea.Quit
	case m.shown == onCup:
		return m.show(onSheet), nil
	}
	return m.show(onShelf), nil
}
