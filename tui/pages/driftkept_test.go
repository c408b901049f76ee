package pages_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"barline/brew/drift"
	"barline/tui/draw"
	"barline/tui/pages"
)

// frozen is the bar whose second pour has limits from a range of brews, of which
// some are not there any more.
func frozen() *ledger {
	l := planted()
	l.many.Baseline.Frozen = []drift.Frozen{{What: drift.Beats, Version: "7be04d11", Key: "second pour, end", Since: begun(240), Until: begun(300), Brews: 61}}
	return l
}

// forgetful is the bar where a brew of Cleo's was forgotten that her attempt
// counts.
func forgetful() *ledger {
	l := planted()
	l.many.Record = bar{brews: 360}.record(1)
	l.many.Record.Forgot(drift.Forgotten{Person: "CLEO", Version: "7be04d11", Start: begun(301)})
	return l
}

// What is told of limits says where they come from, and a tall screen draws the
// ranges from brew to brew.
func TestABeatsPageTellsItsBaselineAndItsRanges(t *testing.T) {
	for name, c := range map[string]struct {
		source    *ledger
		keys      string
		says, not []string
	}{
		"the first 25":   {planted(), "down enter", []string{"from the first 25 brews; ", " in the mean from brew to brew, limit ", " judged lie beyond "}, []string{"frozen"}},
		"a frozen range": {frozen(), "down enter", []string{"from 58 frozen brews, of which 3 more are not here; "}, []string{"the first 25"}},
		"another beat":   {frozen(), "enter", []string{"from the first 25 brews; "}, []string{"frozen"}},
		"too few":        {few(), "enter", []string{"limits withheld: too few brews, 25 is the least for limits"}, []string{"from brew to brew"}},
		"a change":       {planted(), "enter", []string{"; the chart shows a change, so capability says nothing"}, nil},
		"no change":      {planted(), "down enter", nil, []string{"so capability says nothing"}},
	} {
		d, _ := drifting(c.source, false, 60, 200, strings.Fields(c.keys)...)
		got := screen(d)
		for _, want := range c.says {
			if !strings.Contains(got, want) {
				t.Errorf("%s: %q is not on the screen: %s", name, want, got)
			}
		}
		for _, never := range c.not {
			if strings.Contains(got, never) {
				t.Errorf("%s: %q is on the screen: %s", name, never, got)
			}
		}
	}
}

// The ranges' chart has its limit above its middle above 0, and stands below the
// other; a screen that is less tall has none.
func TestTheRangesStandBelowTheChart(t *testing.T) {
	d, _ := drifting(planted(), false, 200, 60, "down", "enter")
	lines := d.Draw().Lines()
	from := slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, "from brew to brew") })
	if from < 25 || from > 45 {
		t.Fatalf("the ranges stand in row %d", from)
	}
	var figures []string
	for _, l := range lines[from+1 : from+12] {
		if f := strings.Fields(draw.Fit(l, 10)); len(f) > 1 && f[1] == "s" {
			figures = append(figures, f[0])
		}
	}
	if len(figures) != 3 || figures[2] != "0.0" || !(figures[0] > figures[1] && figures[1] > figures[2]) {
		t.Errorf("its figures are %v", figures)
	}
	d, _ = drifting(few(), false, 200, 60, "enter")
	if strings.Contains(screen(d), "from brew to brew: how") {
		t.Error("without limits there is a chart of ranges")
	}
	d, _ = drifting(planted(), false, 200, 60, "down", "enter")
	if !strings.Contains(screen(d), "▲ beyond the limits") {
		t.Error("it is not said what the sign of a range beyond its limit means")
	}
	for _, size := range [][2]int{{80, 24}, {40, 12}, {200, 30}} {
		d = d.Resize(size[0], size[1])
		if strings.Contains(screen(d), "from brew to brew: how") {
			t.Errorf("%v has a chart of ranges", size)
		}
	}
}

