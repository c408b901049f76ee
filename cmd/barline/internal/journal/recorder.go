package journal

import (
	"context"
	"database/sql"
	"fmt"
	"slices"
	"strings"
	"sync"

	"barline/brew"
)

// Recorder saves one brew while it is brewed, each event when it happens. It
// keeps the whole brew in memory besides, so that nothing is lost when the
// file cannot be written. It is safe for concurrent use. Append, Reading and
// Weight wait for the disk: call them from a goroutine of their own, never
// where a screen is drawn.
type Recorder struct {
	w *writer

	mu     sync.Mutex
	rec    Record
	lane   brew.Lane
	writes []*write // of each event; nil where it was saved before
	early  early
	shut   bool

	// Touched by the writer's goroutine alone.
	held *lock
	n    int64 // of the brew's row
}

// Begin starts the record of a brew. It returns at once; the brew is in the
// file when the first Append returns. Of r, Kind, Person, Start, Clock and Plan
// should be set; an empty ID is drawn, an empty Speed is 1, empty Marks are
// what the recipe asks, Recipe and Version come from the plan, and how it ended
// is not looked at. Events that r has already are saved first. The error says
// what of r makes no sense.
func (j *Journal) Begin(r Record) (*Recorder, error) {
	return begin(r, &writer{path: j.path, options: j.options, connect: j.itself}, func() {})
}

// itself is what a writer connects to where the journal is open.
func (j *Journal) itself() (*Journal, error) { return j, nil }

// BeginAt is Begin for a journal that is not open, because Open would take
// time or has just failed: the recorder opens it in its own goroutine, and
// tries again where that may help, while the brew goes on.
func BeginAt(path string, o Options, r Record) (*Recorder, error) {
	var j *Journal
	connect := func() (_ *Journal, err error) {
		if j == nil {
			j, err = Open(path, o)
		}
		return j, err
	}
	return begin(r, &writer{path: path, options: o.withDefaults(), connect: connect}, func() {
		if j != nil {
			j.Close()
		}
	})
}

func begin(r Record, w *writer, cleanUp func()) (*Recorder, error) {
	if err := r.complete(); err != nil {
		return nil, err
	}
	head := r
	head.Events, head.Readings, head.Weights = nil, nil, nil
	rec := newRecorder(head, nil, w, cleanUp)
	rec.w.submit(&write{do: func(tx *sql.Tx) error {
		err := rec.hold()
		if err == nil {
			rec.n, err = putBrew(tx, head)
		}
		return err
	}})
	rec.mu.Lock()
	defer rec.mu.Unlock()
	for _, e := range r.Events {
		rec.admit(e)
	}
	for _, v := range r.Readings {
		rec.addReading(v)
	}
	for _, v := range r.Weights {
		rec.addWeight(v)
	}
	return rec, nil
}

// newRecorder starts a recorder for a brew of which all that r holds is saved.
// held is its lock, nil where it is still to be taken.
func newRecorder(r Record, held *lock, w *writer, cleanUp func()) *Recorder {
	rec := &Recorder{w: w, rec: r, held: held, early: early{}}
	rec.lane, _ = r.Fold()
	rec.writes = make([]*write, len(r.Events))
	w.saved = len(r.Events)
	rec.w.start(func() {
		rec.held.release()
		cleanUp()
	})
	return rec
}

// hold takes the brew's lock, unless it is held already.
func (rec *Recorder) hold() error {
	if rec.held != nil {
		return nil
	}
	j, err := rec.w.connect()
	if err == nil {
		rec.held, err = j.lock(rec.rec.ID)
	}
	return err
}

// complete fills in what may be left out and checks the rest.
func (r *Record) complete() error {
	if r.Plan == nil {
		return fmt.Errorf("the brew has no plan")
	}
	text, err := writePlan(r.Plan)
	if err != nil {
		return err
	}
	if r.Plan, err = readPlan(PlanSchema, text); err != nil {
		return err
	}
	id, err := drawn(r.ID, r.Start)
	if err != nil {
		return err
	}
	r.ID = id
	if r.Speed == 0 {
		r.Speed = 1
	}
	if r.Marks == "" {
		r.Marks = brew.MarksAsked
	}
	r.Start = fixed(r.Start)
	r.Recipe, r.Version = r.Plan.Name, r.Plan.Version
	r.End, r.EndAt, r.Why, r.Short, r.Round, r.Take = "", 0, "", "", "", ""
	if err := r.completeParty(); err != nil {
		return err
	}
	cleanAll(&r.Person, &r.Coffee, &r.Lot, &r.Setting, &r.Order, &r.Text, &r.Clock.Boot)
	if r.Readings, err = eachChecked(r.Readings, Reading.complete); err != nil {
		return fmt.Errorf("reading %w", err)
	}
	if r.Weights, err = eachChecked(r.Weights, Weight.complete); err != nil {
		return fmt.Errorf("weight %w", err)
	}
	if err := checkEach(r.Events, checkEvent); err != nil {
		return err
	}
	return r.Brew.check()
}

