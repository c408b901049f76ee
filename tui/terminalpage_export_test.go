package tui

import (
	"barline/tui/probe"

	tea "github.com/charmbracelet/bubbletea"
)

// Looked returns what the page that looks at the terminal has found.
func Looked(m tea.Model) probe.Report { return m.(look).page.Report() }
