package brew_test

import (
	"encoding/json"
	"reflect"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"barline/brew"
)

// brewer brews a drawn plan by drawn events and checks after each that the
// lane keeps its promises.
type brewer struct {
	plan  *brew.Plan
	lane  brew.Lane
	clock time.Duration // of the timeline
	now   time.Duration // of the latest event, on the timeline's clock
	moved []time.Duration

	stands []brew.Event // what was not taken back
	gives  []bool       // whether that event marked a beat
}

func TestALaneKeepsItsPromises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPlan(t).WithMarks(rapid.SampledFrom([]brew.Policy{brew.MarksAsked, brew.MarksAsked, brew.MarksAll}).Draw(t, "marks"))
		b := &brewer{plan: p, lane: brew.NewLane(p), clock: moment(t, "begin", 0, 9*s), moved: make([]time.Duration, len(p.Cues))}
		if !rapid.Bool().Draw(t, "late start") {
			b.happens(t, b.start(t))
		}
		t.Repeat(map[string]func(*rapid.T){
			"start":  func(t *rapid.T) { b.happens(t, b.start(t)) },
			"mark":   func(t *rapid.T) { b.later(t); b.happens(t, b.mark(t)) },
			"marks":  func(t *rapid.T) { b.aim(t); b.happens(t, b.mark(t)) },
			"undo":   func(t *rapid.T) { b.later(t); b.happens(t, b.event(brew.EventUndo)) },
			"skip":   func(t *rapid.T) { b.later(t); b.happens(t, b.event(brew.EventSkip)) },
			"nudge":  func(t *rapid.T) { b.happens(t, b.event(brew.EventNudge)) },
			"zero":   func(t *rapid.T) { b.happens(t, b.event(brew.EventZero)) },
			"note":   func(t *rapid.T) { b.later(t); b.happens(t, b.event(brew.EventNote)) },
			"moved":  func(t *rapid.T) { b.later(t); b.happens(t, b.move(t)) },
			"finish": func(t *rapid.T) { b.seldom(t, brew.EventFinish) },
			"stop":   func(t *rapid.T) { b.seldom(t, brew.EventStop) },
			"":       b.check,
		})
		b.replays(t)
	})
}

func (b *brewer) event(k brew.EventKind) brew.Event { return brew.Event{Kind: k, At: b.clock} }

// later lets time pass, now and then against the clock.
func (b *brewer) later(t *rapid.T) { b.clock += moment(t, "passes", -s, 20*s) }

// aim lets time pass until about when a beat is called.
func (b *brewer) aim(t *rapid.T) {
	n := rapid.IntRange(0, len(b.plan.Beats)-1).Draw(t, "beat")
	at := b.lane.Beat(n).Called + b.lane.Zero() + moment(t, "off by", -4*s, 4*s)
	b.clock = max(b.clock, at)
}

func (b *brewer) start(t *rapid.T) brew.Event {
	e := b.event(brew.EventStart)
	if rapid.IntRange(0, 4).Draw(t, "from the middle") == 0 {
		e.From = moment(t, "from", 0, b.plan.End+5*s)
	}
	return e
}

func (b *brewer) mark(t *rapid.T) brew.Event {
	e := b.event(brew.EventMark)
	if rapid.Bool().Draw(t, "weighs") {
		e.Weight = weight(float64(rapid.IntRange(0, 300).Draw(t, "weight")))
	}
	return e
}

func (b *brewer) move(t *rapid.T) brew.Event {
	e := b.event(brew.EventMoved)
	e.Cue = rapid.IntRange(-1, len(b.plan.Cues)).Draw(t, "cue")
	e.To = b.lane.Elapsed(b.clock) + moment(t, "to", -5*s, 30*s)
	return e
}

func (b *brewer) seldom(t *rapid.T, k brew.EventKind) {
	if rapid.IntRange(0, 9).Draw(t, "after all") == 0 {
		b.happens(t, b.event(k))
	}
}

func moment(t *rapid.T, what string, least, most time.Duration) time.Duration {
	const grain = 50 * time.Millisecond
	return time.Duration(rapid.Int64Range(int64(least/grain), int64(most/grain)).Draw(t, what)) * grain
}

