package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"sync"
	"time"

	"barline/brew"
	"barline/brew/drift"
	"barline/cmd/barline/internal/journal"
	"barline/tui/rehearsal"
)

// takesKeeper keeps the takes of a rehearsal in the journal: each take, and
// each of its brews as a brew of its own. A record begins with the call of
// time, so that a take which never begins leaves none.
type takesKeeper struct {
	book  *book
	opt   rehearsal.Options
	text  string   // of the routine's file
	texts []string // of the recipe of each cup

	mu    sync.Mutex
	turn  *sync.Cond
	takes map[int]*takeKeeper // that may still have something to save
}

// takeKeeper keeps one take.
type takeKeeper struct {
	next     int // the happening whose turn it is
	total    int // how many there are in all; 0 while that is not known
	recorder *journal.TakeRecorder
	fault    error   // why there is none
	events   int     // of the take's own, given to the recorder
	last     *saving // the latest of them; nil for none
	brews    map[int]*keptCup
}

// keptCup is a brew of a take that is being kept.
type keptCup struct {
	*keeper
	events int     // given to it
	last   *saving // the latest of them
}

// saving is an event that has been given to a recorder, once, and is waited
// for by any number.
type saving struct {
	done chan struct{}
	err  error
}

func save(give func() error) *saving {
	s := &saving{done: make(chan struct{})}
	go func() {
		defer close(s.done)
		s.err = give()
	}()
	return s
}

func (s *saving) wait() error { <-s.done; return s.err }

func newTakesKeeper(b *book, opt rehearsal.Options, text string) *takesKeeper {
	k := &takesKeeper{book: b, opt: opt, text: text, takes: map[int]*takeKeeper{}}
	k.turn = sync.NewCond(&k.mu)
	return k
}

// Append saves what happened; see rehearsal.Recorder.
func (k *takesKeeper) Append(take, n int, h rehearsal.Happening, zero time.Duration) error {
	waits, err := k.give(take, n, h, zero)
	errs := []error{err}
	for _, saved := range waits {
		errs = append(errs, saved())
	}
	return errors.Join(errs...)
}

// give hands on what happened, once it is its turn, and returns what waits
// until it and all before it are safe.
func (k *takesKeeper) give(take, n int, h rehearsal.Happening, zero time.Duration) (waits []func() error, err error) {
	k.mu.Lock()
	defer k.mu.Unlock()
	t := k.of(take)
	if n == 0 && take > 0 && k.takes[take-1] != nil {
		k.takes[take-1].total = h.Before
	}
	k.settle()
	for n > t.next {
		k.turn.Wait()
	}
	if n == t.next {
		for _, e := range h.Own {
			k.giveOwn(t, e, zero)
		}
		for _, e := range h.Brews {
			k.giveBrew(t, e, zero)
		}
		t.next++
		k.turn.Broadcast()
	}
	return t.waits(), t.fault
}

// of returns what keeps a take.
func (k *takesKeeper) of(take int) *takeKeeper {
	if k.takes[take] == nil {
		k.takes[take] = &takeKeeper{brews: map[int]*keptCup{}}
	}
	return k.takes[take]
}

// giveOwn makes an event the next one of the take itself.
func (k *takesKeeper) giveOwn(t *takeKeeper, e brew.Event, zero time.Duration) {
	if t.recorder == nil && t.fault == nil {
		t.recorder, t.fault = journal.BeginTakeAt(k.book.path, journal.Options{}, k.head(e, zero))
	}
	if t.recorder == nil {
		return
	}
	n, recorder := t.events, t.recorder
	t.events, t.last = n+1, save(func() error { return recorder.Append(n, e) })
}

// head is what is known of a take when its first event comes.
func (k *takesKeeper) head(e brew.Event, zero time.Duration) journal.Take {
	plan, section := k.opt.Plan, ""
	if from := k.opt.Run.From; from > 0 {
		section = plan.Sections[from].Name
	}
	return journal.Take{
		Routine: plan.Name, Version: plan.Version, Person: k.opt.By, Kind: drift.Rehearsal, Speed: k.opt.Speed, Dry: k.opt.Dry, Section: section,
		Start: k.book.app.clock.Now().WallAt(zero + time.Duration(float64(e.At)/k.opt.Speed)), Text: k.text,
	}
}

