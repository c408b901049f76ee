package demo

import (
	"fmt"
	"io"
	"math/rand/v2"
	"time"

	"barline/brew"
	"barline/brew/drift"
	"barline/cmd/barline/internal/journal"

	"github.com/google/uuid"
)

// Bar says which journal to invent.
type Bar struct {
	Seed uint64
	Ends time.Time // the last day; what counts is its date
	// Plain leaves out all that is planted: what is left is chance, and the
	// ways of persons that do not change.
	Plain bool
}

// Journal is what the bar wrote down.
type Journal struct {
	Brews     []Brew // in the order in which they began
	Attempts  []journal.Attempt
	Baselines []journal.Baseline
}

// Brew is a brew as the journal keeps it, with the fold of its events.
type Brew struct {
	journal.Record
	Lane brew.Lane
}

// year is the work on one journal.
type year struct {
	Bar
	calendar
	draw    *rand.Rand // what happens
	ids     io.Reader  // so that ids do not change what happens
	menu    []dish
	tests   []*test
	journal Journal
}

// Brew invents the journal. The error is a shipped recipe that is not as this
// package expects it.
func (b Bar) Brew() (*Journal, error) {
	menu, err := newMenu()
	if err != nil {
		return nil, err
	}
	var seed [32]byte
	for i := range 8 {
		seed[i] = byte(b.Seed >> (8 * i))
	}
	y := year{Bar: b, calendar: calendarTo(b.Ends), menu: menu, ids: rand.NewChaCha8(seed), draw: rand.New(rand.NewPCG(b.Seed, 0xba2))}
	y.tests = y.newTests()
	for _, day := range y.days() {
		if err := y.brewDay(day); err != nil {
			return nil, err
		}
	}
	if err := y.openTests(); err != nil {
		return nil, err
	}
	return &y.journal, y.freeze()
}

// brewDay brews what was ordered on a day, one brew after the other.
func (y *year) brewDay(day time.Time) error {
	shift := y.shift(day)
	for _, start := range y.orders(day) {
		o := order{start: start, week: y.week(start), dish: y.pick(), person: shift[y.draw.IntN(len(shift))]}
		if err := y.brew(o); err != nil {
			return err
		}
	}
	return nil
}

// order is one brew to be brewed.
type order struct {
	start  time.Time
	week   int // counted from the bar's first, in which a Monday begins
	dish   *dish
	person person
}

func (y *year) brew(o order) error {
	version := o.dish.version(o.week)
	p := player{year: y, order: o, lane: brew.NewLane(version.plan), watched: y.watched(o)}
	p.brew()
	kettle := version.plan.Temperature
	r := journal.Record{
		Brew: journal.Brew{
			Kind: drift.Service, Speed: 1, Marks: brew.MarksAsked, Person: o.person.name,
			Recipe: version.plan.Name, Version: version.plan.Version, Start: o.start,
			Clock:  journal.Clock{Kept: journal.Monotonic},
			Coffee: o.dish.coffee, Lot: y.lot(o), Setting: o.dish.setting, Kettle: &kettle,
		},
		Plan: version.plan, Text: version.text, Events: p.lane.Events(),
	}
	how, at, why := p.lane.Ending()
	r.End, r.EndAt, r.Why = journal.End(how), at, why
	var err error
	if r.ID, err = journal.NewID(o.start, y.ids); err != nil {
		return err
	}
	if r.Readings, err = y.taste(o, p.lane); err != nil {
		return err
	}
	y.journal.Brews = append(y.journal.Brews, Brew{r, p.lane})
	return nil
}

// Record returns the brews of a recipe as statistics take them.
func (j *Journal) Record(recipe string) *drift.Record {
	r := &drift.Record{}
	for _, b := range j.Brews {
		if b.Recipe != recipe {
			continue
		}
		c := drift.Conditions{CutOff: b.End == ""}
		r.Take(uuid.MustParse(b.ID), b.Start, b.Person, b.Plan, c.Of(b.Lane))
	}
	return r
}

// Batch returns the journal as the one on disk takes it.
func (j *Journal) Batch() journal.Batch {
	out := journal.Batch{Attempts: j.Attempts, Baselines: j.Baselines}
	for _, b := range j.Brews {
		out.Brews = append(out.Brews, b.Record)
	}
	return out
}

// about says what an error is about.
func about(what string, err error) error {
	if err == nil {
		return nil
	}
	return fmt.Errorf("%s: %w", what, err)
}