// completeParty does the same for the round and the take that a brew belongs
// to, without their events.
func (r *Record) completeParty() error {
	if r.RoundOf != nil {
		round, err := r.RoundOf.complete()
		if err != nil {
			return fmt.Errorf("round: %w", err)
		}
		round.Events = nil
		r.Round, r.RoundOf = round.ID, &round
	}
	if r.TakeOf != nil {
		take, err := r.TakeOf.complete()
		if err != nil {
			return fmt.Errorf("take: %w", err)
		}
		take.Events = nil
		r.Take, r.TakeOf = take.ID, &take
	}
	return nil
}

// clean makes a text one that JSON can carry unchanged.
func clean(text string) string { return strings.ToValidUTF8(text, "\uFFFD") }

func cleanAll(texts ...*string) {
	for _, t := range texts {
		*t = clean(*t)
	}
}

// ID returns the brew's id.
func (rec *Recorder) ID() string { return rec.rec.ID }

// Append saves event n, counted from 0 over the whole brew, and returns nil
// when it is durable, together with every event before it. Events may come in
// any order, from any goroutine; each is written when those before it are
// there. Where it cannot be written for now the error says why, mostly a
// *Fault; the event is kept in memory, and is written later if the fault
// passes. An event that the brew's fold refuses is kept as a note in its place,
// and the error says so. The same event may be given twice.
func (rec *Recorder) Append(n int, e brew.Event) error {
	one, err := rec.take(n, tidy(e))
	if err != nil {
		return err
	}
	return one.wait()
}

// take returns the write that brings event n to the file, once it is its turn.
func (rec *Recorder) take(n int, e brew.Event) (*write, error) {
	rec.mu.Lock()
	if n < len(rec.rec.Events) {
		defer rec.mu.Unlock()
		return rec.again(n, e)
	}
	if rec.shut {
		rec.mu.Unlock()
		return nil, ErrClosed
	}
	mine, err := rec.early.add(n, e)
	if err == nil {
		rec.admitTurns()
	}
	rec.mu.Unlock()
	if err != nil {
		return nil, err
	}
	return mine.admitted(), nil
}

// again answers for an event that has been given before.
func (rec *Recorder) again(n int, e brew.Event) (*write, error) {
	if was := rec.rec.Events[n]; !sameEvent(was, e) {
		return nil, fmt.Errorf("event %d is there already, and is another: %s", n, was.Kind)
	}
	if n < rec.w.status().Saved {
		return savedAlready, nil
	}
	return rec.writes[n], nil
}

// savedAlready is the write of what is durable.
var savedAlready = func() *write {
	one := &write{answered: make(chan struct{})}
	one.answer(nil)
	return one
}()

// admitTurns admits the events whose turn has come.
func (rec *Recorder) admitTurns() {
	for {
		n := len(rec.rec.Events)
		e, there := rec.early[n]
		if !there {
			return
		}
		rec.early.answer(n, rec.admit(e.Event))
	}
}

// admit makes an event the next one of the brew and submits it.
func (rec *Recorder) admit(e brew.Event) *write {
	seq := len(rec.rec.Events)
	lane, why := follows(rec.lane, e)
	var refused error
	if why != "" {
		refused = fmt.Errorf("event %d, %s at %s, does not follow: %s; it is kept as a note", seq, e.Kind, brew.Exact(e.At), why)
		e = asNote(e, why)
		lane, _ = rec.lane.Apply(e)
	}
	turned := endedAnew(rec.lane, lane)
	rec.lane, rec.rec.Events = lane, append(rec.rec.Events, e)
	rec.rec.End, rec.rec.EndAt, rec.rec.Why = ended(lane)
	one := rec.w.submit(&write{event: true, also: refused, do: func(tx *sql.Tx) error {
		if err := ofBrew.put(tx, rec.n, seq, e); err != nil || !turned {
			return err
		}
		return putEnd(tx, rec.n, lane)
	}})
	rec.writes = append(rec.writes, one)
	return one
}

// follows returns the lane with the event, or why it cannot have it.
func follows(lane brew.Lane, e brew.Event) (after brew.Lane, why string) {
	if err := checkEvent(e); err != nil {
		return lane, err.Error()
	}
	after, out := lane.Apply(e)
	if out.Effect == brew.Refused {
		return lane, out.Why
	}
	return after, ""
}

