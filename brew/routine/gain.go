package routine

import (
	"cmp"
	"fmt"
	"slices"
	"time"
)

// Gain is what a routine would gain by one change, or by several together.
type Gain struct {
	What   []string
	By     time.Duration // how much sooner it could end
	Proven bool          // that it could not gain more
}

// change is something that a person could change in a routine.
type change struct {
	what string
	make func(*Resolved)
}

// step is by how much a candidate shortens what is said or moves a start.
const step = 10 * time.Second

// Gains returns what would have to move for the routine to end so much sooner:
// each change that is enough by itself, the one that gains most first, or
// where none is, the pair that gains most and is enough; where not even that
// is, the best single change. Every one is planned anew for so many nodes.
// Base is a search for the routine as it is.
func (s *Search) Gains(by time.Duration, nodes int) []Gain {
	base := s.Plan().End
	all := s.routine.changes()
	var gains []Gain
	for _, c := range all {
		if g := s.routine.gain(base, nodes, c); g.By > 0 {
			gains = append(gains, g)
		}
	}
	sortGains(gains)
	enough := slices.DeleteFunc(slices.Clone(gains), func(g Gain) bool { return g.By < by })
	if len(enough) > 0 {
		return enough
	}
	if pair, found := s.routine.bestPair(base, by, nodes, all); found {
		return []Gain{pair}
	}
	return gains[:min(len(gains), 1)]
}

func sortGains(gains []Gain) {
	slices.SortStableFunc(gains, func(a, b Gain) int { return cmp.Compare(b.By, a.By) })
}

// mostPairs bounds how many pairs of changes are planned.
const mostPairs = 400

// bestPair returns the first pair of changes that gains enough, of those that
// come sooner in the list of all.
func (r Resolved) bestPair(base, by time.Duration, nodes int, all []change) (best Gain, found bool) {
	tried := 0
	for i := range all {
		for k := i + 1; k < len(all) && tried < mostPairs; k++ {
			tried++
			if g := r.gain(base, nodes, all[i], all[k]); g.By >= by && g.By > best.By {
				best, found = g, true
			}
		}
	}
	return best, found
}

// gain plans the routine with changes made.
func (r Resolved) gain(base time.Duration, nodes int, changes ...change) Gain {
	changed := r.clone()
	g := Gain{}
	for _, c := range changes {
		g.What = append(g.What, c.what)
		c.make(&changed)
	}
	search := Solve(changed, nodes)
	if search.Found() {
		g.By, g.Proven = base-search.Plan().End, search.Proven()
	}
	return g
}

// clone returns a routine whose brews and parts can be changed.
func (r Resolved) clone() Resolved {
	r.Brews, r.Sections = slices.Clone(r.Brews), slices.Clone(r.Sections)
	for i := range r.Sections {
		r.Sections[i].Parts = slices.Clone(r.Sections[i].Parts)
	}
	return r
}

// changes returns what could be changed in a routine, one thing at a time.
func (r Resolved) changes() (out []change) {
	for i, b := range r.Brews {
		out = append(out, brewChanges(i, b)...)
	}
	n := 0
	for i, s := range r.Sections {
		for k, p := range s.Parts {
			out = append(out, partChanges(r.Routine, i, k, n, p)...)
			n++
		}
	}
	if r.Together > 0 {
		out = append(out, change{"serve without a bound on how far apart", func(r *Resolved) { r.Together = 0 }})
	}
	out = append(out, change{"let steps come later within their windows", func(r *Resolved) { r.Loose = true }})
	return append(out, change{"take one more kettle", func(r *Resolved) { r.Kettles = max(r.Kettles, 1) + 1 }})
}

func brewChanges(i int, b Brew) (out []change) {
	if b.At != nil {
		out = append(out, change{"leave the start of " + b.ID + " to the planner", func(r *Resolved) { r.Brews[i].At = nil }})
	}
	if !b.Ready {
		out = append(out, change{"prepare " + b.ID + " in set-up time", func(r *Resolved) { r.Brews[i].Ready = true }})
	}
	if len(b.Quiet) > 0 {
		out = append(out, change{"speak through all of " + b.ID, func(r *Resolved) { r.Brews[i].Quiet = nil }})
	}
	return out
}

// partChanges returns what could be changed in part k of section i, the nth of
// the routine.
func partChanges(r Routine, i, k, n int, p Part) (out []change) {
	name := partName(n, p)
	add := func(what string, make func(*Part)) {
		out = append(out, change{what, func(r *Resolved) { make(&r.Sections[i].Parts[k]) }})
	}
	if p.At != nil {
		add("let "+name+", begin when it can", func(p *Part) { p.At = nil })
	}
	if p.During != nil || p.After != nil || p.Before != nil {
		add("say "+name+", whenever it fits, not "+note(p), func(p *Part) { p.During, p.After, p.Before = nil, nil, nil })
	}
	if length := r.Length(p); length > step {
		add(fmt.Sprintf("make %s, 10 s shorter", name), func(p *Part) { p.Over = length - step })
	}
	if p.Hands {
		add("keep the hands free in "+name, func(p *Part) { p.Hands = false })
	}
	return out
}
