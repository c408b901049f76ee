package journal_test

import (
	"bytes"
	"encoding/csv"
	"testing"
	"time"

	"barline/brew"
	"barline/cmd/barline/internal/journal"
)

func TestTheCSVHasARowForEachBeat(t *testing.T) {
	j := fresh(t)
	r := brewed(planOf(t, quick), morning)
	kettle := brew.Celsius(95.25)
	r.Kettle, r.Person, r.Coffee, r.Order = &kettle, `Ada "the hand", Bo`, "a,b\nc", "7"
	weight := brew.Mass(201_500)
	record(t, j, r, []brew.Event{
		{Kind: brew.EventStart, Source: brew.FromKey},
		{Kind: brew.EventMark, At: 21*time.Second + 500*time.Millisecond, Source: brew.FromScale, Weight: &weight},
		{Kind: brew.EventMark, At: 59*time.Second + 999600*time.Microsecond, Source: brew.FromKey},
		{Kind: brew.EventFinish, At: 90 * time.Second, Source: brew.FromClock},
	})
	cut := brewed(planOf(t, quick), morning.Add(time.Hour))
	record(t, j, cut, []brew.Event{{Kind: brew.EventStart, Source: brew.FromKey}})

	var out bytes.Buffer
	must(t, j.CSV(ctx, &out, journal.Filter{}))
	rows, err := csv.NewReader(&out).ReadAll()
	must(t, err)
	beats := len(planOf(t, quick).Beats)
	if len(rows) != 1+2*beats {
		t.Fatalf("%d rows, want a head and %d", len(rows), 2*beats)
	}
	cell := func(row int, column string) string {
		for n, name := range rows[0] {
			if name == column {
				return rows[row][n]
			}
		}
		t.Fatalf("no column %q in %v", column, rows[0])
		return ""
	}
	pour, press := 0, 0
	for n := 1; n <= beats; n++ {
		switch cell(n, "key") {
		case "first pour, end":
			pour = n
		case "first press, start":
			press = n
		}
	}
	for column, want := range map[string]string{
		"brew": r.ID, "start": "2026-06-12T08:00:00.123456789+02:00", "person": r.Person, "kind": "service", "recipe": "Quayside quick",
		"version": r.Plan.Version, "speed": "1", "from_s": "0", "marks": "asked", "end": "finished", "end_s": "90", "clock": "boottime",
		"coffee": "a,b\nc", "lot": "12", "setting": "24 clicks", "kettle_c": "95.25", "round": "", "take": "", "lane": "0", "order": "7",
		"owner": "person", "asked": "true", "status": "marked", "written_s": "20", "called_s": "20", "marked_s": "21.5", "drift_s": "1.5",
		"carried_s": "0", "slip_s": "1.5", "early_s": "3", "late_s": "3", "weight_g": "201.5",
	} {
		if got := cell(pour, column); got != want {
			t.Errorf("pour, %s: %q, want %q", column, got, want)
		}
	}
	if a, b := cell(press, "marked_s"), cell(press, "drift_s"); a != "60" || b != "0" {
		t.Errorf("press: marked %s, drift %s", a, b)
	}
	last := len(rows) - 1
	for column, want := range map[string]string{"end": "cut off", "end_s": "", "marked_s": "", "drift_s": "", "slip_s": "", "weight_g": "", "kettle_c": ""} {
		if got := cell(last, column); got != want {
			t.Errorf("what was cut off, %s: %q, want %q", column, got, want)
		}
	}
	must(t, j.CSV(ctx, &out, journal.Filter{Recipe: "none"}))
}

// What somebody wrote is no formula to a spreadsheet; numbers stay numbers.
func TestNoCellOfTheCSVIsAFormula(t *testing.T) {
	j := fresh(t)
	r := brewed(planOf(t, quick), morning)
	r.Person, r.Coffee, r.Lot, r.Setting, r.Order = `=HYPERLINK("x")`, "+1", "-2 steps", "@home", "\tseven"
	record(t, j, r, []brew.Event{
		{Kind: brew.EventStart, Source: brew.FromKey},
		{Kind: brew.EventMark, At: 19 * time.Second, Source: brew.FromKey},
		{Kind: brew.EventFinish, At: 90 * time.Second, Source: brew.FromClock},
	})
	var out bytes.Buffer
	must(t, j.CSV(ctx, &out, journal.Filter{}))
	rows, err := csv.NewReader(&out).ReadAll()
	must(t, err)
	early := false
	for _, row := range rows[1:] {
		for n, cell := range row {
			switch name := rows[0][n]; {
			case name == "person" && cell != `'=HYPERLINK("x")`, name == "coffee" && cell != "'+1", name == "lot" && cell != "'-2 steps",
				name == "setting" && cell != "'@home", name == "order" && cell != "'\tseven", name == "recipe" && cell != "Quayside quick":
				t.Errorf("%s is %q", name, cell)
			case name == "drift_s":
				early = early || cell == "-1"
			}
		}
	}
	if !early {
		t.Error("a drift of -1 s is not there as a number")
	}
}
