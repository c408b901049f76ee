package stat_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"barline/brew/drift/stat"
)

func TestResemblanceIsThatOfR(t *testing.T) {
	y, _ := samples(t)
	for _, f := range figures(t, "resemblance", 1) {
		near(t, fmt.Sprint("resemblance of ", f.of, f.numbers[0]), stat.Resemblance(y[f.of[0]], int(f.numbers[0])), f.numbers[1], 1e-9)
	}
	for _, f := range figures(t, "echoing", 0) {
		near(t, fmt.Sprint("echoing", f.numbers[:2]), stat.Echoing(f.numbers[0], f.numbers[1]), f.numbers[2], 1e-9)
	}
	for _, f := range figures(t, "echoing signs", 0) {
		near(t, fmt.Sprint("echoing signs", f.numbers[:2]), stat.EchoingSigns(f.numbers[0], f.numbers[1]), f.numbers[2], 1e-6)
	}
}

// What is certain stays so, and values that do not resemble each other change
// nothing; nor do lists that say nothing of it.
func TestEchoingLeavesWhatItMust(t *testing.T) {
	for _, c := range []struct{ p, r, want float64 }{{0, 0.9, 0}, {1, 0.9, 1}, {0.03, 0, 0.03}, {0.03, -0.5, 0.03}} {
		if got := stat.EchoingSigns(c.p, c.r); got != c.want {
			t.Errorf("signs: %v at %v is %v", c.p, c.r, got)
		}
		if got := stat.Echoing(c.p, c.r); got != c.want {
			t.Errorf("%v at %v is %v", c.p, c.r, got)
		}
	}
	for _, xs := range [][]float64{nil, {1}, {1, 2}} {
		if got := stat.Resemblance(xs, 1); math.IsNaN(got) || got < 0 || got > 0.99 {
			t.Errorf("of %v: %v", xs, got)
		}
	}
	nan(t, "of NaN", stat.Echoing(math.NaN(), 0.5))
}

// The bound lies below the true resemblance in about 3 of 100 lists in which each
// value hangs on the one before, and in no more than 5 though they be short or
// levels were taken out.
func TestResemblanceIsABound(t *testing.T) {
	draw := rand.New(rand.NewPCG(3, 4))
	const lists = 2000
	for _, c := range []struct {
		n, groups int
		r         float64
	}{{40, 1, 0}, {40, 1, 0.5}, {200, 1, 0.3}, {200, 10, 0.5}, {100, 5, 0.5}, {300, 1, 0.8}} {
		below := 0
		for range lists {
			xs, before := make([]float64, c.n), draw.NormFloat64()/math.Sqrt(1-c.r*c.r)
			for i := range xs {
				before = c.r*before + draw.NormFloat64()
				xs[i] = before
			}
			size := c.n / c.groups
			for g := range c.groups {
				part := xs[g*size : (g+1)*size]
				mean, _ := stat.MeanSD(part)
				for i := range part {
					part[i] -= mean
				}
			}
			if stat.Resemblance(xs, c.groups) < c.r {
				below++
			}
		}
		t.Logf("%+v: below in %d", c, below)
		if most := lists * 5 / 100; below > most {
			t.Errorf("%+v: below in %d of %d lists", c, below, lists)
		}
	}
}
