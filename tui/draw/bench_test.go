package draw_test

import (
	"fmt"
	"testing"

	"github.com/muesli/termenv"

	"barline/tui/draw"
)

var sizes = []struct{ w, h int }{{80, 24}, {200, 60}}

func BenchmarkRender(b *testing.B) {
	theme := draw.NewTheme(true, termenv.TrueColor)
	for _, s := range sizes {
		c := draw.NewCanvas(s.w, s.h)
		for y := 0; y < s.h; y += 6 {
			for x := 0; x < s.w; x += 40 {
				c.Draw(x, y, draw.Figures("8:88", draw.Tall, draw.Role(1+(x/40+y/6)%9), false))
			}
		}
		b.Run(fmt.Sprintf("%dx%d", s.w, s.h), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				_ = c.Render(theme)
			}
		})
	}
}

func BenchmarkTimeline(b *testing.B) {
	for _, s := range sizes {
		for name, p := range map[string]draw.Picture{"one lane": press(), "six lanes": round()} {
			b.Run(fmt.Sprintf("%s %dx%d", name, s.w, s.h), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					_ = draw.Timeline(s.w, s.h, p, false)
				}
			})
		}
	}
}

// A whole frame: clock and weight in the largest figures, the word, the
// timeline, and the codes.
func BenchmarkFrame(b *testing.B) {
	theme := draw.NewTheme(true, termenv.TrueColor)
	for _, s := range sizes {
		b.Run(fmt.Sprintf("%dx%d", s.w, s.h), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				c := draw.NewCanvas(s.w, s.h)
				f := draw.FaceFor("0:48", s.w/2-2, s.h/4, false)
				c.Draw(0, 0, draw.Figures("0:48", f, draw.Strong, false))
				c.Draw(s.w/2, 0, draw.Figures("170 g", f, draw.Water, false))
				c.Draw(0, int(f)+1, draw.Figures("POUR", f, draw.Now, false))
				c.Draw(0, 2*int(f)+2, draw.Timeline(s.w, s.h-2*int(f)-2, press(), false))
				_ = c.Render(theme)
			}
		})
	}
}
