package routine

import (
	"fmt"
	"time"

	"barline/brew"
)

// Take is one run of a routine as the record has it.
type Take struct {
	ID     string
	Short  string // as much of the ID as tells it apart; may be empty
	Start  time.Time
	Person string // may be empty
	Speed  float64
	Dry    bool
	Events []brew.Event // the first is its Begin; see Merge
}

// Reader reads takes. Takes of one plan share it, so that thousands can be
// read. The zero Reader is ready; it is not for use by several goroutines.
type Reader struct {
	known map[string]begun
}

type begun struct {
	plan *Plan
	opt  Options
	err  error
}

// Run returns the run that a take was. The error says why its record cannot be
// followed.
func (rd *Reader) Run(t Take) (r Run, err error) {
	defer func() {
		if broken := recover(); broken != nil {
			err = fmt.Errorf("the plan cannot be followed: %v", broken)
		}
	}()
	if len(t.Events) == 0 {
		return Run{}, fmt.Errorf("the take has no events")
	}
	b := rd.begun(t.Events[0])
	if b.err != nil {
		return Run{}, b.err
	}
	r, n, why := Replay(b.plan, b.opt, t.Events[1:])
	if n >= 0 {
		e := t.Events[1+n]
		err = fmt.Errorf("event %d, %s at %s, does not follow: %s", n+1, e.Kind, brew.Exact(e.At), why)
	}
	return r, err
}

// Result returns what became of a take; the error says why its record cannot be
// followed.
func (rd *Reader) Result(t Take) (out Result, err error) {
	r, err := rd.Run(t)
	if err != nil {
		return Result{}, err
	}
	defer func() {
		if broken := recover(); broken != nil {
			err = fmt.Errorf("the plan cannot be followed: %v", broken)
		}
	}()
	return Of(t, r), nil
}

// begun returns what a take's first event holds, which it reads once.
func (rd *Reader) begun(e brew.Event) begun {
	b, known := rd.known[e.Text]
	if known && e.Kind == EventBegin {
		return b
	}
	b.plan, b.opt, b.err = ReadBegin(e)
	if rd.known == nil {
		rd.known = map[string]begun{}
	}
	if e.Kind == EventBegin {
		rd.known[e.Text] = b
	}
	return b
}

// Result is what became of a take.
type Result struct {
	Take
	Plan     *Plan
	Options  Options
	Partial  bool // sections were left out
	Ending   Ending
	Began    time.Duration // what the clock read at the start
	Ended    time.Duration // what it read at the end; of a take that was cut off, at the latest event
	Penalty  Penalty       // of a whole take that was finished; of one that was broken off as far as it had got
	Sections []Timed       // of the whole plan
	Marks    []Mark        // every beat, start, line and call, in order of their written times
	Talk     Sum           // of the slips of lines
	Hands    Sum           // of the slips of beats that are the person's
	Bed      Sum           // of those that are the bed's
}

// Whole reports whether the take is one from the first call of time to the
// last, as statistics pool them.
func (r Result) Whole() bool { return !r.Partial && r.Ending == Finished }

// Length returns how long the take was.
func (r Result) Length() time.Duration { return r.Ended - r.Began }

// Drift returns by how much the call at the end came after its written time;
// false where it did not come.
func (r Result) Drift() (time.Duration, bool) {
	return r.Ended - r.Plan.Sections[r.Options.To].End, r.Ending == Finished
}

// Timed is how long a section took.
type Timed struct {
	Name    string
	Written time.Duration
	Took    time.Duration // if Known
	Known   bool          // it was run from its start to its end
	Slip    Sum           // of the marks written within it that are the person's
}

// Sum is so many slips together.
type Sum struct {
	Marks int
	Slip  time.Duration
}

func (s *Sum) add(slip time.Duration) { s.Marks, s.Slip = s.Marks+1, s.Slip+slip }

// Voice says which kind of mark a Mark is.
type Voice string

// A mark is of the hands, in a brew or beside it, of the bed, of what is said,
// or a call of time.
const (
	OfHands Voice = "hands"
	OfBed   Voice = "bed"
	OfTalk  Voice = "talk"
	OfCall  Voice = "call"
)

// Mark is what became of one thing that can be marked. Times are on the
// routine's clock.
type Mark struct {
	Key     string // 'left: second pour, end': the same in every take of a plan
	Name    string // for people
	Voice   Voice
	Section int
	Written time.Duration
	Called  time.Duration
	Marked  time.Duration // if Known
	Known   bool
}

// Drift, Carried and Slip return marked minus written, called minus written
// and marked minus called; the first and the last only of a Mark that is known.
func (m Mark) Drift() time.Duration   { return m.Marked - m.Written }
func (m Mark) Carried() time.Duration { return m.Called - m.Written }
func (m Mark) Slip() time.Duration    { return m.Marked - m.Called }
