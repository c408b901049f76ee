package tui

import "barline/tui/service"

// OpenService returns the program on the service page, which it ends with.
func OpenService(opt Options, page service.Page) Model {
	return Model{opt: opt, service: page, begin: page.Init(), shown: onService, alone: true}.resize(defaultWidth, defaultHeight)
}

// Service returns the service page as it is.
func (m Model) Service() service.Page { return m.service }
