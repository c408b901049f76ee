package drift_test

import (
	"testing"
	"time"

	"barline/brew"
	"barline/brew/drift"
)

func TestJudge(t *testing.T) {
	three := brew.Window{Early: 3 * time.Second, Late: 3 * time.Second}
	for _, c := range []struct {
		name   string
		off    time.Duration
		window brew.Window
		want   drift.Verdict
	}{
		{"the late edge is on time", sec(3), three, drift.OnTime},
		{"the early edge is on time", sec(-3), three, drift.OnTime},
		{"what reads as the late edge is on time", sec(3.049), three, drift.OnTime},
		{"what reads as a tenth more is late", sec(3.05), three, drift.Late},
		{"what reads as a tenth less is early", sec(-3.05), three, drift.Early},
		{"what reads as 0.0 s is on time in no window at all", sec(0.049), brew.Window{}, drift.OnTime},
		{"what reads as -0.0 s is not early", sec(-0.049), brew.Window{}, drift.OnTime},
		{"a tenth is late in no window at all", sec(0.1), brew.Window{}, drift.Late},
		{"the edges need not be alike, early", sec(-2.1), brew.Window{Early: sec(2), Late: sec(5)}, drift.Early},
		{"the edges need not be alike, late", sec(4.9), brew.Window{Early: sec(2), Late: sec(5)}, drift.OnTime},
		{"the edge of a window finer than a tenth is on time", sec(0.25), brew.Window{Late: sec(0.25)}, drift.OnTime},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := drift.Judge(c.off, c.window); got != c.want {
				t.Errorf("%v is %q, want %q", c.off, got, c.want)
			}
		})
	}
}

func TestVerdictsThatAreOff(t *testing.T) {
	for v, want := range map[drift.Verdict]bool{
		drift.NoVerdict: false, drift.OnTime: false, drift.AsWritten: false,
		drift.Early: true, drift.Late: true, drift.Shorter: true, drift.Longer: true,
	} {
		if v.Off() != want {
			t.Errorf("%q is off: %t", v, v.Off())
		}
	}
}

func TestWordOfMark(t *testing.T) {
	early := cone()
	early.Steps[2].End = &brew.Window{Early: sec(1), Late: sec(1)}
	for _, c := range []struct {
		name   string
		recipe brew.Recipe
		events []brew.Event
		row    int
		want   string
	}{
		{"late for cup and person", press(), marks(8, 58.4, 112, 140), 1, "+6.4 s late"},
		{"early for cup and person", press(), marks(8, 47.6, 112, 140), 1, "-4.4 s early"},
		{"late inside the window is on time", press(), marks(10.4), 0, "+2.4 s on time"},
		{"early inside the window is on time", press(), marks(7.7), 0, "-0.3 s on time"},
		{"to the second is on time", press(), marks(8.04), 0, "0.0 s on time"},
		{"late for the cup alone", cone(), marks(10, 66, 96.2, 156), 2, "+6.2 s late, but carried"},
		{"early for the cup alone", cone(), marks(10, 54, 84, 144), 2, "-6.0 s early, but carried"},
		{"late for the person alone", cone(), marks(10, 57, 91, 150), 2, "+1.0 s on time, the hand +4.0 s late"},
		{"late for the cup, early for the person", cone(), marks(10, 68, 94, 156), 2, "+4.0 s late, the hand -4.0 s early"},
		{"the bed's doing alone", cone(), marks(10, 60, 90, 162), 3, "+12.0 s late, by the bed"},
		{"the bed's doing on top of what it inherited", cone(), marks(10, 66, 96, 168), 3, "+18.0 s late, the bed +12.0 s late"},
		{"the bed inherited it", cone(), marks(10, 66, 96, 156), 3, "+6.0 s late, but carried"},
		{"the bed made up for it", cone(), marks(10, 66, 96, 151), 3, "+1.0 s on time, the bed -5.0 s early"},
		{"the bed on time", cone(), marks(10, 60, 90, 149.5), 3, "-0.5 s on time"},
		{"no mark", cone(), marks(10, 60, 150), 2, "unmarked"},
		{"skipped", bowl(), []brew.Event{start(), skip(5)}, 0, "skipped"},
		{"passed", cone(), []brew.Event{from(40)}, 0, "passed"},
		{"to come", cone(), []brew.Event{start()}, 0, "waiting"},
		{"never came", cone(), []brew.Event{start(), stop(5)}, 0, "not reached"},
	} {
		t.Run(c.name, func(t *testing.T) {
			lane := play(t, planOf(t, c.recipe), c.events...)
			row := drift.Of(lane).Rows[c.row]
			if got := row.Word().String(); got != c.want {
				t.Errorf("%s is %q, want %q", row.Name, got, c.want)
			}
			if word := drift.OfMark(lane, row.Beat); word != row.Word() || word.Cup != row.Cup || word.Own != row.Own() {
				t.Errorf("the mark's word %+v is not the row's, %s", word, asJSON(t, row))
			}
		})
	}
}

func TestNoteOwnsUpToAnUnmarkedStart(t *testing.T) {
	for _, c := range []struct {
		name string
		row  drift.Row
		want string
	}{
		{"late work", debrief(t, press(), marks(8, 58)...).Rows[1], "the start was not marked, so a slow hand and a start that was late count together"},
		{"early work", debrief(t, press(), marks(8, 47)...).Rows[1], "the start was not marked, so a quick hand and a start that was early count together"},
		{"a late bed", debrief(t, cone(), marks(10, 60, 162)...).Rows[3], "the start was not marked, so a slow bed and a start that was late count together"},
		{"inside the window it is not worth a word", debrief(t, press(), marks(8, 54)...).Rows[1], ""},
		{"the brew's own start is the first cue's mark", debrief(t, press(), marks(14)...).Rows[0], ""},
		{"a marked start says it all", debrief(t, press(), marks(8, 52, 112, 150)...).Rows[3], ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := c.row.Note(); got != c.want {
				t.Errorf("note is %q, want %q", got, c.want)
			}
		})
	}
}

// A press is to begin with the seal's end, but must wait for another brew. The
// beat that it is asked for waits with it: what it is late is carried.
func TestAStartThatMustWaitIsCarried(t *testing.T) {
	lane := play(t, planOf(t, press()), start(), mark(8), mark(52), moved(105, 8, 120), mark(121), mark(154), finish(160))
	rows := drift.Of(lane).Rows
	if r := rows[2]; r.Carried != sec(8) || r.Slip != sec(1) {
		t.Errorf("the start of the held press is %s", asJSON(t, r))
	}
	if r := rows[3]; r.StartUnmarked || r.Carried != sec(9) || r.Slip != sec(5) {
		t.Errorf("its end is %s", asJSON(t, r))
	}
}
