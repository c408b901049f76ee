package pages_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"barline/brew/drift"
	"barline/tui/draw"
	"barline/tui/pages"

	tea "github.com/charmbracelet/bubbletea"
	"pgregory.net/rapid"
)

// drifting is the page with keys pressed, every command run at once, and what
// it said to the frame.
func drifting(source pages.Drifts, ascii bool, w, h int, names ...string) (pages.Drift, []tea.Msg) {
	var said []tea.Msg
	d, cmd := pages.NewDrift(source, "Quayside cone", pages.DefaultDriftKeys(), ascii)
	d = d.Resize(w, h)
	run := func() {
		for cmd != nil {
			msg := cmd()
			if back, ok := msg.(pages.BackMsg); ok {
				said = append(said, back)
			}
			d, cmd = d.Update(msg)
		}
	}
	run()
	for _, name := range names {
		d, cmd = d.Update(key(name))
		run()
	}
	return d, said
}

// screen is what the page shows, as one line of words.
func screen(d pages.Drift) string {
	return strings.Join(strings.Fields(strings.Join(d.Draw().Lines(), " ")), " ")
}

// few is a bar of a handful of brews, of which nothing can be said yet.
func few() *ledger { return &ledger{many: pages.Many{Record: bar{brews: 5, quiet: true}.record(2)}} }

// often is the bar where Ada tries day by day until it works.
func often() *ledger {
	l := planted()
	for i := range 9 {
		l.many.Attempts = append(l.many.Attempts, drift.Attempt{Person: "Ada", Version: "7be04d11", Opened: begun(250 + 12*i), Brews: 3})
	}
	return l
}

// gappy is a bar where every fourth bloom is unmarked, and where nothing else
// is special.
func gappy() *ledger {
	return &ledger{many: pages.Many{Record: bar{brews: 120, quiet: true, unasked: true}.record(3), LeftOut: 3}}
}

