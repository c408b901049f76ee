package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"
	"time"

	"barline/brew/bar"
	"barline/cmd/barline/internal/clock"
)

// barSaid runs a command line at a clock that stands still and returns what it
// writes.
func barSaid(t *testing.T, args ...string) string {
	t.Helper()
	var out, errs bytes.Buffer
	home := t.TempDir()
	e := env{
		args: args, stdin: strings.NewReader(""), stdout: &out, stderr: &errs,
		getenv: func(name string) string { return map[string]string{"HOME": home, "TERM": "xterm"}[name] },
		clock:  clock.NewFake(eight, clock.Boottime, "one"),
	}
	if code := run(context.Background(), e); code != exitOK {
		t.Fatalf("%v ends with %d: %s", args, code, errs.String())
	}
	return out.String()
}

// What --json tells is enough to see that nothing is over-booked: counted
// second by second, from nothing but the answer.
func TestARoundAsJSONOverBooksNothing(t *testing.T) {
	orders := []string{"quayside-cone@0:00", "quayside-press@0:20", "quayside-cone@0:40", "quayside-flat-bed@1:00"}
	for _, c := range []struct{ people, brewers, kettles int }{{1, 3, 1}, {2, 2, 1}, {1, 1, 1}} {
		args := []string{"bar", "plan", "--json", "--people", fmt.Sprint(c.people), "--brewers", fmt.Sprint(c.brewers), "--kettles", fmt.Sprint(c.kettles)}
		for _, o := range orders[:3+c.people%2] {
			args = append(args, "--order", o)
		}
		var r jsonRound
		if err := json.Unmarshal([]byte(barSaid(t, args...)), &r); err != nil {
			t.Fatal(err)
		}
		overBooked(t, r, map[string]int{"hands": c.people, "brewer": c.brewers, "kettle": c.kettles, "scale": c.brewers})
		wait, end := 0, 0
		for _, o := range r.Orders {
			wait, end = wait+o.ReadyS-o.PlacedS, max(end, o.ReadyS)
		}
		if !r.Proven || r.Schema != 1 || wait != r.TotalWaitS || r.BoundS != wait || end != r.EndS {
			t.Errorf("%+v: waiting %d of %d, end %d of %d, bound %d, proven %v", c, r.TotalWaitS, wait, r.EndS, end, r.BoundS, r.Proven)
		}
	}
}

// overBooked counts who uses what in every second. A brewer and a scale are
// taken from the first step that lists them to the last.
func overBooked(t *testing.T, r jsonRound, most map[string]int) {
	t.Helper()
	used := map[string]map[int]int{}
	take := func(what string, from, to int) {
		if used[what] == nil {
			used[what] = map[int]int{}
		}
		for s := from; s < to; s++ {
			used[what][s]++
		}
	}
	held := map[string][2]int{}
	for _, s := range r.Steps {
		if o := r.Orders[s.Order-1]; s.StartS < o.PlacedS {
			t.Errorf("%s of order %d at %d, before it was placed", s.Label, s.Order, s.StartS)
		}
		if s.Hands == "busy" {
			take("hands", s.StartS, s.EndS)
		}
		for _, what := range s.Uses {
			key := fmt.Sprint(what, " ", s.Order)
			span, is := held[key]
			switch {
			case what == "kettle":
				take(what, s.StartS, s.EndS)
			case !is:
				held[key] = [2]int{s.StartS, s.EndS}
			default:
				held[key] = [2]int{min(span[0], s.StartS), max(span[1], s.EndS)}
			}
		}
	}
	for key, span := range held {
		what, _, _ := strings.Cut(key, " ")
		take(what, span[0], span[1])
	}
	for what, seconds := range used {
		for s, n := range seconds {
			if n > most[what] {
				t.Errorf("%s: %d at once in second %d, there are %d", what, n, s, most[what])
			}
		}
	}
	if used["hands"] == nil || used["kettle"] == nil || used["brewer"] == nil {
		t.Error("nothing was used")
	}
}

// A plan that is proven is the same whenever it is made.
func TestAProvenPlanIsAlwaysTheSame(t *testing.T) {
	args := []string{"bar", "plan", "--json", "--order", "quayside-cone@0:00", "--order", "quayside-press@0:20", "--order", "quayside-cone@0:40"}
	if a, b := barSaid(t, args...), barSaid(t, append(args, "--time-limit", "9s")...); a != b {
		t.Errorf("%s\n%s", a, b)
	}
}

