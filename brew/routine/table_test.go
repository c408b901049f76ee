package routine_test

import (
	"reflect"
	"testing"
	"time"

	"barline/brew/routine"
)

// late plays the small routine with water so much late, the line of the second
// section so much after that, and time called so much over.
func late(t testing.TB, p *routine.Plan, n int, water, line, end time.Duration) routine.Result {
	t.Helper()
	run := play(t, p, p.Whole()).call(0).water(0, 30*s+water).press(40*s + water).say(70*s + water + line).press(100 * s).press(130 * s).press(140 * s).press(152*s + end)
	r := run.result()
	r.Start = time.Date(2026, 3, n, 9, 0, 0, 0, time.UTC)
	return r
}

// Five takes by hand: water 1 to 5 s late, so that the welcome, which ends
// where the tied line begins, is as much longer.
func five(t testing.TB) []routine.Result {
	p := planned(t, small())
	var out []routine.Result
	for i, d := range []time.Duration{5, 3, 4, 2, 1} {
		out = append(out, late(t, p, i+1, d*s, 0, d*s))
	}
	return out
}

func TestATableOfTakes(t *testing.T) {
	takes := five(t)
	table := routine.TableOf(takes)
	welcome := table.Sections[0]
	if want := []time.Duration{75 * s, 73 * s, 74 * s, 72 * s, 71 * s}; !reflect.DeepEqual(welcome.Took, want) {
		t.Errorf("took %v, want %v", welcome.Took, want)
	}
	// By hand: the middle of 71, 72, 73, 74, 75 is 73, its quartiles 72 and 74;
	// the median of the slopes of 75, 73, 74, 72, 71 over 0 to 4 is -1: -2, -1/2,
	// -1, -1, 1, -1/2, -2/3, -2, -3/2 and -1 in order are -2, -2, -3/2, -1, -1,
	// -1, -2/3, -1/2, -1/2, 1.
	if welcome.Written != 70*s || welcome.Best != 71*s || welcome.Median != (routine.Figure{Value: 73 * s, Known: true}) ||
		welcome.Spread != (routine.Figure{Value: 2 * s, Known: true}) || welcome.Trend != (routine.Figure{Value: -s, Known: true}) {
		t.Errorf("%+v", welcome)
	}
	// Kendall's S is 9 - 1 = 8 of 10, which chance gives either way in 10 of 120
	// orders of five: 8 %.
	if !welcome.Steady {
		t.Error("a trend that chance gives in 8 % of the cases is told")
	}
	if table.Whole.Took[0] != 157*s || table.Whole.Median.Value != 155*s || table.Whole.Written != 152*s {
		t.Errorf("%+v", table.Whole)
	}
	// The start of the brew slips by 1 to 5 s in the welcome; nothing else slips
	// there. In the second section the pour is marked on its written time, so as
	// much before its call.
	if welcome.Lost != 5 || welcome.Slip.Value != 3*s || table.Sections[1].Lost != 0 || !reflect.DeepEqual(table.Losing, []int{0}) {
		t.Errorf("lost %d, slip %s, losing %v", welcome.Lost, welcome.Slip.Value, table.Losing)
	}
}

func TestFewTakesBearNoFigures(t *testing.T) {
	takes := five(t)
	for n := range takes {
		row := routine.TableOf(takes[:n+1]).Sections[0]
		if row.Median.Known != (n+1 >= 3) || row.Spread.Known != (n+1 >= 3) || row.Trend.Known != (n+1 >= 5) {
			t.Errorf("of %d takes: %+v", n+1, row)
		}
	}
	if table := routine.TableOf(nil); len(table.Sections) != 0 {
		t.Errorf("%+v", table)
	}
}

func TestATrendThatIsSure(t *testing.T) {
	p := planned(t, small())
	var takes []routine.Result
	for i := range 12 {
		takes = append(takes, late(t, p, i+1, time.Duration(12-i)*500*time.Millisecond, 0, 0))
	}
	row := routine.TableOf(takes).Sections[0]
	if row.Steady || row.Trend.Value != -500*time.Millisecond || len(row.Took) != 12 {
		t.Errorf("%+v", row)
	}
	// The latest ten are 70.5 to 75 s.
	if row.Median.Value != 72750*time.Millisecond {
		t.Errorf("median %s", row.Median.Value)
	}
}

// What is no whole take of this plan with water stays out.
func TestPools(t *testing.T) {
	takes := five(t)
	pool := routine.PoolOf(takes[0])
	odd := map[string]func(*routine.Result){
		"without water":    func(r *routine.Result) { r.Dry = true },
		"broken off":       func(r *routine.Result) { r.Ending = routine.Stopped },
		"at another speed": func(r *routine.Result) { r.Speed = 2 },
		"in part":          func(r *routine.Result) { r.Options.From = 1 },
		"of another plan":  func(r *routine.Result) { p := *r.Plan; p.Version = "x"; r.Plan = &p },
	}
	for name, change := range odd {
		r := takes[2]
		change(&r)
		if got := pool.In([]routine.Result{takes[0], r, takes[1]}); len(got) != 2 {
			t.Errorf("%s is among them", name)
		}
	}
	mixed := []routine.Result{takes[3], takes[0], takes[2]}
	if got := pool.In(mixed); got[0].Start != takes[0].Start || got[2].Start != takes[3].Start {
		t.Error("they are not in the order in which they began")
	}
}

