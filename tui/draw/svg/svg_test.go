package svg_test

import (
	"encoding/xml"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"

	"barline/tui/draw"
	"barline/tui/draw/svg"
)

// element is what a picture is made of.
type element struct {
	name, text string
	attr       map[string]string
}

func (e element) number(t *testing.T, name string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(e.attr[name], 64)
	if err != nil {
		t.Fatalf("%s of <%s>: %v", name, e.name, err)
	}
	return v
}

// elements reads a picture; it fails where that is no XML. The first two are
// the picture itself and its ground.
func elements(t *testing.T, picture string) []element {
	t.Helper()
	var all []element
	d := xml.NewDecoder(strings.NewReader(picture))
	for {
		token, err := d.Token()
		if err == io.EOF {
			return all
		}
		if err != nil {
			t.Fatalf("%v in\n%s", err, picture)
		}
		switch token := token.(type) {
		case xml.StartElement:
			e := element{name: token.Name.Local, attr: map[string]string{}}
			for _, a := range token.Attr {
				e.attr[a.Name.Local] = a.Value
			}
			all = append(all, e)
		case xml.CharData:
			if n := len(all); n > 0 {
				all[n-1].text += strings.TrimSpace(string(token))
			}
		}
	}
}

func cell(r rune, role draw.Role) *draw.Canvas {
	c := draw.NewCanvas(1, 1)
	c.Set(0, 0, r, role)
	return c
}

func TestBlocksCoverTheirShareOfTheCell(t *testing.T) {
	want := map[rune]float64{'▀': 0.5, '▐': 0.5, '░': 0.25, '▒': 0.5, '▓': 0.75, '▔': 0.125, '▕': 0.125}
	for i := range 8 {
		want['▁'+rune(i)] = float64(i+1) / 8
		want['▏'-rune(i)] = float64(i+1) / 8
	}
	for i, quarters := range []float64{1, 1, 1, 3, 2, 3, 3, 1, 2, 3} {
		want['▖'+rune(i)] = quarters / 4
	}
	if len(want) != 32 {
		t.Fatalf("%d block elements, want 32", len(want))
	}
	for r, share := range want {
		covered := 0.0
		for _, e := range elements(t, svg.SVG(cell(r, draw.Busy), svg.Dark))[2:] {
			if e.name != "rect" {
				t.Fatalf("%c is drawn as <%s>", r, e.name)
			}
			x, y, w, h := e.number(t, "x"), e.number(t, "y"), e.number(t, "width"), e.number(t, "height")
			if x < 0 || y < 0 || x+w > 10 || y+h > 20 {
				t.Errorf("%c leaves its cell: %v", r, e.attr)
			}
			ink := 1.0
			if e.attr["fill-opacity"] != "" {
				ink = e.number(t, "fill-opacity")
			}
			covered += w * h / 200 * ink
		}
		if math.Abs(covered-share) > 1e-9 {
			t.Errorf("%c covers %v of its cell, want %v", r, covered, share)
		}
	}
}

func TestQuadrantsLieWhereTheirNamesSay(t *testing.T) {
	for r, want := range map[rune]string{
		'▘': "0,0", '▝': "5,0", '▖': "0,10", '▗': "5,10", '▙': "0,0 0,10 5,10", '▟': "5,0 0,10 5,10", '▄': "0,10", '▀': "0,0", '▌': "0,0", '▐': "5,0",
	} {
		var corners []string
		for _, e := range elements(t, svg.SVG(cell(r, draw.Busy), svg.Dark))[2:] {
			corners = append(corners, e.attr["x"]+","+e.attr["y"])
		}
		if got := strings.Join(corners, " "); got != want {
			t.Errorf("%c begins at %s, want %s", r, got, want)
		}
	}
}

func TestTextKeepsItsCellItsColourAndItsCharacters(t *testing.T) {
	c := draw.NewCanvas(6, 2)
	c.Text(0, 0, "a<", draw.Plain)
	c.Text(3, 1, "&", draw.Now)
	all := elements(t, svg.SVG(c, svg.Light))
	if w, h := all[0].attr["width"], all[0].attr["height"]; w != "80" || h != "60" {
		t.Errorf("the picture is %s×%s, want 80×60", w, h)
	}
	if all[1].attr["fill"] != svg.Light.Ground {
		t.Errorf("the ground is %s", all[1].attr["fill"])
	}
	texts := all[2:]
	if len(texts) != 3 {
		t.Fatalf("%d characters, want 3: %v", len(texts), texts)
	}
	for i, want := range []element{
		{text: "a", attr: map[string]string{"x": "0", "y": "15", "fill": svg.Light.Ink}},
		{text: "<", attr: map[string]string{"x": "10", "y": "15", "fill": svg.Light.Ink}},
		{text: "&", attr: map[string]string{"x": "30", "y": "35", "fill": draw.PaletteFor(false).Of(draw.Now).Hex, "font-weight": "bold"}},
	} {
		if texts[i].name != "text" || texts[i].text != want.text {
			t.Errorf("element %d is <%s> %q, want the text %q", i, texts[i].name, texts[i].text, want.text)
		}
		for name, value := range want.attr {
			if got := texts[i].attr[name]; got != value {
				t.Errorf("%q: %s is %s, want %s", want.text, name, got, value)
			}
		}
	}
}

func TestASelectedRowIsInverse(t *testing.T) {
	c := draw.NewCanvas(2, 1)
	c.Text(0, 0, "> ", draw.Inverse)
	all := elements(t, svg.SVG(c, svg.Dark))[2:]
	if len(all) != 3 || all[0].attr["fill"] != svg.Dark.Ink || all[1].attr["fill"] != svg.Dark.Ground || all[2].attr["fill"] != svg.Dark.Ink {
		t.Errorf("got %v, want a light ground, a dark character, a light ground", all)
	}
}

func TestBlankCellsDrawNothing(t *testing.T) {
	c := draw.NewCanvas(4, 1)
	c.Text(0, 0, "茶", draw.Plain)
	if all := elements(t, svg.SVG(c, svg.Dark)); len(all) != 3 {
		t.Errorf("%d elements, want the picture, its ground and one character", len(all))
	}
}

func TestEqualBlocksAreOneRectangle(t *testing.T) {
	c := draw.NewCanvas(8, 1)
	for x, r := range []rune("██▄▄▄ ▌▌") {
		c.Set(x, 0, r, draw.Water)
	}
	c.Set(4, 0, '▄', draw.Busy)
	var got []string
	for _, e := range elements(t, svg.SVG(c, svg.Dark))[2:] {
		got = append(got, e.attr["x"]+"+"+e.attr["width"])
	}
	if want := "0+20 20+20 40+10 60+5 70+5"; strings.Join(got, " ") != want {
		t.Errorf("got %q, want %q", strings.Join(got, " "), want)
	}
}
