package plain_test

import (
	"errors"
	"io"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"barline/brew"
	"barline/tui/live"
	"barline/tui/plain"
)

// machine is a clock that goes on while timers stop, as they do in a sleep.
type machine struct {
	mu    sync.Mutex
	began time.Time
	slept time.Duration
	told  time.Duration
}

func (m *machine) now() time.Duration {
	m.mu.Lock()
	defer m.mu.Unlock()
	return time.Since(m.began) + m.slept
}

func (m *machine) sleep(d time.Duration) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.slept += d
}

func (m *machine) tell() string {
	m.mu.Lock()
	defer m.mu.Unlock()
	d := m.slept - m.told
	m.told = m.slept
	if d == 0 {
		return ""
	}
	return "the machine slept for " + brew.Spoken(d)
}

// flaky is a recorder that cannot keep anything for a while, and keeps trying.
type flaky struct {
	mu     sync.Mutex
	until  time.Time
	events map[int]brew.Event
}

func (f *flaky) Append(n int, e brew.Event, _ time.Duration) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.events[n] = e
	if time.Now().Before(f.until) {
		return errors.New("another program holds the journal")
	}
	return nil
}

func (f *flaky) Measure(brew.Correction) error { return nil }

// A sleep in mid-brew is said within a second of the machine's waking, is in
// the record, and what was called meanwhile is said at once; one from before
// the start is no part of the brew.
func TestASleepIsSaidAndKept(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		m, k := &machine{began: time.Now()}, &flaky{events: map[int]brew.Event{}}
		in, w := io.Pipe()
		c := &call{t: t, began: m.began, in: w, done: make(chan plain.Result, 1)}
		opt := live.Options{Plans: []*brew.Plan{plan(t)}, Ahead: live.DefaultAhead, Now: m.now, Slept: m.tell, Recorder: k}
		m.sleep(8 * time.Hour)
		go func() { c.done <- plain.Run(in, c, opt) }()
		synctest.Wait()
		c.types(0, "")
		time.Sleep(30*s - time.Since(c.began)) // in the pause before the press
		m.sleep(40 * s)
		lane := c.ends(200).Lane
		var slept []string
		for _, line := range c.said(0) {
			if strings.Contains(line, "slept") {
				slept = append(slept, line)
			}
		}
		if len(slept) != 1 || !strings.HasSuffix(slept[0], "| 1:10 the machine slept for 40 s") && !strings.HasSuffix(slept[0], "| 1:11 the machine slept for 40 s") {
			t.Errorf("said is %q", slept)
		}
		notes := 0
		for _, e := range lane.Events() {
			if e.Kind == brew.EventNote {
				notes++
			}
		}
		kept := 0
		for _, e := range k.events {
			if e.Kind == brew.EventNote && e.Source == brew.FromClock && e.Text == "the machine slept for 40 s" {
				kept++
			}
		}
		if notes != 1 || kept != 1 {
			t.Errorf("%d notes, %d of them kept", notes, kept)
		}
	})
}

// What the recorder saves later by itself is said to be saved, though nothing
// more happens.
func TestWhatIsSavedLaterIsSaid(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		k := &flaky{until: time.Now().Add(30 * s), events: map[int]brew.Event{}}
		c := begin(t, live.Options{Recorder: k})
		c.types(0, "")
		c.types(20, "")
		result := c.ends(33)
		again := ""
		for _, line := range c.said(0) {
			if strings.HasSuffix(line, "| saved again") {
				again = line
			}
		}
		if again == "" || !strings.HasPrefix(again, "30") && !strings.HasPrefix(again, "31") {
			t.Errorf("it is said at %q:\n%s", again, strings.Join(c.said(0), "\n"))
		}
		if result.Unsaved != nil {
			t.Error(result.Unsaved)
		}
	})
}