func TestDriftPages(t *testing.T) {
	for _, c := range []struct {
		name       string
		source     *ledger
		ascii      bool
		keys       string
		says, wide []string
	}{
		{"drift", planted(), false, "down", []string{
			"Quayside cone: drift, service", "- Ada ends the second pour late in 39 of 40 brews, usually by 4.1 s", "> second pour, ", "+3.4 s 44 %",
			"no trend; no change shown", "enter open q back",
		}, []string{
			"117 brews of version 7be04d11", "on time", "bloom, end", "> second pour, end", "drawdown, end", "second pour (length)", "contact (length)", "second pour, end (g)",
			"second pour, end: 117 marked; window -3.0 s to +3.0 s; median +3.4 s; on time 44 % (35 to 53 %); no trend",
			"where the time goes, a brew - the last mark comes +2.8 s off: +2.6 s by hands, +0.2 s by the bed, -0.1 s between",
			"w persons", "m slip", "p person", "k kind", "v versions", "d days",
		}},
		{"drift-ascii", planted(), true, "m down down down", []string{"Quayside cone: slip, service", "> drawdown, end"}, []string{"drawdown, end: 117 marked; window -15.0 s to +15.0 s", "m drift"}},
		{"drift-scrolled", planted(), false, "down down pgdown pgdown", []string{"> third pour, ", "carried and +2.6 s its own"}, []string{"100 % comes from second pour, end"}},
		{"drift-of-a-person", planted(), false, "p p d d d", []string{"Quayside cone: drift, by Ben, service"}, []string{"by Ben, service, the last 30 days", "31 marked"}},
		{"drift-of-all-versions", planted(), false, "v", []string{"Quayside cone: drift, service, all ver", "- Ada ends the second pour late in"}, []string{
			"353 brews of all versions", "(version 1f3a9c20)", "- in the week of 26 January 2026 the bed drained", "v newest",
		}},
		{"drift-few", few(), false, "", []string{"Quayside cone", "nothing stands out from chance", "too few"}, []string{"median withheld: too few brews; on time 100 % (57 to 100 %); trend withheld: too few brews; limits withheld: too few brews"}},
		{"drift-gaps", gappy(), false, "", []string{"> bloom, end", "gaps", "nothing stands out from chance, of"}, []string{
			"88 marked, 30 unmarked", "median withheld: more than one mark in five is missing", "! 3 brews cannot be read and are left out; journal verify says which",
		}},
		{"drift-empty", planted(), false, "k", []string{"Quayside cone: drift, rehearsal", "no brews of this kind yet", "q back"}, nil},
		{"drift-error", &ledger{err: errors.New("the journal is damaged: /home/ada/journal.db")}, false, "", []string{"Quayside cone", "! the journal is damaged: /home/ada/journal.db", "q back"}, nil},
		{"drift-beat", planted(), false, "down enter", []string{
			"Quayside cone: second pour, end", "- Ada ends the second pour late in 39 of 40 brews, usually by 4.1 s", "brews 117 marked", "q back",
		}, []string{
			"353 brews", "1f3a9c20", "7be04d11", "○ ● 1f3a9c20, baseline and judged", "□ ■ 7be04d11, baseline and judged",
			"# long run on one side", "+ other pattern, not claimed", "-3.0 s 0.0 s +3.0 s", "window -3.0 s to +3.0 s", "+0.2 s and +4.3 s",
		}},
		{"drift-beat-slip", planted(), true, "enter m z pgdown", []string{"Quayside cone: bloom, end by slip", "nothing about it stands out from chance"}, []string{
			"the latest", "of 353 brews", "b B 7be04d11, baseline and judged", "^ v beyond the limits", "z all brews",
		}},
		{"drift-beat-few", few(), false, "enter", []string{"Quayside cone: bloom, end", "brews 5 marked"}, []string{"○ 1f3a9c20, not judged", "withheld: too few brews, 6"}},
		{"drift-contact", planted(), false, "down down down down down enter", []string{"Quayside cone: contact (length)"}, []string{"no window to set it against"}},
		{"drift-weight", planted(), false, "down down down down down down enter", []string{"Quayside cone: second pour, end (g)"}, []string{"-0.4 g", "39 marked"}},
		// Of 20 in 20 the exact bound is 0.05 to the power of 1/20, 0.861.
		{"drift-persons", planted(), false, "w down down", []string{
			"Quayside cone: persons, service", "> Cleo", "98 % ", "x + - 12/40 86 %", "- Cleo: 46 of 47 brews on time throughout, at 95 % 89 to 100 %; no trend",
		}, []string{
			"Ada", "2 % 0-13 % no trend x - 0 %", "9 % 3-24 % no trend x 1/10 2 %",
			"attempt of 200 brews, opened 5 January 2026 at version 1f3a9c20: failed after 30 that went well, on 21 January 2026: not finished",
			"attempt of 5 brews, opened 21 January 2026 at version 1f3a9c20: passed",
			"attempt of 40 brews, opened 24 February 2026: given up after 8 that went well",
			"attempt of 40 brews, opened 27 February 2026: under way, 12 done",
			"since the first attempt 20 of 20 brews were on time throughout, so that at 95 % at least 86 % are; trying until it works does not raise that",
		}},
		{"drift-persons-withdrawn", planted(), false, "w", []string{"> Ada"}, []string{"attempt of 9 brews, opened 18 January 2026 at version 1f3a9c20: withdrawn after 0 that went well"}},
		{"drift-persons-many-attempts", often(), false, "w", []string{"> Ada", "10 x -"}, []string{"10 x - 0 %", "- since the first attempt 1 of 38 brews were on time throughout"}},
		{"drift-persons-ascii", planted(), true, "w down", []string{"> Ben"}, []string{"failed after 0 that went well, on 5 March 2026: second pour, end: late", "under way, 1 done"}},
		{"drift-persons-empty", planted(), false, "k w", []string{"Quayside cone: persons, rehearsal", "no brews of this kind yet"}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			screens(t, c.name, c.says, c.wide, func(w, h int) *draw.Canvas {
				d, _ := drifting(c.source, c.ascii, w, h, strings.Fields(c.keys)...)
				return d.Draw()
			})
		})
	}
}