// asNote keeps what a refused event had to say.
func asNote(e brew.Event, why string) brew.Event {
	text := strings.TrimSpace(fmt.Sprintf("%s, refused: %s. %s", e.Kind, why, e.Text))
	note := brew.Event{Kind: brew.EventNote, Lane: max(e.Lane, 0), At: e.At, Source: e.Source, Weight: e.Weight, Text: text}
	if checkEvent(note) != nil {
		note.Source = brew.FromClock
	}
	return note
}

// endedAnew reports whether what is stored of a brew's end must change: it
// ended, goes on again, or something happened after its end.
func endedAnew(before, after brew.Lane) bool {
	was, _, _ := before.Ending()
	is, _, _ := after.Ending()
	return was != brew.Running || is != brew.Running
}

// tidy returns an event as it is stored.
func tidy(e brew.Event) brew.Event {
	e.Text = clean(e.Text)
	return e
}

// Reading saves a reading of the cup, as Append does an event.
func (rec *Recorder) Reading(r Reading) error {
	r, err := r.complete()
	if err != nil {
		return err
	}
	rec.mu.Lock()
	one, err := rec.addReading(r)
	rec.mu.Unlock()
	if err != nil {
		return err
	}
	return one.wait()
}

func (rec *Recorder) addReading(r Reading) (*write, error) {
	all := append(slices.Clip(rec.rec.Readings), r)
	if err := checkChain(all, Reading.chain); err != nil {
		return nil, fmt.Errorf("reading %w", err)
	}
	if rec.shut {
		return nil, ErrClosed
	}
	rec.rec.Readings = all
	return rec.w.submit(&write{do: func(tx *sql.Tx) error { return putReading(tx, rec.n, r) }}), nil
}

// Weight saves the weight at a beat, as Append does an event.
func (rec *Recorder) Weight(w Weight) error {
	w, err := w.complete()
	if err != nil {
		return err
	}
	rec.mu.Lock()
	one, err := rec.addWeight(w)
	rec.mu.Unlock()
	if err != nil {
		return err
	}
	return one.wait()
}

func (rec *Recorder) addWeight(w Weight) (*write, error) {
	all := append(slices.Clip(rec.rec.Weights), w)
	if err := checkChain(all, Weight.chain); err != nil {
		return nil, fmt.Errorf("weight %w", err)
	}
	if rec.shut {
		return nil, ErrClosed
	}
	rec.rec.Weights = all
	return rec.w.submit(&write{do: func(tx *sql.Tx) error { return putWeight(tx, rec.n, w) }}), nil
}

// Status returns how far the recorder has got. It does not wait.
func (rec *Recorder) Status() Status { return rec.w.status() }

// Changes returns a channel that gets the Status when something cannot be
// saved any more, when the reason changes, and when it can again and has been.
// Only the latest is kept for who does not listen. It is closed at the end.
// Event n is durable when Append(n) has returned nil, or when a Status says
// that more than n are saved: so are told those that Append gave up on.
func (rec *Recorder) Changes() <-chan Status { return rec.w.changes }

// Record returns the whole brew as it is now, saved or not.
func (rec *Recorder) Record() Record {
	rec.mu.Lock()
	defer rec.mu.Unlock()
	r := rec.rec
	r.Events, r.Readings, r.Weights = slices.Clone(r.Events), slices.Clone(r.Readings), slices.Clone(r.Weights)
	return r
}

// End waits until everything is durable, gives the brew's lock back, and
// returns nil. Where something cannot be saved it tries once more, unless the
// file is damaged, and returns why; Rescue then has the whole brew. How the brew ended is in its events: one
// without an end is cut off from now on. If ctx ends first its error is
// returned, and the recorder goes on by itself.
func (rec *Recorder) End(ctx context.Context) error {
	rec.mu.Lock()
	gap := rec.closeGaps()
	rec.shut = true
	rec.mu.Unlock()
	if err := rec.w.end(ctx); err != nil {
		return err
	}
	return gap
}

// closeGaps admits the events whose predecessors have never come: what is
// known to have happened is worth more than its number.
func (rec *Recorder) closeGaps() error {
	if len(rec.early) == 0 {
		return nil
	}
	var numbers []int
	for n := range rec.early {
		numbers = append(numbers, n)
	}
	slices.Sort(numbers)
	missing := len(rec.rec.Events)
	for _, n := range numbers {
		rec.early.answer(n, rec.admit(rec.early[n].Event))
	}
	return fmt.Errorf("event %d never came; those after it have moved up", missing)
}
