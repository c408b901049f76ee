package tui

import (
	"barline/tui/pages"
	"barline/tui/service"

	tea "github.com/charmbracelet/bubbletea"
)

// OpenService returns the program on the service page, which it ends with.
func OpenService(opt Options, page service.Page) Model {
	return Model{opt: opt, service: page, begin: page.Init(), shown: onService, alone: true}.resize(defaultWidth, defaultHeight)
}

// debrief asks for the debrief of a brew of the service, which is kept.
func (m Model) debrief(id string) tea.Cmd {
	journal := m.opt.Journal
	if journal == nil {
		return nil
	}
	return func() tea.Msg {
		past, err := journal.Past(id)
		if err != nil {
			return toldMsg{err.Error()}
		}
		return pages.PastMsg{Past: past}
	}
}

// toldMsg is what the person must know.
type toldMsg struct{ text string }

// Guard runs a goroutine that keeps what happens: its panic ends the program
// like any other, with the terminal as it was found.
func (t *Terminal) Guard(do func()) { t.guard(do) }

// Service returns the service page as it is.
func (m Model) Service() service.Page { return m.service }
