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
	recorder *journal.TakeRecorder
	fault    error // why there is none
	events   int   // of the take's own, given to the recorder
	last     brew.Event
	brews    map[int]*kept // by cup
}

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
	t := k.takes[take]
	if t == nil {
		k.settle()
		t = &takeKeeper{brews: map[int]*kept{}}
		k.takes[take] = t
	}
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
	return t.waits(zero), t.fault
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
	t.events, t.last = n+1, e
	go recorder.Append(n, e) // whoever waits asks for it again
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
		k.book.keep(one)
		b = &kept{keeper: one}
		t.brews[e.Lane] = b
	}
	n := b.events
	b.events, b.last = n+1, e
	go b.Append(n, e, zero)
}

// cup returns what keeps the brew that begins with an event.
func (k *takesKeeper) cup(t *takeKeeper, e brew.Event) *keeper {
	a, cup := k.book.app, k.opt.Plan.Cups[e.Lane]
	out := &keeper{
		path: k.book.path, clock: a.clock, mayMove: a.mayMove, aside: a.setAside, before: func() {}, typed: a.typed, begun: make(chan struct{}),
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

// waits returns what asks whether all that was given is safe.
func (t *takeKeeper) waits(zero time.Duration) (out []func() error) {
	if recorder, n, last := t.recorder, t.events-1, t.last; recorder != nil && n >= 0 {
		out = append(out, func() error { return recorder.Append(n, last) })
	}
	for _, b := range t.brews {
		one, n, last := b.keeper, b.events-1, b.last
		out = append(out, func() error { return one.Append(n, last, zero) })
	}
	return out
}

// settle ends the records of takes that are whole and saved: whoever takes
// thirty holds one file open, not thirty.
func (k *takesKeeper) settle() {
	for number, t := range k.takes {
		if t.recorder == nil {
			continue
		}
		if s := t.recorder.Status(); s.Fault == nil && s.Waiting == 0 && s.Saved == t.events {
			go t.recorder.End(context.Background())
			delete(k.takes, number)
		}
	}
}

// close ends the records. What could not be saved goes to a rescue file, as a
// brew's does.
func (k *takesKeeper) close(e env) (err error) {
	k.mu.Lock()
	defer k.mu.Unlock()
	for _, t := range k.takes {
		err = errors.Join(err, k.closeTake(e, t))
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
