package drift

import (
	"cmp"
	"slices"
	"strconv"
	"time"

	"barline/brew"
)

// Kind says what a brew was for.
type Kind string

// The kinds of brews.
const (
	Service   Kind = "service"
	Rehearsal Kind = "rehearsal"
	Practice  Kind = "practice"
	Demo      Kind = "demo"
)

// Kinds returns every kind in the order of the documentation.
func Kinds() []Kind { return []Kind{Service, Rehearsal, Practice, Demo} }

// CutOff is the ending of a brew that nobody ended: its program died and it
// was not taken up again.
const CutOff brew.Ending = "cut off"

// Conditions are what a debrief must know of a brew beyond its lane. The zero
// Conditions are those of service at full speed.
type Conditions struct {
	Kind   Kind    `json:"kind"`    // "" is taken as service
	Speed  float64 `json:"speed"`   // of the clock; 0 is taken as 1
	CutOff bool    `json:"cut_off"` // a lane that has not ended will never go on
}

// Debrief is what can be said of one brew. Times are on the recipe's clock:
// at twice the speed, a second of it lasts half a second.
type Debrief struct {
	Recipe     string        `json:"recipe"`
	Version    string        `json:"version"`    // of the recipe
	Conditions Conditions    `json:"conditions"` // none left out
	From       time.Duration `json:"from_ns"`    // what the clock read at the start
	Started    bool          `json:"started"`
	Ending     brew.Ending   `json:"ending"` // "" while it goes on
	End        time.Duration `json:"end_ns"` // when it ended; while it goes on, the latest event
	Why        string        `json:"why"`    // it was stopped, in the person's words

	Rows     []Row    `json:"rows"`    // of the asked beats, in the plan's order
	Lengths  []Length `json:"lengths"` // of cues, in the plan's order
	Contact  *Length  `json:"contact"` // nil where the brew did not get that far
	Lateness Lateness `json:"lateness"`
	Counts   Counts   `json:"counts"`
	Sentence Sentence `json:"sentence"` // where the time went
}

// Counts are how many of what there were.
type Counts struct {
	Marked     int `json:"marked"`
	Unmarked   int `json:"unmarked"`    // called, and waited for in vain
	Skipped    int `json:"skipped"`     // asked beats of skipped steps
	NotReached int `json:"not_reached"` // the brew ended before their call
	Pending    int `json:"pending"`     // may be marked yet: the brew goes on
	Skips      int `json:"skips"`       // steps that were skipped
	Moves      int `json:"moves"`       // cues that had to wait for another brew
	Strays     int `json:"strays"`      // marks that came when no beat could be meant
	Undone     int `json:"undone"`      // marks and skips that were taken back
	Nudged     int `json:"nudged"`      // marks that were moved
}

// Lateness is where a brew's time went. Its sums add up:
// Total = Person + Bed + Untold + Between.
type Lateness struct {
	Total   time.Duration `json:"total_ns"`   // drift of the last marked beat
	Person  time.Duration `json:"person_ns"`  // sum of the slips of the person's beats, but for those behind the bed
	Bed     time.Duration `json:"bed_ns"`     // sum of the slips of the bed's
	Untold  time.Duration `json:"untold_ns"`  // sum of the slips behind the bed (see Row.BehindBed): the hand's or the bed's
	Between time.Duration `json:"between_ns"` // came or went from a mark to the next beat's call: - where a pause of the recipe took lateness up
	Last    int           `json:"last"`       // the row of the last marked beat; -1 for none
	Made    []int         `json:"made"`       // the rows whose slip is outside its window, the largest first
}

// Of returns the debrief of a lane that was brewed for service at full speed.
// The lane may be going on still, or not have started.
func Of(lane brew.Lane) Debrief { return Conditions{}.Of(lane) }

// Of returns the debrief of a lane that was brewed under the conditions.
func (c Conditions) Of(lane brew.Lane) Debrief {
	plan := lane.Plan()
	d := Debrief{
		Recipe: plan.Name, Version: plan.Version, Conditions: c.filled(),
		From: lane.From(), Started: lane.Started(), End: reached(lane), Rows: []Row{}, Lengths: lengthsOf(lane),
	}
	d.Ending, _, d.Why = lane.Ending()
	if c.CutOff && d.Ending == brew.Running {
		d.Ending = CutOff
	}
	behind := behindBed(lane)
	for n, b := range plan.Beats {
		if b.Asked { // no other beat can be marked
			d.Rows = append(d.Rows, d.settled(rowOf(lane, n, d.End, behind)))
		}
	}
	d.Contact = contactOf(lane, d.End)
	d.Lateness = latenessOf(d.Rows)
	d.Counts = d.count(lane)
	d.Sentence = d.sentence()
	return d
}

