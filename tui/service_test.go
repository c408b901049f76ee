package tui_test

import (
	"reflect"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"barline/brew"
	"barline/brew/bar"
	"barline/tui"
	"barline/tui/service"
)

// shiftBook is a record that knows the service as far as it was told.
type shiftBook struct {
	mu      sync.Mutex
	service bar.Service
	waiting map[int]bar.ServiceEvent
	next    int
}

func (b *shiftBook) Append(n int, e bar.ServiceEvent, _ bar.Result, _ time.Duration) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.waiting[n] = e
	for e, any := b.waiting[b.next]; any; e, any = b.waiting[b.next] {
		b.service, _ = b.service.Apply(e)
		b.next++
	}
	return nil
}

func (b *shiftBook) look(at time.Duration) bar.Look {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.service.Look(at)
}

// A whole service through the program in simulated time: two orders are
// placed, planned and brewed with a mark at each beat, the service is closed,
// and the record gives the same service as the page.
func TestAServiceIsServed(t *testing.T) {
	plans := shipped(t)
	menu := []*brew.Plan{plans["quayside-press.yaml"], plans["quayside-press.yaml"]}
	synctest.Test(t, func(t *testing.T) {
		ses := &session{t: t, began: time.Now(), done: make(chan tui.Model, 1)}
		now := func() time.Duration { return time.Since(ses.began) }
		fresh := bar.NewService(menu, bar.Kit{Brewers: 2}, []string{"Ada"})
		book := &shiftBook{service: fresh, waiting: map[int]bar.ServiceEvent{}}
		page := service.New(service.Options{ID: func(n int) string { return []string{"id0", "id2"}[n] }, Service: fresh, Title: "Window table", Opened: 8 * time.Hour, Ahead: 5 * s, Recorder: book, Now: now})
		ses.run(tui.OpenService(tui.Options{Now: now, Journal: &ledger{plan: menu[0]}}, page))
		for i, key := range []string{"a", "1", "a", "2"} {
			ses.until(time.Duration(i+1) * s)
			ses.press(key)
		}
		for at := 5 * s; at < 900*s && !served(book.look(at), 2); at += s / 2 {
			ses.until(at)
			for range book.look(at).Waiting {
				ses.press(" ")
				time.Sleep(s) // a key held down is one press
			}
		}
		if l := book.look(now()); !served(l, 2) {
			t.Errorf("not all was served: %+v", l.Tickets)
		}
		ses.step("q", "2 of 2 orders served")
		ses.step("\r", "finished at 2:20") // the debrief of the first
		ses.step(" ", "beverage in the server, g")
		ses.step("\r", "strength, %")
		ses.step("1.4\r", "taste")
		ses.step("\r", "saved: strength 1.4 %")
		ses.step("q", "2 of 2 orders served") // and the summary again
		ses.step("\x1b[B", "> 2")
		ses.step("\r", "! its plan is missing")
		time.Sleep(s)
		ses.press("q")
		m := <-ses.done
		ses.keys.Close()
		time.Sleep(time.Minute) // until the last alarm has run out
		got := m.Service().Service()
		if at := got.Latest(); !reflect.DeepEqual(book.look(at), got.Look(at)) {
			t.Error("the record gives another service")
		}
		for n := range got.Brews() {
			lane := got.Lane(n)
			for i, b := range lane.Plan().Beats {
				if b.Asked && lane.Beat(i).Status != brew.Marked {
					t.Errorf("brew %d: %s is %s", n, b.Name, lane.Beat(i).Status)
				}
			}
		}
	})
}

func served(l bar.Look, orders int) bool {
	n := 0
	for _, t := range l.Tickets {
		if t.State == bar.OrderServed {
			n++
		}
	}
	return n == orders
}

// Keys that follow each other are named by the first and the last.
func TestTheKeysOfLanesAreNamedInRuns(t *testing.T) {
	for _, k := range tui.KeyTable() {
		if k.Page == "service" && k.Does == "a lane" {
			if want := []string{"1-9", "A-L"}; !reflect.DeepEqual(k.Keys, want) {
				t.Errorf("they are named %q, want %q", k.Keys, want)
			}
			return
		}
	}
	t.Error("the service has no keys for its lanes")
}