// views are the keys that lead to each page.
var views = map[string][]string{"the recipe's": nil, "a beat's": {"down", "enter"}, "the persons'": {"w"}}

// The recipe's name and the strongest finding are on every screen that can
// hold them.
func TestNameAndFindingSurviveLongest(t *testing.T) {
	for name, keys := range views {
		d, _ := drifting(planted(), false, 80, 24, keys...)
		finding := "Ada ends the second pour late in 39 of 40"
		for h := 1; h <= 30; h++ {
			for _, w := range []int{60, 80, 120, 200} {
				d = d.Resize(w, h)
				lines := d.Draw().Lines()
				if !strings.HasPrefix(lines[0], "Quayside cone: ") || !strings.Contains(screen(d), finding) {
					t.Errorf("%s page, %d by %d:\n%s", name, w, h, strings.Join(lines, "\n"))
				}
			}
		}
		for w := 1; w < 60; w++ {
			for h := 1; h < 12; h++ {
				line := d.Resize(w, h).Draw().Lines()[0]
				if !strings.HasPrefix("Quayside cone", strings.TrimSuffix(line, "~")) && !strings.HasPrefix(line, "Quayside cone") {
					t.Errorf("%s page, %d by %d: %q", name, w, h, line)
				}
			}
		}
	}
}

// What stands on the page is the engine's, row by row.
func TestRowsSayWhatTheEngineSays(t *testing.T) {
	l := planted()
	set := l.many.Record.Choose(drift.Choice{})
	for _, m := range []struct {
		keys    []string
		measure drift.Measure
	}{{nil, drift.ByDrift}, {[]string{"m"}, drift.BySlip}} {
		d, _ := drifting(l, false, 200, 60, m.keys...)
		for _, s := range set.Table(m.measure) {
			median := fmt.Sprintf("%+.1f", s.Median.Value)
			if s.Median.Value < 0.05 && s.Median.Value > -0.05 {
				median = "0.0"
			}
			row := ""
			for _, line := range d.Draw().Lines() {
				if strings.HasPrefix(line, "> ") {
					row = line
				}
			}
			name := s.Column.Name + map[drift.What]string{drift.Lengths: " (length)", drift.Weights: " (g)"}[s.Column.What]
			if !strings.HasPrefix(row, "> "+name+" ") || !strings.Contains(row, " "+median+" "+s.Unit) {
				t.Errorf("%s by %s, median %s: %q", s.Column.Name, m.measure, median, row)
			}
			if s.OnTime.Withheld == "" && !strings.Contains(row, fmt.Sprintf("%.0f %%", 100*s.OnTime.Rate())) {
				t.Errorf("%s, on time %v: %q", s.Column.Name, s.OnTime, row)
			}
			d, _ = d.Update(key("down"))
		}
	}
}

// The words for a chart go by whether the engine sees a change.
func TestWordsOnTheLimits(t *testing.T) {
	for name, c := range map[string]struct {
		source *ledger
		want   string
	}{
		"one far out":     {planted(), "one brew far outside"},
		"nothing special": {&ledger{many: pages.Many{Record: bar{brews: 120, quiet: true}.record(5)}}, "no change shown"},
		"nothing judged":  {&ledger{many: pages.Many{Record: bar{brews: 25, quiet: true}.record(5)}}, "nothing to judge yet"},
		"too few":         {few(), "too few"},
		"marks that lack": {gappy(), "gaps"},
	} {
		d, _ := drifting(c.source, false, 200, 60)
		row := ""
		for _, line := range d.Draw().Lines() {
			if strings.HasPrefix(line, "> bloom, end") {
				row = line
			}
		}
		if !strings.HasSuffix(row, c.want) {
			t.Errorf("%s: %q, want it to end %q", name, row, c.want)
		}
	}
}

