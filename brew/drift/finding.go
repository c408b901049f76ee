package drift

import (
	"time"

	"barline/brew/drift/stat"
)

// Claim is what a finding says.
type Claim string

// What can be claimed of many brews. Each rests on a test that is right about
// chance whatever the shape of the values, and that allows for brews that hang on
// the one before.
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
	Claim  Claim  `json:"claim"`
	Column Column `json:"column"` // the beat it is about
	Person string `json:"person"` // "" for everyone's, for several persons' and for the bed's
	// Persons are those it is so with, each by their own brews, where it is so
	// with all who had brews enough to be looked at, and these are several.
	Persons []string `json:"persons,omitempty"`
	P       float64  `json:"p"` // how often chance alone looks like this, by itself
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
	Ended    bool           `json:"ended"` // of ClaimRun: it is over, the latest brews are not of it
	Text     string         `json:"text"`
	Note     string         `json:"note"` // what the sentence cannot tell apart; "" for nothing

	from, to time.Time // of the first and the last brew
	everyone bool      // Persons are all who brewed
	caused   bool      // of ClaimCarried: that the source itself is late was found, too
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
// to spare where brews do not hang on each other: of 1,000 invented journals of
// 300 brews with nothing in them, 4 pages held a finding where slips were normal, 3
// where they were skewed, and 3 where their tails were heavy (Student's t, 5
// degrees of freedom). It is kept still where each hangs on the one before by 0.5,
// be that the bar's or the person's own: of 1,000 pages 2 to 17 held one with 300
// brews, and 6 to 52 with 60, three persons' 20 each. Where they hang on each
// other much more it is not: by 0.8, one page in seven at worst.
const PageRate = 0.05

// LatestBrews is how many brews of a version, the latest, findings look at: at
// a bar that brews a recipe twenty times a day, those of eight months.
const LatestBrews = 5000

// Findings returns what the set's brews tell, the strongest first. Every beat
// of every version in the set is asked the same questions, once for each person
// who brewed it and once on the whole, and what comes out is corrected for
// having asked so much: with nothing but chance at work, at most one page in
// twenty holds any finding at all. What chance makes is worked out for brews that
// resemble the one before as far as these may (stat.Echoing). A question that
// they cannot answer truly, for want of marks or because they plainly hang on
// each other, is not asked.
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
