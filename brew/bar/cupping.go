package bar

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"barline/brew"
)

// Table is a cupping table: one bowl's recipe many times over. Every pass goes
// in the order of pouring, and the bowls are poured at one even spacing.
type Table struct {
	Kit     Kit
	Pattern Pattern
	Bowls   int
	Every   int   // ticks from one pour to the next; 0 for the least that works
	Exact   []int // acts that keep their own time where that can be: what steeps is to steep alike
}

// NewTable returns the table of a bowl's recipe. Up to the break of the crust
// the bowls are to be alike. They are skimmed when there is a hand free until
// the tasting begins: all are broken, then all are skimmed; common practice,
// no source.
func NewTable(p *brew.Plan, bowls, every int, kit Kit) Table {
	t := Table{Kit: kit, Pattern: Read(p), Bowls: bowls, Every: every}
	t.Kit.Brewers, t.Kit.Scales = bowls, bowls // a bowl each; it is tared when it is its turn
	action := func(a Act) brew.Action { return p.Cues[a.Cue].Action }
	for i := range t.Pattern.Acts {
		switch a := &t.Pattern.Acts[i]; {
		case a.Cue < 0:
		case action(*a) == brew.Break:
			for k := range i + 1 {
				if t.Pattern.Acts[k].Cue >= 0 {
					t.Exact = append(t.Exact, k)
				}
			}
		case action(*a) == brew.Skim:
			a.Late = max(a.Late, t.tasting(p)-a.Start-a.Length)
		}
	}
	t.withoutChores()
	return t
}

// tasting returns when a bowl is first tasted, counted from its pour; zero
// where it never is.
func (t *Table) tasting(p *brew.Plan) int {
	for _, a := range t.Pattern.Acts {
		if a.Cue >= 0 && p.Cues[a.Cue].Action == brew.Taste {
			return a.Start
		}
	}
	return 0
}

// withoutChores leaves what is to be prepared and done afterwards away: all of
// a table is prepared before its first pour.
func (t *Table) withoutChores() {
	var acts []Act
	to := make([]int, len(t.Pattern.Acts))
	for i, a := range t.Pattern.Acts {
		if to[i] = len(acts); a.Cue >= 0 {
			a.Behind = slices.DeleteFunc(slices.Clone(a.Behind), func(b int) bool { return t.Pattern.Acts[b].Cue < 0 })
			for k, b := range a.Behind {
				a.Behind[k] = to[b]
			}
			acts = append(acts, a)
		}
	}
	for i, a := range t.Exact {
		t.Exact[i] = to[a]
	}
	t.Pattern.Done, t.Pattern.Acts, t.Pattern.Holds = to[t.Pattern.Done], acts, nil
}

// Problem returns the table as a problem at one spacing. Where exact is asked
// for, the acts that are to be exact have no window.
func (t Table) Problem(every int, exact bool) *Problem {
	pat := t.Pattern
	pat.Acts = slices.Clone(pat.Acts)
	for _, a := range t.Exact {
		if exact {
			pat.Acts[a].Early, pat.Acts[a].Late = 0, 0
		}
	}
	p := &Problem{Resources: t.Kit.Resources(), Patterns: []Pattern{pat}, Orders: make([]Order, t.Bowls), Goal: End, InTurn: true, Passing: -1}
	p.Horizon = min(MostHorizon, pat.extent()+t.Bowls*max(every, pat.extent()/2))
	for j := 1; j < t.Bowls; j++ {
		for a := range pat.Acts {
			p.Links = append(p.Links, Link{j - 1, a, j, a, 0})
		}
		p.Links = append(p.Links, Link{j - 1, 0, j, 0, every}, Link{j, 0, j - 1, 0, -every})
	}
	return p
}

// Laid is a table that is planned.
type Laid struct {
	Problem *Problem // an order for each bowl, as they are poured
	Plan    Plan     // every act as close to its own time as the table allows
	Every   int      // ticks from one pour to the next
	Exact   bool     // all that is to be alike is
	Proven  bool     // no lesser even spacing would do so well
}