// A beat's chart has the brews of all versions by whoever is looked at.
func TestTheChartIsOfThePerson(t *testing.T) {
	for i, person := range append([]string{""}, crew...) {
		c := drift.Choice{AllVersions: true}
		if person != "" {
			c.Persons = []string{person}
		}
		d, _ := drifting(planted(), false, 100, 30, append([]string{"enter"}, times("p", i)...)...)
		if got, want := d.Draw().Lines()[0], fmt.Sprintf(" %d brews", everything.Choose(c).Len()); !strings.HasSuffix(got, want) {
			t.Errorf("%q: %q, want%s", person, got, want)
		}
	}
}

// Days narrow what is looked at, on each page.
func TestDaysNarrowTheDrift(t *testing.T) {
	last := everything.Head(everything.Len() - 1).Start
	for days, presses := range map[int]int{1: 1, 7: 2, 30: 3, 365: 4} {
		since := time.Date(last.Year(), last.Month(), last.Day()-days+1, 0, 0, 0, 0, last.Location())
		want := fmt.Sprintf("%d brew", everything.Choose(drift.Choice{Since: since}).Len())
		for _, keys := range [][]string{nil, {"w"}} {
			d, _ := drifting(planted(), false, 120, 30, append(keys[:len(keys):len(keys)], times("d", presses)...)...)
			if got := d.Draw().Lines()[0]; !strings.Contains(got, " "+want) {
				t.Errorf("%v, %d days: %q, want %s", keys, days, got, want)
			}
		}
		// What is on time is counted of those days alone.
		d, _ := drifting(planted(), false, 120, 30, append([]string{"w"}, times("d", presses)...)...)
		ada := everything.Fit([]drift.Attempt{{Person: "Ada", Version: "7be04d11", Opened: since, Brews: 1 << 20}})[0]
		if got := screen(d); !strings.Contains(got, fmt.Sprintf("Ada: %d of %d brews on time throughout", ada.OnTime, ada.Of)) {
			t.Errorf("%d days, want %d of %d: %q", days, ada.OnTime, ada.Of, got)
		}
	}
}

// Brews of which nobody said who brewed count, but cannot be asked for.
func TestBrewsByNobody(t *testing.T) {
	l := &ledger{many: pages.Many{Record: bar{brews: 60, quiet: true, unnamed: true}.record(6)}}
	for presses, want := range []string{": drift, service", ": drift, by Ada", ": drift, by Ben", ": drift, by Cleo", ": drift, service"} {
		d, _ := drifting(l, false, 80, 24, times("p", presses)...)
		if got := d.Draw().Lines()[0]; !strings.HasPrefix(got, "Quayside cone"+want) {
			t.Errorf("%d presses: %q, want %q", presses, got, want)
		}
	}
	d, _ := drifting(l, false, 80, 24, "w")
	if got := screen(d); !strings.Contains(got, "> nobody said") || strings.Contains(got, "this person's beats") {
		t.Errorf("%q", got)
	}
	d, _ = d.Update(key("enter"))
	if got := screen(d); !strings.Contains(got, ": persons") {
		t.Errorf("enter leads on: %q", got)
	}
}

// improving is a record of one person whose slips shrink, or grow, or of whose
// marks too many are missing.
func improving(grows, lacks bool) *ledger {
	r := &drift.Record{}
	for i := range 60 {
		size := 6 - float64(i)/10
		if grows {
			size = float64(i) / 10
		}
		columns := coneColumns("1f3a9c20")
		b := drift.Brew{Start: begun(i), Person: "Ben", Version: "1f3a9c20"}
		b.ID[15] = byte(i)
		for n, sign := range []float64{1, -1} {
			x := millis(sign * (size + float64(i*7%5)/5))
			cell := drift.Cell{Column: r.Column(columns[n]), Drift: x, Slip: x, Cup: drift.Judge(x, columns[n].Window), Own: drift.Judge(x, columns[n].Window)}
			if lacks && n == 0 && i%2 == 0 {
				cell = drift.Cell{Column: cell.Column, Fate: drift.Unmarked}
			}
			b.Cells = append(b.Cells, cell)
		}
		// The bed gets slower all the while, which is not Ben's.
		x := millis(float64(i))
		b.Cells = append(b.Cells, drift.Cell{Column: r.Column(columns[3]), Drift: x, Slip: x, Cup: drift.Late, Own: drift.Late})
		r.Add(b)
	}
	return &ledger{many: pages.Many{Record: r}}
}