// settled returns the row as the brew's end leaves it: in one that was cut
// off, nothing waits any more.
func (d Debrief) settled(r Row) Row {
	if d.Ending == CutOff && r.Status == brew.Waiting {
		r.Status = brew.Unmarked
	}
	return r
}

func (c Conditions) filled() Conditions {
	c.Kind = cmp.Or(c.Kind, Service)
	c.Speed = cmp.Or(c.Speed, 1)
	return c
}

// Excluded says why statistics leave the brew out unless they are asked for
// such; it is "" where they take it: service, at speed 1, from zero, finished.
func (d Debrief) Excluded() string {
	switch {
	case d.Conditions.Kind != Service:
		return string(d.Conditions.Kind)
	case d.Conditions.Speed != 1:
		return "at " + speed(d.Conditions.Speed)
	case !d.Started:
		return "not started"
	case d.From != 0:
		return "started at " + brew.Exact(Tenths(d.From))
	case d.Ending == brew.Running:
		return "not ended"
	case d.Ending != brew.Finished:
		return string(d.Ending)
	}
	return ""
}

// speed returns a clock's speed as people say it: 2× speed.
func speed(s float64) string { return strconv.FormatFloat(s, 'f', -1, 64) + "× speed" }

// reached returns the moment of its clock that the lane has got to: its end,
// or its latest event while it goes on.
func reached(lane brew.Lane) time.Duration {
	if !lane.Started() {
		return 0
	}
	how, at, _ := lane.Ending()
	if how != brew.Running {
		return at
	}
	at = lane.From()
	for _, e := range lane.Events() {
		at = max(at, lane.Elapsed(e.At))
	}
	return at
}

// latenessOf adds up the marked rows.
func latenessOf(rows []Row) Lateness {
	l := Lateness{Last: -1, Made: []int{}}
	for i, r := range rows {
		if !r.IsMarked() {
			continue
		}
		l.Between += r.Carried - l.Total
		switch {
		case r.Owner == brew.Bed:
			l.Bed += r.Slip
		case r.BehindBed:
			l.Untold += r.Slip
		default:
			l.Person += r.Slip
		}
		l.Total, l.Last = r.Drift, i
		if r.Own().Off() {
			l.Made = append(l.Made, i)
		}
	}
	slices.SortStableFunc(l.Made, func(a, b int) int {
		return cmp.Compare(Tenths(rows[b].Slip.Abs()), Tenths(rows[a].Slip.Abs()))
	})
	return l
}

// count counts rows, and by going through the lane's events once more what
// left no row.
func (d Debrief) count(lane brew.Lane) Counts {
	var c Counts
	for _, r := range d.Rows {
		switch {
		case r.IsMarked():
			c.Marked++
			if r.Raw != r.Marked {
				c.Nudged++
			}
		case r.Status == brew.Skipped:
			c.Skipped++
		case r.Status == brew.Waiting:
			c.Pending++
		case r.Status == brew.Unmarked && r.Reached:
			c.Unmarked++
		case r.Status == brew.Unmarked:
			c.NotReached++
		}
	}
	c.tally(lane)
	return c
}

// tally counts what the events did that still stands.
func (c *Counts) tally(lane brew.Lane) {
	var undoable []*int // what the standing marks and skips were counted as
	taken := 0
	replay := brew.NewLane(lane.Plan())
	for _, e := range lane.Events() {
		next, outcome := replay.Apply(e)
		replay = next
		as := &taken
		switch {
		case e.Kind == brew.EventUndo:
			last := len(undoable) - 1
			*undoable[last]--
			undoable = undoable[:last]
			c.Undone++
			continue
		case e.Kind == brew.EventMoved:
			c.Moves++
			continue
		case e.Kind == brew.EventSkip:
			as = &c.Skips
		case outcome.Effect == brew.Stray:
			as = &c.Strays
		case e.Kind != brew.EventMark:
			continue
		}
		*as++
		undoable = append(undoable, as)
	}
}
