package stat_test

import (
	"fmt"
	"math"
	"testing"

	"barline/brew/drift/stat"
)

// prop.test without correction is Wilson's interval, binom.test Clopper and
// Pearson's.
func TestSharesAreThoseOfR(t *testing.T) {
	for kind, interval := range map[string]func(k, n int, level float64) stat.Interval{
		"wilson": stat.Wilson, "clopper pearson": stat.ClopperPearson,
		"at least": func(k, n int, level float64) stat.Interval { return stat.Interval{Low: stat.AtLeast(k, n, level)} },
	} {
		for _, f := range figures(t, kind, 0) {
			got := interval(int(f.numbers[0]), int(f.numbers[1]), f.numbers[2])
			what := fmt.Sprint(kind, f.numbers[:3])
			near(t, what+" low", got.Low, f.numbers[3], 1e-9)
			if len(f.numbers) > 4 {
				near(t, what+" high", got.High, f.numbers[4], 1e-9)
			}
		}
	}
	for _, f := range figures(t, "by chance", 0) {
		near(t, fmt.Sprint("by chance", f.numbers[:3]), stat.ByChance(int(f.numbers[0]), int(f.numbers[1]), f.numbers[2]), f.numbers[3], 1e-9)
	}
}

func TestSharesStayInsideZeroToOne(t *testing.T) {
	for n := range 60 {
		for k := range n + 1 {
			for name, in := range map[string]stat.Interval{"Wilson": stat.Wilson(k, n, 0.95), "Clopper-Pearson": stat.ClopperPearson(k, max(n, 1), 0.95)} {
				share := float64(k) / float64(max(n, 1))
				if in.Low < 0 || in.High > 1 || in.Low > share || in.High < share || math.IsNaN(in.Low+in.High) {
					t.Errorf("%s of %d in %d is %v", name, k, n, in)
				}
			}
		}
	}
	if got := stat.Wilson(0, 0, 0.95); got != (stat.Interval{Low: 0, High: 1}) {
		t.Errorf("nothing seen gives %v", got)
	}
	if a, b := stat.ByChance(0, 5, 0.1), stat.ByChance(6, 5, 0.1); a != 1 || b != 0 {
		t.Errorf("none or more in 5 come up with %v, six with %v", a, b)
	}
}
