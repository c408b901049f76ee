// Package ground tells the terminal library which ground it draws on before
// that library can ask the terminal. Without it, the library's package
// initialiser sends a query and waits up to five seconds for terminals that
// do not answer.
//
// It must be initialised before the terminal library: it imports nothing of
// it but lipgloss, and its import path sorts first. A test in a
// pseudo-terminal holds that no query is sent.
package ground

import "github.com/charmbracelet/lipgloss"

var _ = settle()

func settle() struct{} {
	lipgloss.SetHasDarkBackground(true)
	return struct{}{}
}
