package draw_test

import (
	"strings"
	"testing"

	"barline/tui/draw"

	"pgregory.net/rapid"
)

// twoVersions is a chart of 60 points of a version and 40 of the next, with
// every flag.
func twoVersions() draw.Control {
	c := draw.Control{Versions: []draw.ControlVersion{
		{Name: "1f3a", Low: -3, Centre: 0, High: 3, Known: true},
		{Name: "7be0", Low: -1, Centre: 0.5, High: 2, Known: true},
	}}
	for i := range 100 {
		p := draw.ControlPoint{Value: float64(i*7%13-6) / 3, Flag: draw.Judged}
		if i >= 60 {
			p.Version, p.Value = 1, 0.5+p.Value/2
		}
		if i%60 < 25 {
			p.Flag = draw.Unjudged
		}
		c.Points = append(c.Points, p)
	}
	for i, f := range map[int]draw.Flag{30: draw.Above, 40: draw.Below, 50: draw.Pattern, 55: draw.OneSided} {
		c.Points[i].Flag = f
	}
	c.Points[30].Value, c.Points[40].Value = 99, -3.5
	return c
}

// unjudged is a chart without limits.
func unjudged(n int) draw.Control {
	c := draw.Control{Versions: []draw.ControlVersion{{Name: "1f3a"}}}
	for i := range n {
		c.Points = append(c.Points, draw.ControlPoint{Value: float64(i % 5)})
	}
	return c
}

func chart(c draw.Control, w, h int, single, ascii bool) *draw.Canvas {
	return draw.Chart(w, h, c, single, signed, ascii)
}

func TestCharts(t *testing.T) {
	var pictures []*draw.Canvas
	for _, ascii := range []bool{false, true} {
		for _, single := range []bool{false, true} {
			pictures = append(pictures, chart(twoVersions(), 70, 14, single, ascii))
		}
		pictures = append(pictures, chart(twoVersions(), 130, 12, false, ascii), chart(twoVersions(), 30, 5, false, ascii), chart(unjudged(9), 40, 6, false, ascii), chart(unjudged(0), 40, 3, false, ascii))
	}
	golden(t, "chart", pictures...)
}

// Every flag has a shape of its own, in blocks and in ASCII, and so has each of
// three versions: no two of them are told apart by colour alone.
func TestShapesAreTheirOwn(t *testing.T) {
	for _, ascii := range []bool{false, true} {
		shapes := map[rune]draw.ControlPoint{}
		for v := range 3 {
			for f := draw.Unjudged; f <= draw.Below; f++ {
				p := draw.ControlPoint{Version: v, Flag: f}
				c := draw.Control{Points: []draw.ControlPoint{p}, Versions: make([]draw.ControlVersion, 3)}
				got := chart(c, 8, 3, false, ascii).At(0, 1).Rune
				if old, taken := shapes[got]; taken && (old.Flag != f || f < draw.Pattern) {
					t.Errorf("%c is both %+v and %+v", got, old, p)
				}
				shapes[got] = p
				if ascii && got > '~' {
					t.Errorf("%c is no ASCII", got)
				}
				if legend := c.Legend(ascii); len(legend) != 1 || !strings.ContainsRune(legend[0].Shapes, got) {
					t.Errorf("%c is not explained by %v", got, legend)
				}
			}
		}
		if len(shapes) != 3*2+4 {
			t.Errorf("%d shapes", len(shapes))
		}
	}
}

