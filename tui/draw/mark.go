package draw

var markRoles = [...]Role{
	Pending:  Faint,
	Timely:   OnTime,
	TooEarly: Early,
	TooLate:  Late,
	Unmarked: Faint,
	Skipped:  Faint,
}

// sign returns how a mark is drawn.
func (m Mark) sign(s signs) (rune, Role) {
	state := m.State
	if state > Skipped {
		state = Pending
	}
	if m.Hollow {
		return s.marks[state][1], markRoles[state]
	}
	return s.marks[state][0], markRoles[state]
}

// marks draws a row of marks, each over its window.
func (f frame) marks(y int, marks []Mark) {
	for _, m := range marks {
		from := max(f.axis.half(m.Due-m.Early)/2, 0)
		to := min(f.axis.half(m.Due+m.Late)/2, f.axis.columns-1)
		for x := from; x <= to; x++ {
			f.Set(f.axis.left+x, y, f.signs.track, Faint)
		}
	}
	f.head(y)
	for _, pending := range []bool{true, false} {
		for _, m := range marks {
			if x, shown := f.axis.column(m.At); shown && (m.State == Pending) == pending {
				r, role := m.sign(f.signs)
				f.Set(x, y, r, role)
			}
		}
	}
}

// marksOnBar draws the marks that have happened onto a bar, where they have
// no row of their own; the playhead stays above them.
func (f frame) marksOnBar(y int, marks []Mark) {
	head, shown := f.axis.column(f.p.Now)
	for _, m := range marks {
		x, in := f.axis.column(m.At)
		if !in || m.State == Pending || !f.p.Still && shown && x == head {
			continue
		}
		r, role := m.sign(f.signs)
		f.Set(x, y, r, role)
	}
}
