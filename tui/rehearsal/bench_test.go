package rehearsal_test

import (
	"testing"

	"barline/tui/rehearsal"
)

// BenchmarkFrame measures a tick and the frame that follows it, in the middle
// of a routine of three cups.
func BenchmarkFrame(b *testing.B) {
	for _, size := range usual {
		b.Run(size.String(), func(b *testing.B) {
			p := begun(b, size.w, size.h, rehearsal.Options{Plan: plan(b, "three")}).perform(300, 0.5)
			at := 300.0
			b.ReportAllocs()
			for b.Loop() {
				at += 0.0001
				p.wait(at)
				p.page.Draw()
			}
		})
	}
}
