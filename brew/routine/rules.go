package routine

import (
	"fmt"
	"strings"
	"time"
)

// Count says which seconds over the limit cost points.
type Count string

// A second costs as soon as it has begun, or only once it is complete.
const (
	Begun     Count = "begun"
	Completed Count = "completed"
)

// Counts returns every Count in the order of the documentation.
func Counts() []Count { return []Count{Begun, Completed} }

// Rules are what the rules of the day say of the time. A zero field was left
// out.
type Rules struct {
	Points int           // for each second over the limit
	Count  Count         // which seconds count
	Cap    int           // the most points
	Out    time.Duration // on the clock: past it the run is out
}

// The usual rules, by which a field that was left out is judged: from memory,
// to be checked against the current rules of the competition.
const (
	UsualPoints = 1
	UsualCount  = Begun
	UsualCap    = 60
	UsualOut    = time.Minute // over the limit
)

// Filled returns the rules with what was left out at its usual figure, and
// what that was.
func (r Rules) Filled(limit time.Duration) (full Rules, assumed []string) {
	fill := func(left bool, name string, put func()) {
		if left {
			put()
			assumed = append(assumed, name)
		}
	}
	fill(r.Points == 0, "points", func() { r.Points = UsualPoints })
	fill(r.Count == "", "count", func() { r.Count = UsualCount })
	fill(r.Cap == 0, "cap", func() { r.Cap = UsualCap })
	fill(r.Out == 0, "out", func() { r.Out = limit + UsualOut })
	return r, assumed
}

// Penalty is what a run's time costs.
type Penalty struct {
	Over    time.Duration // the limit; 0 within it
	Seconds int           // that count
	Points  int
	Out     bool // past the time at which the run is out
}

// Penalty returns what a run of this length costs by rules that are filled.
// The limit itself is within, as is the moment past which the run is out.
func (r Rules) Penalty(limit, length time.Duration) Penalty {
	p := Penalty{Over: max(length-limit, 0), Out: length > r.Out}
	p.Seconds = int(p.Over / time.Second)
	if r.Count == Begun && p.Over%time.Second > 0 {
		p.Seconds++
	}
	p.Points = min(p.Seconds*r.Points, r.Cap)
	return p
}

// String returns the penalty in words.
func (p Penalty) String() string {
	switch {
	case p.Out:
		return "out"
	case p.Points == 1:
		return "1 point"
	}
	return fmt.Sprintf("%d points", p.Points)
}

// Say returns rules that are filled in words.
func (r Rules) Say(limit time.Duration) string {
	points := "1 point"
	if r.Points != 1 {
		points = fmt.Sprintf("%d points", r.Points)
	}
	second := "second begun"
	if r.Count == Completed {
		second = "completed second"
	}
	return fmt.Sprintf("%s for each %s over %s, at most %d, out past %s", points, second, clock(limit), r.Cap, clock(r.Out))
}

// ToCheck says of which figures nobody wrote what they are, "" for none.
func ToCheck(assumed []string) string {
	if len(assumed) == 0 {
		return ""
	}
	return strings.Join(assumed, ", ") + ": usual figures, to be checked against the current rules"
}