func TestTheLegendExplainsWhatIsThere(t *testing.T) {
	for name, c := range map[string]struct {
		chart draw.Control
		want  string
	}{
		"all of it":            {twoVersions(), "○ ● 1f3a, baseline and judged; □ ■ 7be0, baseline and judged; ▲ ▼ beyond the limits; # long run on one side; + other pattern, not claimed"},
		"a baseline alone":     {draw.Control{Points: twoVersions().Points[:25], Versions: twoVersions().Versions}, "○ 1f3a, baseline"},
		"what is judged alone": {draw.Control{Points: twoVersions().Points[90:], Versions: twoVersions().Versions}, "■ 7be0"},
		"beyond to one side":   {draw.Control{Points: twoVersions().Points[30:31], Versions: twoVersions().Versions}, "▲ beyond the limits"},
		"without limits":       {unjudged(3), "○ 1f3a, not judged"},
		"of nothing":           {unjudged(0), ""},
	} {
		var got []string
		for _, s := range c.chart.Legend(false) {
			got = append(got, s.Shapes+" "+s.Means)
		}
		if text := strings.Join(got, "; "); text != c.want {
			t.Errorf("%s: %q, want %q", name, text, c.want)
		}
	}
}

// A point stands above another one if its value is larger, and the limits lie
// on the rows of points that have their values.
func TestRowsGoByValue(t *testing.T) {
	c := twoVersions()
	c.Points = []draw.ControlPoint{{Value: 3}, {Value: 0}, {Value: -3}, {Value: 1e9, Flag: draw.Above}, {Value: -1e9, Flag: draw.Below}}
	lines := chart(c, 40, 9, false, false).Lines()
	row := func(x int) int {
		for y, line := range lines {
			if r := []rune(line); x < len(r) && r[x] != ' ' && r[x] != '-' && r[x] != '.' {
				return y
			}
		}
		return -1
	}
	const left, step = 7, 3
	for i, want := range []int{1, 4, 7, 0, 8} {
		if got := row(left + i*step); got != want {
			t.Errorf("the value %g is in row %d, want %d\n%s", c.Points[i].Value, got, want, strings.Join(lines, "\n"))
		}
	}
	for y, want := range map[int]string{1: "+3.0 s", 4: "+0.0 s", 7: "-3.0 s"} {
		if !strings.HasPrefix(lines[y], want) || !strings.HasSuffix(lines[y], map[bool]string{true: "...", false: "---"}[y == 4]) {
			t.Errorf("row %d is %q", y, lines[y])
		}
	}
}

// With a column a brew the latest are shown, and how many they are is said
// truly.
func TestTheLatestAreCharted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.IntRange(-1, 150).Draw(t, "width"), rapid.IntRange(-1, 20).Draw(t, "height")
		n := rapid.IntRange(0, 400).Draw(t, "points")
		c := unjudged(n)
		for i := range c.Points {
			c.Points[i].Value = 0
		}
		if rapid.Bool().Draw(t, "limits") {
			c.Versions[0] = twoVersions().Versions[0]
		}
		single := rapid.Bool().Draw(t, "single")
		picture := chart(c, w, h, single, false)
		seen := 0
		for _, line := range picture.Lines() {
			seen += strings.Count(line, "○")
		}
		shown := draw.Charted(w, h, c, single, signed)
		if single && seen != shown || seen > shown || !single && shown != n && seen > 0 {
			t.Fatalf("%d of %d points are seen, %d said:\n%s", seen, n, shown, strings.Join(picture.Lines(), "\n"))
		}
		if w >= 40 && h >= 3 && n > 0 && seen == 0 {
			t.Fatal("nothing is drawn where there is room")
		}
	})
}

// Where versions begin there is a bar and a name, once each.
func TestVersionsAreToldApart(t *testing.T) {
	lines := chart(twoVersions(), 110, 12, false, false).Lines()
	if strings.Count(lines[0], "1f3a") != 1 || strings.Count(lines[0], "7be0") != 1 {
		t.Errorf("names: %q", lines[0])
	}
	for _, line := range lines[1:] {
		if n := strings.Count(line, "|"); n > 1 {
			t.Errorf("%d bars: %q", n, line)
		}
	}
	if all := strings.Join(lines, ""); strings.Count(all, "|") < 6 || strings.Count(all, "□") == 0 || strings.Count(all, "■") == 0 {
		t.Errorf("the second version is not told apart:\n%s", strings.Join(lines, "\n"))
	}
}
