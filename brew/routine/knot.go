package routine

import (
	"slices"

	"barline/brew"
)

// bond is one thing by which a routine says when something is to come.
type bond struct {
	what string
	at   brew.Place
	undo func(*Resolved)
}

// bonds returns all that ties parts to steps and starts to the clock, in the
// order of the file.
func (r Resolved) bonds() (out []bond) {
	for i, b := range r.Brews {
		if b.At != nil {
			out = append(out, bond{"the start of " + b.ID + " at " + clock(*b.At), brew.Place{Part: InBrews, Index: i, Key: "at"}, func(r *Resolved) { r.Brews[i].At = nil }})
		}
	}
	n := 0
	for i, s := range r.Sections {
		for k, p := range s.Parts {
			out = append(out, partBonds(i, k, n, p)...)
			n++
		}
	}
	return out
}

// partBonds returns those of part k of section i, the nth of the routine.
func partBonds(i, k, n int, p Part) (out []bond) {
	add := func(there bool, key, what string, undo func(*Part)) {
		if there {
			out = append(out, bond{partName(n, p) + " " + what, brew.Place{Part: InParts, Index: n, Key: key}, func(r *Resolved) { undo(&r.Sections[i].Parts[k]) }})
		}
	}
	if p.At != nil {
		add(true, "at", "at "+clock(*p.At), func(p *Part) { p.At = nil })
	}
	add(p.During != nil, "during", note(Part{During: p.During}), func(p *Part) { p.During = nil })
	add(p.After != nil, "after", note(Part{After: p.After}), func(p *Part) { p.After = nil })
	add(p.Before != nil, "before", note(Part{Before: p.Before}), func(p *Part) { p.Before = nil })
	return out
}

// knot returns the bonds of a routine that contradict each other, whoever could
// help: as few as do, so that undoing any one of them is enough. There are none
// where it is not proven that they do.
func (r Resolved) knot() (held []bond) {
	if !r.knotted() {
		return nil
	}
	loose := r.clone()
	for _, b := range r.bonds() {
		without := loose.clone()
		if b.undo(&without); without.knotted() {
			loose = without
			continue
		}
		held = append(held, b)
	}
	return held
}

// knotted reports whether it is proven that a routine cannot be performed even
// with as many of everything as could be needed.
func (r Resolved) knotted() bool {
	p := NewProblem(r, Later)
	p.Resources = slices.Clone(p.Resources)
	for k := range p.Resources {
		p.Resources[k].Capacity = plenty
	}
	return impossible(&p.Problem)
}
