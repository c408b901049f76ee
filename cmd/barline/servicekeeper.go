package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"sync"
	"time"

	"barline/brew"
	"barline/brew/bar"
	"barline/cmd/barline/internal/journal"
)

// serviceKeeper keeps a service in the journal: the round, and each brew as a
// brew of its own. The record begins with the service's first event, so that
// a service in which nothing happened leaves none.
type serviceKeeper struct {
	book  *book
	brew  func(n int, b bar.Begun) *keeper // what keeps brew n
	round journal.Round

	mu       sync.Mutex
	turn     *sync.Cond
	next     int // the event whose turn it is
	recorder *journal.RoundRecorder
	fault    error // why there is none
	events   int   // of the round, given to the recorder
	last     brew.Event
	brews    map[int]*kept  // those that may still have something to save
	ids      map[int]string // of the others
}

// kept is a brew of a service that is being kept.
type kept struct {
	*keeper
	events int // given to it
	last   brew.Event
}

// newServiceKeeper returns what keeps a service of which so many events are
// kept already.
func newServiceKeeper(b *book, round journal.Round, from int) *serviceKeeper {
	k := &serviceKeeper{book: b, round: round, next: from, brews: map[int]*kept{}, ids: map[int]string{}}
	k.turn = sync.NewCond(&k.mu)
	return k
}

// Append saves event n of the service and what it did to brews; see
// service.Recorder.
func (k *serviceKeeper) Append(n int, e bar.ServiceEvent, r bar.Result, zero time.Duration) error {
	given, err := k.give(n, e, r, zero)
	errs := []error{err}
	for _, save := range given {
		errs = append(errs, save())
	}
	return errors.Join(errs...)
}

// give hands an event on, once it is its turn, and returns what waits until
// it and all before it are safe.
func (k *serviceKeeper) give(n int, e bar.ServiceEvent, r bar.Result, zero time.Duration) (waits []func() error, err error) {
	k.mu.Lock()
	defer k.mu.Unlock()
	for n > k.next {
		k.turn.Wait()
	}
	if n == k.next {
		if e.Recorded() {
			err = k.giveRound(n, e, zero)
		}
		for _, h := range r.Brews {
			k.giveBrew(h, zero)
		}
		k.next++
		k.turn.Broadcast()
	}
	return k.waits(zero), err
}

// giveRound makes the event the next one of the round.
func (k *serviceKeeper) giveRound(nth int, e bar.ServiceEvent, zero time.Duration) error {
	if k.recorder == nil && k.fault == nil {
		k.begin(zero)
	}
	record, err := e.Record(nth)
	if err != nil {
		return err
	}
	k.last = record
	k.events++
	if k.recorder != nil {
		recorder, n := k.recorder, k.events-1
		k.aside(func() { recorder.Append(n, record) }) // whoever waits asks for it again
	}
	return k.fault
}

// begin begins the record of the round.
func (k *serviceKeeper) begin(zero time.Duration) {
	if k.round.Start.IsZero() {
		k.round.Start = k.book.app.clock.Now().WallAt(zero)
	}
	k.events = len(k.round.Events)
	k.recorder, k.fault = journal.BeginRoundAt(k.book.path, journal.Options{}, k.round)
	if k.recorder != nil {
		k.round = k.recorder.Round()
		k.round.Events = nil
	}
}

// giveBrew makes an event the next one of its brew.
func (k *serviceKeeper) giveBrew(h bar.Happening, zero time.Duration) {
	b := k.brews[h.Brew]
	if h.Begun != nil {
		one := k.brew(h.Brew, *h.Begun)
		one.record.RoundOf = &k.round
		k.book.keep(one)
		b = &kept{keeper: one}
		k.brews[h.Brew] = b
	}
	if b == nil {
		return // it was cut off and could not be taken up
	}
	n, event := b.events, h.Event
	b.events, b.last = n+1, event
	k.aside(func() { b.Append(n, event, zero) })
}

// aside does what waits for the disk without holding anybody up.
func (k *serviceKeeper) aside(do func()) {
	if t := k.book.terminal; t != nil {
		t.Guard(do)
		return
	}
	go do()
}

// waits returns what asks whether all that was given is safe. Brews that are
// over and safe are not asked again.
func (k *serviceKeeper) waits(zero time.Duration) (out []func() error) {
	if n, last := k.events-1, k.last; k.recorder != nil && last.Kind != "" {
		recorder := k.recorder
		out = append(out, func() error { return recorder.Append(n, last) })
	}
	for number, b := range k.brews {
		if r := b.recorded(); r != nil && r.Record().End != "" && r.Status().Saved == b.events && r.Status().Fault == nil {
			k.ids[number] = r.ID()
			delete(k.brews, number)
			continue
		}
		one, n, last := b.keeper, b.events-1, b.last
		if last.Kind != "" {
			out = append(out, func() error { return one.Append(n, last, zero) })
		}
	}
	return out
}

// ID returns the id of brew n in the journal, "" where it has none.
func (k *serviceKeeper) ID(n int) string {
	k.mu.Lock()
	defer k.mu.Unlock()
	if b := k.brews[n]; b != nil {
		if r := b.recorded(); r != nil {
			return r.ID()
		}
	}
	return k.ids[n]
}

// recorded is brewed for a brew whose keeper may be starting.
func (b *kept) recorded() *journal.Recorder { return b.keeper.brewed() }

// close ends the record of the round. What could not be saved goes to a rescue
// file, as a brew's does.
func (k *serviceKeeper) close(e env) error {
	k.mu.Lock()
	recorder, fault := k.recorder, k.fault
	k.mu.Unlock()
	if recorder == nil && fault == nil {
		return nil // nothing happened
	}
	err := fault
	if recorder != nil {
		ctx, cancel := context.WithTimeout(context.Background(), saveWithin)
		defer cancel()
		err = recorder.End(ctx)
	}
	if err == nil {
		return nil
	}
	fmt.Fprintf(e.stderr, "error: the round is not in the journal: %s\n", err)
	if recorder == nil {
		return errUnsaved
	}
	rescue := keeper{path: k.book.path}
	path, err := rescue.rescueAs("barline-rescue-"+recorder.ID()+".jsonl", e.getenv, func(w io.Writer) error { return recorder.Rescue(w) })
	if err != nil {
		return errUnsaved
	}
	fmt.Fprintf(e.stderr, "the whole round is in %s\nhint: %s takes it in\n", path, k.book.app.typed("journal", "import", path))
	return errUnsaved
}
