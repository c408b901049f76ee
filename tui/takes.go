package tui

import "barline/tui/pages"

// OpenTakes returns the program on the page of a routine's takes, which it ends
// with.
func OpenTakes(opt Options, routine string) Model {
	m := Model{opt: opt, shown: onTakes, alone: true}
	m.takes, m.begin = pages.NewTakes(opt.Takes, routine, pages.DefaultTakesKeys(), opt.Theme.ASCII)
	return m.resize(defaultWidth, defaultHeight)
}
