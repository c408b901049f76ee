package stat_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"barline/brew/drift/stat"
)

// SAS/QC's example: of tests 1 to 5 only test 5 is positive, at sample 14.
func TestRulesOfTheGapWidthExample(t *testing.T) {
	means, ranges := column(t, "runrules_gap_width.csv", "mean"), column(t, "runrules_gap_width.csv", "range")
	centre, _ := stat.MeanSD(means)
	meanRange, _ := stat.MeanSD(ranges)
	sigma := meanRange / 2.325929 / math.Sqrt(5) // d2 of 5 values
	within(t, "upper limit", centre+3*sigma, 277.2459, 5e-5)
	z := make([]float64, len(means))
	for i, m := range means {
		z[i] = (m - centre) / sigma
	}
	for i, s := range stat.Marks(z) {
		for rule := range 5 {
			if want := rule == 4 && i == 13; s.Has(rule) != want {
				t.Errorf("sample %d completes test %d: %v", i+1, rule+1, !want)
			}
		}
	}
}

// Each pattern as short as it may be completes its rule at its last point and
// no other; without its first point it completes nothing.
func TestRulesCompleteAtTheirLastPoint(t *testing.T) {
	ids := map[string]int{}
	for i, r := range stat.Rules() {
		ids[r.ID] = i
	}
	for _, c := range []struct {
		name string
		z    []float64
		want string // the rules completed by the last point, in order
	}{
		{"one beyond three sigma above", []float64{3.1}, "N1 W1"},
		{"one beyond three sigma below", []float64{-3.1}, "N1 W1"},
		{"three sigma is not beyond", []float64{3}, ""},
		{"nine on a side", []float64{.5, .2, .5, .2, .5, .2, .5, .5, .2}, "N2 W4"},
		{"eight on a side", []float64{-.5, -.2, -.5, -.5, -.2, -.5, -.5, -.2}, "W4"},
		{"a point on the centre ends the side", []float64{.5, .2, .5, .2, 0, .5, .2, .5, .2}, ""},
		{"six falling", []float64{1.5, .9, .5, -.1, -.3, -1.1}, "N3"},
		{"six rising", []float64{-1.5, -.9, -.5, .1, .3, 1.1}, "N3"},
		{"two the same are no rise", []float64{-1.5, -.9, -.5, -.5, .3, 1.1}, ""},
		{"fourteen by turns", []float64{.1, -.1, 1.1, -.1, .1, -1.1, .2, -.1, .1, -1.2, .1, -.1, 1.3, -.1}, "N4"},
		{"two of three beyond two sigma", []float64{2.1, .1, 2.1}, "N5 W2"},
		{"two of two beyond two sigma", []float64{-2.1, -2.1}, "N5 W2"},
		{"two of three on two sides", []float64{2.1, .1, -2.1}, ""},
		{"the last must belong to it", []float64{2.1, 2.1, .1}, ""},
		{"two of four beyond two sigma", []float64{2.1, .1, .1, 2.1}, ""},
		{"four of five beyond one sigma", []float64{1.1, 1.2, -.1, 1.1, 1.2}, "N6 W3"},
		{"four of six beyond one sigma", []float64{1.1, 1.2, -.1, -.1, 1.2, 1.1}, ""},
		{"fifteen within one sigma", []float64{.1, .2, -.1, -.2, .1, .2, -.1, -.2, .1, .2, -.1, -.2, .1, .2, -.1}, "N7"},
		{"one sigma is not within", []float64{.1, .2, -.1, -.2, .1, 1, -.1, -.2, .1, .2, -.1, -.2, .1, .2, -.1}, ""},
		{"eight on both sides beyond one sigma", []float64{1.1, -1.2, -1.3, -1.1, 1.2, 1.2, -1.2, -1.3}, "N8"},
		{"eight on one side beyond one sigma", []float64{1.1, 1.2, 1.3, 1.1, 1.2, 1.2, 1.2, 1.3}, "N6 W3 W4"},
	} {
		completed := func(z []float64) string {
			out, sets := "", stat.Marks(z)
			for _, r := range stat.Rules() {
				if len(z) > 0 && sets[len(z)-1].Has(ids[r.ID]) {
					out += " " + r.ID
				}
			}
			return fmt.Sprintf("%.60s", out+" ")
		}
		want := " " + c.want + " "
		if c.want == "" {
			want = " "
		}
		if got := completed(c.z); got != want {
			t.Errorf("%s: completes%s, want%s", c.name, got, want)
		}
	}
}

