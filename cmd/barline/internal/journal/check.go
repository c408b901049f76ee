package journal

import (
	"fmt"
	"slices"
	"time"

	"barline/brew"
	"barline/brew/drift"
)

// check returns the first thing that is wrong with the brew's own fields.
func (b Brew) check() error {
	switch {
	case checkID(b.ID) != nil:
		return checkID(b.ID)
	case !slices.Contains(drift.Kinds(), b.Kind):
		return fmt.Errorf("kind %q, want %s", b.Kind, quoted(drift.Kinds()))
	case !finite(b.Speed) || b.Speed <= 0:
		return fmt.Errorf("speed %v, want more than 0", b.Speed)
	case b.From < 0:
		return fmt.Errorf("from %d ns, want 0 or more", b.From)
	case !slices.Contains(policies, b.Marks):
		return fmt.Errorf("marks %q, want %s", b.Marks, quoted(policies))
	case b.Clock.Kept != Boottime && b.Clock.Kept != Monotonic && b.Clock.Kept != Wall:
		return fmt.Errorf("kept %q, want %s", b.Clock.Kept, quoted([]Kept{Boottime, Monotonic, Wall}))
	case b.Kettle != nil && (!finite(float64(*b.Kettle)) || *b.Kettle < -50 || *b.Kettle > 200):
		return fmt.Errorf("kettle at %v °C, want a temperature of water", float64(*b.Kettle))
	case b.Lane < 0:
		return fmt.Errorf("lane %d, want 0 or more", b.Lane)
	case b.Round != "" && b.Take != "":
		return fmt.Errorf("both a round and a take")
	}
	return checkTime(b.Start)
}

var policies = []brew.Policy{brew.MarksAsked, brew.MarksAll, brew.MarksNone}

// checkEvent returns what is wrong with an event of a brew. Those of rounds
// and takes may be of other kinds.
func checkEvent(e brew.Event) error {
	kinds := []brew.EventKind{brew.EventStart, brew.EventMark, brew.EventUndo, brew.EventSkip, brew.EventZero,
		brew.EventNudge, brew.EventMoved, brew.EventNote, brew.EventStop, brew.EventFinish}
	if !slices.Contains(kinds, e.Kind) {
		return fmt.Errorf("event of kind %q, want %s", e.Kind, quoted(kinds))
	}
	return checkAnyEvent(e)
}

func checkAnyEvent(e brew.Event) error {
	sources := []brew.Source{brew.FromKey, brew.FromFootSwitch, brew.FromScale, brew.FromClock}
	switch {
	case e.Kind == "":
		return fmt.Errorf("event without a kind")
	case !slices.Contains(sources, e.Source):
		return fmt.Errorf("event from %q, want %s", e.Source, quoted(sources))
	case e.Lane < 0:
		return fmt.Errorf("event in lane %d, want 0 or more", e.Lane)
	}
	return nil
}

func (r Round) check() error {
	if err := checkStamped(r.ID, r.Start, ""); err != nil {
		return err
	}
	if r.Kind != BarRound && r.Kind != CuppingRound {
		return fmt.Errorf("kind %q, want %s", r.Kind, quoted([]RoundKind{BarRound, CuppingRound}))
	}
	return checkEach(r.Events, checkAnyEvent)
}

func (t Take) check() error {
	if err := checkStamped(t.ID, t.Start, ""); err != nil {
		return err
	}
	switch {
	case t.Routine == "":
		return fmt.Errorf("the take names no routine")
	case !slices.Contains(drift.Kinds(), t.Kind):
		return fmt.Errorf("kind %q, want %s", t.Kind, quoted(drift.Kinds()))
	case !finite(t.Speed) || t.Speed <= 0:
		return fmt.Errorf("speed %v, want more than 0", t.Speed)
	}
	return checkEach(t.Events, checkAnyEvent)
}

func (a Attempt) check() error {
	if err := checkStamped(a.ID, a.Opened, ""); err != nil {
		return err
	}
	results := []string{"passed", "failed", "withdrawn"}
	switch {
	case a.Person == "" || a.Version == "":
		return fmt.Errorf("the attempt names no person or no version of a recipe")
	case a.Brews < 1:
		return fmt.Errorf("attempt of %d brews, want 1 or more", a.Brews)
	case a.Closed == nil && a.Result != "":
		return fmt.Errorf("an attempt that is open has the result %q", a.Result)
	case a.Closed != nil && !slices.Contains(results, a.Result):
		return fmt.Errorf("result %q, want %s", a.Result, quoted(results))
	case a.Closed != nil:
		return checkTime(*a.Closed)
	}
	return nil
}

