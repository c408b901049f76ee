package service_test

import (
	"testing"

	"barline/tui/draw"
	"barline/tui/keys"
	"barline/tui/service"

	"github.com/muesli/termenv"
)

// busy returns a page with six lanes of which three are being brewed.
func busy(b *testing.B, size size) service.Page {
	p := opened(b, size.w, size.h, alone(b)).order("142635", 5).serve(85).press("2", 130).press("3", 190).serve(222)
	return p.page
}

// A whole frame of a rush, as the terminal gets it. The aims are those of a
// brew: 1 ms at 80 by 24 and 3 ms at 200 by 60.
func BenchmarkFrame(b *testing.B) {
	theme := draw.NewTheme(true, termenv.TrueColor)
	for _, size := range sizes {
		page := busy(b, size)
		b.Run("six lanes "+size.String(), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				_ = page.Draw().Render(theme)
			}
		})
	}
}

// A key that marks, from its message to the page that knows it.
func BenchmarkMark(b *testing.B) {
	page := busy(b, sizes[0])
	press := keys.Press{KeyMsg: message(" "), At: zero + sec(223)}
	b.ReportAllocs()
	for b.Loop() {
		_, _ = page.Update(press)
	}
}
