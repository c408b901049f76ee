package service_test

import (
	"testing"

	"barline/tui/draw"
)

// bounds are the most cells that may change within any one second of a rush of
// six lanes, and within one in which nothing begins, ends, is announced or
// marked. Chosen a tenth above what was measured.
var bounds = []struct {
	size
	most, quiet int
}{
	{size{40, 12}, 370, 110}, {size{80, 24}, 810, 240}, {size{200, 60}, 2170, 995},
}

// A terminal over a slow line, or one that is filmed, must not be flooded:
// each second changes few cells.
func TestASecondChangesFewCells(t *testing.T) {
	p := opened(t, 80, 24, together(t)).order("142635", 5).serve(60)
	var before [3]*draw.Canvas
	var most, quiet [3]int
	for at := 60; at < 420; at++ {
		var changed [3]int
		news := false
		for part := range 4 {
			was, count := begun(p), p.page.Service().Count()
			p.serve(float64(at) + float64(part)/4)
			news = news || p.page.Service().Count() != count || begun(p) != was || p.page.News()
			for i, b := range bounds {
				now := p.page.Resize(b.w, b.h).Draw()
				if before[i] != nil {
					changed[i] += differing(before[i], now)
				}
				before[i] = now
			}
		}
		for i := range bounds {
			most[i] = max(most[i], changed[i])
			if !news {
				quiet[i] = max(quiet[i], changed[i])
			}
		}
	}
	for i, b := range bounds {
		t.Logf("%s: %d cells at the most, %d in a quiet second", b.size, most[i], quiet[i])
		if most[i] > b.most || quiet[i] > b.quiet {
			t.Errorf("%s: %d cells change in one second, %d in a quiet one; want at most %d and %d", b.size, most[i], quiet[i], b.most, b.quiet)
		}
	}
}

// differing counts the cells in which two screens differ.
func differing(a, b *draw.Canvas) (n int) {
	for y := range a.Height {
		for x := range a.Width {
			if a.At(x, y) != b.At(x, y) {
				n++
			}
		}
	}
	return n
}

// begun says what is on in each person's hands.
func begun(p *player) (on [4]int) {
	for i, d := range p.page.Service().Look(p.page.At()).People {
		if d.Now != nil {
			on[i] = 1000*d.Now.Order + d.Now.Act + 1
		}
	}
	return on
}
