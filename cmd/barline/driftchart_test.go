package main

import (
	"context"
	"encoding/json"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"barline/brew/drift"
)

// said runs the program on a journal and returns its lines.
func said(t *testing.T, args ...string) []string {
	t.Helper()
	var out, told strings.Builder
	e := machine()
	e.args, e.stdout, e.stderr = args, &out, &told
	e.getenv = func(string) string { return "" }
	if code := run(context.Background(), e); code != exitOK {
		t.Fatalf("%v: code %d, %s", args, code, &told)
	}
	return strings.Split(out.String(), "\n")
}

// Of many flagged points the latest twenty of each chart are listed, the latest
// first.
func TestTheLatestFlaggedPointsAreListed(t *testing.T) {
	path := filepath.Join(t.TempDir(), "bar.db")
	shiftOf(t, path)
	var lists [][]string
	head := regexp.MustCompile(`^  flagged by a rule: ([0-9]+) points; drawn, not claimed`)
	for _, line := range said(t, "--journal", path, "drift", "Dock cone", "--beat", "second pour, end", "--version", "all") {
		switch {
		case head.MatchString(line):
			lists = append(lists, []string{head.FindStringSubmatch(line)[1]})
		case strings.HasPrefix(line, "  - "):
			lists[len(lists)-1] = append(lists[len(lists)-1], strings.Fields(line)[1])
		}
	}
	if len(lists) != 2 || lists[0][0] != "62" {
		t.Fatalf("%d charts, %v", len(lists), lists)
	}
	for i, last := range []int{99, 159} {
		ids := lists[i][1:]
		if len(ids) != 20 {
			t.Errorf("chart %d lists %d points", i, len(ids))
		}
		if want := shiftID(startOf(last), last)[:13]; ids[0] != want {
			t.Errorf("chart %d lists %s first, want %s", i, ids[0], want)
		}
		for n := 1; n < len(ids); n++ {
			if ids[n] >= ids[n-1] {
				t.Errorf("chart %d lists %s after %s", i, ids[n], ids[n-1])
			}
		}
	}
}

// Beside an attempt stands the rate as soon as there is a brew.
func TestTheRateStandsBesideAnAttemptFromTheFirstBrewOn(t *testing.T) {
	b := newBench(t)
	for _, c := range []struct {
		fit  drift.Fit
		want string
	}{
		{drift.Fit{Of: 1, Untold: 2}, "not judged in its brews, for the bed's lateness may be in them: 2 beats of all 1 brew since"},
		{drift.Fit{Of: 0}, ""},
		{drift.Fit{Of: 1, OnTime: 1, AtLeast: 0.05}, "of all 1 brew since the first attempt 1 was on time throughout: a rate of at least 5 %, at 95 %"},
	} {
		var out strings.Builder
		f := fitTold{ID: shiftID(opens, 1), Recipe: "Dock cone", Fit: c.fit}
		f.Attempt = drift.Attempt{Person: "Ada", Version: "1a2b", Opened: opens, Brews: 3}
		b.sayFit(&out, f)
		got := strings.Join(strings.Fields(out.String()), " ")
		if strings.Contains(got, "since the first") != (c.want != "") || !strings.Contains(got, c.want) {
			t.Errorf("%d brews: %s", c.fit.Of, got)
		}
	}
}

// A word on a chart is as sure as on the drift page and in a report.
func TestAWordOnAChartIsAsSureAsOnThePage(t *testing.T) {
	path := filepath.Join(t.TempDir(), "bar.db")
	shiftOf(t, path)
	var of struct {
		Table []any
		Beat  struct{ Charts []struct{ Rate float64 } }
	}
	for _, more := range [][]string{nil, {"--beat", "bloom, end"}} {
		text := strings.Join(said(t, append([]string{"--journal", path, "drift", "Dock cone", "--json"}, more...)...), "\n")
		if err := json.Unmarshal([]byte(text), &of); err != nil {
			t.Fatal(err)
		}
	}
	if want := drift.PageRate / float64(2*len(of.Table)); len(of.Beat.Charts) == 0 || of.Beat.Charts[0].Rate != want {
		t.Errorf("%+v, want %v", of.Beat, want)
	}
}
