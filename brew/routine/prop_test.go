package routine_test

import (
	"reflect"
	"testing"
	"time"

	"pgregory.net/rapid"

	"barline/brew"
	"barline/brew/routine"
)

// drawn performs a plan at random: presses, lines, starts, skips, takings back
// and stops at moments that are all different, so that no two events of
// different lanes change places in a record.
func drawn(rt *rapid.T, p *routine.Plan) routine.Run {
	opt := p.Whole()
	if rapid.Bool().Draw(rt, "part") {
		opt.From = rapid.IntRange(0, len(p.Sections)-1).Draw(rt, "from")
		opt.To = rapid.IntRange(opt.From, len(p.Sections)-1).Draw(rt, "to")
	}
	opt.Manual = rapid.Bool().Draw(rt, "manual")
	r := routine.NewRun(p, opt)
	at := r.Begins()
	give := func(e brew.Event) {
		for _, c := range r.Clock(e.At) {
			r, _ = r.Apply(c)
		}
		r, _ = r.Apply(e)
	}
	give(brew.Event{Kind: brew.EventMark, Lane: p.CallsLane(), At: at, Source: brew.FromKey})
	for range rapid.IntRange(0, 25).Draw(rt, "events") {
		at += time.Duration(rapid.IntRange(1, 20_000).Draw(rt, "ms"))*time.Millisecond + 1
		lane := rapid.IntRange(0, p.CallsLane()).Draw(rt, "lane")
		kind := rapid.SampledFrom([]brew.EventKind{brew.EventMark, brew.EventMark, brew.EventStart, brew.EventUndo, brew.EventSkip, brew.EventNudge, brew.EventNote}).Draw(rt, "kind")
		if rapid.Bool().Draw(rt, "press") {
			if e, ok := r.Meant(at, brew.FromKey); ok && e.Lane != p.CallsLane() {
				give(e)
			}
			continue
		}
		give(brew.Event{Kind: kind, Lane: lane, At: at, Source: brew.FromKey})
	}
	if rapid.Bool().Draw(rt, "ended") {
		give(brew.Event{Kind: rapid.SampledFrom([]brew.EventKind{brew.EventMark, brew.EventStop}).Draw(rt, "end"), Lane: p.CallsLane(), At: at + 7*s + 1, Source: brew.FromKey})
		for _, e := range r.Closing() {
			r, _ = r.Apply(e)
		}
	}
	return r
}

// A take that is kept in parts and put together again gives the same sections,
// drifts and penalty.
func TestATakeReplayedFromItsRecordIsTheSame(t *testing.T) {
	plans := []*routine.Plan{planned(t, small()), planned(t, two()), planned(t, shifted()), planned(t, thanked())}
	rapid.Check(t, func(rt *rapid.T) {
		run := drawn(rt, rapid.SampledFrom(plans).Draw(rt, "plan"))
		own, brews := run.Parted()
		take := routine.Take{Speed: 1, Events: routine.Merge(own, brews...)}
		var reader routine.Reader
		again, err := reader.Run(take)
		if err != nil {
			rt.Fatalf("%v\n%+v", err, take.Events)
		}
		a, b := routine.Of(take, run), routine.Of(take, again)
		a.Plan, b.Plan = nil, nil // equal, but another
		if !reflect.DeepEqual(a, b) {
			rt.Fatalf("was\n%+v\nis\n%+v", a, b)
		}
		for at := a.Ended; at < a.Ended+30*s; at += 7 * s {
			if x, y := run.At(at), again.At(at); !reflect.DeepEqual(x, y) {
				rt.Fatalf("at %s\n%+v\nis\n%+v", at, x, y)
			}
		}
	})
}

