package stat_test

import (
	"math/rand/v2"
	"testing"

	"barline/brew/drift/stat"
)

// drawn is n seeded values, and the moments they were made at.
func drawn(n int) (x, y []float64) {
	draw := rand.New(rand.NewPCG(1, 2))
	for i := range n {
		x, y = append(x, float64(i)+draw.Float64()), append(y, draw.NormFloat64())
	}
	return x, y
}

func BenchmarkMeanSDOf100000(b *testing.B) {
	_, y := drawn(100000)
	b.ReportAllocs()
	for b.Loop() {
		stat.MeanSD(y)
	}
}

func BenchmarkFiveOf100000(b *testing.B) {
	_, y := drawn(100000)
	spare := make([]float64, len(y))
	b.ReportAllocs()
	for b.Loop() {
		copy(spare, y)
		stat.FiveOf(spare)
	}
}

func BenchmarkMarksOf100000(b *testing.B) {
	_, y := drawn(100000)
	b.ReportAllocs()
	for b.Loop() {
		stat.Marks(y)
	}
}

func BenchmarkKendallOf2000(b *testing.B) {
	x, y := drawn(2000)
	b.ReportAllocs()
	for b.Loop() {
		stat.Kendall(x, y)
	}
}

func BenchmarkTheilSenOf2000(b *testing.B) {
	x, y := drawn(2000)
	b.ReportAllocs()
	for b.Loop() {
		stat.TheilSen(x, y, 0.95)
	}
}

func BenchmarkShiftOf2000And2000(b *testing.B) {
	x, y := drawn(2000)
	b.ReportAllocs()
	for b.Loop() {
		stat.ShiftOf(x, y, 0.95)
	}
}

func BenchmarkExactRankTestOf50(b *testing.B) {
	x, y := drawn(25)
	b.ReportAllocs()
	for b.Loop() {
		stat.RankTest(x, y)
	}
}

func BenchmarkAlarms(b *testing.B) {
	a := stat.Alarms{Baseline: 25, Points: 100000}
	b.ReportAllocs()
	for b.Loop() {
		a.Outside(5)
		a.OneSide(25)
	}
}
