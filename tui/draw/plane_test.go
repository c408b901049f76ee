package draw_test

import (
	"testing"

	"barline/tui/draw"

	"pgregory.net/rapid"
)

// plane is a box of 4 by 0.2 with cups around it.
func plane() draw.Plane {
	return draw.Plane{
		Past: []draw.PlanePoint{{X: 19, Y: 1.32}, {X: 19.5, Y: 1.36}, {X: 21.2, Y: 1.48}},
		Aim:  &draw.PlanePoint{X: 20, Y: 1.4}, Now: &draw.PlanePoint{X: 17, Y: 1.1, UX: 0.45, UY: 0.03},
		Low: draw.PlanePoint{X: 18, Y: 1.15}, High: draw.PlanePoint{X: 22, Y: 1.35},
		Box: "classic", XName: "extraction %", YName: "strength %",
	}
}

func TestPlanes(t *testing.T) {
	strong := plane()
	strong.Now = &draw.PlanePoint{X: 16, Y: 8.5, UX: 0.4, UY: 0.03}
	line := plane()
	line.Aim, line.Past, line.Now = &draw.PlanePoint{Y: 1.4}, nil, nil
	tall := plane()
	tall.Aim = &draw.PlanePoint{X: 20}
	empty := draw.Plane{Low: plane().Low, High: plane().High, Box: "classic", XName: "extraction %", YName: "strength %"}
	golden(t, "plane", plane().Draw(60, 20, false), plane().Draw(60, 20, true), plane().Draw(24, 8, false), strong.Draw(60, 16, false),
		line.Draw(50, 12, true), tall.Draw(50, 12, true), empty.Draw(50, 12, false), plane().Draw(19, 20, false), plane().Draw(60, 5, false))
}

// find returns where a character stands, the topmost and leftmost of it.
func find(c *draw.Canvas, r rune) (x, y int, ok bool) {
	for y := range c.Height {
		for x := range c.Width {
			if c.At(x, y).Rune == r {
				return x, y, true
			}
		}
	}
	return 0, 0, false
}

// More is right and up, and the box lies where its corners are.
func TestAPlanesDirections(t *testing.T) {
	p := plane()
	p.Past = nil
	for _, c := range []struct {
		now         draw.PlanePoint
		right, high bool // of the aim
	}{{draw.PlanePoint{X: 21, Y: 1.5}, true, true}, {draw.PlanePoint{X: 19, Y: 1.5}, false, true}, {draw.PlanePoint{X: 21, Y: 1.3}, true, false}, {draw.PlanePoint{X: 19, Y: 1.3}, false, false}} {
		p.Now = &c.now
		picture := p.Draw(80, 30, true)
		x, y, _ := find(picture, '@')
		ax, ay, _ := find(picture, 'X')
		if (x > ax) != c.right || (y < ay) != c.high {
			t.Errorf("%v is drawn at %d, %d, the aim at %d, %d", c.now, x, y, ax, ay)
		}
	}
	p.Now = &draw.PlanePoint{X: 20, Y: 1.25}
	p.Aim = nil
	picture := p.Draw(80, 30, true)
	x, y, _ := find(picture, '@')
	left, top, _ := find(picture, '+')
	if !(left < x && top < y) || picture.At(x, y).Role != draw.Strong {
		t.Errorf("the middle of the box is at %d, %d, its corner at %d, %d", x, y, left, top)
	}
}

// The bars are as long as the point may be off.
func TestBarsGrowWithWhatMayBeOff(t *testing.T) {
	count := func(u float64) int {
		p := plane()
		p.Now, p.Aim, p.Past = &draw.PlanePoint{X: 20, Y: 1.25, UX: u, UY: 0.05}, nil, nil
		c := p.Draw(80, 30, true)
		x, y, _ := find(c, '@')
		left, right, up, down := 0, 0, 0, 0
		for ; c.At(x-left-1, y).Rune == '='; left++ {
		}
		for ; c.At(x+right+1, y).Rune == '='; right++ {
		}
		for ; c.At(x, y-up-1).Rune == ':'; up++ {
		}
		for ; c.At(x, y+down+1).Rune == ':'; down++ {
		}
		if left < right-1 || right < left-1 || up < down-1 || down < up-1 || up == 0 {
			t.Errorf("the bars are %d and %d, %d and %d long", left, right, up, down)
		}
		return left + right
	}
	if a, b := count(0.5), count(1); a < 3 || b < a+3 {
		t.Errorf("%d cells for 0.5, %d for 1", a, b)
	}
}

// Every point is in the picture, whatever it is, and nothing is drawn outside.
func TestAPlaneHoldsItsPoints(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		point := func(name string) draw.PlanePoint {
			return draw.PlanePoint{X: rapid.Float64Range(1, 32).Draw(r, name+"x"), Y: rapid.Float64Range(0.05, 30).Draw(r, name+"y"), UX: rapid.Float64Range(0, 5).Draw(r, "ux"), UY: rapid.Float64Range(0, 1).Draw(r, "uy")}
		}
		p := plane()
		now, aim := point("now"), point("aim")
		p.Now, p.Aim = &now, &aim
		for range rapid.IntRange(0, 20).Draw(r, "past") {
			p.Past = append(p.Past, point("past"))
		}
		w, h := rapid.IntRange(-1, 120).Draw(r, "width"), rapid.IntRange(-1, 50).Draw(r, "height")
		c := p.Draw(w, h, rapid.Bool().Draw(r, "ascii"))
		if c.Width != max(w, 0) || c.Height != max(h, 0) {
			r.Fatalf("%d by %d on %d by %d", c.Width, c.Height, w, h)
		}
		if w >= 20 && h >= 7 {
			if _, _, ok := find(c, '●'); !ok {
				if _, _, ok = find(c, '@'); !ok {
					r.Fatal("the cup is not in the picture")
				}
			}
		}
	})
}

// Each shape says what it is; what is not there is not in the legend.
func TestAPlanesLegend(t *testing.T) {
	for _, ascii := range []bool{false, true} {
		seen := map[string]bool{}
		for _, s := range plane().Legend(ascii) {
			if seen[s.Shapes] || s.Means == "" {
				t.Errorf("%q is there twice, or means nothing", s.Shapes)
			}
			seen[s.Shapes] = true
			if ascii && s.Shapes[0] > 126 {
				t.Errorf("%q is not ASCII", s.Shapes)
			}
		}
		if len(seen) != 3 {
			t.Errorf("%d shapes", len(seen))
		}
	}
	if l := (draw.Plane{}).Legend(false); len(l) != 0 {
		t.Errorf("an empty plane has the legend %v", l)
	}
}
