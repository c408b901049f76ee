package drift_test

import (
	"testing"

	"barline/brew"
	"barline/brew/drift"
)

func TestSentence(t *testing.T) {
	under := func(c drift.Conditions, r brew.Recipe, events ...brew.Event) drift.Debrief {
		return c.Of(play(t, planOf(t, r), events...))
	}
	unasked := drift.Of(play(t, planOf(t, cone()).WithMarks(brew.MarksNone), start(), finish(200)))
	unwatched := bowl()
	unwatched.Steps[0].Mark = brew.MarkNone
	labelled := cone()
	labelled.Steps[1].Label = "the long pour"
	for _, c := range []struct {
		name string
		d    drift.Debrief
		says drift.Says
		row  int
		off  float64
		text string
	}{
		{"all on time", debrief(t, press(), marks(8.2, 52.3, 112, 139.6)...), drift.SaysOnTime, 3, -0.4,
			"On time throughout; the press ended 0.4 s early."},
		{"all on time to the tenth", debrief(t, press(), marks(8, 52, 112, 140.04)...), drift.SaysOnTime, 3, 0.04,
			"On time throughout; the press ended as written."},
		{"a beat that begins", debrief(t, bowl(), marks(15, 241)...), drift.SaysOnTime, 1, 1,
			"On time throughout; the break began 1.0 s late."},
		{"a bed that ends it", debrief(t, cone(), marks(10, 60, 90, 152)...), drift.SaysOnTime, 3, 2,
			"On time throughout; the bed drained 2.0 s late."},

		{"one slip that is carried on", debrief(t, cone(), marks(10, 66.2, 96.2, 156.2)...), drift.SaysHand, 1, 6.2,
			"The second pour ended 6.2 s late; what followed was late by what it inherited."},
		{"one slip that comes early", debrief(t, cone(), marks(10, 54, 84, 144)...), drift.SaysHand, 1, -6,
			"The second pour ended 6.0 s early; what followed was early by what it inherited."},
		{"one slip that a pause took up", debrief(t, press(), marks(8, 58.2, 112, 140)...), drift.SaysHand, 1, 6.2,
			"The second pour ended 6.2 s late; the rest was on time."},
		{"one slip at the end", debrief(t, press(), marks(8, 52, 112, 148)...), drift.SaysHand, 3, 8,
			"The press ended 8.0 s late; all before it was on time."},
		{"one slip on top of what was carried", debrief(t, press(), marks(8, 52, 114, 150)...), drift.SaysHand, 3, 8,
			"The press ended 8.0 s later than called; all before it was on time."},
		{"one slip short of what was carried", debrief(t, press(), marks(8, 52, 114, 138)...), drift.SaysHand, 3, -4,
			"The press ended 4.0 s earlier than called; all before it was on time."},
		{"one slip past a minute", debrief(t, bowl(), marks(15, 315.25)...), drift.SaysHand, 1, 75.25,
			"The break began 1 min 15.3 s late; all before it was on time."},
		{"the only mark", debrief(t, press(), start(), mark(13), stop(14)), drift.SaysHand, 0, 5,
			"Stopped at 0:14: the bloom ended 5.0 s late."},
		{"a slip is not blamed for what a skip did", debrief(t, cone(), start(), mark(14), mark(60), skip(62), mark(122), finish(140)), drift.SaysHand, 0, 4,
			"The bloom ended 4.0 s late."},
		{"a label that brings its article", debrief(t, labelled, marks(10, 66, 96, 156)...), drift.SaysHand, 1, 6,
			"The long pour ended 6.0 s late; what followed was late by what it inherited."},

		{"two slips, in the order of the brew", debrief(t, press(), marks(12, 58, 112, 140)...), drift.SaysHand, 1, 6,
			"The bloom ended 4.0 s late and the second pour ended 6.0 s late."},
		{"three slips", debrief(t, press(), marks(12, 58, 112, 149)...), drift.SaysHand, 3, 9,
			"Three beats were late, most of all where the press ended 9.0 s late."},
		{"three slips to both sides", debrief(t, press(), marks(12, 46, 112, 149)...), drift.SaysHand, 3, 9,
			"Three beats were off, most of all where the press ended 9.0 s late."},

		{"the bed alone", debrief(t, cone(), marks(10, 60, 90, 162)...), drift.SaysBed, 3, 12,
			"The bed drained 12.0 s late; the hands were on time."},
		{"the bed alone, quick", debrief(t, cone(), marks(10, 60, 90, 138)...), drift.SaysBed, 3, -12,
			"The bed drained 12.0 s early; the hands were on time."},
		{"the bed on top of what was carried", debrief(t, cone(), marks(10, 62, 92, 164)...), drift.SaysBed, 3, 12,
			"The bed took 12.0 s longer than written; the hands were on time."},
		{"the bed short of what was carried", debrief(t, cone(), marks(10, 62, 92, 140)...), drift.SaysBed, 3, -12,
			"The bed took 12.0 s less than written; the hands were on time."},
		{"the bed from a start nobody marked", debrief(t, cone(), marks(10, 60, 162)...), drift.SaysBed, 3, 12,
			"The bed drained 12.0 s late, from a start that was not marked; the hands were on time where it was marked."},
		{"nothing but the bed was marked", debrief(t, cone(), marks(162)...), drift.SaysBed, 3, 12,
			"The bed drained 12.0 s late, from a start that was not marked; no beat of the hand was marked; three of four beats went unmarked."},
		{"hand and bed", debrief(t, cone(), marks(10, 66.2, 96.2, 168.2)...), drift.SaysBoth, 1, 6.2,
			"The second pour ended 6.2 s late, and the bed took 12.0 s longer than written on its own."},

		{"small delays", debrief(t, cone(), marks(10, 62, 94, 156)...), drift.SaysAddedUp, 3, 6,
			"No beat was late by itself, but it added up: the drawdown ended 6.0 s late."},
		{"small haste", debrief(t, cone(), marks(10, 58, 86, 145)...), drift.SaysAddedUp, 3, -5,
			"No beat was early by itself, but it added up: the drawdown ended 5.0 s early."},
		{"a skipped step", debrief(t, press(), start(), mark(8), skip(50), mark(112), mark(140), finish(150)), drift.SaysOnTime, 3, 0,
			"On time, one step skipped; the press ended as written."},
		{"what followed two skipped steps", debrief(t, press(), start(), mark(8), mark(52), skip(101), skip(102), mark(106), mark(134), finish(150)), drift.SaysSkipped, 2, -6,
			"Two steps were skipped, so the press began 6.0 s early; the hands were on time."},
		{"a skipped step does not make late", debrief(t, press(), start(), mark(8), skip(9), mark(52), mark(114.5), mark(147), finish(150)), drift.SaysAddedUp, 3, 7,
			"No beat was late by itself, but it added up: the press ended 7.0 s late."},
		{"another brew came first, and only the bed was marked", debrief(t, cone(), start(), moved(70, 2, 95), mark(170), finish(180)), drift.SaysHeldUp, 3, 20,
			"Another brew came first, so the drawdown ended 20.0 s late; no beat of the hand was marked; three of four beats went unmarked."},
		{"another brew came first", debrief(t, bowl(), start(), mark(15), moved(200, 1, 250), mark(250), finish(260)), drift.SaysHeldUp, 1, 10,
			"Another brew came first, so the break began 10.0 s late; the hands were on time."},

		{"no mark", debrief(t, cone(), marks()...), drift.SaysNothing, -1, 0,
			"No beat was marked, so nothing can be said of the hand."},
		{"a mark that was taken back is none", debrief(t, cone(), start(), mark(10), undo(11), finish(200)), drift.SaysNothing, -1, 0,
			"No beat was marked, so nothing can be said of the hand."},
		{"one stray mark alone", debrief(t, unwatched, start(), mark(5), finish(300)), drift.SaysNothing, -1, 0,
			"No beat was marked, for the one mark came when none was due, so nothing can be said of the hand."},
		{"two stray marks alone", debrief(t, unwatched, start(), mark(5), mark(6), finish(300)), drift.SaysNothing, -1, 0,
			"No beat was marked, for two marks came when none was due, so nothing can be said of the hand."},
		{"no beat was asked", unasked, drift.SaysNothing, -1, 0,
			"No beat was asked, so nothing can be said of the hand."},
		{"no beat had come", debrief(t, cone(), start(), stop(5)), drift.SaysNothing, -1, 0,
			"Stopped at 0:05: no asked beat had come, so nothing can be said of the hand."},
		{"no mark yet", debrief(t, cone(), start(), event(brew.EventNote, 20)), drift.SaysNothing, -1, 0,
			"Still brewing: no beat is marked yet."},
		{"all that had come was skipped", debrief(t, bowl(), start(), skip(5), stop(100)), drift.SaysNothing, -1, 0,
			"Stopped at 1:40: no beat was marked, so nothing can be said of the hand."},
		{"not started", debrief(t, cone()), drift.SaysNothing, -1, 0,
			"The brew has not started."},

		{"half the marks missing", debrief(t, cone(), marks(10, 90)...), drift.SaysOnTime, 2, 0,
			"On time where it was marked, two of four beats; the third pour ended as written."},
		{"half the marks missing and a slip", debrief(t, press(), marks(8, 58)...), drift.SaysHand, 1, 6,
			"The second pour ended 6.0 s late; all before it was on time; two of four beats went unmarked."},
		{"one mark missing and a slip", debrief(t, press(), marks(8, 58, 112)...), drift.SaysHand, 1, 6,
			"The second pour ended 6.0 s late; the rest was on time where it was marked."},
		{"a stray and an undone mark change nothing", debrief(t, press(), start(), mark(7), undo(7.5), mark(8.2), mark(20), mark(52.3), mark(112), mark(139.6), finish(150)), drift.SaysOnTime, 3, -0.4,
			"On time throughout; the press ended 0.4 s early."},

		{"stopped", debrief(t, cone(), start(), mark(10), stop(20)), drift.SaysOnTime, 0, 0,
			"Stopped at 0:20: on time until then; the bloom ended as written."},
		{"cut off", under(drift.Conditions{CutOff: true}, cone(), start(), mark(10), event(brew.EventNote, 20)), drift.SaysOnTime, 0, 0,
			"Cut off at 0:20: on time until then; the bloom ended as written."},
		{"finished by hand before the last beat", debrief(t, cone(), start(), mark(10), mark(60), finish(70)), drift.SaysOnTime, 1, 0,
			"Ended early at 1:10: on time until then; the second pour ended as written."},
		{"going on", debrief(t, cone(), start(), mark(10)), drift.SaysOnTime, 0, 0,
			"Still brewing: on time so far; the bloom ended as written."},
		{"entered in the middle", debrief(t, cone(), from(40), mark(20), mark(50), mark(110), finish(120)), drift.SaysOnTime, 3, 0,
			"From 0:40 on: on time; the bed drained as written."},
		{"entered at a tenth", debrief(t, cone(), from(0.3), mark(9.7), stop(20)), drift.SaysOnTime, 0, 0,
			"From 0:00.3 on, stopped at 0:20: on time until then; the bloom ended as written."},
		{"at another speed", under(drift.Conditions{Kind: drift.Practice, Speed: 2}, cone(), marks(10, 60, 90, 162)...), drift.SaysBed, 3, 12,
			"At 2× speed: the bed drained 12.0 s late; the hands were on time."},
		{"all of it at once", under(drift.Conditions{Kind: drift.Practice, Speed: 0.5}, cone(), from(40), mark(20), stop(25)), drift.SaysOnTime, 1, 0,
			"At 0.5× speed, from 0:40 on, stopped at 1:05: on time until then; the second pour ended as written."},
	} {
		t.Run(c.name, func(t *testing.T) {
			want := drift.Sentence{Says: c.says, Row: c.row, Off: sec(c.off), Text: c.text}
			if got := c.d.Sentence; got != want {
				t.Errorf("%s\nwant %s", asJSON(t, got), asJSON(t, want))
			}
		})
	}
}