func TestHowAlikeTakesAre(t *testing.T) {
	takes := five(t)
	a := routine.AlikeOf(takes)
	// Of seven marks the start and the bloom lie 4 s apart, the line 4 s, the call
	// 4 s, the others not at all: the middle of 0, 0, 0, 4, 4, 4, 4 is 4.
	if a.Takes != 5 || a.Beats != 7 || a.Range != 4*s || a.Wide != 4*s || a.Worst != "start of left" {
		t.Errorf("%+v", a)
	}
	p := planned(t, small())
	many := append(append([]routine.Result(nil), late(t, p, 20, 20*s, 0, 0)), takes...)
	if b := routine.AlikeOf(many); b != a {
		t.Errorf("of the latest five %+v, want %+v", b, a)
	}
	if one := routine.AlikeOf(takes[:1]); one.Beats != 0 {
		t.Errorf("%+v", one)
	}
	missing := append([]routine.Result(nil), takes...)
	short := play(t, p, p.Whole()).call(0).water(0, 30*s).call(60 * s).result()
	missing[4] = short
	if b := routine.AlikeOf(missing); b.Beats != 2 { // the start and the call
		t.Errorf("%+v", b)
	}
}

func TestTwoTakesBeatByBeat(t *testing.T) {
	p := planned(t, small())
	a, b := late(t, p, 1, 2*s, 0, 0), late(t, p, 2, 5*s, s, 3*s)
	pairs := map[string]routine.Pair{}
	for _, pair := range routine.Compare(a, b) {
		pairs[pair.Key] = pair
	}
	for key, want := range map[string]time.Duration{"left: start": 3 * s, "left: first pour, end": 3 * s, "line 3": 4 * s, "left: second pour, end": 0, "time": 3 * s} {
		if got, known := pairs[key].Apart(); !known || got != want {
			t.Errorf("%s: %s apart, %v; want %s", key, got, known, want)
		}
	}
	if got := pairs["line 3"].Slip; got[0].Value != 0 || got[1].Value != s {
		t.Errorf("slips %+v", got)
	}
	if _, known := pairs["line 1"].Apart(); known {
		t.Error("lines that nobody marked are compared")
	}
	first := routine.Compare(a, b)[0]
	if first.Section != "Welcome" || first.Written[0] != 0 {
		t.Errorf("%+v", first)
	}
	two := play(t, planned(t, two()), planned(t, two()).Whole()).call(0).result()
	if pairs := routine.Compare(a, two); pairs[len(pairs)-1].Drift[0].Known || len(pairs) <= len(a.Marks) {
		t.Error("what only the second has is not at the end")
	}
}

func TestTalkAgainstHands(t *testing.T) {
	r := late(t, planned(t, small()), 1, 2*s, 3*s, 0)
	// The hands: water 2 s late, the bloom in time behind it, the pour 2 s before
	// its call, the serving in time. The bed in time. The line 3 s late.
	if r.Hands != (routine.Sum{Marks: 4, Slip: 0}) || r.Talk != (routine.Sum{Marks: 1, Slip: 3 * s}) || r.Bed != (routine.Sum{Marks: 1}) {
		t.Errorf("hands %+v, talk %+v, bed %+v", r.Hands, r.Talk, r.Bed)
	}
	line := r.Line()
	for i, p := range line {
		if i > 0 && p.Written < line[i-1].Written {
			t.Error("the line goes back")
		}
	}
	if len(line) != 7 || line[0] != (routine.Point{Written: 30 * s, Drift: 2 * s, Voice: routine.OfHands}) {
		t.Errorf("%+v", line)
	}
}

// Half of the takes are not most, and the bed's lateness is nobody's loss.
func TestWhereTimeIsLostOnMostTakes(t *testing.T) {
	p := planned(t, small())
	takes := []routine.Result{late(t, p, 1, 2*s, 0, 0), late(t, p, 2, 2*s, 0, 0), late(t, p, 3, 0, 0, 0), late(t, p, 4, 0, 0, 0)}
	if table := routine.TableOf(takes); len(table.Losing) != 0 || table.Sections[0].Lost != 2 {
		t.Errorf("losing %v, lost %d", table.Losing, table.Sections[0].Lost)
	}
	if table := routine.TableOf(takes[:3]); !reflect.DeepEqual(table.Losing, []int{0}) {
		t.Errorf("losing %v", table.Losing)
	}
	bed := play(t, p, p.Whole()).call(0).water(0, 30*s).press(40 * s).press(100 * s).press(134 * s).call(152 * s).result()
	if sum := bed.Sections[1].Slip; sum != (routine.Sum{Marks: 1}) || bed.Bed != (routine.Sum{Marks: 1, Slip: 4 * s}) {
		t.Errorf("%+v, the bed %+v", sum, bed.Bed)
	}
}
