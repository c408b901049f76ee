package draw

// signs are the characters of a timeline. Those of blockSigns are one column
// wide but in terminals set to draw characters of ambiguous width in two;
// those of asciiSigns are so everywhere.
type signs struct {
	busy       [3]rune // both halves, left only, right only
	chosen     [3]rune // the same in the lane to look at
	chore      rune
	free       rune
	lightBusy  rune // in a lane without a zero
	lightFree  rune
	head       [2]rune // the playhead in the left or the right half
	headBusy   rune    // crossing a busy span
	headFree   [2]rune
	levels     string // eighths of a row of water, from one on
	future     rune   // water that is still to come
	drop       rune   // less than half a row of it
	track      rune   // a mark's window
	marks      [Skipped + 1][2]rune
	minor      rune // a tick of the ruler
	full, rest rune // of a meter
	parts      string
	target     rune
}

var blockSigns = signs{
	busy:      [3]rune{'▄', '▖', '▗'},
	chosen:    [3]rune{'█', '▌', '▐'},
	chore:     '▂',
	free:      '▁',
	lightBusy: '░',
	lightFree: '.',
	head:      [2]rune{'▌', '▐'},
	headBusy:  '█',
	headFree:  [2]rune{'▙', '▟'},
	levels:    "▁▂▃▄▅▆▇█",
	future:    '░',
	drop:      '▁',
	track:     '▁',
	marks: [...][2]rune{
		Pending:  {'▃', '▃'},
		Timely:   {'●', '○'},
		TooEarly: {'◄', '<'},
		TooLate:  {'►', '>'},
		Unmarked: {'-', '-'},
		Skipped:  {'x', 'x'},
	},
	minor:  '.',
	full:   '█',
	rest:   '░',
	parts:  "▏▎▍▌▋▊▉",
	target: '▌',
}

var asciiSigns = signs{
	busy:      [3]rune{'#', ']', '['},
	chosen:    [3]rune{'M', ']', '['},
	chore:     '~',
	free:      '-',
	lightBusy: '=',
	lightFree: '.',
	head:      [2]rune{'|', '|'},
	headBusy:  'H',
	headFree:  [2]rune{'+', '+'},
	levels:    "....####",
	future:    ':',
	drop:      '.',
	track:     '_',
	marks: [...][2]rune{
		Pending:  {':', ':'},
		Timely:   {'@', 'o'},
		TooEarly: {'<', '('},
		TooLate:  {'>', ')'},
		Unmarked: {'-', '-'},
		Skipped:  {'x', 'x'},
	},
	minor:  '.',
	full:   '#',
	rest:   '.',
	parts:  "       ",
	target: '|',
}

// bar returns the character for two pieces of a lane's bar and its role.
func (s signs) bar(left, right piece, l Lane) (rune, Role) {
	light, solid := l.Floating || l.Planned, s.busy
	if l.Chosen {
		solid = s.chosen
	}
	switch {
	case left == nothing && right == nothing:
		return 0, Plain
	case left != busy && right != busy && max(left, right) == chore && light:
		return s.chore, Free
	case left != busy && right != busy && max(left, right) == chore:
		return s.chore, Busy
	case left != busy && right != busy && light:
		return s.lightFree, Free
	case left != busy && right != busy:
		return s.free, Free
	case light:
		return s.lightBusy, Busy
	case left == right:
		return solid[0], Busy
	case left == busy:
		return solid[1], Busy
	}
	return solid[2], Busy
}

// crossed returns the playhead in the left or the right half of a cell, over
// a piece of a bar.
func (s signs) crossed(p piece, half int) rune {
	switch p {
	case busy, chore:
		return s.headBusy
	case free:
		return s.headFree[half]
	}
	return s.head[half]
}
