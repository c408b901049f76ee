package drift

import (
	"cmp"
	"math"
	"slices"
	"time"

	"barline/brew"
	"barline/brew/drift/stat"
)

// Claim is what a finding says.
type Claim string

// What can be claimed of many brews. Each rests on a test that is right about
// chance whatever the shape of the values, if a brew does not hang on the one
// before.
const (
	ClaimLate    Claim = "usually late"  // its slip was later than the window in most brews; sign test
	ClaimEarly   Claim = "usually early" // the same, earlier
	ClaimCarried Claim = "carried"       // its drift was late in most brews, and most of that inherited; sign test
	ClaimBetter  Claim = "gets better"   // a person's slips shrink; Mann and Kendall's test of their sizes
	ClaimWorse   Claim = "gets worse"
	ClaimLater   Claim = "gets later" // the bed's slips; Mann and Kendall's test
	ClaimSooner  Claim = "gets sooner"
	ClaimOutside Claim = "outside"     // the farthest point outside the limits from a baseline, and alone there
	ClaimRun     Claim = "one side"    // the longest run on one side of the baseline's median
	ClaimWeek    Claim = "a week"      // one week against those before and those after it; rank tests
	ClaimVersion Claim = "new version" // a version against the one before; rank test
	ClaimApart   Claim = "apart"       // one set of brews against another; rank test
)

// Finding is one thing that many brews tell, in figures and in one sentence.
// Times are in seconds.
type Finding struct {
	Claim  Claim   `json:"claim"`
	Column Column  `json:"column"` // the beat it is about
	Person string  `json:"person"` // "" for everyone's, and for the bed's
	P      float64 `json:"p"`      // how often chance alone looks like this, by itself
	// Adjusted is P corrected for all that was looked at for the page (Holm
	// 1979); a finding has at most the page's rate.
	Adjusted float64 `json:"adjusted"`
	// Strength is how many seconds a brew it is about, spread over all brews
	// that were looked at. Findings are sorted by it.
	Strength float64        `json:"strength_s"`
	By       float64        `json:"by_s"` // the size of it in its sentence; + is late
	In       *stat.Interval `json:"in_s"` // of By at 95 %, where there is one
	K        int            `json:"k"`    // brews it was so in,
	N        int            `json:"n"`    // of those looked at for it
	Share    float64        `json:"share"`
	Source   *Column        `json:"source"` // of ClaimCarried: the beat that gives most, nil for no one beat
	Sigmas   float64        `json:"sigmas"` // of ClaimOutside: from the baseline's centre
	At       float64        `json:"at_s"`   // of a trend: the median of the first third,
	To       float64        `json:"to_s"`   // and of the last
	First    int            `json:"first"`  // the first of the brews it is about, as Record numbers them; -1 for all
	Last     int            `json:"last"`
	Text     string         `json:"text"`
	Note     string         `json:"note"` // what the sentence cannot tell apart; "" for nothing

	from, to time.Time // of the first and the last brew
	everyone bool      // it is so with each person who was looked at
	values   []float64 // that By is the median of
	names    [2]string // of the two sets that are apart
}

// Page is what a set's brews tell.
type Page struct {
	// Rate is how often a page holds any finding though nothing but chance
	// is at work: at most once in 1/Rate pages.
	Rate     float64   `json:"rate"`
	Looked   int       `json:"looked"` // at how many questions, each of which could have made a finding
	Brews    int       `json:"brews"`  // that were looked at: the latest of each version
	Findings []Finding `json:"findings"`
}

// PageRate is the rate of every page: one page in twenty. It is kept with room
// to spare: of 1,000 invented journals of 300 brews with nothing in them, 7 pages
// held a finding where slips were normal, 14 where they were skewed, and 6 where
// their tails were heavy (Student's t, 5 degrees of freedom).
const PageRate = 0.05

// LatestBrews is how many brews of a version, the latest, findings look at: at
// a bar that brews a recipe twenty times a day, those of eight months.
const LatestBrews = 5000

// Findings returns what the set's brews tell, the strongest first. Every beat
// of every version in the set is asked the same questions, once for each person
// who brewed it and once on the whole, and what comes out is corrected for
// having asked so much: with nothing but chance at work, at most one page in
// twenty holds any finding at all. A question that the brews cannot answer
// truly, for want of marks or because each brew resembles the one before, is
// not asked.
//
// Of the charts' rules only two make findings, a point outside and a long run
// on one side, with rates that hold for limits estimated from a baseline of 25
// (stat.Alarms). The other rules have no such rate and are drawn, not claimed.
// Slips are seldom normal, so a point outside must also stand alone (stat.Alone);
// that makes it a rare finding, of a brew that went quite wrong.
//
// The charts' limits come from the baseline given; the zero Baseline is the
// first 25 of each person in each version.
func (s Set) Findings(b Baseline) Page {
	l := newLook()
	l.baseline = b
	var before Set
	for _, part := range s.parts() {
		l.part(part)
		l.versions(before, part)
		l.brews += part.Len()
		before = part
	}
	return l.page()
}

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
	persons  map[whose]int // of how many persons a claim was asked
}

func newLook() *look { return &look{persons: map[whose]int{}} }

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
		out.Findings[i].Text = out.Findings[i].sentence()
	}
	slices.SortStableFunc(out.Findings, func(a, b Finding) int {
		return cmp.Or(cmp.Compare(b.Strength, a.Strength), cmp.Compare(a.Text, b.Text))
	})
	return out
}

// whoever makes one finding of those that are the same with every person who
// was looked at: then it is not the person. It is as sure as the least sure.
func (l *look) whoever(all []Finding) []Finding {
	same, out := map[whose][]Finding{}, []Finding{}
	for _, f := range all {
		id := whose{f.Claim, f.Column.Version, f.Column.Key}
		if f.Person == "" || l.persons[id] < 2 {
			out = append(out, f)
			continue
		}
		if same[id] = append(same[id], f); len(same[id]) < l.persons[id] {
			continue
		}
		f.Person, f.everyone, f.values = "", true, nil
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
