package brew_test

import (
	"fmt"
	"testing"

	"barline/brew"
)

// busy is a chain of hands at work: a pour to 20 s, hung behind it a stir to
// 28, a press pinned to 30 that ends at 50, hung 5 s behind it a serve to 60.
func busy() brew.Recipe {
	return method(brew.OtherMethod, pour(200, 20), act(brew.Stir, "", 8), pinned(30, act(brew.Press, "", 20)), after(5, act(brew.Serve, "", 5)))
}

// bed is a cone with a swirl inside its drawdown.
func bed() brew.Recipe {
	return method(brew.Cone, pour(200, 20), act(brew.Drawdown, "", 60), pinned(70, act(brew.Swirl, "", 8)), act(brew.Serve, "", 5))
}

// hung is a press that hangs behind a seal, whose end is not asked.
func hung() brew.Recipe {
	return method(brew.OtherMethod, pour(200, 20), act(brew.Seal, "", 4), act(brew.Press, "", 20), after(5, act(brew.Serve, "", 5)))
}

func TestWhenCuesAreCalled(t *testing.T) {
	free := method(brew.Cone, pour(200, 20), act(brew.Stir, "", 8), pinned(29, act(brew.Drawdown, "", 60)))
	short := method(brew.OtherMethod, marking(brew.MarkEnd, pour(200, 20)), brew.Step{Action: brew.Do, Text: "x", Over: s}, act(brew.Stir, "", 8), after(5, act(brew.Serve, "", 5)))
	for _, test := range []struct {
		name   string
		recipe brew.Recipe
		script string
		spans  string
		tally  string
	}{
		{"as written where nothing happens", busy(), "start 3", "0-20 20-28 30-50 55-60", "20? 30? 50?"},
		{"time alone moves nothing", busy(), "start 3, note 30, note 60", "0-20 20-28 30-50 55-60", "20? 30? 50?"},

		{"a late mark moves the end of the cue that began with it, and a pinned cue waits for the hands", busy(), "start 0, mark 24", "0-24 24-32 32-52 57-62", "20=24 32? 52?"},
		{"but not once the pinned cue has been called", busy(), "start 0, mark 25", "0-25 25-33 33-53 58-63", "20=25 33? 53?"},
		{"an early mark moves hung cues, never a pinned one", busy(), "start 0, mark 15", "0-15 15-23 30-50 55-60", "20=15 30? 50?"},
		{"a pinned start that is marked early begins there", busy(), "start 0, mark 20, mark 29", "0-20 20-28 29-49 54-59", "20=20 30=29 49?"},
		{"nothing is called in the past: a press that is done at once", busy(), "start 0, mark 20, mark 35, mark 36, note 38", "0-20 20-28 35-36 41-46", "20=20 30=35 55=36"},
		{"a mark far behind its call leaves what was called meanwhile", busy(), "start 0, mark 28, mark 66", "0-20 20-28 28-66 53-58", "20- 30=28 48=66"},
		{"a free pinned cue waits for the hands, too", free, "start 0, mark 24", "0-24 24-32 32-92", "20=24 92?"},
		{"a cue whose end was called before its start was marked has no length", short, "start 0, mark 22.5", "0-22.5 22.5-22.5 21-29 34-39", "20=22.5"},

		{"the drawdown ends under the swirl: the serve waits for the hands", bed(), "start 0, mark 20, mark 75", "0-20 20-75 70-78 78-83", "20=20 80=75"},
		{"the drawdown runs long: the serve begins with its end", bed(), "start 0, mark 20, mark 83", "0-20 20-83 70-78 83-88", "20=20 80=83"},
		{"the drawdown runs on behind the end of the serve", bed(), "start 0, mark 20, mark 95", "0-20 20-95 70-78 95-95", "20=20 80=95"},

		{"undo gives back what was called before", busy(), "start 0, mark 24, undo 25", "0-20 20-28 30-50 55-60", "20? 30? 50?"},
		{"undo of one of two", busy(), "start 0, mark 24, mark 34, undo 36", "0-24 24-32 32-52 57-62", "20=24 32? 52?"},
		{"undo again", busy(), "start 0, mark 24, mark 34, undo 36, undo 36", "0-20 20-28 30-50 55-60", "20? 30? 50?"},
		{"undo lets a beat that was jumped over wait again", busy(), "start 0, mark 26, undo 27", "0-20 20-28 30-50 55-60", "20? 30? 50?"},
		{"undo of a stray mark leaves the one before", busy(), "start 0, mark 15, mark 16, undo 17", "0-15 15-23 30-50 55-60", "20=15 30? 50?"},
		{"undo, and the mark comes again", busy(), "start 0, mark 18, undo 19, mark 21", "0-21 21-29 30-50 55-60", "20=21 30? 50?"},
		{"undo takes the nudges of the mark with it", busy(), "start 0, mark 18, nudge 19, undo 19, mark 20", "0-20 20-28 30-50 55-60", "20=20 30? 50?"},
		{"undo of a stray mark leaves a nudge of the one before", busy(), "start 0, mark 18, mark 19, nudge 20, undo 21", "0-17 17-25 30-50 55-60", "20=17 30? 50?"},
		{"undo of a skip leaves a nudge of the mark before", busy(), "start 0, mark 18, skip 19, nudge 20, undo 21", "0-17 17-25 30-50 55-60", "20=17 30? 50?"},

		{"skip of what is on: its beats are skipped, hung cues move up", busy(), "start 0, mark 20, skip 35", "0-20 20-28 30-35! 40-45", "20=20 30! 35!"},
		{"skip of the next where nothing is on", busy(), "start 0, mark 20, skip 29", "0-20 20-28 29-29! 34-39", "20=20 29! 29!"},
		{"skip of a free cue: what comes behind keeps the order and waits for the swirl inside it", bed(), "start 0, mark 20, skip 40", "0-20 20-40! 70-78 78-83", "20=20 40!"},
		{"skip of both", bed(), "start 0, mark 20, skip 40, skip 41", "0-20 20-40! 41-41! 41-46", "20=20 40!"},
		{"skip of the swirl inside it", bed(), "start 0, mark 20, skip 72", "0-20 20-80 70-72! 80-85", "20=20 80?"},
		{"skip of a cue whose end is a start that is asked, which stays", method(brew.OtherMethod, pour(200, 20), act(brew.Stir, "", 8), act(brew.Press, "", 20)),
			"start 0, mark 20, skip 24, mark 26", "0-20 20-24! 26-46", "20=20 24=26 46?"},
		{"skip of a cue whose end is asked by both stays for the other", method(brew.OtherMethod, pour(200, 20), act(brew.Press, "", 20)),
			"start 0, skip 12, mark 13", "0-12! 13-33", "12=13 33?"},
		{"skip of a cue whose end nobody else asks", method(brew.OtherMethod, pour(200, 20), act(brew.Stir, "", 8)), "start 0, skip 12, mark 13", "0-12! 12-20", "12!"},
		{"skip of a cue that began with a beat that waits still", busy(), "start 0, skip 22, mark 23", "0-23 20-22! 30-50 55-60", "20=23 30? 50?"},
		{"skip again and again", busy(), "start 0, skip 5, skip 5, skip 5, skip 5", "0-5! 5-5! 5-5! 5-5!", "5! 5! 5!"},
		{"skip, undone", busy(), "start 0, skip 5, skip 5, undo 6", "0-5! 5-13 30-50 55-60", "5! 30? 50?"},

		{"zero again", busy(), "start 0, zero again 8", "0-20 20-28 30-50 55-60", "20? 30? 50?"},
		{"zero again at the last moment, and again", busy(), "start 0, zero again 15, zero again 30, mark 50", "0-20 20-28 30-50 55-60", "20=20 30? 50?"},
		{"zero again after a stray mark", method(brew.OtherMethod, act(brew.Wait, "", 10), pour(200, 20)), "start 0, mark 5, zero again 8, mark 38", "0-10 10-30", "30=30"},
		{"zero again after a mark that was undone", busy(), "start 0, mark 12, undo 13, zero again 14, mark 34", "0-20 20-28 30-50 55-60", "20=20 30? 50?"},
		{"zero again after a skip that was undone", busy(), "start 0, skip 12, undo 13, zero again 14", "0-20 20-28 30-50 55-60", "20? 30? 50?"},
		{"zero again where it was entered in the middle keeps to the middle", busy(), "start 0 from 22, zero again 6, mark 14", "0-20 20-28 30-50 55-60", "20. 30=30 50?"},
		{"zero again brings a moved cue as much earlier", busy(), "start 0, moved 2 cue 2 to 45, zero again 10", "0-20 20-28 35-55 60-65", "20? 35? 55?"},

		{"nudge moves the mark back, again and again", busy(), "start 0, mark 20, nudge 21, nudge 21, nudge 25", "0-17 17-25 30-50 55-60", "20=17 30? 50?"},
		{"a nudge moves what has not begun, and the end of what has", busy(), "start 0, mark 20, mark 32, mark 53, nudge 54", "0-20 20-28 32-52 57-62", "20=20 30=32 52=52"},
		{"a nudge does not call again what has begun", busy(), "start 0, mark 20, mark 32, mark 53, nudge 59", "0-20 20-28 32-52 58-63", "20=20 30=32 52=52"},
		{"a nudge of a beat whose next cue was held up leaves that one", busy(), "start 0, moved 1 cue 1 to 25, mark 21, nudge 26", "0-20 25-33 33-53 58-63", "20=20 33? 53?"},

		{"a moved cue waits, and what hangs behind it", busy(), "start 0, moved 10 cue 2 to 40", "0-20 20-28 40-60 65-70", "20? 40? 60?"},
		{"a cue is moved by itself, not the end of the one before", busy(), "start 0, moved 10 cue 1 to 25, mark 20.5", "0-20.5 25-33 33-53 58-63", "20=20.5 33? 53?"},
		{"a mark that comes when the moved cue is on is its start", busy(), "start 0, moved 10 cue 1 to 22, mark 23", "0-23 23-31 31-51 56-61", "20=23 31? 51?"},
		{"a cue moved back is where it was", busy(), "start 0, moved 10 cue 2 to 40, moved 11 cue 2 to 0", "0-20 20-28 30-50 55-60", "20? 30? 50?"},
		{"a cue moved back when its time is past is called now", busy(), "start 0, moved 10 cue 2 to 40, moved 35 cue 2 to 0", "0-20 20-28 35-55 60-65", "20? 35? 55?"},
		{"a cue that a nudge would call in the past is called now", method(brew.OtherMethod, pour(200, 20), after(0.5, act(brew.Stir, "", 8))),
			"start 0, mark 20, nudge 20.2", "0-19 20.2-28.2", "20=19"},
		{"a press that must wait is asked for when it is called, and the seal ends before it", hung(), "start 0, mark 20, moved 21 cue 2 to 40", "0-20 20-24 40-60 65-70", "20=20 40? 60?"},
		{"time leaves it so", hung(), "start 0, mark 20, moved 21 cue 2 to 40, note 30, note 45", "0-20 20-24 40-60 65-70", "20=20 40? 60?"},
		{"marked late, it begins late", hung(), "start 0, mark 20, moved 21 cue 2 to 40, mark 43", "0-20 20-24 43-63 68-73", "20=20 40=43 63?"},
		{"marked before its call, it has begun", hung(), "start 0, mark 20, moved 21 cue 2 to 40, mark 36, note 50", "0-20 20-24 36-56 61-66", "20=20 40=36 56?"},
		{"marked in the seal, it ends the seal", hung(), "start 0, mark 20, moved 21 cue 2 to 40, mark 22", "0-20 20-22 22-42 47-52", "20=20 40=22 42?"},
		{"jumped over, it was called all the same", hung(), "start 0, mark 20, moved 21 cue 2 to 40, mark 62", "0-20 20-24 40-62 67-72", "20=20 40- 60=62"},
		{"a seal that is skipped gives it nothing", hung(), "start 0, mark 20, moved 21 cue 2 to 40, skip 22", "0-20 20-22! 40-60 65-70", "20=20 40? 60?"},
		{"skipped itself, it leaves the seal as it was", hung(), "start 0, mark 20, moved 21 cue 2 to 40, skip 30", "0-20 20-24 30-30! 35-40", "20=20 30! 30!"},
		{"a nudge of its late mark", hung(), "start 0, mark 20, moved 21 cue 2 to 40, mark 43, nudge 44", "0-20 20-24 42-62 67-72", "20=20 40=42 62?"},
		{"undo of its mark, and it waits again", hung(), "start 0, mark 20, moved 21 cue 2 to 40, mark 36, undo 37", "0-20 20-24 40-60 65-70", "20=20 40? 60?"},
		{"not moved, a late mark of its start is the seal's end", hung(), "start 0, mark 20, mark 27", "0-20 20-27 27-47 52-57", "20=20 24=27 47?"},
		{"a move to before its time moves nothing", busy(), "start 0, moved 10 cue 2 to 12", "0-20 20-28 30-50 55-60", "20? 30? 50?"},

		{"stopped, what waits is left unmarked", busy(), "start 0, mark 20, stop 29", "0-20 20-28 30-50 55-60", "20=20 30- 50-"},
		{"finished, too", busy(), "start 0, mark 20, mark 30, finish 35", "0-20 20-28 30-50 55-60", "20=20 30=30 50-"},
		{"undo takes back a finish with the mark before it", busy(), "start 0, mark 20, mark 30, mark 50, finish 50, undo 51", "0-20 20-28 30-50 55-60", "20=20 30=30 50?"},
		{"an event from before the latest happens with it", busy(), "start 0, note 22, mark 20", "0-22 22-30 30-50 55-60", "20=22 30? 50?"},
	} {
		t.Run(test.name, func(t *testing.T) {
			l := brewed(t, planned(t, test.recipe), script(t, test.script)...)
			same(t, "spans", spans(l), test.spans)
			same(t, "beats", tally(l), test.tally)
		})
	}
}

