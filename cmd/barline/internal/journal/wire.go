package journal

import (
	"errors"
	"fmt"

	"barline/brew"
)

// The two directions between values and lines. What a line holds is checked
// as it is read, so that a value in hand is a sound one.

func (b Brew) line(plan, text string) brewLine {
	return brewLine{
		ID: b.ID, Kind: b.Kind, Speed: b.Speed, From: b.From, Marks: b.Marks, Person: b.Person,
		Recipe: b.Recipe, Version: b.Version, Start: stamp(b.Start), StartAt: b.StartAt,
		Kept: b.Clock.Kept, Boot: b.Clock.Boot, Zero: b.Clock.Zero,
		Coffee: b.Coffee, Lot: b.Lot, Setting: b.Setting, Kettle: b.Kettle,
		Round: b.Round, Take: b.Take, Lane: b.Lane, Order: b.Order, Plan: plan, Text: text,
		End: b.End, EndAt: b.EndAt, Why: b.Why,
	}
}

func (l brewLine) value() (Brew, error) {
	start, err := parseStamp(l.Start)
	if err != nil {
		return Brew{}, err
	}
	b := Brew{
		ID: l.ID, Kind: l.Kind, Speed: l.Speed, From: l.From, Marks: l.Marks, Person: l.Person,
		Recipe: l.Recipe, Version: l.Version, Start: start, StartAt: l.StartAt,
		Clock:  Clock{Kept: l.Kept, Boot: l.Boot, Zero: l.Zero},
		Coffee: l.Coffee, Lot: l.Lot, Setting: l.Setting, Kettle: l.Kettle,
		Round: l.Round, Take: l.Take, Lane: l.Lane, Order: l.Order,
		End: l.End, EndAt: l.EndAt, Why: l.Why,
	}
	return b, nil
}

// line returns the whole record; plan and text are their hashes.
func (r Record) line(plan, text string) brewLine {
	l := r.Brew.line(plan, text)
	l.Events = each(r.Events, lineOfEvent)
	l.Readings = each(r.Readings, lineOfReading)
	l.Weights = each(r.Weights, lineOfWeight)
	return l
}

// record returns the whole brew of a line, given the plan and the text that it
// names, with everything checked that can be checked without other brews.
func (l brewLine) record(p *brew.Plan, text string) (Record, error) {
	b, err := l.value()
	if err != nil {
		return Record{}, err
	}
	if l.Events == nil || l.Readings == nil || l.Weights == nil {
		return Record{}, errNoList
	}
	r := Record{Brew: b, Plan: p, Text: text, Events: each(l.Events, eventLine.value)}
	if r.Readings, err = eachChecked(l.Readings, readingLine.value); err != nil {
		return Record{}, fmt.Errorf("reading %w", err)
	}
	if r.Weights, err = eachChecked(l.Weights, weightLine.value); err != nil {
		return Record{}, fmt.Errorf("weight %w", err)
	}
	return r, r.check()
}

func lineOfEvent(e brew.Event) eventLine {
	return eventLine{Kind: e.Kind, Lane: e.Lane, At: e.At, Source: e.Source, Weight: e.Weight,
		Text: e.Text, From: e.From, Cue: e.Cue, To: e.To}
}

func (l eventLine) value() brew.Event {
	return brew.Event{Kind: l.Kind, Lane: l.Lane, At: l.At, Source: l.Source, Weight: l.Weight,
		Text: l.Text, From: l.From, Cue: l.Cue, To: l.To}
}

func lineOfReading(r Reading) readingLine {
	return readingLine{r.ID, r.What, r.Value, r.Text, stamp(r.Taken), r.By, r.Replaces}
}

func (l readingLine) value() (Reading, error) {
	taken, err := parseStamp(l.Taken)
	if err != nil {
		return Reading{}, err
	}
	r := Reading{l.ID, l.What, l.Value, l.Text, taken, l.By, l.Replaces}
	return r, r.check()
}

func lineOfWeight(w Weight) weightLine {
	return weightLine{w.ID, w.Beat, w.Mass, w.Source, stamp(w.Taken), w.By, w.Replaces}
}

func (l weightLine) value() (Weight, error) {
	taken, err := parseStamp(l.Taken)
	if err != nil {
		return Weight{}, err
	}
	w := Weight{l.ID, l.Beat, l.Mass, l.Source, taken, l.By, l.Replaces}
	return w, w.check()
}

func (r Round) line() roundLine {
	return roundLine{r.ID, r.Kind, r.Name, r.Person, stamp(r.Start), r.Text, each(r.Events, lineOfEvent)}
}

func (l roundLine) value() (Round, error) {
	start, err := parseStamp(l.Start)
	if err != nil {
		return Round{}, err
	}
	r := Round{l.ID, l.Kind, l.Name, l.Person, start, l.Text, each(l.Events, eventLine.value)}
	return r, r.check()
}

func (t Take) line() takeLine {
	return takeLine{t.ID, t.Routine, t.Version, t.Person, t.Kind, t.Speed, t.Dry, t.Section,
		stamp(t.Start), t.Text, each(t.Events, lineOfEvent)}
}

func (l takeLine) value() (Take, error) {
	start, err := parseStamp(l.Start)
	if err != nil {
		return Take{}, err
	}
	t := Take{l.ID, l.Routine, l.Version, l.Person, l.Kind, l.Speed, l.Dry, l.Section,
		start, l.Text, each(l.Events, eventLine.value)}
	return t, t.check()
}

func (a Attempt) line() attemptLine {
	l := attemptLine{a.ID, a.Person, a.Recipe, a.Version, a.Brews, stamp(a.Opened), "", a.Result, a.Text}
	if a.Closed != nil {
		l.Closed = stamp(*a.Closed)
	}
	return l
}

func (l attemptLine) value() (Attempt, error) {
	opened, err := parseStamp(l.Opened)
	if err != nil {
		return Attempt{}, err
	}
	a := Attempt{l.ID, l.Person, l.Recipe, l.Version, l.Brews, opened, nil, l.Result, l.Text}
	if l.Closed != "" {
		closed, err := parseStamp(l.Closed)
		if err != nil {
			return Attempt{}, err
		}
		a.Closed = &closed
	}
	return a, a.check()
}

func (b Baseline) line() baselineLine {
	return baselineLine{b.ID, b.Version, b.Beat, b.Measure, b.First, b.Last, b.Brews,
		b.Low, b.Centre, b.High, stamp(b.Made), b.By}
}

func (l baselineLine) value() (Baseline, error) {
	made, err := parseStamp(l.Made)
	if err != nil {
		return Baseline{}, err
	}
	b := Baseline{l.ID, l.Version, l.Beat, l.Measure, l.First, l.Last, l.Brews, l.Low, l.Centre, l.High, made, l.By}
	return b, b.check()
}

// errNoList says that a line has null where a list must stand.
var errNoList = errors.New("events, readings or weights are null, want a list")

// each never returns nil, so that an empty list is written as one.
func each[A, B any](all []A, to func(A) B) []B {
	out := make([]B, len(all))
	for i, v := range all {
		out[i] = to(v)
	}
	return out
}

func eachChecked[A, B any](all []A, to func(A) (B, error)) ([]B, error) {
	out := make([]B, len(all))
	for i, v := range all {
		var err error
		if out[i], err = to(v); err != nil {
			return nil, fmt.Errorf("%d: %w", i, err)
		}
	}
	return out, nil
}
