package stat_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"barline/brew/drift/stat"
)

func TestRankTestIsThatOfR(t *testing.T) {
	ys, _ := samples(t)
	for _, exact := range []bool{true, false} {
		kind := map[bool]string{true: "ranks exact", false: "ranks normal"}[exact]
		for _, f := range figures(t, kind, 2) {
			r := stat.RankTest(ys[f.of[0]], ys[f.of[1]])
			if r.Exact != exact {
				t.Errorf("%v is exact: %v", f.of, r.Exact)
			}
			within(t, f.of[0]+" U", r.U, f.numbers[0], 0)
			near(t, f.of[0]+" p", r.P, f.numbers[1], 1e-11)
		}
	}
}

func TestShiftIsThatOfR(t *testing.T) {
	ys, _ := samples(t)
	for _, exact := range []bool{true, false} {
		kind := map[bool]string{true: "shift exact", false: "shift normal"}[exact]
		for _, f := range figures(t, kind, 2) {
			s := stat.ShiftOf(ys[f.of[0]], ys[f.of[1]], 0.95)
			if s.Exact != exact {
				t.Errorf("%v is exact: %v", f.of, s.Exact)
			}
			within(t, f.of[0]+" shift", s.By, f.numbers[0], 1e-13)
			within(t, f.of[0]+" low", s.In.Low, f.numbers[1], 1e-13)
			within(t, f.of[0]+" high", s.In.High, f.numbers[2], 1e-13)
		}
	}
}

// All ways of dealing the values out, one by one.
func TestExactRankTestIsWhatAllDealsSay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		value := rapid.Map(rapid.IntRange(0, 6), func(i int) float64 { return float64(i) })
		a, b := rapid.SliceOfN(value, 1, 6).Draw(t, "a"), rapid.SliceOfN(value, 1, 7).Draw(t, "b")
		all := append(slices.Clone(a), b...)
		far := func(in func(i int) bool) float64 {
			u := 0.0
			for i, x := range all {
				for j, y := range all {
					if in(i) && !in(j) {
						u += float64(one(x > y)) + float64(one(x == y))/2
					}
				}
			}
			return math.Abs(u - float64(len(a)*len(b))/2)
		}
		seen := far(func(i int) bool { return i < len(a) })
		as, deals := 0, 0
		for deal := range 1 << len(all) {
			in := func(i int) bool { return deal>>i&1 == 1 }
			dealt := 0
			for i := range all {
				dealt += one(in(i))
			}
			if dealt == len(a) {
				deals++
				as += one(far(in) >= seen)
			}
		}
		if got, want := stat.RankTest(a, b).P, float64(as)/float64(deals); math.Abs(got-want) > 1e-12 {
			t.Fatalf("%v against %v: p %v, want %v", a, b, got, want)
		}
	})
}

func TestShiftIsTheMedianOfAllDifferences(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		value := rapid.OneOf(rapid.Float64Range(-50, 50), rapid.Map(rapid.IntRange(-3, 3), func(i int) float64 { return float64(i) / 10 }))
		a, b := rapid.SliceOfN(value, 1, 30).Draw(t, "a"), rapid.SliceOfN(value, 1, 30).Draw(t, "b")
		var all []float64
		for _, x := range a {
			for _, y := range b {
				all = append(all, x-y)
			}
		}
		slices.Sort(all)
		s, n := stat.ShiftOf(a, b, 0.95), len(all)
		if want := (all[(n-1)/2] + all[n/2]) / 2; s.By != want {
			t.Fatalf("%v, want %v", s.By, want)
		}
		if !s.In.Holds(s.By) {
			t.Fatalf("%v outside of %v", s.By, s.In)
		}
		if back := stat.ShiftOf(b, a, 0.95); math.Abs(back.By+s.By) > 1e-12 || back.In.Low != -s.In.High || back.In.High != -s.In.Low {
			t.Fatalf("%+v, the other way %+v", s, back)
		}
		if r, back := stat.RankTest(a, b), stat.RankTest(b, a); math.Abs(r.P-back.P) > 1e-12 || r.Z != -back.Z {
			t.Fatalf("%+v, the other way %+v", r, back)
		}
	})
}

// A 95 % interval misses the true shift in 5 % of cases; exact ones in no more.
func TestShiftIntervalsHoldTheirLevel(t *testing.T) {
	draw := rand.New(rand.NewPCG(5, 6))
	for _, n := range []int{4, 9, 30} {
		missed := 0
		for range 2000 {
			a, b := make([]float64, n), make([]float64, n+2)
			for i := range a {
				a[i] = draw.ExpFloat64() + 3
			}
			for i := range b {
				b[i] = draw.ExpFloat64()
			}
			missed += one(!stat.ShiftOf(a, b, 0.95).In.Holds(3))
		}
		if missed > seldom(2000, 0.05) || missed < 20 {
			t.Errorf("%d values: missed in %d of 2000", n, missed)
		}
	}
}

// seldom returns a count that n tries at the rate exceed once in a thousand
// times.
func seldom(n int, rate float64) int {
	k := int(float64(n) * rate)
	for stat.ByChance(k+1, n, rate) > 0.001 {
		k++
	}
	return k
}

func TestTwoListsOfNothing(t *testing.T) {
	r, s := stat.RankTest(nil, []float64{1}), stat.ShiftOf([]float64{1}, nil, 0.95)
	nan(t, "against none", r.P, r.U, s.By, s.In.Low)
	if r := stat.RankTest([]float64{2, 2}, []float64{2, 2, 2}); r.P != 1 || r.Z != 0 {
		t.Errorf("all the same: %+v", r)
	}
	same := make([]float64, 60)
	if r := stat.RankTest(same, same); r.P != 1 || r.Z != 0 {
		t.Errorf("all of many the same: %+v", r)
	}
	if s := stat.ShiftOf([]float64{1, 2}, []float64{4, 6}, 0.95); !math.IsInf(s.In.High, 1) || s.By != -3.5 {
		t.Errorf("two against two: %+v", s)
	}
}
