package page_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"barline/brew"
	"barline/brew/drift"

	"pgregory.net/rapid"
)

func num(t interface{ Fatalf(string, ...any) }, s string) float64 {
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatalf("%q is no number", s)
	}
	return x
}

// dot is where a shape begins.
var dot = regexp.MustCompile(`M(-?[0-9.]+) (-?[0-9.]+)`)

func places(t interface{ Fatalf(string, ...any) }, paths []*element) (out [][2]float64) {
	for _, p := range paths {
		for _, m := range dot.FindAllStringSubmatch(p.attr["d"], -1) {
			out = append(out, [2]float64{num(t, m[1]), num(t, m[2])})
		}
	}
	return out
}

// A histogram is right about the window whatever the values and the window are:
// what is early lies left of it and is hollow, what is late right of it, and
// all stays in the picture.
func TestAHistogramStandsByItsWindow(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := usual(rapid.IntRange(1, 80).Draw(rt, "brews"))
		tenths := rapid.IntRange(0, 300)
		for i := range b.windows {
			b.windows[i] = brew.Window{Early: sec(float64(tenths.Draw(rt, "early")) / 10), Late: sec(float64(tenths.Draw(rt, "late")) / 10)}
		}
		wide, off := rapid.Float64Range(0, 60).Draw(rt, "wide"), rapid.Float64Range(-60, 60).Draw(rt, "off")
		b.slip = func(dice *rand.Rand, _, _ int, _ string) float64 { return off + wide*dice.NormFloat64() }
		r := b.report(rapid.Uint64().Draw(rt, "seed"))
		p := parse(t, string(r.HTML()))
		set := r.Record.Choose(r.Choice)
		for i, name := range b.names {
			s, _ := set.Series(drift.Beats, name, drift.ByDrift)
			histogram(rt, p.id(fmt.Sprintf("spread-%d-title", i+1)), p.all("svg")[i], s)
		}
	})
}

func histogram(t *rapid.T, title, svg *element, s drift.Series) {
	if !strings.HasPrefix(title.text, s.Column.Name) {
		t.Fatalf("the picture is %q, want %s", title.text, s.Column.Name)
	}
	edges := places(t, svg.all("path.edge"))
	if len(edges) != 2 {
		t.Fatalf("%d edges of the window", len(edges))
	}
	low, high := edges[0][0], edges[1][0]
	count := map[string]float64{}
	for _, class := range []string{"early", "within", "late"} {
		for _, r := range svg.all("rect." + class) {
			from, wide := num(t, r.attr["x"]), num(t, r.attr["width"])
			top, tall := num(t, r.attr["y"]), num(t, r.attr["height"])
			to := from + wide
			if from < 0 || to > 360.1 || top < 20 || tall < 0.9 || wide <= 0 {
				t.Fatalf("a column from %.1f to %.1f, %.1f high from %.1f", from, to, tall, top)
			}
			if class == "early" && to > low+0.7 || class == "late" && from < high-0.7 || class == "within" && (from < low-0.7 || to > high+0.7) {
				t.Fatalf("%s from %.1f to %.1f, the window is %.1f to %.1f", class, from, to, low, high)
			}
			count[class]++
		}
	}
	tally := s.Tally
	for class, n := range map[string]int{"early": tally.Early, "within": tally.OnTime, "late": tally.Late} {
		if n == 0 && count[class] > 0 {
			t.Fatalf("%.0f columns %s, of no brew", count[class], class)
		}
	}
	want := fmt.Sprintf("%d are early, %d on time, %d late.", tally.Early, tally.OnTime, tally.Late)
	if !strings.Contains(svg.all("desc")[0].text, want) {
		t.Fatalf("the picture is said to be %q, want %q", svg.all("desc")[0].text, want)
	}
	if total := count["early"] + count["within"] + count["late"]; total == 0 && tally.Marked > 2 && !strings.Contains(svg.text, "farther") {
		t.Fatalf("%d marks and no column", tally.Marked)
	}
}