// giveBrew makes an event the next one of its brew.
func (k *takesKeeper) giveBrew(t *takeKeeper, e brew.Event, zero time.Duration) {
	b := t.brews[e.Lane]
	if b == nil {
		one := k.cup(t, e)
		b = &keptCup{keeper: one}
		t.brews[e.Lane] = b
	}
	n, one := b.events, b.keeper
	b.events, b.last = n+1, save(func() error { return one.Append(n, e, zero) })
}

// cup returns what keeps the brew that begins with an event.
func (k *takesKeeper) cup(t *takeKeeper, e brew.Event) *keeper {
	a, cup := k.book.app, k.opt.Plan.Cups[e.Lane]
	out := &keeper{
		path: k.book.path, clock: a.clock, mayMove: a.mayMove, aside: k.book.setAside, before: k.book.stay, typed: a.typed, begun: make(chan struct{}),
		record: journal.Record{
			Brew: journal.Brew{
				Kind: drift.Rehearsal, Speed: k.opt.Speed, From: e.From, Marks: brew.MarksAsked, Person: k.opt.By, Lane: e.Lane, Order: cup.ID,
				Coffee: firstOf(cup.Plan.Coffee, a.config.coffee), Lot: firstOf(cup.Plan.Lot, a.config.lot),
				Setting: firstOf(cup.Plan.Setting, a.config.setting), Kettle: a.config.kettle,
			},
			Plan: cup.Plan, Text: k.texts[e.Lane],
		},
	}
	if t.recorder != nil {
		take := t.recorder.Take()
		take.Events = nil
		out.record.TakeOf = &take
	}
	return out
}

// waits returns what waits until all that was given is safe: an event is when
// all before it are.
func (t *takeKeeper) waits() (out []func() error) {
	if t.last != nil {
		out = append(out, t.last.wait)
	}
	for _, b := range t.brews {
		out = append(out, b.last.wait)
	}
	return out
}

// settle ends the records of takes of which all has come and is saved: whoever
// takes thirty holds one take's files open, not thirty's.
func (k *takesKeeper) settle() {
	for number, t := range k.takes {
		if t.over() {
			delete(k.takes, number)
			go t.end()
		}
	}
}

// over reports whether all of a take has come and is saved. Its brews may be
// reopened until then.
func (t *takeKeeper) over() bool {
	if t.total == 0 || t.next < t.total || t.recorder == nil {
		return false
	}
	for _, b := range t.brews {
		if r := b.brewed(); r == nil || !saved(r.Status(), b.events) {
			return false
		}
	}
	return saved(t.recorder.Status(), t.events)
}

func saved(s journal.Status, events int) bool {
	return s.Fault == nil && s.Waiting == 0 && s.Saved == events
}

// end gives back what a take holds.
func (t *takeKeeper) end() {
	t.recorder.End(context.Background())
	for _, b := range t.brews {
		b.brewed().End(context.Background())
	}
}

// close ends the records. What could not be saved goes to a rescue file, as a
// brew's does.
func (k *takesKeeper) close(e env) (err error) {
	k.mu.Lock()
	defer k.mu.Unlock()
	for _, t := range k.takes {
		err = errors.Join(err, k.closeTake(e, t))
		for _, b := range t.brews {
			err = errors.Join(err, b.close(e))
		}
	}
	return err
}

func (k *takesKeeper) closeTake(e env, t *takeKeeper) error {
	err := t.fault
	if t.recorder != nil {
		ctx, cancel := context.WithTimeout(context.Background(), saveWithin)
		defer cancel()
		err = t.recorder.End(ctx)
	}
	if err == nil {
		return nil
	}
	fmt.Fprintf(e.stderr, "error: the take is not in the journal: %s\n", err)
	if t.recorder == nil {
		return errUnsaved
	}
	rescue := keeper{path: k.book.path}
	path, err := rescue.rescueAs("barline-rescue-"+t.recorder.ID()+".jsonl", e.getenv, func(w io.Writer) error { return t.recorder.Rescue(w) })
	if err != nil {
		return errUnsaved
	}
	fmt.Fprintf(e.stderr, "the whole take is in %s\nhint: %s takes it in\n", path, k.book.app.typed("journal", "import", path))
	return errUnsaved
}
