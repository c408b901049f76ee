package routine

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"barline/brew"
)

// EventBegin is the first event of a take's record: its text holds the plan as
// performed and the options, so that nothing can rewrite what a take followed.
const EventBegin brew.EventKind = "begin"

// schema is that of what a begin holds.
const schema = 1

// kept is what a begin holds. Cups of the same recipe share a plan.
type kept struct {
	Schema  int
	Options Options
	Plan    *Plan
	Plans   []*brew.Plan
	Of      []int // of each cup, which of Plans
}

// Begin returns the event that a take's record begins with.
func Begin(p *Plan, opt Options) brew.Event {
	bare := *p
	bare.Cups = slices.Clone(p.Cups)
	k := kept{Schema: schema, Options: opt, Plan: &bare}
	for i, c := range p.Cups {
		n := slices.IndexFunc(k.Plans, func(o *brew.Plan) bool { return same(o, c.Plan) })
		if n < 0 {
			n, k.Plans = len(k.Plans), append(k.Plans, c.Plan)
		}
		bare.Cups[i].Plan, k.Of = nil, append(k.Of, n)
	}
	text, err := json.Marshal(k)
	if err != nil {
		panic(err) // plain values
	}
	return brew.Event{Kind: EventBegin, Lane: p.CallsLane(), At: p.Sections[opt.From].Start, Source: brew.FromClock, Text: string(text)}
}

// same reports whether two plans say the same.
func same(a, b *brew.Plan) bool {
	x, _ := json.Marshal(a)
	y, _ := json.Marshal(b)
	return string(x) == string(y)
}

// ReadBegin returns what a take's first event holds.
func ReadBegin(e brew.Event) (*Plan, Options, error) {
	var k kept
	if e.Kind != EventBegin {
		return nil, Options{}, fmt.Errorf("the record begins with %q, wanted %q", e.Kind, EventBegin)
	}
	if err := json.Unmarshal([]byte(e.Text), &k); err != nil {
		return nil, Options{}, fmt.Errorf("the plan cannot be read: %w", err)
	}
	if k.Schema != schema {
		return nil, Options{}, fmt.Errorf("the plan has schema %d, wanted %d", k.Schema, schema)
	}
	if k.Plan == nil || len(k.Of) != len(k.Plan.Cups) {
		return nil, Options{}, fmt.Errorf("the plan is not whole")
	}
	for i, n := range k.Of {
		if n < 0 || n >= len(k.Plans) {
			return nil, Options{}, fmt.Errorf("the plan of cup %d is missing", i+1)
		}
		k.Plan.Cups[i].Plan = k.Plans[n]
	}
	return k.Plan, k.Options, k.Plan.sound()
}

// sound returns what would keep a stored plan from being followed.
func (p *Plan) sound() error {
	if len(p.Sections) == 0 || p.Hands == nil || len(p.Tasks) != len(p.Hands.Cues) {
		return fmt.Errorf("the plan is not whole")
	}
	for _, s := range p.Sections {
		if s.First < 0 || s.Lines < 1 || s.First+s.Lines > len(p.Lines) {
			return fmt.Errorf("section %q has lines that are not there", s.Name)
		}
	}
	for i, c := range p.Cups {
		if c.Plan == nil || len(c.Plan.Cues) == 0 || c.Serving < -1 || c.Serving >= len(p.Tasks) {
			return fmt.Errorf("cup %d is not whole", i+1)
		}
	}
	for i, l := range p.Lines {
		for _, t := range l.Behind {
			if t.Lane < 0 || t.Lane > p.HandsLane() || t.Cue < 0 || t.Cue >= len(p.lane(t.Lane).Cues) {
				return fmt.Errorf("line %d is tied to what is not there", i+1)
			}
		}
		if l.Section < 0 || l.Section >= len(p.Sections) || l.Length <= 0 {
			return fmt.Errorf("line %d is not whole", i+1)
		}
	}
	return nil
}

// lane returns the plan of a cup's lane or the hands'.
func (p *Plan) lane(n int) *brew.Plan {
	if n == p.HandsLane() {
		return p.Hands
	}
	return p.Cups[n].Plan
}

// Merge returns the events of a take in order: its own, of the calls, the talk
// and the hands, and those of its brews. Each list keeps its order; what came at
// one moment in several stands as a run takes it, its end behind all that was
// still marked.
func Merge(own []brew.Event, brews ...[]brew.Event) []brew.Event {
	all := lineUp(nil, own, func(i int) rank { return ownRank(own, i) })
	for _, events := range brews {
		all = lineUp(all, events, func(i int) rank { return brewRank(events[i]) })
	}
	slices.SortStableFunc(all, func(a, b placed) int { return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.rank, b.rank)) })
	out := make([]brew.Event, len(all))
	for i, p := range all {
		out[i] = p.Event
	}
	return out
}

// placed is an event with where it stands among those of all lists.
type placed struct {
	brew.Event
	at   time.Duration // no earlier than what stands above it
	rank rank          // of what comes at that moment
}

type rank int

const (
	begins  rank = iota // the begin, and time called at the start
	byClock             // a brew ends by itself, ahead of anything else
	happens
	ends   // the run does
	closes // the brews that were under way then
)

// lineUp adds a list's events to those of others.
func lineUp(to []placed, events []brew.Event, of func(i int) rank) []placed {
	var above placed
	for i, e := range events {
		p := placed{e, e.At, of(i)}
		if i > 0 && p.at <= above.at {
			p.at, p.rank = above.at, max(p.rank, above.rank)
		}
		to, above = append(to, p), p
	}
	return to
}

// ownRank returns the rank of a take's own event; its begin names the lane of
// the calls.
func ownRank(own []brew.Event, i int) rank {
	calls := own[i].Lane == own[0].Lane
	switch {
	case i < 2:
		return begins
	case calls && (own[i].Kind == brew.EventMark || own[i].Kind == brew.EventStop):
		return ends
	}
	return happens
}

func brewRank(e brew.Event) rank {
	switch e.Kind {
	case brew.EventFinish:
		return byClock
	case brew.EventStop:
		return closes
	}
	return happens
}

// Parted returns a run's events as a record keeps them: the take's own with
// its begin, and of each cup those of its brew. Merge puts them together.
func (r Run) Parted() (own []brew.Event, brews [][]brew.Event) {
	own, brews = []brew.Event{Begin(r.plan, r.opt)}, make([][]brew.Event, len(r.plan.Cups))
	for i := range brews {
		brews[i] = r.lanes.Lane(i).Events()
	}
	for _, e := range r.log {
		if e.Lane >= len(brews) {
			own = append(own, e)
		}
	}
	return own, brews
}