// happens applies one event and checks what it did.
func (b *brewer) happens(t *rapid.T, e brew.Event) {
	was, before := b.lane, stateOf(b.lane)
	next, out := was.Apply(e)
	was.Apply(brew.Event{Kind: brew.EventNote, Text: "in another world"})
	if !reflect.DeepEqual(stateOf(was), before) {
		t.Fatalf("%s changed the lane that it was applied to", e.Kind)
	}
	if out.Effect == brew.Refused {
		if !reflect.DeepEqual(next, was) || out.Why == "" {
			t.Fatalf("%s was refused (%q) and left a trace", e.Kind, out.Why)
		}
		return
	}
	if got := next.Events(); len(got) != len(was.Events())+1 || !reflect.DeepEqual(got[len(got)-1], e) {
		t.Fatalf("%s is not in the record", e.Kind)
	}
	b.lane = next
	if next.Started() && e.Kind != brew.EventStart {
		e.At = max(e.At, b.now) // an earlier one counts as happening with the latest
	}
	b.now = e.At
	b.stand(e, out)
	switch e.Kind {
	case brew.EventStart:
	case brew.EventUndo:
		b.undone(t, e)
	case brew.EventZero:
		for i := range b.moved {
			b.moved[i] -= next.Zero() - was.Zero()
		}
	case brew.EventMoved:
		b.moved[e.Cue] = e.To
		b.frozen(t, was, e, out)
	case brew.EventNote:
		if before.Ends > 0 {
			before.Ends = max(before.Ends, next.Elapsed(e.At)+brew.FinishAfter) // somebody is there still
		}
		if after := stateOf(next); !reflect.DeepEqual(after, before) {
			t.Fatalf("time alone changed the lane from\n%+v\nto\n%+v", before, after)
		}
	default:
		b.frozen(t, was, e, out)
	}
}

// stand keeps the list of what stands, as the law of undo has it.
func (b *brewer) stand(e brew.Event, out brew.Outcome) {
	if e.Kind != brew.EventUndo {
		b.stands, b.gives = append(b.stands, e), append(b.gives, e.Kind == brew.EventMark && out.Effect == brew.Taken)
		return
	}
	i := len(b.stands) - 1
	for b.stands[i].Kind != brew.EventMark && b.stands[i].Kind != brew.EventSkip {
		i--
	}
	stands, gives := slices.Clone(b.stands[:i]), slices.Clone(b.gives[:i])
	for j := i + 1; j < len(b.stands); j++ {
		k := b.stands[j].Kind
		if k == brew.EventFinish || k == brew.EventNudge && b.gives[i] {
			continue
		}
		stands, gives = append(stands, b.stands[j]), append(gives, b.gives[j])
	}
	b.stands, b.gives = stands, gives
}

// undone checks the law: events and an undo give the state that the events
// without the last mark or skip give at that moment.
func (b *brewer) undone(t *rapid.T, e brew.Event) {
	l := brew.NewLane(b.plan)
	for _, stood := range append(slices.Clip(b.stands), brew.Event{Kind: brew.EventNote, At: e.At}) {
		l, _ = l.Apply(stood)
	}
	if got, want := stateOf(b.lane), stateOf(l); !reflect.DeepEqual(got, want) {
		t.Fatalf("undo gives\n%+v\nbut without the event it would be\n%+v", got, want)
	}
}

