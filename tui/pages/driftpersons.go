package pages

import (
	"bytes"
	"cmp"
	"maps"
	"math"
	"slices"
	"time"

	"barline/brew"
	"barline/brew/drift"
	"barline/brew/drift/stat"
)

// driftPersons is what the persons' page shows.
type driftPersons struct {
	version string // that counts: the newest
	brews   int
	rows    []driftPerson
}

// driftPerson is how one person brews the recipe. A brew is on time where every
// asked beat of the person's was marked inside its window by slip, as in an
// attempt to brew alone. Brews are counted, not beats, for beats of one brew
// hang together; so are those that were stopped, which were not shown to be on
// time.
type driftPerson struct {
	name   string // "" for brews of which nobody said who brewed
	onTime drift.Share
	trend  drift.Trend // of the mean size of a brew's slips
	tries  []driftTry  // in the order in which they were opened
	found  []drift.Finding
}

// driftTry is an attempt to brew alone, and when the brew began at which it
// failed.
type driftTry struct {
	drift.Fit
	failed time.Time
}

// by reports whether it is the attempt of a person, who is known whatever the
// case.
func (t driftTry) by(name string) bool { return drift.Same(t.Attempt.Person, name) }

// personsOf works out the persons' page.
func personsOf(m Many) driftPersons {
	all := m.choose("", false)
	out := driftPersons{version: all.Version(), brews: all.Len()}
	tries := m.tries()
	page := all.Findings(m.Baseline)
	names := all.Persons()
	for _, t := range tries { // whoever tried stays visible
		if !slices.ContainsFunc(names, t.by) {
			names = append(names, t.Attempt.Person)
		}
	}
	slices.Sort(names)
	for _, name := range names {
		p := driftPerson{name: name, onTime: m.onTime(name, out.version), trend: m.steadier(name, out.version)}
		for _, t := range tries {
			if t.by(name) {
				p.tries = append(p.tries, t)
			}
		}
		for _, f := range page.Findings {
			if f.Person == name && name != "" {
				p.found = append(p.found, f)
			}
		}
		out.rows = append(out.rows, p)
	}
	return out
}

// tries returns what came of every attempt, the first opened first.
func (m Many) tries() []driftTry {
	var out []driftTry
	for _, f := range m.Record.Fit(m.Attempts) {
		t := driftTry{Fit: f}
		if f.Failed >= 0 {
			t.failed = m.Record.Head(f.Failed).Start
		}
		out = append(out, t)
	}
	slices.SortStableFunc(out, func(a, b driftTry) int { return a.Attempt.Opened.Compare(b.Attempt.Opened) })
	return out
}

// onTime returns how many of a person's brews were on time throughout: what an
// attempt over all of them would come to.
func (m Many) onTime(name, version string) drift.Share {
	opened := m.Since
	if opened.IsZero() {
		opened = time.Unix(0, 0)
	}
	f := m.Record.Fit([]drift.Attempt{{Person: name, Version: version, Opened: opened, Brews: math.MaxInt}})[0]
	s := drift.Share{K: f.OnTime, N: f.Of, In: stat.Wilson(f.OnTime, f.Of, confidence)}
	if s.N == 0 {
		s.Withheld = drift.TooFew
	}
	return s
}

// confidence is the level of intervals, as drift has it.
const confidence = 0.95

// steadier returns the trend of how far a person's marks are from their calls,
// a brew at a time: falling is closer.
func (m Many) steadier(name, version string) drift.Trend {
	set := m.Record.Choose(drift.Choice{Persons: []string{name}, Since: m.Since, Version: version, Last: drift.Latest})
	sums, marks, pooled := map[int32]float64{}, map[int32]int{}, drift.Tally{}
	var sizes drift.Series // takes over the brews of a beat's
	for _, c := range set.Columns() {
		s, ok := set.Series(c.What, c.Key, drift.BySlip)
		if !ok || c.What != drift.Beats || c.Owner == brew.Bed {
			continue
		}
		sizes = s
		pooled.Marked, pooled.Unmarked = pooled.Marked+s.Tally.Marked, pooled.Unmarked+s.Tally.Unmarked
		for i, n := range s.Brews {
			sums[n] += math.Abs(s.Values[i])
			marks[n]++
		}
	}
	if pooled.UnmarkedShare() > drift.MostUnmarked {
		return drift.Trend{Withheld: drift.Gaps}
	}
	return m.meanSizes(sizes, sums, marks).Trend()
}

// meanSizes puts the mean sizes of brews into a series, in the order of time.
func (m Many) meanSizes(s drift.Series, sums map[int32]float64, marks map[int32]int) drift.Series {
	s.Brews = slices.SortedFunc(maps.Keys(marks), func(a, b int32) int {
		x, y := m.Record.Head(int(a)), m.Record.Head(int(b))
		return cmp.Or(x.Start.Compare(y.Start), bytes.Compare(x.ID[:], y.ID[:]))
	})
	s.Values = nil
	for _, n := range s.Brews {
		s.Values = append(s.Values, sums[n]/float64(marks[n]))
	}
	s.Tally = drift.Tally{Brews: len(s.Values), Marked: len(s.Values)}
	return s
}