func (b Baseline) check() error {
	if err := checkStamped(b.ID, b.Made, ""); err != nil {
		return err
	}
	switch {
	case checkID(b.First) != nil:
		return checkID(b.First)
	case checkID(b.Last) != nil:
		return checkID(b.Last)
	case b.Version == "" || b.Beat == "" || b.Measure == "":
		return fmt.Errorf("the baseline names no version, no beat or no measure")
	case b.Brews < 1:
		return fmt.Errorf("baseline of %d brews, want 1 or more", b.Brews)
	case !finite(b.Low) || !finite(b.Centre) || !finite(b.High) || b.Low > b.Centre || b.Centre > b.High:
		return fmt.Errorf("limits %v, %v, %v, want them in order", b.Low, b.Centre, b.High)
	}
	return nil
}

func checkEach[T any](all []T, check func(T) error) error {
	for n, v := range all {
		if err := check(v); err != nil {
			return fmt.Errorf("number %d: %w", n, err)
		}
	}
	return nil
}

func (r Reading) check() error {
	switch {
	case !slices.Contains(Whats(), r.What):
		return fmt.Errorf("reading of %q, want one of %s", r.What, quoted(Whats()))
	case r.What == Taste && r.Value != nil:
		return fmt.Errorf("a taste has no value")
	case r.Value == nil && r.Text == "" && r.Replaces == "":
		return fmt.Errorf("the reading of %s is empty", r.What)
	case r.Value != nil && !finite(*r.Value):
		return fmt.Errorf("%s of %v, want a number", r.What, *r.Value)
	}
	return checkStamped(r.ID, r.Taken, r.Replaces)
}

func (w Weight) check() error {
	switch {
	case w.Beat == "":
		return fmt.Errorf("the weight names no beat")
	case w.Mass == nil && w.Replaces == "":
		return fmt.Errorf("the weight at %q is empty", w.Beat)
	}
	return checkStamped(w.ID, w.Taken, w.Replaces)
}

// check returns the first thing in which a record contradicts itself.
func (r Record) check() error {
	if err := r.Brew.check(); err != nil {
		return err
	}
	if r.Recipe != r.Plan.Name {
		return fmt.Errorf("recipe %q, but its plan is of %q", r.Recipe, r.Plan.Name)
	}
	if r.Version != r.Plan.Version {
		return fmt.Errorf("version %q, but its plan is of %q", r.Version, r.Plan.Version)
	}
	if err := checkEach(r.Events, checkEvent); err != nil {
		return err
	}
	lane, err := r.Fold()
	if err != nil {
		return err
	}
	if end, at, why := ended(lane); end != r.End || at != r.EndAt || why != r.Why {
		return fmt.Errorf("end %s, but its events give %s", tellEnd(r.End, r.EndAt, r.Why), tellEnd(end, at, why))
	}
	if err := checkChain(r.Readings, Reading.chain); err != nil {
		return fmt.Errorf("reading %w", err)
	}
	if err := checkChain(r.Weights, Weight.chain); err != nil {
		return fmt.Errorf("weight %w", err)
	}
	return nil
}

func tellEnd(end End, at time.Duration, why string) string {
	if end == "" {
		return "none"
	}
	return fmt.Sprintf("%s at %d ns, %q", end, at, why)
}

// checkChain makes sure that each correction corrects something that came
// before it, and that nothing is corrected twice.
func checkChain[T any](all []T, of func(T) (id, replaces string)) error {
	replaced := map[string]bool{}
	for n, v := range all {
		id, replaces := of(v)
		if _, again := replaced[id]; again {
			return fmt.Errorf("%d has an id that is taken, %q", n, id)
		}
		if replaces != "" {
			done, there := replaced[replaces]
			if done {
				return fmt.Errorf("%d replaces %q: %w", n, replaces, ErrSuperseded)
			}
			if !there {
				return fmt.Errorf("%d replaces %q, which is not there", n, replaces)
			}
			replaced[replaces] = true
		}
		replaced[id] = false
	}
	return nil
}
