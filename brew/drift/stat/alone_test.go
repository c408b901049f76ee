package stat_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"barline/brew/drift/stat"
)

// In tails that fall as a power, the chance is the chance; in lighter ones, it
// is less.
func TestAloneIsHowOftenItHappens(t *testing.T) {
	const tries = 4000
	draw := rand.New(rand.NewPCG(11, 12))
	for name, c := range map[string]struct {
		draw  func() float64
		exact bool
	}{
		"a second power": {func() float64 { return math.Pow(1-draw.Float64(), -0.5) }, true},
		"a fifth power":  {func() float64 { return math.Pow(1-draw.Float64(), -0.2) }, true},
		"exponential":    {draw.ExpFloat64, false},
		"normal":         {func() float64 { return math.Abs(draw.NormFloat64()) }, false},
	} {
		for _, n := range []int{12, 100, 400} {
			seen := map[float64]int{}
			for range tries {
				xs, largest := make([]float64, n), 0
				for i := range xs {
					if xs[i] = c.draw(); xs[i] > xs[largest] {
						largest = i
					}
				}
				p := stat.Alone(xs, largest)
				for _, rate := range []float64{0.5, 0.05, 0.01} {
					seen[rate] += one(p <= rate)
				}
				if q := stat.Alone(xs, (largest+1)%n); q != 1 {
					t.Fatalf("a smaller one is alone with %v", q)
				}
			}
			for rate, k := range seen {
				if k > seldom(tries, rate) || c.exact && tries-k > seldom(tries, 1-rate) {
					t.Errorf("%s, %d values: at most %v in %d of %d", name, n, rate, k, tries)
				}
			}
		}
	}
}

func TestTwoAreNotAlone(t *testing.T) {
	xs := []float64{1, 2, 3, 1, 2, 3, 1, 2, 3, 1, 2, 3, 40, 40}
	if p := stat.Alone(xs, 12); p != 1 {
		t.Errorf("one of two is alone with %v", p)
	}
	if p := stat.Alone(xs[:13], 12); p > 0.05 {
		t.Errorf("the one is alone with %v only", p)
	}
	for _, few := range [][]float64{{1, 2, 3, 4, 5, 6, 7, 8, 90}, make([]float64, 40)} {
		if p := stat.Alone(few, len(few)-1); p != 1 {
			t.Errorf("%v: alone with %v", few, p)
		}
	}
}
