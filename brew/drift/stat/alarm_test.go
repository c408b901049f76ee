package stat_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"barline/brew/drift/stat"
)

// The share of baselines and points that come out so, each baseline's own
// share taken exactly, which needs fewer of them.
func TestOutsideIsHowOftenItHappens(t *testing.T) {
	draw := rand.New(rand.NewPCG(7, 8))
	below := func(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }
	for _, n := range []int{25, 60} {
		limits := make([]stat.Limits, 20000)
		for i := range limits {
			baseline := make([]float64, n)
			for j := range baseline {
				baseline[j] = draw.NormFloat64()
			}
			limits[i] = stat.LimitsOf(baseline)
		}
		for _, points := range []int{1, 25, 100, 1000} {
			for _, sigmas := range []float64{2, 3, 4, 5} {
				sum, squares := 0.0, 0.0
				for _, l := range limits {
					out := below(l.Centre-sigmas*l.Sigma) + below(-l.Centre-sigmas*l.Sigma)
					share := 1 - math.Pow(1-out, float64(points))
					sum += share
					squares += share * share
				}
				count := float64(len(limits))
				rate := sum / count
				error := math.Sqrt((squares/count - rate*rate) / count)
				got := stat.Alarms{Baseline: n, Points: points}.Outside(sigmas)
				// Taking sigma's error for a chi distribution errs on the
				// side of silence, the more the rarer the alarm.
				if got < rate-4*error || got > 1.04*rate+0.1*rate*max(0, sigmas-3)+4*error {
					t.Errorf("%d from %d beyond %v: %.4g, simulated %.4g ± %.2g", points, n, sigmas, got, rate, error)
				}
			}
		}
	}
}

// Exactly known limits have the published rates: 0.0026998 a point, 370.4
// points from one alarm to the next.
func TestOutsideTendsToThePublishedRate(t *testing.T) {
	rate := stat.Alarms{Baseline: 1e7, Points: 1}.Outside(3)
	within(t, "rate of a point", rate, 0.0026998, 2e-7)
	within(t, "points between alarms", 1/rate, 370.40, 0.03)
}

func TestOneSideIsThatOfR(t *testing.T) {
	for _, f := range figures(t, "one side", 0) {
		got := stat.Alarms{Baseline: int(f.numbers[0]), Points: int(f.numbers[1])}.OneSide(int(f.numbers[2]))
		near(t, fmt.Sprint("a run of ", f.numbers[2]), got, f.numbers[3], 1e-4)
	}
}

// Skewed values do not matter to runs on one side of a median.
func TestOneSideIsHowOftenItHappens(t *testing.T) {
	draw := rand.New(rand.NewPCG(9, 10))
	const tries = 10000
	for _, c := range []struct{ baseline, points int }{{25, 25}, {25, 300}, {30, 100}} {
		longest := make([]int, 400)
		for range tries {
			baseline := make([]float64, c.baseline)
			for i := range baseline {
				baseline[i] = draw.ExpFloat64()
			}
			middle, best, run, above := stat.Median(baseline), 0, 0, false
			for range c.points {
				if up := draw.ExpFloat64() > middle; up == above {
					run++
				} else {
					run, above = 1, up
				}
				best = max(best, run)
			}
			longest[best]++
		}
		as := 0
		for length := len(longest) - 1; length >= 4; length-- {
			as += longest[length]
			rate := stat.Alarms{Baseline: c.baseline, Points: c.points}.OneSide(length)
			if error := math.Sqrt(rate * (1 - rate) / tries); math.Abs(float64(as)/tries-rate) > 4*error+2.0/tries {
				t.Errorf("%+v: a run of %d comes with %.4g, simulated %.4g", c, length, rate, float64(as)/tries)
			}
		}
	}
}

func TestAlarmsAreShares(t *testing.T) {
	for _, baseline := range []int{25, 26, 1000, 100000} {
		for _, points := range []int{1, 7, 500, 1000000} {
			a := stat.Alarms{Baseline: baseline, Points: points}
			before := 1.0
			for length := 0; length < 60; length++ {
				p := a.OneSide(length)
				if !(p >= 0 && p <= before+1e-9) {
					t.Fatalf("%+v: a run of %d comes with %v, of %d with %v", a, length, p, length-1, before)
				}
				before = p
			}
			if p := a.OneSide(points + 1); p != 0 {
				t.Errorf("%+v: more than all in a run come with %v", a, p)
			}
			before = 1.0
			for sigmas := range 12 {
				p := a.Outside(float64(sigmas))
				if !(p >= 0 && p <= before+1e-9) {
					t.Fatalf("%+v: beyond %d sigma with %v, before %v", a, sigmas, p, before)
				}
				before = p
			}
		}
	}
	nan(t, "no points", stat.Alarms{Baseline: 25}.Outside(3), stat.Alarms{Baseline: 25}.OneSide(8), stat.Alarms{Baseline: 1, Points: 9}.Outside(3))
}
