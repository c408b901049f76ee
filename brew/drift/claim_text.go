package drift

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"barline/brew"
)

// sentence says the finding in one sentence, without capital or full stop.
func (f Finding) sentence() string {
	switch f.Claim {
	case ClaimLate, ClaimEarly:
		return fmt.Sprintf("%s %s in %d of %d brews, usually by %s", f.does(), f.how(), f.K, f.N, seconds(f.By))
	case ClaimCarried:
		return fmt.Sprintf("%s late %s: %.0f %% of its drift is carried", f.Column.does(), f.because(), 100*min(f.Share, 1))
	case ClaimBetter:
		return fmt.Sprintf("%s ever closer to its call: off by %s at first, by %s of late", f.does(), seconds(f.At), seconds(f.To))
	case ClaimWorse:
		return fmt.Sprintf("%s ever farther from its call: off by %s at first, by %s of late", f.does(), seconds(f.At), seconds(f.To))
	case ClaimLater, ClaimSooner:
		return fmt.Sprintf("%s ever %s: by its own %s at first, %s of late", f.does(), f.than(), signed(f.At), signed(f.To))
	case ClaimOutside:
		return fmt.Sprintf("on %s %s %s %s, %.1f sigma from what was usual", day(f.from), f.did(), seconds(f.By), lateOrEarly(duration(f.By)), math.Abs(f.Sigmas))
	case ClaimRun:
		return fmt.Sprintf("%s %s than before, %d times in a row, mostly by %s", f.while(), f.than(), f.K, seconds(f.By))
	case ClaimWeek:
		return fmt.Sprintf("in the week of %s %s %s %s than in the weeks around it", day(monday(f.from)), f.Column.did(), seconds(f.By), f.than())
	case ClaimVersion:
		return fmt.Sprintf("since version %s %s %s %s than before, by its own", f.Column.Version, f.Column.does(), seconds(f.By), f.than())
	}
	return fmt.Sprintf("%s %s %s with %s than with %s", f.Column.does(), seconds(f.By), f.than(), f.names[0], f.names[1])
}

// because says which beat the drift comes from. That this one itself is late is
// said only where it was found.
func (f Finding) because() string {
	switch {
	case f.Source == nil:
		return "by what it inherits"
	case !f.caused:
		return "by what it inherits, most of it from " + f.Source.noun()
	}
	return "because " + f.Source.does() + " late"
}

// while says from when until when somebody did what: a run that is over is of
// the past.
func (f Finding) while() string {
	who, what, _ := strings.Cut(f.did(), " "+past[f.Column.verb()])
	done := past[f.Column.verb()] + what
	if f.Ended {
		return fmt.Sprintf("from %s until %s %s %s", day(f.from), day(f.to), who, done)
	}
	return fmt.Sprintf("since %s %s has %s", day(f.from), who, done)
}

func (f Finding) how() string {
	if f.Claim == ClaimEarly {
		return string(Early)
	}
	return string(Late)
}

func (f Finding) than() string {
	if f.By < 0 {
		return "sooner"
	}
	return "later"
}

// does says who ends or starts what; did the same of the past.
func (f Finding) does() string {
	switch {
	case f.Column.Owner == brew.Bed:
		return f.Column.does()
	case f.everyone:
		return "whoever brews " + f.Column.verb() + " " + f.Column.noun()
	case len(f.Persons) > 0:
		return several(f.Persons) + " " + strings.TrimSuffix(f.Column.verb(), "s") + " " + f.Column.noun()
	case f.Person == "":
		return f.Column.does()
	}
	return f.Person + " " + f.Column.verb() + " " + f.Column.noun()
}

func (f Finding) did() string {
	if f.Column.Owner == brew.Bed || f.Person == "" {
		return f.Column.did()
	}
	return f.Person + " " + past[f.Column.verb()] + " " + f.Column.noun()
}

// several names persons, or says how many where they are many.
func several(names []string) string {
	const most = 4
	if len(names) > most {
		return number(len(names)) + " persons"
	}
	said := slices.Clone(names)
	for i, name := range said {
		if name == "" {
			said[i] = "somebody without a name"
		}
	}
	last := len(said) - 1
	return strings.Join(said[:last], ", ") + " and " + said[last]
}

var past = map[string]string{"ends": "ended", "starts": "started", "drains": "drained"}

// noun names the beat's step: the bloom, the bed.
func (c Column) noun() string {
	if c.Owner == brew.Bed && c.Step == string(brew.Drawdown) {
		return "the bed"
	}
	return "the " + strings.TrimPrefix(c.Step, "the ")
}

func (c Column) verb() string {
	switch {
	case c.Owner == brew.Bed:
		return "drains"
	case c.Edge == brew.StartEdge:
		return "starts"
	}
	return "ends"
}

func (c Column) does() string { return c.noun() + " " + c.verb() }
func (c Column) did() string  { return c.noun() + " " + past[c.verb()] }

func duration(s float64) time.Duration { return time.Duration(math.Round(s * 1e9)) }
func seconds(s float64) string         { return figure(duration(math.Abs(s))) }
func signed(s float64) string          { return brew.Signed(duration(s)) }
