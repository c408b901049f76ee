package bar

import (
	"encoding/json"
	"fmt"
	"time"

	"barline/brew"
)

// A service's record has two parts. What happened to one brew stands in that
// brew's own record; everything else, and each start, is an event of the
// round. What follows from an event of the round, such as a cue that must
// wait, stands in the brew's record too, so that a brew can be read by itself.

// Recorded reports whether the event stands in the record of the round, and
// not in that of a brew alone.
func (e ServiceEvent) Recorded() bool {
	return e.Kind != BrewEvent || e.Brew.Kind == brew.EventStart
}

// written is how an event of the round is written as a text: without what a
// brew.Event has fields for.
type written struct {
	Nth int `json:"nth"` // of the service's events, from 0
	ServiceEvent
	Kind   *int `json:",omitempty"` // these hide the event's own
	At     *int `json:",omitempty"`
	Source *int `json:",omitempty"`
}

// Record returns the event as a record keeps it; nth is its number among all
// the events of the service, from 0 (see Count).
func (e ServiceEvent) Record(nth int) (brew.Event, error) {
	text, err := json.Marshal(written{Nth: nth, ServiceEvent: e})
	if err != nil {
		return brew.Event{}, fmt.Errorf("writing %s: %w", e.Kind, err)
	}
	return brew.Event{Kind: brew.EventKind(e.Kind), At: e.At, Source: e.Source, Lane: max(e.Order, 0), Text: string(text)}, nil
}

// ReadServiceEvent returns an event of a round from its record, and its
// number.
func ReadServiceEvent(r brew.Event) (e ServiceEvent, nth int, err error) {
	var w written
	if err := json.Unmarshal([]byte(r.Text), &w); err != nil {
		return e, 0, fmt.Errorf("event %q at %s: %w", r.Kind, brew.Exact(r.At), err)
	}
	e = w.ServiceEvent
	e.Kind, e.At, e.Source = ServiceKind(r.Kind), r.At, r.Source
	return e, w.Nth, nil
}

// Opening is what a service is opened with, as its record keeps it.
type Opening struct {
	Menu   []*brew.Plan
	Kit    Kit
	People []string
	Steady bool `json:",omitempty"` // the plan is kept as long as it can be, as of a table whose bowls are to be alike
}

// Service returns the service as it was opened.
func (o Opening) Service() Service {
	s := NewService(o.Menu, o.Kit, o.People)
	s.steady = o.Steady
	return s
}

// ReplayService returns the service that the records of its round and of its
// brews, by number, tell of. Where they do not fit together it returns what
// they tell up to there, and why.
func ReplayService(o Opening, round []brew.Event, brews [][]brew.Event) (Service, error) {
	r := replay{s: o.Service(), brews: brews, next: make([]int, len(brews))}
	r.s.bulk = true
	err := r.fold(round)
	return r.weighed(), err
}

type replay struct {
	s       Service
	brews   [][]brew.Event
	next    []int // of each brew, the event that was not met yet
	err     error
	adopted Service // as it was when the plan in force was adopted
	plan    *ServiceEvent
}

func (r *replay) fold(round []brew.Event) error {
	for _, recorded := range round {
		e, nth, err := ReadServiceEvent(recorded)
		if err != nil {
			return err
		}
		for r.s.count < nth && r.own() {
		}
		if err := r.apply(e); err != nil {
			return err
		}
	}
	for r.own() {
	}
	return r.err
}

// weighed returns the service with the plan in force weighed as it was when it
// was adopted: those before it are not worth the work.
func (r *replay) weighed() Service {
	s := r.s.clone()
	s.bulk = false
	if r.plan == nil {
		return s
	}
	was := r.adopted.clone()
	was.weigh(*r.plan.Schedule, r.adopted.planned)
	for j := range was.orders {
		s.orders[j].who, s.orders[j].slacks = was.orders[j].who, was.orders[j].slacks
	}
	return s
}

// apply folds an event and passes over what it did to brews.
func (r *replay) apply(e ServiceEvent) error {
	s, result := r.s.Apply(e)
	if result.Effect == brew.Refused {
		return fmt.Errorf("event %q at %s: %s", e.Kind, brew.Exact(e.At), result.Why)
	}
	r.s = s
	if e.Kind == PlanAdopted {
		r.adopted, r.plan = s, &e
	}
	for _, b := range result.Brews {
		if b.Brew < len(r.next) && r.next[b.Brew] < len(r.brews[b.Brew]) {
			r.next[b.Brew]++
		}
	}
	return r.err
}

// own folds the earliest event of a brew's own that was not met yet, and
// reports whether there was one.
func (r *replay) own() bool {
	best := -1
	var at time.Duration
	for n := range min(len(r.brews), len(r.s.brews)) {
		if r.next[n] == len(r.brews[n]) || follows(r.brews[n][r.next[n]]) {
			continue
		}
		if now := r.brews[n][r.next[n]].At; best < 0 || now < at {
			best, at = n, now
		}
	}
	if best < 0 || r.err != nil {
		return false
	}
	e := r.brews[best][r.next[best]]
	r.err = r.apply(ServiceEvent{Kind: BrewEvent, At: e.At, Source: e.Source, Order: r.s.brews[best].order, Brew: e})
	return r.err == nil
}

// follows reports whether an event of a brew follows from one of the round:
// nothing else moves a cue, and the program by itself stops nothing.
func follows(e brew.Event) bool {
	return e.Kind == brew.EventMoved || e.Kind == brew.EventStop && e.Source == brew.FromClock
}