// The columns are as high as the values are dense: of two hundred at one place
// and one hundred at another, the one is twice the other.
func TestColumnsAreAsHighAsTheyAreMany(t *testing.T) {
	b := usual(300)
	b.slip = func(_ *rand.Rand, i, _ int, _ string) float64 { return []float64{-2, 2, 2}[i%3] }
	svg := parse(t, string(b.report(1).HTML())).all("svg")[0]
	rects := svg.all("rect.within")
	if len(rects) != 2 {
		t.Fatalf("%d columns, want 2", len(rects))
	}
	one, two := num(t, rects[0].attr["height"]), num(t, rects[1].attr["height"])
	if math.Abs(two-2*one) > 0.2 {
		t.Errorf("100 brews are %.1f high, 200 are %.1f", one, two)
	}
	middle := places(t, svg.all("path.median"))
	if at := num(t, rects[1].attr["x"]); len(middle) != 1 || middle[0][0] < at || middle[0][0] > at+20 {
		t.Errorf("the median's sign is at %v, the median's column at %.1f", middle, at)
	}
}

// Values on an edge of the window are inside, those a tenth beyond it are not;
// as many values take as much room, however wide their column is.
func TestTheEdgesOfTheWindowAreInside(t *testing.T) {
	b := usual(400)
	b.windows[0] = brew.Window{Early: sec(2), Late: sec(2)}
	b.slip = func(_ *rand.Rand, i, _ int, _ string) float64 {
		if i < 3 {
			return []float64{-50, 50, 51}[i]
		}
		return []float64{-2.1, -2, 2, 2.1}[i%4]
	}
	b.brews = 403
	svg := parse(t, string(b.report(1).HTML())).all("svg")[0]
	var areas []float64
	for class, want := range map[string]int{"early": 1, "within": 2, "late": 1} {
		rects := svg.all("rect." + class)
		if len(rects) != want {
			t.Fatalf("%d columns are %s, want %d", len(rects), class, want)
		}
		for _, r := range rects {
			areas = append(areas, (num(t, r.attr["width"])+0.8)*num(t, r.attr["height"]))
		}
	}
	slices.Sort(areas)
	if areas[3] > 1.04*areas[0] {
		t.Errorf("100 brews take the room %.1f", areas)
	}
	if !strings.Contains(svg.text, "‹ 1 farther") || !strings.Contains(svg.text, "2 farther ›") || !strings.Contains(svg.text, "3 lie beyond the picture, 1 to the left and 2 to the right.") {
		t.Errorf("what is beyond the picture is not told: %s", plain(svg.text))
	}
}

// What is carried is to be seen in drifts, for slips do not hold it.
func TestWhatIsCarriedIsDrawnByDrift(t *testing.T) {
	b := planted()
	b.windows[2] = brew.Window{Early: sec(3), Late: sec(3)}
	b.persons = []string{"Mo"}
	r := b.report(1)
	carried := slices.ContainsFunc(r.Record.Choose(r.Choice).Findings(r.Baseline).Findings, func(f drift.Finding) bool { return f.Claim == drift.ClaimCarried })
	if text := plain(parse(t, string(r.HTML())).text); !carried || !strings.Contains(text, ": drawdown, end, drift") {
		t.Errorf("carried %v, and its chart is not of drifts", carried)
	}
}

// Of many findings the strongest are drawn, and the page says that others are
// not.
func TestThereAreNoMoreChartsThanCanBeRead(t *testing.T) {
	b := usual(720)
	b.persons = strings.Split("abcdefghijkl", "")
	b.slip = func(dice *rand.Rand, _, beat int, person string) float64 {
		if beat == 1 && person != "a" {
			return 8 + dice.NormFloat64()
		}
		return dice.NormFloat64()
	}
	r := b.report(1)
	p := parse(t, string(r.HTML()))
	charts := 0
	for _, f := range p.all("figure") {
		if strings.HasPrefix(f.attr["id"], "chart-") {
			charts++
		}
	}
	if n := len(r.Record.Choose(r.Choice).Findings(r.Baseline).Findings); n < 11 || charts != 8 {
		t.Errorf("%d charts of %d findings, want 8", charts, n)
	}
	if !strings.Contains(plain(p.text), "Findings beyond the 8 strongest charts are not drawn.") {
		t.Error("the page does not say that not all is drawn")
	}
	if few := parse(t, string(planted().report(1).HTML())); strings.Contains(few.text, "are not drawn.") {
		t.Error("the page says that something is not drawn, and all is")
	}
}