// Most of the bowls and of the spacing that Lay takes on.
const (
	MostBowls   = 60
	MostSpacing = 300 // ticks
)

// Lay plans the table. Where the spacing is left to it, it is the least at
// which all that is to be alike is, or else the least at which every window is
// kept. Each spacing is searched for so many nodes. Where there is no plan the
// error is a *Crowded.
func (t Table) Lay(nodes int) (Laid, error) {
	if t.Bowls < 1 || t.Bowls > MostBowls {
		return Laid{}, fmt.Errorf("%d bowls, 1 to %d are possible", t.Bowls, MostBowls)
	}
	if t.Every < 0 || t.Every > MostSpacing {
		return Laid{}, fmt.Errorf("a spacing of %d s, 0 to %d are possible", t.Every, MostSpacing)
	}
	laid, sure, crowded := t.least(true, nodes)
	if crowded != nil {
		var too bool
		laid, too, crowded = t.least(false, nodes)
		sure = sure && too
	}
	if crowded != nil {
		return Laid{}, crowded
	}
	laid.Proven = sure
	return laid, nil
}

// least plans the table at the least spacing that works and says whether it is
// sure that no lesser one does; the error is that of the first one tried.
func (t Table) least(exact bool, nodes int) (Laid, bool, *Crowded) {
	from, to := max(t.Pattern.Acts[0].Length, 1), MostSpacing
	if t.Every > 0 {
		from, to = t.Every, t.Every
	}
	if t.Bowls == 1 {
		to = from
	}
	var first *Crowded
	sure := true
	for every := from; every <= to; every++ {
		laid, over, crowded := t.layAt(every, exact, nodes)
		if crowded == nil {
			return laid, sure, nil
		}
		sure = sure && over
		if first == nil {
			first = crowded
		}
	}
	return Laid{}, sure, first
}

// layAt plans the table at one spacing. Where it cannot it says whether that
// is sure.
func (t Table) layAt(every int, exact bool, nodes int) (Laid, bool, *Crowded) {
	p := t.Problem(every, exact)
	s, err := NewSearch(p, nil)
	if err != nil {
		return Laid{}, true, &Crowded{Problem: p, Conflict: Conflict{Resource: -1}}
	}
	const often = 50 // nodes between two looks
	for _, any := s.Best(); !any && s.Nodes() < nodes && s.Advance(often); {
		_, any = s.Best()
	}
	pl, any := s.Best()
	if !any {
		c, _ := p.Conflict()
		return Laid{}, s.Over(), &Crowded{p, every, c}
	}
	return Laid{Problem: p, Plan: p.atEase(pl), Every: every, Exact: exact}, true, nil
}

// atEase eases a plan with no cup to be ready by any time: what is tasted is
// best at its own time, not as soon as can be.
func (p *Problem) atEase(pl Plan) Plan {
	q := p.withActs(func(*Act) {})
	q.Patterns[0].Done = 0
	return q.Ease(pl)
}

// Crowded is a table that cannot be kept, with what is in the way.
type Crowded struct {
	Problem  *Problem
	Every    int
	Conflict Conflict
}

// Error returns that the passes clash; Conflict says where.
func (c *Crowded) Error() string { return "the passes of the table run into one another" }

// Codes returns a code of three figures for each bowl, no two alike, by
// chance from a seed: a taster learns nothing from them. Three figures by
// chance are common practice in sensory work, no source.
func Codes(bowls int, seed uint64) []string {
	r := rand.New(rand.NewPCG(seed, 3))
	var out []string
	for len(out) < bowls {
		if code := fmt.Sprint(100 + r.IntN(900)); !slices.Contains(out, code) {
			out = append(out, code)
		}
	}
	return out
}

// Coffees returns which of several coffees each bowl holds, from 0: as many
// bowls of each as there can be, by chance from a seed.
func Coffees(bowls, coffees int, seed uint64) []int {
	out := make([]int, bowls)
	for i := range out {
		out[i] = i % coffees
	}
	rand.New(rand.NewPCG(seed, 4)).Shuffle(bowls, func(i, k int) { out[i], out[k] = out[k], out[i] })
	return out
}