func TestAnOrderAsItIsWritten(t *testing.T) {
	for text, want := range map[string]barOrder{
		"cone":                   {recipe: "cone"},
		"cone@0:20":              {recipe: "cone", placed: 20 * time.Second},
		"cone@90":                {recipe: "cone", placed: 90 * time.Second},
		"cone@1:00:05=Ada":       {recipe: "cone", placed: time.Hour + 5*time.Second, name: "Ada"},
		"cone@0:20=Ada,2":        {recipe: "cone", placed: 20 * time.Second, name: "Ada", cups: 2},
		"cone@0:20=,2":           {recipe: "cone", placed: 20 * time.Second, cups: 2},
		"cone@0:20=Bo, at 5,1":   {recipe: "cone", placed: 20 * time.Second, name: "Bo, at 5", cups: 1},
		"cone@0:20=Ada@home":     {recipe: "cone", placed: 20 * time.Second, name: "Ada@home"},
		"cone=Ada":               {recipe: "cone", name: "Ada"},
		"cone@0:20=a=b":          {recipe: "cone", placed: 20 * time.Second, name: "a=b"},
		"dir@home/x.yaml@0:20":   {recipe: "dir@home/x.yaml", placed: 20 * time.Second},
		"a=b/x.yaml@0:20=Ada, 3": {recipe: "a=b/x.yaml", placed: 20 * time.Second, name: "Ada", cups: 3},
	} {
		if got, err := readOrder(1, text); err != nil || got != want {
			t.Errorf("%q: %+v, %v; want %+v", text, got, err, want)
		}
	}
}

func TestRatesHoldUntilTheNext(t *testing.T) {
	for text, want := range map[string]struct {
		opens int
		rates string
	}{
		"8:00=12":                       {8, "[12]"},
		"8:00=12,9:00=20":               {8, "[12 20]"},
		"8:00=12,11:00=4.5":             {8, "[12 12 12 4.5]"},
		"8:00=12,9:00=20,11:00=0":       {8, "[12 20 20]"},
		"8:00=12, 10:00=0, 11:00=3":     {8, "[12 12 0 3]"},
		"23:00=1":                       {23, "[1]"},
		"0:00=1,2:00=0,3:00=2,4:00=0.0": {0, "[1 1 0 2]"},
	} {
		opens, rates, err := readRates(text)
		if got := fmt.Sprint(rates); err != nil || opens != want.opens || got != want.rates {
			t.Errorf("%q: from %d %s, %v; want %+v", text, opens, got, err, want)
		}
	}
}

// Student's distribution, two-sided, as tabled in Student (1908) and in the
// NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2.
func TestStudentsDistribution(t *testing.T) {
	for _, c := range []struct {
		level float64
		free  int
		want  float64
	}{{0.95, 1, 12.706}, {0.95, 4, 2.776}, {0.95, 19, 2.093}, {0.99, 9, 3.250}, {0.90, 30, 1.697}, {0.95, 100, 1.984}} {
		if got := studentQuantile(c.level, c.free); math.Abs(got-c.want) > 0.0006 {
			t.Errorf("%g with %d degrees of freedom: %.4f, the table has %.3f", c.level, c.free, got, c.want)
		}
	}
	if m := meanOf([]float64{1, 2, 3, 4}, 0.95); math.Abs(m.mean-2.5) > 1e-12 || math.Abs(m.high-2.5-3.182*1.290994/2) > 0.001 || math.Abs(m.low+m.high-5) > 1e-9 {
		t.Errorf("%+v", m)
	}
	if m := meanOf([]float64{7}, 0.95); m.mean != 7 || !math.IsInf(m.low, -1) || !math.IsInf(m.high, 1) {
		t.Errorf("of one value: %+v", m)
	}
}

// A table never takes more columns than it is given, and keeps every word.
func TestATableKeepsToItsWidth(t *testing.T) {
	a := atBar()
	r, err := a.round(kitFlags{people: 2, brewers: 2, kettles: 1}, []string{"quayside-cone@0:00=Ada,2", "quayside-press@0:20"})
	if err != nil {
		t.Fatal(err)
	}
	if err := a.settle(r, time.Second); err != nil {
		t.Fatal(err)
	}
	var words []string
	for _, width := range []int{200, 80, 40} {
		var out bytes.Buffer
		r.print(&out, width)
		for _, line := range strings.Split(out.String(), "\n") {
			if n := len([]rune(line)); n > width {
				t.Errorf("%d columns at %d: %s", n, width, line)
			}
		}
		for _, word := range []string{"Ada", "bloom:", "Drawdown:", "free", "proven"} {
			if !strings.Contains(out.String(), word) {
				t.Errorf("at %d columns there is no %q", width, word)
			}
		}
		words = append(words, fmt.Sprint(strings.Count(out.String(), "Pour")))
	}
	if words[0] != words[1] || words[1] != words[2] {
		t.Errorf("%v pours told at 200, 80 and 40 columns", words)
	}
}

