package live_test

import (
	"testing"

	"barline/tui/draw"
	"barline/tui/keys"

	"github.com/muesli/termenv"
)

// A whole frame in the middle of a pour, as the terminal gets it. The aims
// are 1 ms at 80 by 24 and 3 ms at 200 by 60.
func BenchmarkFrame(b *testing.B) {
	theme := draw.NewTheme(true, termenv.TrueColor)
	for _, c := range []struct {
		name string
		size size
		page *player
	}{
		{"one lane", size{80, 24}, pressing(b, 80, 24)},
		{"one lane", size{200, 60}, pressing(b, 200, 60)},
		{"six lanes", size{80, 24}, rounding(6)(b, 80, 24)},
		{"six lanes", size{200, 60}, rounding(6)(b, 200, 60)},
	} {
		page := c.page.press(" ", 9.2).wait(45.3).page
		b.Run(c.name+" "+c.size.String(), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				_ = page.Draw().Render(theme)
			}
		})
	}
}

// A key that marks a beat, from its message to the page that knows it.
func BenchmarkMark(b *testing.B) {
	page := pressing(b, 80, 24).wait(51).page
	press := keys.Press{KeyMsg: message(" "), At: machineZero + 52*s}
	b.ReportAllocs()
	for b.Loop() {
		_, _ = page.Update(press)
	}
}
