package main

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"time"

	"barline/brew"
	"barline/brew/drift"
	"barline/cmd/barline/internal/clock"
	"barline/cmd/barline/internal/journal"
	"barline/tui/probe"
)

// diskMeter measures how long the journal takes to make an event durable: in
// a journal of its own beside the real one, which is removed afterwards.
type diskMeter struct {
	path  string // of the real journal
	err   error  // why there is none
	clock clock.Clock

	stopped context.Context
	stopNow context.CancelFunc
	running sync.WaitGroup
}

func (a *app) diskMeter() *diskMeter {
	m := &diskMeter{clock: a.clock}
	m.path, m.err = a.journalFile()
	m.stopped, m.stopNow = context.WithCancel(context.Background())
	return m
}

const (
	diskEvents   = 50              // that are written
	diskWithin   = 5 * time.Second // no more are begun after it
	diskPatience = 10 * time.Second
)

// measure returns how long the writes took, or why they cannot be measured. A
// disk that does not answer is given up on.
func (m *diskMeter) measure() probe.Writes {
	done := make(chan probe.Writes, 1)
	m.running.Go(func() { done <- m.writes() })
	select {
	case w := <-done:
		return w
	case <-time.After(diskPatience):
		return probe.Writes{Fault: "the disk has not answered for " + brew.Spoken(diskPatience)}
	}
}

// stop ends the measuring, and waits a little for it to tidy up.
func (m *diskMeter) stop() {
	m.stopNow()
	tidy := make(chan struct{})
	go func() {
		defer close(tidy)
		m.running.Wait()
	}()
	select {
	case <-tidy:
	case <-time.After(time.Second):
	}
}

// writes makes the journal, writes and removes it.
func (m *diskMeter) writes() probe.Writes {
	if m.err != nil {
		return probe.Writes{Fault: m.err.Error()}
	}
	folder, remove, err := m.folder()
	if err == nil {
		defer remove()
		var times []time.Duration
		if times, err = m.times(filepath.Join(folder, journal.FileName)); err == nil {
			return probe.Writes{Spread: probe.SpreadOf(times)}
		}
	}
	return probe.Writes{Fault: "the journal's folder cannot be written" + because(err)}
}

// because says why in words without a path.
func because(err error) string {
	var fault *journal.Fault
	var path *fs.PathError
	switch {
	case errors.As(err, &fault):
		return ": " + string(fault.Cause)
	case errors.As(err, &path):
		return ": " + path.Err.Error()
	}
	return ""
}

// folder makes a folder beside the journal, and what is missing of the way to
// it; remove takes all of that away again.
func (m *diskMeter) folder() (folder string, remove func(), err error) {
	var made []string
	parent := filepath.Dir(m.path)
	for dir := parent; missing(dir); dir = filepath.Dir(dir) {
		made = append(made, dir)
	}
	tidy := func() {
		for _, dir := range made {
			os.Remove(dir) // one that has come into use stays
		}
	}
	if err = os.MkdirAll(parent, 0o755); err == nil {
		folder, err = os.MkdirTemp(parent, ".barline-terminal-")
	}
	if err != nil {
		tidy()
		return "", nil, err
	}
	return folder, func() { os.RemoveAll(folder); tidy() }, nil
}

// times writes a brew into a journal, event by event, and returns how long
// each but the first took: that one brings the brew itself into the file.
func (m *diskMeter) times(path string) (times []time.Duration, err error) {
	j, err := journal.Open(path, journal.Options{})
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, j.Close()) }()
	record, err := m.record()
	if err != nil {
		return nil, err
	}
	recorder, err := j.Begin(record)
	if err != nil {
		return nil, err
	}
	defer recorder.End(context.Background())
	began := m.clock.Now()
	for n := 0; n <= diskEvents && m.stopped.Err() == nil && m.clock.Now().Since(began) < diskWithin; n++ {
		before := m.clock.Now()
		if err := recorder.Append(n, diskEvent(n)); err != nil {
			return nil, err
		}
		if n > 0 {
			times = append(times, m.clock.Now().Since(before))
		}
	}
	return times, nil
}

// diskEvent returns the n-th event: a start, then a mark and its taking back,
// again and again.
func diskEvent(n int) brew.Event {
	e := brew.Event{Kind: brew.EventMark, At: time.Duration(n) * time.Second, Source: brew.FromKey}
	switch {
	case n == 0:
		e = brew.Event{Kind: brew.EventStart, Source: brew.FromKey}
	case n%2 == 0:
		e.Kind = brew.EventUndo
	}
	return e
}

// record is the brew that is written: one pour that takes its time.
func (m *diskMeter) record() (journal.Record, error) {
	plan, err := brew.NewPlan(brew.Recipe{
		Name: "a disk measured", Method: brew.Cone, Dose: 15 * brew.Gram, Water: 225 * brew.Gram, Temperature: 92, Grind: "medium",
		Steps: []brew.Step{{Action: brew.Pour, Amount: 225 * brew.Gram, Over: (diskEvents + 1) * time.Second}},
	}, brew.Bar{})
	now := m.clock.Now()
	return journal.Record{
		Plan: plan,
		Brew: journal.Brew{
			Kind: journal.Kind(drift.Practice), Start: now.Wall,
			Clock: journal.Clock{Kept: journal.Kept(now.Kept), Boot: m.clock.Boot(), Zero: now.Elapsed},
		},
	}, err
}
