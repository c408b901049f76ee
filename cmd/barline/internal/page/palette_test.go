package page_test

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// contrast is that of WCAG 2.2, from the relative luminance of two colours
// (https://www.w3.org/TR/WCAG22/#dfn-contrast-ratio).
func contrast(a, b string) float64 {
	x, y := luminance(a), luminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

func luminance(hex string) float64 {
	sum := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		n, err := strconv.ParseUint(hex[1+2*i:3+2*i], 16, 8)
		if err != nil {
			panic(err)
		}
		c := float64(n) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		sum += weight * c
	}
	return sum
}

// Black on white is 21 by definition; #767676 on white is known as the lightest
// grey that holds 4.5 (4.54).
func TestContrastIsMeasuredAsDefined(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want float64
	}{{"#000000", "#ffffff", 21}, {"#ffffff", "#ffffff", 1}, {"#767676", "#ffffff", 4.54}} {
		if got := contrast(c.a, c.b); math.Abs(got-c.want) > 0.005 {
			t.Errorf("%s on %s is %.3f, want %.2f", c.a, c.b, got, c.want)
		}
	}
}

// Each colour that says something holds 4.5:1 against what it can stand on, in
// both schemes as they are written on the page.
func TestColoursHoldOnBothGrounds(t *testing.T) {
	text := string(planted().report(1).HTML())
	style := text[strings.Index(text, "<style>"):strings.Index(text, "</style>")]
	schemes := regexp.MustCompile(`:root\{([^}]*)\}`).FindAllStringSubmatch(style, -1)
	if len(schemes) != 2 || !strings.Contains(style, "@media screen and (prefers-color-scheme:dark){:root{") {
		t.Fatalf("%d schemes, want a light one and a dark one for screens alone", len(schemes))
	}
	used := map[string]bool{}
	for _, m := range regexp.MustCompile(`var\(--([a-z]+)\)`).FindAllStringSubmatch(style, -1) {
		used[m[1]] = true
	}
	for i, scheme := range schemes {
		colour := map[string]string{}
		for _, m := range regexp.MustCompile(`--([a-z]+):(#[0-9a-f]{6});`).FindAllStringSubmatch(scheme[1], -1) {
			colour[m[1]] = m[2]
		}
		if dark := luminance(colour["ground"]) < 0.2; dark != (i == 1) {
			t.Errorf("scheme %d has the ground %s", i, colour["ground"])
		}
		for name := range used {
			if name == "ground" || name == "band" || name == "rule" { // they say nothing
				continue
			}
			for _, on := range []string{"ground", "band"} {
				if colour[name] == "" {
					t.Errorf("scheme %d has no colour %s", i, name)
				} else if c := contrast(colour[name], colour[on]); c < 4.5 {
					t.Errorf("scheme %d: %s %s on %s %s is %.2f:1, want 4.5", i, name, colour[name], on, colour[on], c)
				}
			}
		}
	}
	if len(used) < 7 {
		t.Errorf("only %d colours are used", len(used))
	}
}
