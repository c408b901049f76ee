package drift

import (
	"cmp"
	"math"
	"slices"

	"barline/brew"
	"barline/brew/drift/stat"
)

// parts returns the latest brews of each version in the set, in the order in
// which the versions were last brewed.
func (s Set) parts() []Set {
	last := map[uint16]int{}
	for i, n := range s.brews {
		last[s.record.brews[n].version] = i
	}
	var out []Set
	for v := range last {
		p := s.only(func(k *kept) bool { return k.version == v })
		p.newest = int(v)
		p.brews = p.brews[max(0, len(p.brews)-LatestBrews):]
		out = append(out, p)
	}
	slices.SortFunc(out, func(a, b Set) int { return cmp.Compare(last[uint16(a.newest)], last[uint16(b.newest)]) })
	return out
}

// only returns the set's brews that are wanted.
func (s Set) only(wanted func(k *kept) bool) Set {
	out := Set{record: s.record, newest: s.newest}
	for _, n := range s.brews {
		if wanted(&s.record.brews[n]) {
			out.brews = append(out.brews, n)
		}
	}
	return out
}

func (s Set) by(person string) Set {
	return s.only(func(k *kept) bool { return s.record.persons.list[k.person] == person })
}

// look collects questions, each with the chance that nothing is behind it.
type look struct {
	baseline Baseline
	asked    []question
	brews    int
	persons  map[whose][]string // of whom a claim was asked
	brewers  map[string]int     // how many persons brewed a version
}

func newLook() *look { return &look{persons: map[whose][]string{}, brewers: map[string]int{}} }

// whose is what a claim about a person is about.
type whose struct {
	claim        Claim
	version, key string
}

// question is one look at the brews. Its finding is worked out only if the
// page makes it one; ok is false where it then has nothing to say.
type question struct {
	p       float64
	finding func() (f Finding, ok bool)
}

func (l *look) ask(p float64, finding func() (Finding, bool)) {
	if !math.IsNaN(p) {
		l.asked = append(l.asked, question{p, finding})
	}
}

// part asks about one version.
func (l *look) part(s Set) {
	l.brewers[s.Version()] = len(s.Persons())
	for _, n := range s.columns() {
		c := s.record.columns[n]
		if c.What != Beats {
			continue
		}
		pooled := s.series(n, BySlip)
		owners := []owned{{"", pooled}}
		if c.Owner != brew.Bed {
			owners = owners[:0]
			for _, p := range s.Persons() {
				owners = append(owners, owned{p, s.by(p).series(n, BySlip)})
			}
		}
		for _, o := range owners {
			l.usual(o, s.Len())
			l.trend(o, s.Len())
		}
		l.charts(owners, s.Len())
		l.carried(s, n)
		l.weeks(pooled, s.Len())
	}
}

// owned is the slips of whoever owns a beat: a person, or the bed, "".
type owned struct {
	person string
	Series
}

// page corrects for all that was asked and keeps what is left.
func (l *look) page() Page {
	out := Page{Rate: PageRate, Looked: len(l.asked), Brews: l.brews, Findings: []Finding{}}
	ps := make([]float64, len(l.asked))
	for i, q := range l.asked {
		ps[i] = q.p
	}
	for i, adjusted := range stat.Holm(ps) {
		if adjusted > PageRate {
			continue
		}
		f, ok := l.asked[i].finding()
		if !ok || math.Abs(f.By) < shown/2 { // it would read 0.0 s
			continue
		}
		f.P, f.Adjusted = ps[i], adjusted
		out.Findings = append(out.Findings, f)
	}
	out.Findings = spare(l.whoever(out.Findings))
	for i := range out.Findings {
		f := &out.Findings[i]
		f.caused = f.Claim == ClaimCarried && f.Source != nil && 2*lateIn(out.Findings, *f.Source) > f.N
		f.Text = f.sentence()
	}
	slices.SortStableFunc(out.Findings, func(a, b Finding) int {
		return cmp.Or(cmp.Compare(b.Strength, a.Strength), cmp.Compare(a.Text, b.Text))
	})
	return out
}

// lateIn returns in how many brews a beat was late by itself, of those that
// findings are about.
func lateIn(all []Finding, c Column) (n int) {
	for _, f := range all {
		if f.Claim == ClaimLate && f.Column.Version == c.Version && f.Column.Key == c.Key {
			n += f.K
		}
	}
	return n
}

// whoever makes one finding of those that are the same with every person who
// was looked at, if these are several. It is as sure as the least sure. Only
// where everyone who brewed was looked at does it say so.
func (l *look) whoever(all []Finding) []Finding {
	same, out := map[whose][]Finding{}, []Finding{}
	for _, f := range all {
		id := whose{f.Claim, f.Column.Version, f.Column.Key}
		asked := l.persons[id]
		if len(asked) < 2 {
			out = append(out, f)
			continue
		}
		if same[id] = append(same[id], f); len(same[id]) < len(asked) {
			continue
		}
		f.Person, f.Persons, f.everyone, f.values = "", asked, len(asked) == l.brewers[id.version], nil
		f.K, f.N, f.Strength = 0, 0, 0
		for _, g := range same[id] {
			f.K, f.N, f.values = f.K+g.K, f.N+g.N, append(f.values, g.values...)
			f.P, f.Adjusted, f.Strength = max(f.P, g.P), max(f.Adjusted, g.Adjusted), f.Strength+g.Strength
		}
		f.By = stat.Median(f.values)
		out = append(out, f)
		delete(same, id)
	}
	for _, left := range same {
		out = append(out, left...)
	}
	return out
}

// shown is the finest that is shown, in seconds.
const shown = 0.1

// spare leaves out findings that another one explains.
func spare(all []Finding) []Finding {
	return slices.DeleteFunc(slices.Clone(all), func(f Finding) bool {
		return slices.ContainsFunc(all, func(g Finding) bool { return g.explains(f) })
	})
}

// explains reports whether f says no more than g: a run on one side where the
// same series has a trend; a run or a point outside in a week that was found
// for the same beat, give or take some days by which chance made it longer; a
// beat that inherits less from the same source.
func (g Finding) explains(f Finding) bool {
	if g.Column.Version != f.Column.Version {
		return false
	}
	same := g.Column.Key == f.Column.Key
	switch g.Claim {
	case ClaimBetter, ClaimWorse, ClaimLater, ClaimSooner:
		return same && f.Claim == ClaimRun && f.Person == g.Person
	case ClaimWeek:
		first := monday(g.from)
		within := !f.from.Before(first.AddDate(0, 0, -3)) && f.to.Before(first.AddDate(0, 0, 10))
		return same && within && (f.Claim == ClaimRun || f.Claim == ClaimOutside)
	case ClaimCarried:
		return f.Claim == ClaimCarried && g.Source != nil && f.Source != nil && g.Source.Key == f.Source.Key && g.Strength > f.Strength
	}
	return false
}