func TestWhatIsRefused(t *testing.T) {
	for _, test := range []struct{ name, script, last, want string }{
		{"a second start", "start 0", "start 1", "it has started already"},
		{"a mark before the start", "note 0", "mark 1", "it has not started"},
		{"an undo before the start", "note 0", "undo 1", "it has not started"},
		{"an undo of nothing", "start 0", "undo 1", "there is nothing to take back"},
		{"an undo of a mark that was undone", "start 0, mark 20, undo 21", "undo 22", "there is nothing to take back"},
		{"an undo once it was stopped", "start 0, mark 20, stop 21", "undo 22", "it has ended"},
		{"a mark once it was stopped", "start 0, stop 21", "mark 22", "it has ended"},
		{"a skip once it is finished", "start 0, finish 21", "skip 22", "it has ended"},
		{"a second finish", "start 0, finish 21", "finish 22", "it has ended"},
		{"zero again too late", "start 0", "zero again 15.001", "zero can be set again only in the first 15 s"},
		{"zero again too late behind zero again", "start 0, zero again 10", "zero again 25.001", "zero can be set again only in the first 15 s"},
		{"zero again after a mark", "start 0, mark 12", "zero again 13", "zero cannot be set again after a mark"},
		{"zero again after a skip", "start 0, skip 2", "zero again 3", "zero cannot be set again after a mark"},
		{"zero again too late in the middle", "start 0 from 40", "zero again 16", "zero can be set again only in the first 15 s"},
		{"a nudge of nothing", "start 0", "nudge 1", "there is no mark to move"},
		{"a nudge of a mark that was undone", "start 0, mark 20, undo 21", "nudge 22", "there is no mark to move"},
		{"a nudge past the cue's own start", "start 0, mark 20, mark 30, mark 31", "nudge 32", ""},
		{"a nudge past the start that was marked", "start 0, mark 20, mark 30, mark 30.9", "nudge 32", "it would pass the beat before"},
		{"a nudge to the end of the busy cue ahead", "start 0, mark 20, mark 29", "nudge 30", ""},
		{"a nudge past the end of the busy cue ahead", "start 0, mark 20, mark 28.9", "nudge 30", "it would pass the beat before"},
		{"a nudge to zero", "start 0, mark 1", "nudge 2", ""},
		{"a nudge past zero", "start 0, mark 1, nudge 2", "nudge 2", "it would pass the beat before"},
		{"a nudge past where it was entered", "start 0 from 19.6, mark 0.9", "nudge 2", "it would pass the beat before"},
		{"a skip behind the end", "start 0", "skip 60", "there is nothing left to skip"},
		{"a skip from before the latest event", "start 0, note 60", "skip 59", "there is nothing left to skip"},
		{"a move of what has begun", "start 0", "moved 30 cue 2 to 40", "it has begun already"},
		{"a move of what is not there", "start 0", "moved 3 cue 4 to 40", "there is no such cue"},
		{"a move of less than nothing", "start 0", "moved 3 cue -1 to 40", "there is no such cue"},
		{"something from a program yet to come", "start 0", "whistle 3", "there is no such event"},
	} {
		t.Run(test.name, func(t *testing.T) {
			l := brewed(t, planned(t, busy()), script(t, test.script)...)
			next, out := l.Apply(script(t, test.last)[0])
			same(t, "why", out.Why, test.want)
			if test.want == "" {
				return
			}
			same(t, "outcome", out, brew.Outcome{Effect: brew.Refused, Beat: -1, Cue: -1, Why: test.want})
			same(t, "lane", next, l)
		})
	}
}