// Each brew of a control chart is one point, the later the farther right, the
// later its mark the higher; a point outside has a cross, one that completes a
// rule a tick.
func TestAControlChartIsThatOfItsSeries(t *testing.T) {
	b := planted()
	b.slip = func(dice *rand.Rand, i, beat int, person string) float64 {
		if x := planted().slip(dice, i, beat, person); i != 9 || beat != 1 {
			return x
		}
		return 15 // in the baseline, which judges no brew
	}
	r := b.report(1)
	p := parse(t, string(r.HTML()))
	set := r.Record.Choose(drift.Choice{Persons: []string{"Mo"}, AllVersions: true})
	s, _ := set.Series(drift.Beats, "second pour, end", drift.BySlip)
	charts := s.Control(r.Baseline)
	var fig *element
	for _, f := range p.all("figure") {
		if strings.Contains(f.text, "second pour, end, slip, by Mo") {
			fig = f
		}
	}
	if fig == nil || len(charts) != 2 {
		t.Fatalf("no chart of Mo's pours, or not of two versions: %d", len(charts))
	}
	svg := fig.all("svg")[0]
	older, newer := places(t, svg.all("path.dots")[:1]), places(t, svg.all("path.dots")[1:2])
	if len(older) != len(charts[0].Points) || len(newer) != len(charts[1].Points) {
		t.Fatalf("%d and %d points, want %d and %d", len(older), len(newer), len(charts[0].Points), len(charts[1].Points))
	}
	if strings.Contains(svg.all("path.dots")[0].attr["d"], "h0") || !strings.Contains(svg.all("path.dots")[1].attr["d"], "h0") {
		t.Error("the versions are not told apart by their shapes")
	}
	all := slices.Clone(newer)
	for i := 1; i < len(all); i++ {
		a, b := s.Values[charts[1].Points[i-1]], s.Values[charts[1].Points[i]]
		if all[i][0] <= all[i-1][0] || b > a+0.2 && all[i][1] >= all[i-1][1] || b < a-0.2 && all[i][1] <= all[i-1][1] {
			t.Fatalf("point %d of %.1f is at %v, the one before of %.1f at %v", i, b, all[i], a, all[i-1])
		}
	}
	outside, ruled := 0, 0
	for n, c := range charts {
		if n == 0 && !c.Limits.Out(s.Values[c.Points[4]]) {
			t.Fatalf("the baseline's %.1f is not outside %+v", s.Values[c.Points[4]], c.Limits)
		}
		outside += c.Outside
		for _, rules := range c.Rules {
			if rules != 0 {
				ruled++
			}
		}
	}
	body := func(class string, least float64) (n int) { // less what stands in the legend
		for _, at := range places(t, svg.all("path."+class)) {
			if at[1] < least {
				n++
			}
		}
		return n
	}
	floor := places(t, svg.all("path.edge"))[0][1]
	if crosses := body("out", floor) / 2; crosses != outside {
		t.Errorf("%d crosses, %d points outside", crosses, outside)
	}
	if ticks := body("tick", floor-1); ticks != ruled {
		t.Errorf("%d ticks, %d points complete a rule", ticks, ruled)
	}
	// Each version has its two limits, over its own points alone.
	limits := svg.all("path.limit")
	if len(limits) != 4 {
		t.Fatalf("%d limits drawn, want two of each version", len(limits))
	}
	if x := places(t, limits[2:3])[0][0]; x > newer[0][0] || x < older[len(older)-1][0] {
		t.Errorf("the newer version's limits begin at %.1f, its points at %.1f", x, newer[0][0])
	}
}

// A point outside has its cross, and what lies far beyond the picture an arrow.
func TestPointsOutsideAreTold(t *testing.T) {
	b := usual(400)
	b.slip = func(dice *rand.Rand, i, beat int, _ string) float64 {
		if beat == 0 && i == 300 {
			return 30
		}
		if beat == 0 && i > 320 {
			return 4.5 + 0.1*dice.NormFloat64()
		}
		return dice.NormFloat64()
	}
	p := parse(t, string(b.report(4).HTML()))
	beyond, crossed := false, false
	for _, f := range p.all("figure") {
		if !strings.HasPrefix(f.attr["id"], "chart-") {
			continue
		}
		svg := f.all("svg")[0]
		beyond = beyond || len(svg.all("path.beyond")) == 2 && strings.Contains(svg.text, "beyond the picture")
		crossed = crossed || len(svg.all("path.out")) == 2 && strings.Contains(svg.text, "outside the limits")
	}
	if !beyond || !crossed {
		t.Errorf("beyond %v, outside %v: want both drawn and in a legend", beyond, crossed)
	}
}