// frozen checks that what was called by now stays called, that nothing is
// called in the past, and that a beat's fate is sealed once.
func (b *brewer) frozen(t *rapid.T, was brew.Lane, e brew.Event, out brew.Outcome) {
	now := b.lane.Elapsed(b.now)
	for n := range b.plan.Beats {
		old, new := was.Beat(n), b.lane.Beat(n)
		if old.Called != new.Called && (old.Called <= now || new.Called < now) {
			t.Fatalf("at %s beat %d, called %s, is called %s", now, n, old.Called, new.Called)
		}
		given := e.Kind == brew.EventMark && out.Effect == brew.Taken && out.Beat == n
		nudged := e.Kind == brew.EventNudge && out.Beat == n
		switch {
		case given && (old.Status != brew.Waiting || new.Status != brew.Marked || new.Marked != now || new.Raw != now || new.Weight != e.Weight || b.lane.Last() != n):
			t.Fatalf("a mark at %s made of beat %d, %s, %+v", now, n, old.Status, new)
		case nudged && (new.Marked != old.Marked-brew.Nudge || new.Raw != old.Raw):
			t.Fatalf("a nudge made of %+v %+v", old, new)
		case !given && !nudged && old.Status != brew.Waiting && new != old:
			t.Fatalf("%s made of beat %d, %+v, %+v", e.Kind, n, old, new)
		case !given && new.Status == brew.Marked && old.Status == brew.Waiting:
			t.Fatalf("beat %d was marked by a %s for beat %d", n, e.Kind, out.Beat)
		}
	}
	for i := range b.plan.Cues {
		before, _ := was.Span(i)
		begin, _ := b.lane.Span(i)
		start := b.lane.Beat(b.plan.Cues[i].StartBeat)
		asMarked := start.Status == brew.Marked && begin == start.Marked
		if begin != before && !asMarked && (before <= now || begin < now) {
			t.Fatalf("at %s cue %d, begun %s, begins %s", now, i, before, begin)
		}
	}
	b.called(t, now)
}

// called works out by the rules, cue by cue, when what is still to come
// should be called.
func (b *brewer) called(t *rapid.T, now time.Duration) {
	if how, _, _ := b.lane.Ending(); how != brew.Running {
		return
	}
	var hands time.Duration
	for i, c := range b.plan.Cues {
		begin, finish := b.lane.Span(i)
		end := b.lane.Beat(c.EndBeat)
		at := c.Start
		if c.Pinned == brew.PinHand {
			_, at = b.lane.Span(c.Before)
			at += c.After
		}
		if want := max(at, hands, b.moved[i], now); begin > now && begin != want {
			t.Fatalf("at %s cue %d is to begin at %s, want %s", now, i, begin, want)
		}
		own := max(begin+c.Length(), now)
		switch next := isNext(b.plan.Beats[c.EndBeat]); {
		case next && finish > now && end.Status == brew.Waiting && finish != own:
			t.Fatalf("at %s cue %d is to end at %s, want %s", now, i, finish, own)
		case !next && end.Called > now && end.Status == brew.Waiting && end.Called != own:
			t.Fatalf("at %s cue %d is to end at %s, want %s", now, i, end.Called, own)
		case !next && finish != max(end.At(), begin) && !b.lane.Skipped(i):
			t.Fatalf("at %s cue %d ends at %s, its beat says %s", now, i, finish, max(end.At(), begin))
		}
		if start := b.lane.Beat(c.StartBeat); isNext(b.plan.Beats[c.StartBeat]) && begin > now && start.Status == brew.Waiting && start.Called != begin {
			t.Fatalf("at %s cue %d is to begin at %s, its beat is called %s", now, i, begin, start.Called)
		}
		if c.Hands == brew.Busy {
			hands = finish
		}
	}
}

// check looks at the lane at some moments from the latest event on.
func (b *brewer) check(t *rapid.T) {
	for i := range b.plan.Cues {
		if begin, finish := b.lane.Span(i); finish < begin {
			t.Fatalf("cue %d ends at %s before it begins at %s", i, finish, begin)
		}
	}
	how, _, _ := b.lane.Ending()
	at := b.lane.Elapsed(max(b.clock, b.now)) + moment(t, "look", 0, 30*s)
	m := b.lane.At(at)
	if how != brew.Running {
		if m.On >= 0 || m.Next >= 0 || m.HasReading || m.PendingCount > 0 || m.HasChange {
			t.Fatalf("an ended lane shows %+v", m)
		}
		return
	}
	span := func(i int) (int64, int64) { begin, end := b.lane.Span(i); return int64(begin), int64(end) }
	sameMoment(t, b.plan, m, span)
	edges := edgeTimes(b.plan, span)
	b.pending(t, m)
	if ends, ok := b.lane.EndsItself(); ok {
		edges = append(edges, ends)
		for n := range b.plan.Beats {
			edges = append(edges, b.lane.Beat(n).Called)
		}
	}
	truthful(t, b.lane.At, edges, at)
}