func TestWhatAnEventTouched(t *testing.T) {
	for _, test := range []struct {
		name, script string
		beat, cue    int
	}{
		{"a mark its beat", "start 0, mark 20", 1, -1},
		{"an undo the beat that is free again", "start 0, mark 20, undo 21", 1, -1},
		{"an undo of a skip none", "start 0, mark 20, skip 21, undo 22", -1, -1},
		{"an undo of a stray mark none", "start 0, mark 20, mark 21, undo 22", -1, -1},
		{"a nudge the beat it moved", "start 0, mark 20, nudge 21", 1, -1},
		{"a skip its cue", "start 0, skip 29", -1, 2},
		{"a move its cue", "start 0, moved 3 cue 3 to 70", -1, 3},
		{"a note none", "start 0, mark 20, note 21", -1, -1},
	} {
		l := brew.NewLane(planned(t, busy()))
		var out brew.Outcome
		for _, e := range script(t, test.script) {
			l, out = l.Apply(e)
		}
		same(t, test.name, out, brew.Outcome{Effect: brew.Taken, Beat: test.beat, Cue: test.cue})
	}
}

func TestWhatALaneSaysOfItself(t *testing.T) {
	p := planned(t, busy())
	fresh := brew.NewLane(p)
	same(t, "not started", []any{fresh.Started(), fresh.Last()}, []any{false, -1})
	l := brewed(t, p, script(t, "note 1, start 5 from 2, zero again 9, mark 27, nudge 28, note 29")...)
	same(t, "started, zero, from", []any{l.Started(), l.Zero(), l.From()}, []any{true, 7 * s, 2 * s})
	same(t, "elapsed", l.Elapsed(27*s), 20*s)
	same(t, "raw and corrected", []any{l.Beat(1).Raw, l.Beat(1).Marked}, []any{20 * s, 19 * s})
	same(t, "events are kept, all of them", len(l.Events()), 6)
	same(t, "the plan", l.Plan(), p)
	stop := happens(brew.EventStop, 40)
	stop.Text = "the kettle ran dry"
	how, at, why := brewed(t, p, happens(brew.EventStart, 5), stop).Ending()
	same(t, "stopped", []any{how, at, why}, []any{brew.Stopped, 35 * s, "the kettle ran dry"})
	how, at, why = brewed(t, p, script(t, "start 5, finish 41, note 50")...).Ending()
	same(t, "finished", []any{how, at, why}, []any{brew.Finished, 36 * s, ""})
	l.Events()[0].Kind = "changed"
	same(t, "whoever asks gets a copy", l.Events()[0].Kind, brew.EventNote)
}

