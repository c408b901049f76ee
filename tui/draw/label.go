package draw

import (
	"cmp"
	"slices"
	"time"
)

// labels writes the names of spans into the rows under their bar. The one
// that is on is written first, then what comes next, then what was last; a
// name that would touch one already written is left out.
func (f frame) labels(y int, spans []Span) {
	for row := range f.rows.labels {
		f.head(y + row)
	}
	now := f.now()
	taken := make([][]bool, f.rows.labels)
	for row := range taken {
		taken[row] = make([]bool, f.axis.columns+1)
	}
	for _, s := range byImportance(spans, now) {
		from, to := f.extent(s)
		if from == to || s.Label == "" {
			continue
		}
		label, role := s.Label, s.labelRole(now)
		if s.on(now) {
			label = Fit(label, f.axis.columns)
		}
		f.label(y, taken, from/2, (to+1)/2, label, role)
	}
}

// label writes one name at the first column of its span [from, to) that has
// room for it and a blank on either side, in the first row that has one. A
// name longer than its span begins where the span does, or ends where the
// picture does.
func (f frame) label(y int, taken [][]bool, from, to int, label string, role Role) {
	w := Width(label)
	from = min(from, f.axis.columns-w)
	if from < 0 || w == 0 {
		return
	}
	for row, cells := range taken {
		for x := from; x <= max(from, to-w); x++ {
			if slices.Contains(cells[max(x-1, 0):x+w+1], true) {
				continue
			}
			for i := range w {
				cells[x+i] = true
			}
			f.Text(f.axis.left+x, y+row, label, role)
			return
		}
	}
}

func (s Span) labelRole(now time.Duration) Role {
	switch {
	case s.on(now):
		return Now
	case s.End <= now || !s.Busy:
		return Faint
	}
	return Plain
}

// byImportance returns the spans: on, to come, past, those nearer to now
// first. With no playhead that is their order in time.
func byImportance(spans []Span, now time.Duration) []Span {
	class := func(s Span) int {
		switch {
		case s.on(now):
			return 0
		case s.Start > now:
			return 1
		}
		return 2
	}
	ordered := slices.Clone(spans)
	slices.SortStableFunc(ordered, func(a, b Span) int {
		if c := cmp.Compare(class(a), class(b)); c != 0 {
			return c
		}
		if class(a) == 2 {
			return cmp.Compare(b.Start, a.Start)
		}
		return cmp.Compare(a.Start, b.Start)
	})
	return ordered
}