// Events and then a taking back give what the events without the last mark of
// the talk give at that moment.
func TestATakenBackLineLeavesNoTrace(t *testing.T) {
	p := planned(t, two())
	rapid.Check(t, func(rt *rapid.T) {
		run := drawn(rt, p)
		if how, _, _ := run.Ending(); how != routine.Running {
			return
		}
		at := run.At(0).At
		for _, e := range run.Events() {
			at = max(at, e.At)
		}
		marked, out := run.Apply(brew.Event{Kind: brew.EventMark, Lane: p.TalkLane(), At: at + s, Source: brew.FromKey})
		if out.Effect != brew.Taken {
			return
		}
		back, out := marked.Apply(brew.Event{Kind: brew.EventUndo, Lane: p.TalkLane(), At: at + 3*s, Source: brew.FromKey})
		if out.Effect != brew.Taken {
			rt.Fatalf("not taken back: %+v", out)
		}
		if x, y := run.At(at+4*s), back.At(at+4*s); !reflect.DeepEqual(x, y) {
			rt.Fatalf("without it\n%+v\ntaken back\n%+v", x, y)
		}
	})
}

// Asking changes nothing, and what has begun stays begun.
func TestAskingChangesNothing(t *testing.T) {
	p := planned(t, two())
	rapid.Check(t, func(rt *rapid.T) {
		run := drawn(rt, p)
		end := run.Begins() + time.Duration(rapid.IntRange(0, 400).Draw(rt, "s"))*s
		for _, e := range run.Events() {
			end = max(end, e.At)
		}
		before := run.At(end)
		line := before.Line
		for at := end; at < end+200*s; at += 3 * s {
			k := run.At(at)
			if k.Line < line || k.LineDone < 0 || k.LineDone > 1 {
				rt.Fatalf("at %s: line %d after %d, done %v", at, k.Line, line, k.LineDone)
			}
			line = k.Line
		}
		if after := run.At(end); !reflect.DeepEqual(before, after) {
			rt.Fatalf("%+v\nbecame\n%+v", before, after)
		}
	})
}

// A record that was tampered with is refused, never followed into a panic.
func TestABrokenRecordIsRefused(t *testing.T) {
	p := planned(t, two())
	begin := routine.Begin(p, p.Whole())
	var reader routine.Reader
	for name, change := range map[string]func(*brew.Event){
		"no plan":           func(e *brew.Event) { e.Text = "{}" },
		"no JSON":           func(e *brew.Event) { e.Text = "plan" },
		"another event":     func(e *brew.Event) { e.Kind = brew.EventMark },
		"a newer schema":    func(e *brew.Event) { e.Text = `{"Schema":2}` + e.Text[len(`{"Schema":1`):] },
		"half of the plans": func(e *brew.Event) { e.Text = `{"Schema":1,"Plan":{"Cups":[{}]},"Of":[3]}` },
	} {
		e := begin
		change(&e)
		if _, err := reader.Run(routine.Take{Events: []brew.Event{e}}); err == nil {
			t.Errorf("%s is followed", name)
		}
	}
	if _, err := reader.Run(routine.Take{}); err == nil {
		t.Error("nothing is followed")
	}
	if _, err := reader.Run(routine.Take{Events: []brew.Event{begin, {Kind: brew.EventStart, Lane: 0}}}); err == nil {
		t.Error("water before the first call is followed")
	}
	if r, err := reader.Run(routine.Take{Events: []brew.Event{begin}}); err != nil || r.Started() {
		t.Errorf("a take that never began: %v", err)
	}
}

func FuzzBegin(f *testing.F) {
	p := planned(f, two())
	f.Add(routine.Begin(p, p.Whole()).Text)
	f.Add(`{"Schema":1,"Plan":{"Cups":[],"Sections":[{"Lines":1}],"Lines":[{"Length":1}],"Hands":{}},"Plans":[],"Of":[]}`)
	f.Fuzz(func(t *testing.T, text string) {
		var reader routine.Reader
		calls := p.CallsLane()
		r, err := reader.Result(routine.Take{Events: []brew.Event{{Kind: routine.EventBegin, Text: text}, {Kind: brew.EventMark, Lane: calls}}})
		if err == nil && len(r.Plan.Sections) == 0 {
			t.Error("a plan without sections is followed")
		}
	})
}
