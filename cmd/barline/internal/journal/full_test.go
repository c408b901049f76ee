package journal_test

import (
	"testing"
	"time"

	"barline/brew"
	"barline/brew/drift"
	"barline/cmd/barline/internal/journal"
)

// fullOf puts everything that a journal can hold into one: brews of every kind
// and end, in a round and in a take, with corrected readings and weights, every
// kind of event, attempts and baselines, and what stays of a forgotten brew.
func fullOf(t testing.TB, j *journal.Journal) (ids []string) {
	t.Helper()
	winter := time.FixedZone("", -3*60*60-30*60)
	hour := func(n int) time.Time { return morning.Add(time.Duration(n) * time.Hour) }
	p, q := press(t), cone(t)
	put := func(r journal.Record, events []brew.Event) string {
		id := record(t, j, r, events)
		ids = append(ids, id)
		return id
	}

	put(brewed(p, hour(0)), follow(p))

	kettle := brew.Celsius(95.5)
	every := brewed(p, hour(1))
	every.Kind, every.Speed, every.From, every.Marks, every.Person = drift.Practice, 2.5, 4*time.Second, brew.MarksAll, ""
	every.Kettle, every.Clock, every.Text = &kettle, journal.Clock{Kept: journal.Wall}, ""
	every.Plan = p.WithMarks(brew.MarksAll)
	put(every, everyEvent())

	stopped := brewed(q, hour(2).In(time.UTC))
	stopped.Kind, stopped.Person, stopped.Clock = drift.Demo, "ada", journal.Clock{Kept: journal.Monotonic, Zero: -time.Second}
	put(stopped, []brew.Event{
		{Kind: brew.EventStart, Source: brew.FromFootSwitch},
		{Kind: brew.EventStop, At: 30 * time.Second, Source: brew.FromKey, Text: "spilt <it> & \"all\"\n"},
	})
	put(brewed(q, hour(3)), follow(q)[:2]) // cut off
	put(brewed(q, hour(4)), nil)           // and before it began

	round := journal.Round{ID: idAt(hour(5)), Kind: journal.BarRound, Name: "early", Person: "Bo", Start: hour(5), Text: "people: 1",
		Events: []brew.Event{{Kind: "order placed", At: time.Second, Source: brew.FromKey, Text: "two cones"}}}
	must(t, j.SaveRound(ctx, round))
	must(t, j.SaveRound(ctx, journal.Round{ID: idAt(hour(6)), Kind: journal.CuppingRound, Start: hour(6).In(winter)}))
	for lane := range 2 {
		r := brewed(q, hour(5).Add(time.Duration(lane)*20*time.Second))
		r.RoundOf, r.Lane, r.Order, r.StartAt = &round, lane, "ticket 7", time.Duration(lane)*20*time.Second
		put(r, shifted(follow(q), lane, r.StartAt))
	}

	take := journal.Take{ID: idAt(hour(7)), Routine: "Quayside final", Version: "abc", Person: "Cy", Kind: drift.Rehearsal, Speed: 1, Dry: true,
		Section: "opening", Start: hour(7), Text: "sections: []",
		Events: []brew.Event{{Kind: brew.EventMark, Lane: 3, At: 9 * time.Second, Source: brew.FromKey}, {Kind: "section", At: 12 * time.Second, Source: brew.FromClock, Text: "close"}}}
	must(t, j.SaveTake(ctx, take))
	r := brewed(p, hour(7))
	r.TakeOf, r.Kind = &take, drift.Rehearsal
	put(r, follow(p))

	measured(t, j, ids[0], hour(8))
	closed := hour(30).In(winter)
	must(t, j.SaveAttempt(ctx, journal.Attempt{ID: idAt(hour(9)), Person: "Ada", Recipe: p.Name, Version: p.Version, Brews: 10, Opened: hour(9)}))
	must(t, j.SaveAttempt(ctx, journal.Attempt{ID: idAt(hour(10)), Person: "Bo", Recipe: p.Name, Version: p.Version, Brews: 5,
		Opened: hour(10), Closed: &closed, Result: "failed", Text: "the third was late"}))
	must(t, j.SaveBaseline(ctx, baseline(ids[0])))
	must(t, j.Forget(ctx, record(t, j, brewed(p, hour(11)), follow(p)))) // which Ada's attempt counts
	return ids
}

// measured adds readings and weights, with a correction and one taken back.
func measured(t testing.TB, j *journal.Journal, id string, at time.Time) {
	t.Helper()
	strength, better, weight := 1.36, 1.42, 183.25
	mass, heavier := brew.Mass(50_100), brew.Mass(51_000)
	first, second := idAt(at), idAt(at.Add(time.Second))
	for _, r := range []journal.Reading{
		{ID: first, What: journal.Strength, Value: &strength, Taken: at, By: "Ada"},
		{ID: second, What: journal.Taste, Text: "bright; a little <thin>", Taken: at.Add(time.Second)},
		{ID: idAt(at.Add(2 * time.Second)), What: journal.Strength, Value: &better, Text: "rinsed the prism", Taken: at.Add(time.Minute), Replaces: first},
		{ID: idAt(at.Add(3 * time.Second)), What: journal.Taste, Taken: at.Add(time.Minute), Replaces: second},
		{ID: idAt(at.Add(4 * time.Second)), What: journal.BeverageWeight, Value: &weight, Taken: at},
	} {
		must(t, j.AddReading(ctx, id, r))
	}
	w := journal.Weight{ID: idAt(at), Beat: "first pour, end", Mass: &mass, Source: brew.FromScale, Taken: at, By: "Ada"}
	must(t, j.AddWeight(ctx, id, w))
	must(t, j.AddWeight(ctx, id, journal.Weight{ID: idAt(at.Add(time.Second)), Beat: w.Beat, Mass: &heavier, Taken: at.Add(time.Minute), Replaces: w.ID}))
}

// everyEvent is a brew of the press in which everything happens that can.
func everyEvent() []brew.Event {
	weight := brew.Mass(-120)
	at := func(s float64) time.Duration { return time.Duration(s*1e9) + 7 }
	return []brew.Event{
		{Kind: brew.EventNote, At: -time.Second, Source: brew.FromKey, Text: "before"},
		{Kind: brew.EventStart, At: at(0), Source: brew.FromKey, From: 4 * time.Second},
		{Kind: brew.EventZero, At: at(2), Source: brew.FromKey},
		{Kind: brew.EventMark, At: at(7), Source: brew.FromScale, Weight: &weight},
		{Kind: brew.EventNudge, At: at(7.5), Source: brew.FromKey},
		{Kind: brew.EventUndo, At: at(8), Source: brew.FromKey},
		{Kind: brew.EventMark, At: at(8.2), Source: brew.FromKey},
		{Kind: brew.EventSkip, At: at(9), Source: brew.FromKey},
		{Kind: brew.EventMoved, At: at(10), Source: brew.FromClock, Cue: 4, To: 120 * time.Second},
		{Kind: brew.EventNote, At: at(11), Source: brew.FromClock, Text: "the machine slept for 31 s"},
		{Kind: brew.EventMark, At: at(50), Source: brew.FromFootSwitch},
		{Kind: brew.EventFinish, At: at(200), Source: brew.FromClock},
	}
}

// shifted moves events to another lane and a later zero.
func shifted(events []brew.Event, lane int, by time.Duration) []brew.Event {
	for n := range events {
		events[n].Lane = lane
		events[n].At += by
	}
	return events
}
