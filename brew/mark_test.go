package brew_test

import (
	"strings"
	"testing"

	"barline/brew"
)

// Recipes for marks. Beats that are asked stand behind each.
func swirled() brew.Recipe { // pour end 20, swirl start 30, swirl end 34
	return method(brew.OtherMethod, pour(200, 20), pinned(30, marking(brew.MarkBoth, act(brew.Swirl, "", 4))))
}

func drained(swirl brew.Step) brew.Recipe { // pour end 20, drawdown end 80, the swirl's end
	return method(brew.Cone, pour(200, 20), act(brew.Drawdown, "", 60), marking(brew.MarkEnd, swirl), act(brew.Serve, "", 5))
}

func TestWhichBeatAMarkIsGivenTo(t *testing.T) {
	early, late := pinned(70, act(brew.Swirl, "", 4)), pinned(76, act(brew.Swirl, "", 8))
	gap := method(brew.OtherMethod, pour(200, 20), after(5, act(brew.Press, "", 30)), act(brew.Serve, "", 5))
	for _, test := range []struct {
		name   string
		recipe brew.Recipe
		script string
		want   string // of each mark
		tally  string
	}{
		{"each on time", quayside(), "start 0, mark 8, mark 52, mark 112, mark 140",
			"first pour, end; second pour, end; first press, start; first press, end", "8=8 52=52 112=112 140=140"},
		{"nobody marks", quayside(), "start 0, finish 200", "", "8- 52- 112- 140-"},
		{"everything late by twenty seconds: a short press passes for its own start", quayside(), "start 0, mark 28, mark 72, mark 132, mark 160",
			"first pour, end; second pour, end; first press, end; stray: no beat is waiting for a mark", "8=28 52=72 112- 140=132"},
		{"a pour that is late ahead of a punctual swirl", swirled(), "start 0, mark 24, mark 30, mark 34",
			"first pour, end; first swirl, start; first swirl, end", "20=24 30=30 34=34"},
		{"a mark at the midpoint between two beats is the earlier one's", swirled(), "start 0, mark 25", "first pour, end", "20=25 30? 34?"},
		{"a mark just behind it is the later one's, and the earlier is jumped over", swirled(), "start 0, mark 25.001", "first swirl, start", "20- 30=25.001 29.001?"},
		{"a beat that was jumped over takes no more marks", swirled(), "start 0, mark 26, mark 26.5", "first swirl, start; first swirl, end", "20- 30=26 30=26.5"},
		{"two at once jumped over", swirled(), "start 0, mark 33", "first swirl, end", "20- 30- 34=33"},
		{"before the cue of an end has been called", quayside(), "start 0, mark 8, mark 35.9, mark 36",
			"first pour, end; stray: too early: second pour has not been called; second pour, end", "8=8 52=36 112? 140?"},
		{"before the busy cue ahead of a start has ended", method(brew.OtherMethod, pour(200, 20), act(brew.Stir, "", 8), pinned(30, act(brew.Press, "", 30))),
			"start 0, mark 20, mark 27.9, mark 28", "first pour, end; stray: too early: stir is not done; first press, start", "20=20 30=28 58?"},
		{"the stray one would have been nearer to a beat that waits, and is stray all the same",
			method(brew.OtherMethod, pour(200, 20), act(brew.Stir, "", 8), pinned(30, act(brew.Press, "", 30))),
			"start 0, mark 26", "stray: too early: stir is not done", "20? 30? 60?"},
		{"a start with nothing busy ahead can come at any time", method(brew.OtherMethod, brew.Step{Action: brew.Wait, Over: 30 * s},
			after(10, marking(brew.MarkStart, pour(200, 20)))), "start 0, mark 1", "first pour, start", "40=1"},
		{"edges that coincide take turns", method(brew.OtherMethod, pour(200, 20), pinned(20, act(brew.Press, "", 30))), "start 0, mark 20, mark 21, mark 51",
			"first pour, end; first press, start; first press, end", "20=20 20=21 51=51"},
		{"edges that coincide, marked early", method(brew.OtherMethod, pour(200, 20), pinned(20, act(brew.Press, "", 30))), "start 0, mark 18, mark 18.5",
			"first pour, end; first press, start", "20=18 20=18.5 48.5?"},
		{"a hung cue moves earlier, and its beat with it", gap, "start 0, mark 10, mark 12.5, mark 40", "first pour, end; first press, start; first press, end", "20=10 15=12.5 42.5=40"},
		{"a hung cue moves later, and its beat with it", gap, "start 0, mark 22.5, mark 28", "first pour, end; first press, start", "20=22.5 27.5=28 58?"},
		{"a drawdown that runs long under a swirl", drained(early), "start 0, mark 20, mark 74, mark 92",
			"first pour, end; first swirl, end; first drawdown, end", "20=20 74=74 80=92"},
		{"a drawdown that runs long until its swirl is all but done passes for the swirl", drained(late), "start 0, mark 20, mark 82.5",
			"first pour, end; first swirl, end", "20=20 80- 84=82.5"},
		{"a drawdown that ends under its swirl", drained(late), "start 0, mark 20, mark 81, mark 84.5",
			"first pour, end; first drawdown, end; first swirl, end", "20=20 80=81 84=84.5"},
		{"a drawdown that is called behind its swirl", drained(late), "start 0, mark 28, mark 84, mark 88",
			"first pour, end; first swirl, end; first drawdown, end", "20=28 88=88 84=84"},
		{"a start that lies behind a pause waits for the hands ahead of the pause",
			method(brew.OtherMethod, pour(200, 20), act(brew.Stir, "", 8), act(brew.Wait, "", 2), pinned(32, act(brew.Press, "", 30))),
			"start 0, mark 20, mark 27.9, mark 28", "first pour, end; stray: too early: stir is not done; first press, start", "20=20 32=28 58?"},
		{"entered in the middle, what lies before is past", quayside(), "start 5 from 60, mark 13, mark 57",
			"stray: too early: second seal has not been called; first press, start", "8. 52. 112=112 140?"},
		{"entered on a beat, that one is still to come", quayside(), "start 5 from 52, mark 5.5", "second pour, end", "8. 52=52.5 112? 140?"},
		{"entered behind the last beat", quayside(), "start 0 from 141, mark 1", "stray: no beat is waiting for a mark", "8. 52. 112. 140."},
		{"when every beat is settled", method(brew.OtherMethod, pour(200, 20), act(brew.Serve, "", 5)), "start 0, mark 20, mark 22",
			"first pour, end; stray: no beat is waiting for a mark", "20=20"},
	} {
		t.Run(test.name, func(t *testing.T) {
			var given []string
			l := brew.NewLane(planned(t, test.recipe))
			for _, e := range script(t, test.script) {
				next, out := l.Apply(e)
				l = next
				if e.Kind != brew.EventMark {
					continue
				}
				if out.Effect == brew.Taken {
					given = append(given, l.Plan().Beats[out.Beat].Key)
				} else {
					given = append(given, string(out.Effect)+": "+out.Why)
				}
			}
			same(t, "marks", strings.Join(given, "; "), test.want)
			same(t, "beats", tally(l), test.tally)
		})
	}
}

