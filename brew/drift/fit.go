package drift

import (
	"slices"
	"time"

	"barline/brew"
	"barline/brew/drift/stat"
)

// Attempt is a trial of whether a person may brew a version of the recipe
// alone: how many brews count was fixed when it was opened.
type Attempt struct {
	Person  string    `json:"person"`
	Version string    `json:"version"`
	Opened  time.Time `json:"opened"` // brews from this instant on count
	Brews   int       `json:"brews"`  // how many, at least 1
	// Withdrawn is when it was taken back; later brews are none of it. Zero
	// where it was not.
	Withdrawn time.Time `json:"withdrawn,omitzero"`
}

// Standing is how an attempt stands.
type Standing string

// The standings. An attempt that was not through when the next one for the same
// person (see Same) and version was opened is given up.
const (
	UnderWay  Standing = "under way"
	Passed    Standing = "passed"
	Failed    Standing = "failed"
	GivenUp   Standing = "given up"
	TakenBack Standing = "withdrawn" // before it was through
	// Void is an attempt of which a brew was forgotten, unless it failed by one
	// of its brews that is left: how it would stand nobody knows. It can be
	// passed no more.
	Void Standing = "void"
)

// Fit is an attempt and what came of it. The attempt is passed when every
// asked beat of the person's in all its brews was inside its window by slip;
// the bed's beats do not count. A beat without a mark was not shown to be in
// time, and a brew that was stopped was not shown to be one: both fail.
type Fit struct {
	Attempt  Attempt  `json:"attempt"`
	Standing Standing `json:"standing"`
	Done     int      `json:"done"`   // brews that went well, up to the failure
	Failed   int      `json:"failed"` // the brew that failed, as Record numbers brews; -1 for none
	Why      string   `json:"why"`    // it failed or is void: 'bloom, end: late', 'two brews of it were forgotten'
	Lost     int      `json:"lost"`   // brews of it that were forgotten
	// Untold are beats in Done brews that are not judged, because the bed's
	// lateness may be in them (see Row.BehindBed).
	Untold int `json:"untold"`

	// Beside it stands how the person brews on the whole: of all brews of
	// this version since the first attempt was opened, whoever chose them,
	// how many were on time throughout, and the exact lower bound of that
	// rate at 95 % (Clopper and Pearson 1934). Trying until it works does
	// not raise it, nor does forgetting: a brew that was forgotten counts as
	// one that was not shown to be on time. Brews count, not beats: beats of one brew hang together.
	OnTime  int     `json:"on_time"`
	Of      int     `json:"of"`
	AtLeast float64 `json:"at_least"` // 0 to 1
}

// Fit returns what came of each attempt, in the order given. Failed attempts
// stay among them.
func (r *Record) Fit(attempts []Attempt) []Fit {
	out := make([]Fit, len(attempts))
	for i, a := range attempts {
		first, next := a.Opened, time.Time{}
		for _, o := range attempts {
			if !Same(o.Person, a.Person) || o.Version != a.Version {
				continue
			}
			if o.Opened.Before(first) {
				first = o.Opened
			}
			if o.Opened.After(a.Opened) && (next.IsZero() || o.Opened.Before(next)) {
				next = o.Opened
			}
		}
		out[i] = r.fit(a, first, next)
	}
	return out
}

// fit judges one attempt. The person's first was opened at first, the one
// after this at next, which is zero for none.
func (r *Record) fit(a Attempt, first, next time.Time) Fit {
	f := Fit{Attempt: a, Standing: UnderWay, Failed: -1}
	left := GivenUp
	if !a.Withdrawn.IsZero() && (next.IsZero() || a.Withdrawn.Before(next)) {
		next, left = a.Withdrawn, TakenBack
	}
	through := next // from then on no brew is of the attempt
	for _, n := range r.brewsOf(a.Person, a.Version, first) {
		why, untold := r.offIn(n)
		f.Of++
		if why == "" {
			f.OnTime++
		}
		start := r.brews[n].begun()
		if f.Standing != UnderWay || start.Before(a.Opened) || !next.IsZero() && !start.Before(next) {
			continue
		}
		if why != "" {
			f.Standing, f.Failed, f.Why, through = Failed, int(n), why, start
			continue
		}
		f.Untold += untold
		if f.Done++; f.Done >= a.Brews {
			f.Standing, through = Passed, start
		}
	}
	if f.Standing == UnderWay && !next.IsZero() {
		f.Standing = left
	}
	f.forget(first, through, r.forgotten)
	if f.Of > 0 {
		f.AtLeast = stat.AtLeast(f.OnTime, f.Of, confidence)
	}
	return f
}

// forget takes in the brews that were forgotten. Those since the first attempt
// was not shown to be on time; those until this one was through were of it.
func (f *Fit) forget(first, through time.Time, forgotten []Forgotten) {
	a := f.Attempt
	for _, g := range forgotten {
		if !Same(g.Person, a.Person) || g.Version != a.Version || g.Start.Before(first) {
			continue
		}
		f.Of++
		if !g.Start.Before(a.Opened) && (through.IsZero() || g.Start.Before(through)) {
			f.Lost++
		}
	}
	// However the forgotten went, that brew was one of it.
	sure := f.Standing == Failed && f.Done+f.Lost < a.Brews
	if f.Lost > 0 && !sure {
		f.Standing, f.Failed, f.Why = Void, -1, times(f.Lost, "one brew of it was forgotten", "brews of it were forgotten")
	}
}

// brewsOf returns all brews of a person and a version from an instant on,
// stopped ones too, in order.
func (r *Record) brewsOf(person, version string, since time.Time) []int32 {
	var out []int32
	who := slices.IndexFunc(r.persons.list, func(p string) bool { return Same(p, person) })
	for n := range r.brews {
		k := &r.brews[n]
		if int(k.person) == who && r.versions.list[k.version] == version && k.start >= since.UnixNano() {
			out = append(out, int32(n))
		}
	}
	r.sort(out)
	return out
}

// offIn says what of the person's was not shown to be on time in a brew; ""
// for nothing. untold are its beats that cannot be judged, which then do not
// count.
func (r *Record) offIn(n int32) (why string, untold int) {
	k := &r.brews[n]
	if k.stopped {
		return "not finished", 0
	}
	shown := false
	for _, c := range r.cellsOf(k) {
		column := r.columns[c.column]
		if column.What != Beats || column.Owner == brew.Bed {
			continue
		}
		if what := c.off(); what != "" {
			return column.Name + ": " + what, 0
		}
		if c.own() == saysNothing {
			untold++
			continue
		}
		shown = true
	}
	switch {
	case !shown && untold > 0:
		return "no beat of the hand could be told from the bed's", untold
	case !shown:
		return "no beat was asked", 0
	}
	return "", untold
}

// off says how a person's beat was not on time, "" where it was.
func (c cell) off() string {
	switch {
	case c.fate == Unmarked:
		return "unmarked"
	case c.fate == Skipped:
		return "skipped"
	case c.fate == NotReached:
		return "not reached"
	case c.own() == saysEarly:
		return string(Early)
	case c.own() == saysLate:
		return string(Late)
	}
	return ""
}
