package tui

import "barline/tui/rehearsal"

// OpenRehearsal returns the program on the rehearsal page, which it ends with.
func OpenRehearsal(opt Options, page rehearsal.Page) Model {
	return Model{opt: opt, rehearsal: page, shown: onRehearsal, alone: true}.resize(defaultWidth, defaultHeight)
}

// Rehearsal returns the rehearsal page as it is.
func (m Model) Rehearsal() rehearsal.Page { return m.rehearsal }