func TestANudgeDoesNotPassTheMarkBefore(t *testing.T) {
	p := planned(t, drained(pinned(76, act(brew.Swirl, "", 8))))
	l := brewed(t, p, script(t, "start 0, mark 20, mark 81, mark 82.5, nudge 83")...)
	_, out := l.Apply(happens(brew.EventNudge, 83))
	same(t, "beats", tally(l), "20=20 80=81 84=81.5")
	same(t, "one more", []any{out.Effect, out.Why}, []any{brew.Refused, "it would pass the beat before"})
}

func TestAMarkKeepsTheScalesReading(t *testing.T) {
	mark := happens(brew.EventMark, 8)
	mark.Weight = weight(51.5)
	l := brewed(t, planned(t, quayside()), happens(brew.EventStart, 0), mark)
	same(t, "weight", l.Beat(1).Weight, weight(51.5))
	same(t, "last", l.Last(), 1)
	same(t, "when it happened, as far as anybody knows", []any{l.Beat(1).At(), l.Beat(2).At()}, []any{8 * s, 12 * s})
}

func TestEveryEdgeCanBeAsked(t *testing.T) {
	p := planned(t, quayside()).WithMarks(brew.MarksAll)
	l := brewed(t, p, script(t, "start 0, mark 9, mark 13, mark 35, mark 52, mark 56, mark 58, mark 101, mark 104, mark 109, mark 113, mark 141")...)
	same(t, "beats", tally(l), "8=9 13=13 36=35 51=52 56=56 58=58 100=101 104=104 109=109 113=113 141=141")
	same(t, "spans", spans(l), "0-9 9-13 35-52 52-56 56-58 101-104 104-109 109-113 113-141")
}

func TestNoEdgeNeedBeAsked(t *testing.T) {
	p := planned(t, quayside()).WithMarks(brew.MarksNone)
	l := brewed(t, p, script(t, "start 0, mark 9")...)
	same(t, "spans", spans(l), spans(brew.NewLane(p)))
}
