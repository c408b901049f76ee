package page_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"

	"barline/brew/drift"
)

// loose is a bar where Mo's pours jump about from the 60th brew on.
func loose() bar {
	b := usual(240)
	b.persons = []string{"Mo"}
	b.slip = func(dice *rand.Rand, i, beat int, _ string) float64 {
		x := dice.NormFloat64()
		if beat == 1 {
			x += 5
			if i == 25 || i >= 60 && i%20 == 0 { // the first that is judged, too
				x += 9
			}
		}
		return x
	}
	return b
}

// Below its chart each brew but the first has a bar, as long as it is from the
// one before; what is beyond the limit is told apart and counted.
func TestRangesAreDrawnBelowTheirChart(t *testing.T) {
	r := loose().report(1)
	p := parse(t, string(r.HTML()))
	s, _ := r.Record.Choose(r.Choice).Series(drift.Beats, "second pour, end", drift.BySlip)
	limit := s.Control(r.Baseline)[0].Limits.HighRange
	beyond, judged := 0, 0
	for i := 1; i < len(s.Values); i++ {
		long := math.Abs(s.Values[i] - s.Values[i-1])
		if long > limit {
			beyond++
			if i >= 25 {
				judged++
			}
		}
	}
	var svg *element
	for _, e := range p.all("svg") {
		if e.attr["aria-labelledby"] == "ranges-1-title ranges-1-desc" {
			svg = e
		}
	}
	if svg == nil || beyond == 0 {
		t.Fatalf("there is no picture of ranges, or %d are beyond the limit", beyond)
	}
	bars := regexp.MustCompile(`M([0-9.]+) ([0-9.]+)V([0-9.]+)`)
	count := func(class string) (n int, most float64) {
		for _, e := range svg.all("path." + class) {
			for _, m := range bars.FindAllStringSubmatch(e.attr["d"], -1) {
				n++
				most = max(most, num(t, m[2])-num(t, m[3]))
			}
		}
		return n, most
	}
	within, low := count("range")
	out, high := count("out")
	if within+out != len(s.Values)-1 || out != beyond || low >= high {
		t.Errorf("%d and %d bars up to %.1f and %.1f of %d ranges, of which %d are beyond", within, out, low, high, len(s.Values)-1, beyond)
	}
	line := svg.all("path.limit")[0].attr["d"]
	at := num(t, regexp.MustCompile(` ([0-9.]+)L`).FindStringSubmatch(line)[1])
	if above := 60 - at; above <= low-0.2 || above >= high {
		t.Errorf("the limit stands %.1f above the ground, bars within reach %.1f, those beyond %.1f", above, low, high)
	}
	if text, want := svg.all("desc")[0].text, fmt.Sprintf("of 215 judged %d lie beyond.", judged); !strings.Contains(text, want) {
		t.Errorf("it says %q, want %q", text, want)
	}
}

// A frozen baseline is called so, and says what it lacks.
func TestAFrozenBaselineIsCalledSo(t *testing.T) {
	r := loose().report(1)
	if text := parse(t, string(r.HTML())).text; strings.Contains(text, "frozen") {
		t.Error("nothing was frozen")
	}
	r.Baseline.Frozen = []drift.Frozen{{What: drift.Beats, Version: r.Record.Versions()[0], Key: "second pour, end", Since: opens, Until: opens.AddDate(0, 0, 10), Brews: 31}}
	if text := plain(parse(t, string(r.HTML())).text); !strings.Contains(text, "from a frozen baseline of 30 brews") || !strings.Contains(text, "(1 more of it are not among these)") {
		t.Error("the page does not say that the baseline is frozen, or what it lacks")
	}
}

// An attempt with a forgotten brew is void.
func TestAnAttemptWithAForgottenBrewIsVoid(t *testing.T) {
	r := usual(60).report(1)
	r.Record.Forgot(drift.Forgotten{Person: "ada", Version: r.Record.Versions()[0], Start: opens})
	if text := plain(parse(t, string(r.HTML())).text); !strings.Contains(text, "void, one brew of it was forgotten") {
		t.Error("the page does not say that the attempt is void")
	}
}
