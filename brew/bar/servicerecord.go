package bar

import (
	"encoding/json"
	"fmt"
	"slices"
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
	Bowls  map[string]string `json:",omitempty"` // of a table: what is in each bowl, by its code; nowhere on the page
	Steady bool              `json:",omitempty"` // the plan is kept as long as it can be, as of a table whose bowls are to be alike
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
//
// A brew is as its own record has it. One record may end sooner than another,
// where the program was killed: cues are moved as the brew's record says and no
// plan, and what the plan does not know makes it stale. Only a brew whose order
// was cancelled is stopped, whether its own record says so or not: see Unended.
func ReplayService(o Opening, round []brew.Event, brews [][]brew.Event) (Service, error) {
	r := replay{s: o.Service(), brews: brews, next: make([]int, len(brews))}
	for n := range brews {
		r.next[n] = min(1, len(brews[n])) // its start is an event of the round
	}
	r.s.bulk = true
	err := r.fold(round)
	s := r.weighed()
	s.recorded(brews)
	return s, err
}

// recorded makes brews that run what their records tell.
func (s *Service) recorded(brews [][]brew.Event) {
	for n := range min(len(brews), len(s.brews)) {
		was := s.brews[n].lane
		if how, _, _ := was.Ending(); how == brew.Stopped || len(brews[n]) == 0 {
			continue
		}
		is, _, _ := brew.Replay(was.Plan(), brews[n])
		if s.brews[n].lane = is; retimed(was, is) {
			s.stale, s.anew = true, true
		}
	}
}

// Unended returns the stop of each brew, by number, that is over while its
// record, which ReplayService was given, says that it runs.
func (s Service) Unended(brews [][]brew.Event) map[int]brew.Event {
	out := map[int]brew.Event{}
	for n := range min(len(brews), len(s.brews)) {
		lane := s.brews[n].lane
		if how, _, _ := lane.Ending(); how != brew.Stopped || len(brews[n]) == 0 {
			continue
		}
		recorded, _, _ := brew.Replay(lane.Plan(), brews[n])
		if how, _, _ := recorded.Ending(); how == brew.Running {
			events := lane.Events()
			out[n] = events[slices.IndexFunc(events, func(e brew.Event) bool { return e.Kind == brew.EventStop })]
		}
	}
	return out
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

// apply folds an event.
func (r *replay) apply(e ServiceEvent) error {
	s, result := r.s.Apply(e)
	if result.Effect == brew.Refused {
		return fmt.Errorf("event %q at %s: %s", e.Kind, brew.Exact(e.At), result.Why)
	}
	r.s = s
	if e.Kind == PlanAdopted {
		r.adopted, r.plan = s, &e
	}
	return r.err
}

// own folds the earliest event of a brew's own that was not met yet, and
// reports whether there was one.
func (r *replay) own() bool {
	best := -1
	var at time.Duration
	for n := range min(len(r.brews), len(r.s.brews)) {
		for r.next[n] < len(r.brews[n]) && follows(r.brews[n][r.next[n]]) {
			r.next[n]++
		}
		if r.next[n] == len(r.brews[n]) {
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
	r.next[best]++
	if r.s.orders[r.s.brews[best].order].brew != best {
		r.aside(best, e)
		return true
	}
	r.err = r.apply(ServiceEvent{Kind: BrewEvent, At: e.At, Source: e.Source, Order: r.s.brews[best].order, Brew: e})
	return r.err == nil
}

// aside folds what was said of a brew that is not its order's any more.
func (r *replay) aside(n int, e brew.Event) {
	s := r.s.clone()
	s.give(n, e)
	s.latest, s.count = max(s.latest, e.At), s.count+1
	r.s = s
}

// follows reports whether an event of a brew follows from one of the round:
// nothing else moves a cue, and the program by itself stops nothing.
func follows(e brew.Event) bool {
	return e.Kind == brew.EventMoved || e.Kind == brew.EventStop && e.Source == brew.FromClock
}