// A person's trend is that of how far off the marks are to either side; the
// bed's is not in it.
func TestWhetherAPersonGetsBetter(t *testing.T) {
	for want, l := range map[string]*ledger{
		"closer": improving(false, false), "farther": improving(true, false), "gaps": improving(false, true),
	} {
		d, _ := drifting(l, false, 100, 24, "w")
		row := ""
		for _, line := range d.Draw().Lines() {
			if strings.HasPrefix(line, "> Ben") {
				row = line
			}
		}
		if !strings.Contains(row, want) {
			t.Errorf("%q, want %s", row, want)
		}
	}
	// A tenth less a brew is 4.2 s a week at six brews a day; within a day brews
	// lie closer to each other than that.
	d, _ := drifting(improving(false, false), false, 100, 24, "w")
	if got := screen(d); !strings.Contains(got, "marks get closer to their calls, by 4.1 s a week") {
		t.Errorf("%q", got)
	}
}

// Each key asks for what it says.
func TestTheKeysNarrowTheDrift(t *testing.T) {
	for keys, want := range map[string]pages.Filter{
		"":          {Kind: "service"},
		"k":         {Kind: "rehearsal"},
		"k k":       {Kind: "practice"},
		"k k k":     {Kind: "demo"},
		"k k k k":   {Kind: "service"},
		"d":         {Kind: "service", Days: 1},
		"d d":       {Kind: "service", Days: 7},
		"d k a":     {Kind: "service"},
		"p d":       {Kind: "service", Days: 1}, // persons are chosen of what is there
		"w d":       {Kind: "service", Days: 1},
		"enter d d": {Kind: "service", Days: 7},
	} {
		l := planted()
		drifting(l, false, 80, 24, strings.Fields(keys)...)
		want.Recipe = "Quayside cone"
		if got := l.asked[len(l.asked)-1]; got != want {
			t.Errorf("%q asks for %+v, want %+v", keys, got, want)
		}
	}
	for keys, want := range map[string]string{
		"p": ": drift, by Ada", "p p": ": drift, by Ben", "p p p": ": drift, by Cleo", "p p p p": ": drift, service", "p a": ": drift, service",
		"w down enter": ": drift, by Ben", "enter p": ": bloom, end by drift, by Ada", "enter p q": ": drift, by Ada",
		"v": ": drift, service, all versions", "v v": ": drift, service  ", "v a": ": drift, service  ", "m": ": slip", "m m": ": drift", "enter m q": ": slip", "w q": ": drift", "enter q": ": drift",
		"enter down": ": second pour, end by drift", "enter down down up": ": second pour, end by drift", "enter up": ": bloom, end",
		"down enter down q": ": drift",
	} {
		d, _ := drifting(planted(), false, 80, 24, strings.Fields(keys)...)
		if got := d.Draw().Lines()[0]; !strings.HasPrefix(got, "Quayside cone"+want) {
			t.Errorf("%q: %q, want %q", keys, got, want)
		}
	}
}

// Going back shows what is looked at now, as if it had been asked for there.
func TestGoingBackIsUpToDate(t *testing.T) {
	for back, there := range map[string]string{
		"enter m q": "m", "enter v q": "v", "enter p q": "p", "enter d d q": "d d", "w down enter": "p p", "enter k q": "k", "w d q": "d", "enter m m q": "", "w q": "",
	} {
		a, _ := drifting(planted(), false, 100, 30, strings.Fields(back)...)
		b, _ := drifting(planted(), false, 100, 30, strings.Fields(there)...)
		if screen(a) != screen(b) {
			t.Errorf("%q shows\n%s\nand %q\n%s", back, screen(a), there, screen(b))
		}
	}
}

