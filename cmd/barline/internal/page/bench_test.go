package page_test

import (
	"fmt"
	"testing"
)

// BenchmarkReport is the page of so many brews of three beats, with the
// findings, the trends and the charts that it is made of.
func BenchmarkReport(b *testing.B) {
	for _, n := range []int{1000, 10_000, 100_000} {
		bar := planted()
		bar.brews = n
		r := bar.report(1)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				b.SetBytes(int64(len(r.HTML())))
			}
		})
	}
}