// pending counts what was called and waits.
func (b *brewer) pending(t *rapid.T, m brew.Moment) {
	first, count := -1, 0
	for n, beat := range b.plan.Beats {
		state := b.lane.Beat(n)
		if !b.lane.Started() || !beat.Asked || state.Status != brew.Waiting || state.Called > m.At {
			continue
		}
		if count++; first < 0 || state.Called < b.lane.Beat(first).Called {
			first = n
		}
	}
	if m.Pending != first || m.PendingCount != count {
		t.Fatalf("at %s beat %d and %d in all are pending, not %d and %d", m.At, first, count, m.Pending, m.PendingCount)
	}
}

// replays checks that the record gives the same lane again, also when plan
// and events went through JSON.
func (b *brewer) replays(t *rapid.T) {
	l := brew.NewLane(through(t, b.plan))
	for _, e := range through(t, b.lane.Events()) {
		l, _ = l.Apply(e)
	}
	if !reflect.DeepEqual(l, b.lane) {
		t.Fatalf("replayed it is\n%+v\nwas\n%+v", stateOf(l), stateOf(b.lane))
	}
	b.replaysAtOnce(t)
}

// replaysAtOnce checks Replay against Apply, with an event among the others
// that is refused.
func (b *brewer) replaysAtOnce(t *rapid.T) {
	events := b.lane.Events()
	at := rapid.IntRange(0, len(events)).Draw(t, "refused at")
	before, _, _ := brew.Replay(b.plan, events[:at])
	no := brew.Event{Kind: brew.EventMoved, Cue: -1, At: b.now}
	_, out := before.Apply(no)
	if out.Effect != brew.Refused {
		t.Fatal("the event that should be refused is not")
	}
	l, first, why := brew.Replay(b.plan, slices.Insert(slices.Clone(events), at, no))
	same := reflect.DeepEqual(stateOf(l), stateOf(b.lane)) && reflect.DeepEqual(append([]brew.Event(nil), l.Events()...), append([]brew.Event(nil), events...))
	if first != at || why != out.Why || !same {
		t.Fatalf("replayed at once, refusing %d (%q) instead of %d (%q), it is\n%+v\nwas\n%+v", first, why, at, out.Why, stateOf(l), stateOf(b.lane))
	}
}

// state is all that a lane says of itself.
type state struct {
	Beats    []brew.BeatState
	Spans    [][2]time.Duration
	Skipped  []bool
	Last     int
	Zero     time.Duration
	Ending   brew.Ending
	EndedAt  time.Duration
	Contact  [2]any
	Ends     time.Duration
	EndsSelf bool
}

func stateOf(l brew.Lane) state {
	st := state{Last: l.Last(), Zero: l.Zero()}
	st.Ending, st.EndedAt, _ = l.Ending()
	length, marked, _ := l.Contact()
	st.Contact = [2]any{length, marked}
	for n := range l.Plan().Beats {
		st.Beats = append(st.Beats, l.Beat(n))
	}
	for i := range l.Plan().Cues {
		begin, end := l.Span(i)
		st.Spans, st.Skipped = append(st.Spans, [2]time.Duration{begin, end}), append(st.Skipped, l.Skipped(i))
	}
	st.Ends, st.EndsSelf = l.EndsItself()
	for n, b := range l.Plan().Beats {
		if b.Asked && st.Beats[n].Status == brew.Waiting {
			return st
		}
	}
	st.Ends = 0 // with nothing to wait for it depends on the latest event
	return st
}

// through returns what a value is after it was written as JSON and read.
func through[T any](t tester, v T) (out T) {
	text, err := json.Marshal(v)
	if err == nil {
		err = json.Unmarshal(text, &out)
	}
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// isNext reports whether a beat that two cues share is asked as the start of the
// second: it is called with that one, and the first ends by itself.
func isNext(b brew.Beat) bool { return b.Also != nil && b.Edge == brew.StartEdge }