// Marks keeps counts as it goes; this looks at each point's window by itself.
func TestMarksAreWhatEachWindowSays(t *testing.T) {
	level := rapid.SampledFrom([]float64{-3.5, -2.5, -1.5, -1.2, -0.6, -0.3, 0, 0.3, 0.6, 1, 1.2, 1.5, 2.5, 3.5})
	rapid.Check(t, func(t *rapid.T) {
		z := rapid.SliceOfN(level, 0, 60).Draw(t, "z")
		if rapid.Bool().Draw(t, "by turns") {
			for i := range z {
				z[i] = math.Copysign(z[i], float64(i%2)-0.5)
			}
		}
		if rapid.Bool().Draw(t, "one side") {
			for i := range z {
				z[i] = math.Abs(z[i])
			}
		}
		counts := make([]int, 12)
		for i, s := range stat.Marks(z) {
			for rule := range counts {
				want := windowSays(rule, z[:i+1])
				if s.Has(rule) != want {
					t.Fatalf("point %d of %v completes %s: %v", i, z, stat.Rules()[rule].ID, s.Has(rule))
				}
				if want {
					counts[rule]++
				}
			}
		}
		if got := stat.RuleCounts(stat.Marks(z)); !slices.Equal(got, counts) {
			t.Fatalf("counted %v, want %v", got, counts)
		}
	})
}

// windowSays looks at the last points alone, straight from the rules' words.
func windowSays(rule int, z []float64) bool {
	r := stat.Rules()[rule]
	last := func(n int) []float64 { return z[max(0, len(z)-n):] }
	all := func(n int, is func(x float64) bool) bool {
		return len(z) >= n && !slices.ContainsFunc(last(n), func(x float64) bool { return !is(x) })
	}
	steps := func(n int, is func(d, before float64) bool) bool {
		if len(z) < n {
			return false
		}
		w := last(n)
		for i := 1; i < n; i++ {
			before := 0.0
			if i > 1 {
				before = w[i-1] - w[i-2]
			}
			if !is(w[i]-w[i-1], before) {
				return false
			}
		}
		return true
	}
	some := func(n, enough int, sigma float64) bool {
		for _, side := range []float64{1, -1} {
			found := 0
			for _, x := range last(n) {
				if x*side > sigma {
					found++
				}
			}
			if found >= enough && z[len(z)-1]*side > sigma {
				return true
			}
		}
		return false
	}
	above := func(x float64) bool { return x > 0 }
	under := func(x float64) bool { return x < 0 }
	switch r.ID {
	case "N1", "W1":
		return math.Abs(z[len(z)-1]) > 3
	case "N2":
		return all(9, above) || all(9, under)
	case "W4":
		return all(8, above) || all(8, under)
	case "N3":
		return steps(6, func(d, _ float64) bool { return d > 0 }) || steps(6, func(d, _ float64) bool { return d < 0 })
	case "N4":
		return steps(14, func(d, before float64) bool { return d != 0 && d*before <= 0 })
	case "N5", "W2":
		return some(3, 2, 2)
	case "N6", "W3":
		return some(5, 4, 1)
	case "N7":
		return all(15, func(x float64) bool { return math.Abs(x) < 1 })
	case "N8":
		return all(8, func(x float64) bool { return math.Abs(x) > 1 }) && !all(8, above) && !all(8, under)
	}
	return false
}