// A finding about some brews is marked above its chart.
func TestFindingsAboutSomeBrewsAreMarked(t *testing.T) {
	b := usual(300)
	b.persons = []string{"Ada"}
	b.slip = func(dice *rand.Rand, i, beat int, _ string) float64 {
		if beat == 1 && i >= 126 && i < 147 { // one week, from its Monday
			return 6 + dice.NormFloat64()
		}
		return dice.NormFloat64()
	}
	r := b.report(2)
	found := r.Record.Choose(r.Choice).Findings(r.Baseline)
	p := parse(t, string(r.HTML()))
	marked := 0
	for i, f := range found.Findings {
		if f.First >= 0 && strings.Contains(p.text, fmt.Sprintf("\nfinding %d\n", i+1)) {
			marked++
		}
	}
	if marked == 0 || marked != len(p.all("path.about")) {
		t.Errorf("%d of the findings are marked by %d brackets", marked, len(p.all("path.about")))
	}
	for _, svg := range p.all("svg") {
		for _, a := range svg.all("path.about") {
			x := places(t, []*element{a})[0][0]
			if x < 40+0.35*632 || x > 40+0.45*632 { // brew 126 of 300
				t.Errorf("the bracket begins at %.1f", x)
			}
			end := regexp.MustCompile(`H([0-9.]+)`).FindStringSubmatch(a.attr["d"])
			if x := num(t, end[1]); x < 40+0.43*632 || x > 40+0.52*632 { // a week or a little more
				t.Errorf("the bracket ends at %.1f", x)
			}
		}
	}
}

// The bars are as long as the means that Where gives.
func TestBarsAreAsLongAsTheTimes(t *testing.T) {
	b := planted()
	b.slip = func(dice *rand.Rand, i, beat int, person string) float64 {
		return planted().slip(dice, i, beat, person) - []float64{0, 0, 2}[beat]
	}
	r := b.report(1)
	w := r.Record.Choose(r.Choice).Where()
	w.Beats = slices.DeleteFunc(w.Beats, func(b drift.BeatWhere) bool { return b.Withheld != "" }) // they have no bars
	p := parse(t, string(r.HTML()))
	var svg *element
	for _, s := range p.all("svg") {
		if s.attr["aria-labelledby"] == "went-title went-desc" {
			svg = s
		}
	}
	slips, carried := svg.all("rect.own"), svg.all("rect.given")
	if len(slips) != len(w.Beats) || len(carried) != len(w.Beats) {
		t.Fatalf("%d and %d bars of %d beats", len(slips), len(carried), len(w.Beats))
	}
	zero, early := places(t, svg.all("path.edge"))[0][0], false
	unit := num(t, slips[1].attr["width"]) / math.Abs(w.Beats[1].Slip/float64(w.Beats[1].Marked))
	for i, b := range w.Beats {
		n := float64(b.Marked)
		early = early || b.Slip < 0
		for _, bar := range []struct {
			rect *element
			of   float64
		}{{slips[i], b.Slip / n}, {carried[i], b.Carried / n}} {
			from, wide := num(t, bar.rect.attr["x"]), num(t, bar.rect.attr["width"])
			if bar.of > 0.01 && math.Abs(from-zero) > 0.2 || bar.of < -0.01 && math.Abs(from+wide-zero) > 0.6 {
				t.Errorf("%s: %.2f s from %.1f to %.1f, the line is at %.1f", b.Column.Name, bar.of, from, from+wide, zero)
			}
			if got, want := num(t, bar.rect.attr["width"]), max(0.5, unit*math.Abs(bar.of)); math.Abs(got-want) > 0.3 {
				t.Errorf("%s: a bar of %.1f for %.2f s, want %.1f", b.Column.Name, got, bar.of, want)
			}
		}
	}
	if !early {
		t.Error("no beat is early, so that the other side is not looked at")
	}
	if text := svg.all("desc")[0].text; !strings.Contains(text, "drawdown, end: ") || !strings.Contains(text, " carried.") {
		t.Errorf("the bars are said to be %q", text)
	}
	if !strings.Contains(plain(p.text), "of its drift comes from second pour, end") {
		t.Error("the page does not say where the bed's drift comes from")
	}
}
