package drift_test

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"barline/brew/drift"
)

// many is a record of n brews by three persons, of eight beats each.
func many(n int) *drift.Record {
	draw := rand.New(rand.NewPCG(1, 2))
	r := &drift.Record{}
	cells := make([]drift.Cell, 8)
	for i := range n {
		for b := range cells {
			c := beatColumn("1", b%4)
			c.Place, c.Key = b, fmt.Sprint(b, c.Key)
			slip := sec(draw.NormFloat64())
			carried := sec(draw.NormFloat64())
			cells[b] = drift.Cell{Column: b, Slip: slip, Drift: slip + carried, Cup: drift.Judge(slip+carried, c.Window), Own: drift.Judge(slip, c.Window)}
			if i == 0 {
				r.Column(c)
			}
		}
		r.Add(drift.Brew{ID: [16]byte{1, byte(i >> 16), byte(i >> 8), byte(i)}, Start: monday.Add(time.Duration(i) * 20 * time.Minute), Person: crew[draw.IntN(3)], Version: "1", Cells: cells})
	}
	return r
}

func bench(b *testing.B, sizes []int, what func(s drift.Set)) {
	for _, n := range sizes {
		r := many(n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				what(r.Choose(drift.Choice{}))
			}
		})
	}
}

func BenchmarkTable(b *testing.B) {
	bench(b, []int{1000, 100000}, func(s drift.Set) { s.Table(drift.ByDrift) })
}

func BenchmarkWhere(b *testing.B) {
	bench(b, []int{100000}, func(s drift.Set) { s.Where() })
}

func BenchmarkFindings(b *testing.B) {
	bench(b, []int{1000, 10000, 100000}, func(s drift.Set) { s.Findings(drift.Baseline{}) })
}

// BenchmarkBeat is all that a beat's page shows.
func BenchmarkBeat(b *testing.B) {
	bench(b, []int{1000, 100000}, func(s drift.Set) {
		series, _ := s.Series(drift.Beats, "1second pour, end", drift.BySlip)
		series.Summary()
		series.Control(drift.Baseline{})
		series.Trend()
	})
}

func BenchmarkAgainst(b *testing.B) {
	for _, n := range []int{1000, 100000} {
		r := many(n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				drift.Against(r.Choose(drift.Choice{Persons: crew[:1]}), r.Choose(drift.Choice{Persons: crew[1:]}), [2]string{"Mo", "the others"})
			}
		})
	}
}

func BenchmarkAdd(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		many(10000)
	}
}

// BenchmarkUnpack reads a thousand brews of eight beats.
func BenchmarkUnpack(b *testing.B) {
	piece := many(1000).Pack(nil)
	b.SetBytes(int64(len(piece)))
	b.ReportAllocs()
	for b.Loop() {
		var r drift.Record
		r.Grow(1000, 8000)
		if err := r.Unpack(piece); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPack(b *testing.B) {
	r := many(1000)
	b.ReportAllocs()
	for b.Loop() {
		r.Pack(nil)
	}
}
