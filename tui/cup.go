package tui

import (
	"barline/tui/pages"

	tea "github.com/charmbracelet/bubbletea"
)

// OpenCup returns the program on the page that works a cup out, which it ends
// with. A recipe without a plan is none to start from.
func OpenCup(opt Options, recipe pages.Recipe) Model {
	m := Model{opt: opt, alone: true}.resize(defaultWidth, defaultHeight)
	m, m.begin = m.cups(recipe)
	m.held = false // no key opened it
	return m
}

// cups turns to the cup page of a recipe.
func (m Model) cups(recipe pages.Recipe) (Model, tea.Cmd) {
	var cmd tea.Cmd
	m.cup, cmd = pages.NewCup(m.opt.Cups, recipe, pages.DefaultCupKeys(), m.opt.Theme.ASCII)
	return m.show(onCup), cmd
}