// The answer is no more sure than the days: see simulation.answer.
func TestAnAnswerIsNoMoreSureThanTheDays(t *testing.T) {
	s := &simulation{simulateFlags: simulateFlags{days: 20, worth: 30 * time.Second}}
	inf := math.Inf(1)
	for want, less := range map[string]meanWithin{
		"yes: the mean wait would be 1:00 shorter (0:31 to 1:29 at 95 %)":                                                  {60, 31, 89},
		"no: the mean wait would be 0:10 shorter (-0:09 to 0:29 at 95 %); 30 s is asked for":                               {10, -9, 29},
		"no: the mean wait would be 0:10 longer (-0:30 to 0:10 at 95 %); 30 s is asked for":                                {-10, -30, 10},
		"no: the mean wait would not change; 30 s is asked for":                                                            {0, 0, 0},
		"20 days cannot tell whether by 30 s: the mean wait would be 0:40 shorter (0:20 to 1:00 at 95 %); more --days may": {40, 20, 60},
		"one day cannot tell: that day the mean wait would be 0:40 shorter; give more --days":                              {40, -inf, inf},
	} {
		if got := s.answer(effect{less: less}); got != want {
			t.Errorf("%+v: %q\nwant %q", less, got, want)
		}
	}
	s.worth = 0
	if got := s.answer(effect{less: meanWithin{0, 0, 0}}); !strings.HasPrefix(got, "no: ") {
		t.Errorf("nothing is no gain, but the answer is %q", got)
	}
}

// atBar is a bar's command line without a terminal.
func atBar() *app {
	return &app{env: env{getenv: func(string) string { return "" }, clock: clock.NewFake(eight, clock.Boottime, "one"), stdout: io.Discard, stderr: io.Discard}}
}

// What is shown keeps as close to the recipes' own times as the cups allow, and
// tells no lull that is over before it is noticed.
func TestARoundKeepsCloseToTheRecipes(t *testing.T) {
	a := atBar()
	r, err := a.round(kitFlags{people: 1, brewers: 2, kettles: 1}, []string{"quayside-cone", "quayside-press@0:20", "quayside-cone@0:40"})
	if err != nil {
		t.Fatal(err)
	}
	if err := a.settle(r, time.Second); err != nil {
		t.Fatal(err)
	}
	if faults := r.problem.Check(r.plan); len(faults) > 0 {
		t.Error(faults)
	}
	if eased := r.problem.Ease(r.plan); r.problem.Shift(eased) < r.problem.Shift(r.plan) {
		t.Errorf("%d s off the recipes' times, %d would do", r.problem.Shift(r.plan), r.problem.Shift(eased))
	}
	lulls := 0
	for _, line := range withLulls(r.problem, r.doings(), 1, func(int) string { return "" }, func(doing) string { return "work" }) {
		if strings.HasPrefix(line.what, "free") {
			lulls++
			if line.to-line.from < leastLull {
				t.Errorf("a lull from %d to %d is told", line.from, line.to)
			}
		}
	}
	if lulls == 0 {
		t.Error("no lull was told")
	}
}

// Every day has its own seed, and is what a day of that seed is.
func TestEveryDayIsAnother(t *testing.T) {
	a := atBar()
	s, err := a.simulation(simulateFlags{kit: kitFlags{people: 1, brewers: 2, kettles: 1}, rate: "8:00=8", mix: "quayside-press", seed: 5, days: 3})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.run(); err != nil {
		t.Fatal(err)
	}
	for i := range s.days {
		day := s.day
		day.Seed = 5 + uint64(i)
		want, err := day.Run()
		if err != nil {
			t.Fatal(err)
		}
		if got := s.base[i].Total; got.Wait != want.Total.Wait || got.Orders != want.Total.Orders {
			t.Errorf("day %d: %d orders wait %d, by itself %d and %d", i, got.Orders, got.Wait, want.Total.Orders, want.Total.Wait)
		}
	}
	if s.base[0].Total.Wait == s.base[1].Total.Wait && s.base[1].Total.Wait == s.base[2].Total.Wait {
		t.Error("all days are the same")
	}
}

// served is a day of one hour with one order that waits so long.
func served(wait int) bar.Outcome {
	h := bar.Hour{Orders: 1, Wait: wait, Busy: make([]float64, 5)}
	return bar.Outcome{Hours: []bar.Hour{h}, Total: h}
}

// What would help is said of all changes together, and a bottleneck only of
// what surely helps.
func TestWhatHelpsIsJudgedTogether(t *testing.T) {
	s := &simulation{simulateFlags: simulateFlags{days: 4, worth: 30 * time.Second}, what: []string{"a", "b", "c"}, day: bar.Day{Rates: []float64{1}}}
	for i := range 4 {
		s.base = append(s.base, served(300))
		for c, waits := range [][]int{{100, 300, 100, 300}, {250, 252, 248, 250}, {300, 300, 300, 300}} {
			if i == 0 {
				s.changed = append(s.changed, nil)
			}
			s.changed[c] = append(s.changed[c], served(waits[i]))
		}
	}
	for c, less := range [][]float64{{200, 0, 200, 0}, {50, 48, 52, 50}, {0, 0, 0, 0}} {
		if got, want := s.effects()[c].less, meanOf(less, 1-0.05/3); got != want {
			t.Errorf("%s: %+v, want %+v", s.what[c], got, want)
		}
	}
	// One more brewer helps more, but not surely; one more person does.
	if r, gain := s.bottleneck(total); r != bar.Hands || gain != 50 {
		t.Errorf("bottleneck %d by %g, want the hands by 50", r, gain)
	}
	s.worth = time.Minute
	if r, _ := s.bottleneck(total); r != -1 {
		t.Errorf("bottleneck %d where nothing helps by a minute", r)
	}
}