// Forgetting a brew of an attempt leaves it void, and stays in the rate beside
// it.
func TestAnAttemptWithAForgottenBrewIsVoid(t *testing.T) {
	d, _ := drifting(forgetful(), false, 200, 60, "w", "down", "down")
	got := screen(d)
	for _, want := range []string{
		"attempt of 40 brews, opened 24 February 2026: void, one brew of it was forgotten",
		"x + - 12/40", "since the first attempt 20 of 21 brews were on time throughout",
	} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is not on the screen: %s", want, got)
		}
	}
}

// A name in other letters is no other person.
func TestAPersonIsOneHoweverSpelled(t *testing.T) {
	l := &ledger{many: pages.Many{Record: &drift.Record{}}}
	for i, name := range []string{"Ada", "ADA", " ada ", "Ben"} {
		one := drift.Brew{Start: begun(i), Person: name, Version: "1f3a9c20"}
		one.ID[0] = byte(i)
		for _, c := range coneColumns("1f3a9c20")[:2] {
			one.Cells = append(one.Cells, drift.Cell{Column: l.many.Record.Column(c), Own: drift.OnTime, Cup: drift.OnTime})
		}
		l.many.Record.Add(one)
	}
	d, _ := drifting(l, false, 80, 24, "w")
	if got := screen(d); !strings.Contains(got, "> Ada") || !strings.Contains(got, "Ada: 3 of 3 brews") || strings.Contains(got, "ADA") {
		t.Errorf("%s", got)
	}
}

// The range up to the first brew that is judged is judged, too.
func TestTheFirstRangeJudgedCounts(t *testing.T) {
	l := &ledger{many: pages.Many{Record: &drift.Record{}}}
	column := l.many.Record.Column(coneColumns("1f3a9c20")[0])
	for i := range 40 {
		off := sec * [...]time.Duration{0, 1, 0, -1, 1}[i%5] / 2
		if i == 25 {
			off = 20 * sec
		}
		one := drift.Brew{Start: begun(i), Person: "Ada", Version: "1f3a9c20", Cells: []drift.Cell{{Column: column, Drift: off, Slip: off, Own: drift.OnTime, Cup: drift.OnTime}}}
		one.ID[0] = byte(i)
		l.many.Record.Add(one)
	}
	d, _ := drifting(l, false, 60, 200, "enter")
	if got := screen(d); !strings.Contains(got, "2 of 15 judged lie beyond trend") && !strings.Contains(got, "; 2 of 15 judged lie beyond") {
		t.Errorf("%s", got)
	}
}

// A beat in which the bed's lateness may be is told, and judged against nobody.
func TestWhatMayBeTheBedsIsTold(t *testing.T) {
	l := &ledger{many: pages.Many{Record: &drift.Record{}, Attempts: []drift.Attempt{{Person: "Ada", Version: "1f3a9c20", Opened: begun(0), Brews: 3}}}}
	columns := coneColumns("1f3a9c20")
	for i := range 12 {
		one := drift.Brew{Start: begun(i), Person: "Ada", Version: "1f3a9c20"}
		one.ID[0] = byte(i)
		for n := range 2 {
			cell := drift.Cell{Column: l.many.Record.Column(columns[n]), Own: drift.OnTime, Cup: drift.OnTime}
			if n == 1 && i < 2 {
				cell = drift.Cell{Column: cell.Column, Slip: 9 * sec, Drift: 9 * sec, Cup: drift.Late, BehindBed: true}
			}
			one.Cells = append(one.Cells, cell)
		}
		l.many.Record.Add(one)
	}
	d, _ := drifting(l, false, 200, 60, "w")
	if got := screen(d); !strings.Contains(got, "opened 5 January 2026: passed; 2 beats are not judged, for the bed's lateness may be in them") {
		t.Errorf("%s", got)
	}
	d, _ = drifting(l, false, 200, 60, "m", "down")
	if got := screen(d); !strings.Contains(got, "second pour, end: 10 marked, 2 not to be told from the bed's") {
		t.Errorf("%s", got)
	}
}
