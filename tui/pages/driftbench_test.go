package pages_test

import (
	"fmt"
	"testing"

	"barline/tui/pages"
)

// BenchmarkDrift is what a command works out for each of the pages, brews of
// the record being there already.
func BenchmarkDrift(b *testing.B) {
	for _, n := range []int{1_000, 10_000, 100_000, 1_000_000} {
		source := &ledger{many: pages.Many{Record: bar{brews: n}.record(1), Attempts: attempts()}}
		_, cmd := pages.NewDrift(source, "Quayside cone", pages.DefaultDriftKeys(), false)
		d, _ := pages.NewDrift(source, "Quayside cone", pages.DefaultDriftKeys(), false)
		d, _ = d.Resize(80, 24).Update(cmd())
		_, beat := d.Update(key("enter"))
		_, persons := d.Update(key("w"))
		for name, work := range map[string]func(){"recipe": func() { cmd() }, "beat": func() { beat() }, "persons": func() { persons() }} {
			b.Run(fmt.Sprintf("%s/%d", name, n), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					work()
				}
			})
		}
	}
}

// BenchmarkDriftDraw is one picture of each page of a million brews.
func BenchmarkDriftDraw(b *testing.B) {
	source := &ledger{many: pages.Many{Record: bar{brews: 1_000_000}.record(1), Attempts: attempts()}}
	for name, keys := range views {
		d, _ := drifting(source, false, 200, 60, keys...)
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				d.Draw()
			}
		})
	}
}
