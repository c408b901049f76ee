package journal

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"sync"
	"time"
)

// Status is how far a recorder has got.
type Status struct {
	Saved   int   // events that are durable, counted from the first
	Waiting int   // writes that are not: events, readings and the brew itself
	Fault   error // why nothing is being saved, mostly a *Fault; nil where all is well
}

// write is one transaction that a writer has to bring to the file.
type write struct {
	do    func(*sql.Tx) error
	event bool  // it is one of the brew's events
	also  error // what to say of it even where all goes well

	answered chan struct{} // closed when it is durable, or known not to be for now
	told     bool
	err      error // of the answer
}

// wait returns the answer.
func (one *write) wait() error {
	<-one.answered
	if one.err != nil {
		return one.err
	}
	return one.also
}

func (one *write) answer(err error) {
	if !one.told {
		one.told, one.err = true, err
		close(one.answered)
	}
}

// writer brings writes to a file one after the other, in a goroutine of its
// own, and tries again where a fault may pass. Those who wait are answered
// when their write is durable, or when it is known that it cannot be for now;
// it then stays in the queue all the same.
type writer struct {
	path    string
	connect func() (*Journal, error) // the same journal each time, opened if need be
	options Options

	mu      sync.Mutex
	queue   []*write
	saved   int
	fault   error
	ending  bool
	wake    chan struct{} // something has changed that the goroutine must look at
	stopped chan struct{} // closed when the goroutine has ended
	changes chan Status   // the latest change of the fault
}

// start starts the goroutine, which calls cleanUp at its end.
func (w *writer) start(cleanUp func()) {
	w.wake, w.stopped, w.changes = make(chan struct{}, 1), make(chan struct{}), make(chan Status, 1)
	go func() {
		defer close(w.stopped)
		defer close(w.changes)
		defer cleanUp()
		if err := guarded(w.path, func() error { w.run(); return nil }); err != nil {
			w.settle(err)
		}
	}()
}

// submit puts a write into the queue.
func (w *writer) submit(one *write) *write {
	w.mu.Lock()
	defer w.mu.Unlock()
	one.answered = make(chan struct{})
	if w.ending {
		one.answer(ErrClosed)
		return one
	}
	w.queue = append(w.queue, one)
	if w.fault != nil {
		one.answer(w.fault)
	}
	w.poke()
	return one
}

func (w *writer) poke() {
	select {
	case w.wake <- struct{}{}:
	default:
	}
}

// end lets the goroutine finish what is in the queue, or try once more, and
// waits for it. The error is why something is not saved.
func (w *writer) end(ctx context.Context) error {
	w.mu.Lock()
	w.ending = true
	w.poke()
	w.mu.Unlock()
	select {
	case <-w.stopped:
	case <-ctx.Done():
		return ctx.Err()
	}
	return w.status().Fault
}

func (w *writer) status() Status {
	w.mu.Lock()
	defer w.mu.Unlock()
	return Status{Saved: w.saved, Waiting: len(w.queue), Fault: w.fault}
}

// run ends when there is nothing left to do and nothing more will come.
func (w *writer) run() {
	wait := w.options.Retry
	for {
		next, ending := w.next()
		switch {
		case next == nil && ending:
			w.settleEnd()
			return
		case next == nil:
			<-w.wake
			continue
		}
		err := w.attempt(next)
		w.settle(err)
		switch {
		case err == nil:
			wait = w.options.Retry
		case ending:
			return
		case passes(err):
			w.pause(wait)
			wait = min(2*wait, 4*w.options.Retry)
		default:
			w.pause(0)
			if !mayBeCured(err) {
				return
			}
		}
	}
}

func (w *writer) next() (first *write, ending bool) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if len(w.queue) > 0 {
		first = w.queue[0]
	}
	return first, w.ending
}

// pause waits so long, 0 being without end, or until nothing more will come.
func (w *writer) pause(d time.Duration) {
	var over <-chan time.Time
	if d > 0 {
		over = time.After(d)
	}
	for {
		select {
		case <-over:
			return
		case <-w.wake:
			if _, ending := w.next(); ending {
				return
			}
		}
	}
}

// guarded returns what do returns, and a fault where it breaks: that must not
// take the program with it, which may be in the middle of a brew.
func guarded(path string, do func() error) (err error) {
	defer func() {
		if broken := recover(); broken != nil {
			err = &Fault{Cause: Broken, Path: path, Err: fmt.Errorf("%v", broken)}
		}
	}()
	return do()
}

// attempt brings one write to the file.
func (w *writer) attempt(one *write) error {
	return guarded(w.path, func() error { return w.try(one) })
}

func (w *writer) try(one *write) error {
	j, err := w.connect()
	if err != nil {
		return err
	}
	if err = w.options.BeforeWrite(); err == nil {
		err = j.update(context.Background(), one.do)
	}
	var f *Fault
	if err = j.wrap(err); err != nil && !errors.As(err, &f) {
		err = &Fault{Cause: Broken, Path: w.path, Err: err}
	}
	return err
}

// settle notes what became of the first write in the queue. A fault is over
// when everything that it held up is durable.
func (w *writer) settle(err error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if err == nil {
		one := w.queue[0]
		w.queue = w.queue[1:]
		if one.event {
			w.saved++
		}
		one.answer(nil)
	}
	if err == nil && len(w.queue) > 0 {
		return
	}
	changed := causeOf(err) != causeOf(w.fault)
	w.fault = err
	for _, one := range w.queue {
		one.answer(err)
	}
	if changed {
		w.tell(Status{Saved: w.saved, Waiting: len(w.queue), Fault: err})
	}
}

// settleEnd looks once more whether all that was saved is where it belongs and
// can be read.
func (w *writer) settleEnd() {
	j, err := w.connect()
	if err == nil {
		err = j.here()
	}
	if err == nil {
		err = j.rereads()
	}
	if err != nil && !passes(err) {
		w.settle(err)
	}
}

// tell keeps only the latest change for who listens.
func (w *writer) tell(s Status) {
	select {
	case <-w.changes:
	default:
	}
	w.changes <- s
}

func passes(err error) bool {
	var f *Fault
	return errors.As(err, &f) && f.Passes()
}

// mayBeCured reports whether somebody may have done something about a fault
// until the end of the brew. What is damaged is not written to again.
func mayBeCured(err error) bool {
	switch causeOf(err) {
	case ReadOnly, Missing, Secret, Moved:
		return true
	}
	return false
}

// causeOf returns the cause of a fault, and something for every other error.
func causeOf(err error) Cause {
	var f *Fault
	switch {
	case err == nil:
		return ""
	case errors.As(err, &f):
		return f.Cause
	}
	return Broken
}