// The findings on a beat's page are those of what is looked at there.
func TestFindingsOfABeatAreUpToDate(t *testing.T) {
	for keys, want := range map[string]string{
		"down enter":     "- Ada ends the second pour late in 39 of 40 brews",
		"down enter v":   "- Ben ends the second pour late in 81 of 83 brews, usually by 5.1 s (version 1f3a9c20)",
		"down enter v v": "- Ada ends the second pour late in 39 of 40 brews",
		"down enter p":   "- Ada ends the second pour late in 39 of 40 brews",
		"down enter p p": "- Ben ends the second pour late in 27 of 31 brews",
	} {
		d, _ := drifting(planted(), false, 100, 30, strings.Fields(keys)...)
		if got := screen(d); !strings.Contains(got, want) {
			t.Errorf("%q: %q, want %q", keys, got, want)
		}
	}
}

// An error about what is looked at no more does not cover what is.
func TestALateErrorIsStale(t *testing.T) {
	l := planted()
	d, _ := drifting(l, false, 80, 24, "enter")
	l.err = errors.New("the disk is gone")
	var late tea.Cmd
	for range 5 { // all the days, and back to where they began
		d, late = d.Update(key("d"))
	}
	d, _ = d.Update(key("q"))
	d, _ = d.Update(late())
	if got := screen(d); strings.Contains(got, "the disk is gone") || !strings.Contains(got, "> bloom, end") {
		t.Errorf("%q", got)
	}
}

// Whatever is only looked at from another side is not asked for again.
func TestTheRecordIsAskedOnce(t *testing.T) {
	l := planted()
	drifting(l, false, 80, 24, strings.Fields("down enter m down q w down q p m q enter z pgdown q p p")...)
	if len(l.asked) != 1 {
		t.Errorf("it is asked %d times", len(l.asked))
	}
}

// Drawing and answering keys ask nobody: all is worked out by commands.
func TestOnlyCommandsAsk(t *testing.T) {
	l := planted()
	d, cmd := pages.NewDrift(l, "Quayside cone", pages.DefaultDriftKeys(), false)
	d = d.Resize(80, 24)
	for _, name := range []string{"k", "d", "p", "m", "w", "q", "a", "down", "enter"} {
		d, _ = d.Update(key(name))
		d.Draw()
	}
	if len(l.asked) != 0 || !strings.Contains(screen(d), "looking") {
		t.Errorf("asked %d times before any command: %q", len(l.asked), screen(d))
	}
	if cmd(); len(l.asked) != 1 {
		t.Error("the command does not ask")
	}
}

// An answer for what is looked at no more is not shown, in whatever order
// answers come.
func TestALateDriftIsStale(t *testing.T) {
	l := planted()
	d, first := pages.NewDrift(l, "Quayside cone", pages.DefaultDriftKeys(), false)
	d = d.Resize(80, 24)
	d, second := d.Update(key("k"))
	late := first()
	d, _ = d.Update(second())
	d, _ = d.Update(late)
	if got := screen(d); !strings.Contains(got, "rehearsal") || !strings.Contains(got, "no brews of this kind yet") {
		t.Errorf("%q", got)
	}
	// Nor does a beat that was left open the recipe's page on its own.
	d, cmd := pages.NewDrift(l, "Quayside cone", pages.DefaultDriftKeys(), false)
	d, _ = d.Resize(80, 24).Update(cmd())
	d, beat := d.Update(key("enter"))
	d, _ = d.Update(key("q"))
	d, _ = d.Update(beat())
	if got := screen(d); !strings.Contains(got, "Quayside cone: drift") || strings.Contains(got, "looking") {
		t.Errorf("%q", got)
	}
}

// After an error the next key asks anew.
func TestAnErrorIsNotTheEnd(t *testing.T) {
	l := planted()
	l.err = errors.New("the disk is gone")
	d, cmd := pages.NewDrift(l, "Quayside cone", pages.DefaultDriftKeys(), false)
	d, _ = d.Resize(80, 24).Update(cmd())
	if got := screen(d); !strings.Contains(got, "! the disk is gone") {
		t.Errorf("%q", got)
	}
	for _, name := range []string{"enter", "down", "up", "pgdown", "pgup"} {
		d, cmd = d.Update(key(name))
		if d.Draw(); cmd != nil {
			t.Errorf("%s does something where there is nothing", name)
		}
	}
	l.err = nil
	d, cmd = d.Update(key("p"))
	d, _ = d.Update(cmd())
	if got := screen(d); !strings.Contains(got, "bloom, end") {
		t.Errorf("%q", got)
	}
}

