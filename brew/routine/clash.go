package routine

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"barline/brew"
	"barline/brew/bar"
)

// Clash is why a routine cannot be performed: things that need the same person,
// voice or tool at the same second, whatever else is moved.
type Clash struct {
	Needs string        // the person, the voice, the kettle, …
	What  []string      // the things that need it
	Where []brew.Place  // of each of them, in the routine
	At    time.Duration // the first second at which they do
	Until time.Duration
}

// String returns the clash in words.
func (c Clash) String() string {
	return fmt.Sprintf("%s need %s from %s to %s", listed(c.What), c.Needs, clock(c.At), clock(c.Until))
}

func listed(words []string) string {
	n := len(words) - 1
	if n < 1 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:n], ", ") + " and " + words[n]
}

// needs says a resource as a person would.
var needs = map[int]string{bar.Hands: "the same pair of hands", bar.Voice: "the same voice", bar.Kettle: "the same kettle", bar.Brewer: "the same brewer", bar.Scale: "the same scale"}

// plenty is more of everything than a routine can need at a time.
const plenty = 100

// each is how many nodes one question of a clash is given.
const each = 2_000

// Why returns the clashes that make a routine impossible, as few as explain
// it: things none of which could be left out. None are returned where its
// ties contradict each other by themselves, or where it is not proven that
// there is no plan.
func Why(r Resolved) []Clash {
	p := NewProblem(r, Later)
	if !impossible(&p.Problem) {
		return nil
	}
	p.leaveOut()
	return p.overlaps()
}

// impossible reports whether it is proven that a problem has no plan.
func impossible(p *bar.Problem) bool {
	s, err := bar.NewSearch(p, nil)
	if err != nil {
		return false
	}
	s.Advance(each)
	_, found := s.Best()
	return !found && s.Over()
}

// leaveOut takes from every act, one after the other, what it uses, as long
// as it stays proven that there is no plan. The last go first, so that what is
// left is what a person meets first.
func (p *Problem) leaveOut() {
	for j := range p.Patterns {
		p.Patterns[j].Acts = slices.Clone(p.Patterns[j].Acts)
		holds := p.Patterns[j].Holds
		if p.Patterns[j].Holds = nil; !impossible(&p.Problem) {
			p.Patterns[j].Holds = holds
		}
	}
	for j := len(p.Patterns) - 1; j >= 0; j-- {
		for a := len(p.Patterns[j].Acts) - 1; a >= 0; a-- {
			p.free(&p.Patterns[j].Acts[a])
		}
	}
}

// free takes from an act what it uses, as far as there is still no plan.
func (p *Problem) free(a *bar.Act) {
	for n := len(a.Uses) - 1; n >= 0; n-- {
		uses := a.Uses
		a.Uses = slices.Delete(slices.Clone(uses), n, n+1)
		if !impossible(&p.Problem) {
			a.Uses = uses
		}
	}
}

// overlaps plans with as many of everything as may be needed and returns where
// more is needed than there is.
func (p *Problem) overlaps() (out []Clash) {
	ample := p.Problem
	ample.Resources = slices.Clone(p.Resources)
	for k := range ample.Resources {
		ample.Resources[k].Capacity = plenty
	}
	s, err := bar.NewSearch(&ample, nil)
	if err != nil {
		return nil
	}
	s.Advance(each)
	best, found := s.Best()
	if !found {
		return nil
	}
	for k := range p.Resources {
		out = append(out, p.overlap(best, k)...)
	}
	return out
}

// use is an act that uses a resource for a while.
type use struct {
	what     string
	where    brew.Place
	from, to int
}

// overlap returns the first stretch in which a resource is over-booked.
func (p *Problem) overlap(best bar.Plan, resource int) []Clash {
	uses := p.uses(best, resource)
	var first *Clash
	for _, u := range uses {
		c := Clash{Needs: needs[resource], At: seconds(u.from), Until: seconds(u.to)}
		for _, o := range uses {
			if o.from <= u.from && u.from < o.to {
				c.What, c.Where, c.Until = append(c.What, o.what), append(c.Where, o.where), min(c.Until, seconds(o.to))
			}
		}
		if len(c.What) > p.Resources[resource].Capacity && (first == nil || c.At < first.At) {
			first = &c
		}
	}
	if first == nil {
		return nil
	}
	return []Clash{*first}
}

func (p *Problem) uses(best bar.Plan, resource int) (out []use) {
	for j, o := range p.Orders {
		pat := p.Patterns[o.Pattern]
		for a, act := range pat.Acts {
			if slices.Contains(act.Uses, resource) && act.Length > 0 {
				out = append(out, use{p.name(j, a), p.where(j, a), best.Starts[j][a], best.Starts[j][a] + act.Length})
			}
		}
		for _, h := range pat.Holds {
			if h.Resource == resource {
				out = append(out, use{pat.Name, p.where(j, h.From), best.Starts[j][h.From], best.Starts[j][h.To] + pat.Acts[h.To].Length})
			}
		}
	}
	return out
}

// where is the place of an act in the routine.
func (p *Problem) where(order, act int) brew.Place {
	if order == p.talk {
		return brew.Place{Part: InParts, Index: act}
	}
	return brew.Place{Part: InBrews, Index: order}
}