func TestWhenABrewEndsItself(t *testing.T) {
	serve := method(brew.Cone, pour(200, 20), act(brew.Drawdown, "", 60), act(brew.Serve, "", 5), act(brew.Taste, "", 0))
	for _, test := range []struct {
		name   string
		recipe brew.Recipe
		script string
		want   string
	}{
		{"not before the start", serve, "note 0", "never"},
		{"a minute behind the last call while beats wait", serve, "start 0", "205s"},
		{"so too where an earlier one is marked", serve, "start 0, mark 20", "205s"},
		{"with the end of its last cue where none does", serve, "start 0, mark 20, mark 80", "145s"},
		{"which a late mark moves", serve, "start 0, mark 20, mark 84", "149s"},
		{"at the latest event where that is behind it", serve, "start 0, mark 20, mark 80, note 160", "160s"},
		{"with the early end of its last cue", method(brew.PressMethod, pour(200, 20), act(brew.Press, "", 30)), "start 0, mark 20, mark 41", "41s"},
		{"undone, a beat waits again", serve, "start 0, mark 20, mark 80, undo 90", "205s"},
		{"a minute behind the latest event where that is behind the last call", serve, "start 0, mark 20, note 200", "260s"},
		{"beats that were jumped over do not wait", serve, "start 0, mark 80", "145s"},
		{"nor do skipped ones", serve, "start 0, mark 20, skip 60", "125s"},
		{"nor those from before the start", serve, "start 0 from 90", "145s"},
		{"not once it was stopped", serve, "start 0, stop 30", "never"},
		{"not once it is finished", serve, "start 0, finish 30", "never"},
	} {
		at, ok := brewed(t, planned(t, test.recipe), script(t, test.script)...).EndsItself()
		got := "never"
		if ok {
			got = fmt.Sprintf("%gs", at.Seconds())
		}
		same(t, test.name, got, test.want)
	}
}