func TestTheDriftPageIsLeft(t *testing.T) {
	for keys, want := range map[string]int{"q": 1, "esc": 1, "ctrl+c": 1, "enter q": 0, "w q": 0, "enter q q": 1, "w esc esc": 1, "enter": 0, "x": 0} {
		if _, said := drifting(planted(), false, 80, 24, strings.Fields(keys)...); len(said) != want {
			t.Errorf("%q: left %d times, want %d", keys, len(said), want)
		}
	}
}

// The text is scrolled to its end, and back at the first press.
func TestTheTextScrolls(t *testing.T) {
	for name, keys := range views {
		top, _ := drifting(planted(), false, 40, 12, keys...)
		turned := func(d pages.Drift, name string, n int) pages.Drift {
			for range n {
				d, _ = d.Update(key(name))
			}
			return d
		}
		end := turned(top, "pgdown", 40)
		back, again := turned(end, "pgup", 1), turned(end, "pgup", 40)
		if strings.Contains(screen(end), "more lines") || screen(end) == screen(top) {
			t.Errorf("%s page does not scroll to its end: %q", name, screen(end))
		}
		if screen(back) == screen(end) || screen(again) != screen(top) {
			t.Errorf("%s page does not scroll back", name)
		}
	}
}

// With the ASCII theme no page has a character that is none, but what was
// typed by people.
func TestDriftInASCII(t *testing.T) {
	for name, keys := range views {
		d, _ := drifting(planted(), true, 80, 24, keys...)
		for _, size := range sizes {
			for _, line := range d.Resize(size[0], size[1]).Draw().Lines() {
				if i := strings.IndexFunc(line, func(r rune) bool { return r > '~' }); i >= 0 {
					t.Errorf("%s page at %v: %q", name, size, line[i:])
				}
			}
		}
	}
}

func TestDriftFitsAnyScreen(t *testing.T) {
	small := pages.Many{Record: bar{brews: 60}.record(4), Attempts: attempts()}
	sources := []*ledger{{many: small}, few(), gappy(), {many: pages.Many{Record: bar{brews: 60}.record(9), Attempts: []drift.Attempt{{Person: "長い名前 of the early shift", Version: "x", Brews: 3}}}}, {err: errors.New("the journal is damaged")}, {}}
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.IntRange(-1, 220).Draw(t, "width"), rapid.IntRange(-1, 70).Draw(t, "height")
		names := rapid.SliceOfN(rapid.SampledFrom([]string{"up", "down", "pgup", "pgdown", "enter", "q", "w", "m", "z", "p", "k", "d", "a", "x"}), 0, 8).Draw(t, "keys")
		source := *rapid.SampledFrom(sources).Draw(t, "record")
		d, _ := drifting(&source, rapid.Bool().Draw(t, "ascii"), w, h, names...)
		sized(t, d.Draw(), max(w, 0), max(h, 0))
		for _, size := range [][2]int{{w / 3, h / 3}, {1, 1}, {w, 2}, {3, h}} {
			small := d.Resize(size[0], size[1])
			sized(t, small.Draw(), max(size[0], 0), max(size[1], 0))
			small, _ = small.Update(key("pgdown"))
			sized(t, small.Draw(), max(size[0], 0), max(size[1], 0))
		}
	})
}

// The shelf asks for the drift of the recipe that is chosen.
func TestTheShelfAsksForDrift(t *testing.T) {
	_, cmd := shelf(3).Update(key("d"))
	if got, ok := cmd().(pages.DriftMsg); !ok || got.Recipe != "Quayside cone" {
		t.Errorf("%+v", got)
	}
	if _, cmd := pages.NewShelf(nil, pages.DefaultListKeys()).Update(key("d")); cmd != nil {
		t.Error("an empty shelf asks for something")
	}
}
