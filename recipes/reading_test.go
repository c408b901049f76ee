package recipes_test

import (
	"errors"
	"math"
	"testing"

	"barline/recipes"
)

// What a bar reads off its surroundings and its instruments. The foot is
// 0.3048 m exactly, so 5000 ft are 1524 m.
func TestReadings(t *testing.T) {
	height, pressure, volume := recipes.ReadHeight, recipes.ReadPressure, recipes.ReadVolume
	percent := func(text string) (float64, error) { p, err := recipes.ReadPercent(text); return float64(p), err }
	for _, c := range []struct {
		text string
		read func(string) (float64, error)
		want float64
	}{
		{"200 m", height, 200}, {"5000 ft", height, 1524}, {"0m", height, 0}, {"-400 m", height, -400}, {"−1000 ft", height, -304.8}, {"12.5 m", height, 12.5},
		{"990 hPa", pressure, 99000}, {"845.6 mbar", pressure, 84560},
		{"250 ml", volume, 250}, {"0.25 l", volume, 250},
		{"1.354 %", percent, 1.354}, {"0.0135%", percent, 0.0135}, {"0 %", percent, 0},
	} {
		if got, err := c.read(c.text); err != nil || math.Abs(got-c.want) > 1e-9*math.Abs(c.want) {
			t.Errorf("%q is read as %v, %v, wanted %v", c.text, got, err, c.want)
		}
	}
	for _, c := range []struct {
		text          string
		read          func(string) (float64, error)
		message, hint string
	}{
		{"200", height, `"200" has no unit, wanted m or ft`, "write 200 m"},
		{"200 feet", height, `"200 feet" has the unit "feet", wanted m or ft`, "write 200 ft"},
		{"--5 m", height, `"-5 m" is below zero`, "write 5 m"},
		{"1,000 m", height, `"1,000 m" has a comma in its figure`, "write 1000 m"},
		{"990 hpa", pressure, `"990 hpa" has the unit "hpa", wanted hPa or mbar`, "write 990 hPa"},
		{"-990 hPa", pressure, `"-990 hPa" is below zero`, "write 990 hPa"},
		{"29.9 inHg", pressure, `"29.9 inHg" has the unit "inHg", wanted hPa or mbar`, "write a figure such as 990 hPa"},
		{"250 cc", volume, `"250 cc" has the unit "cc", wanted ml or l`, "write 250 ml"},
		{"13.5 g/l", percent, `"13.5 g/l" has the unit "g/l", wanted %`, "write a figure such as 1.40 %"},
		{"NaN %", percent, `"NaN %" is not a number with a unit`, "write a figure such as 1.40 %"},
	} {
		_, err := c.read(c.text)
		var wrong *recipes.Wrong
		if !errors.As(err, &wrong) || wrong.Message != c.message || wrong.Hint != c.hint {
			t.Errorf("%q: %+v, wanted %q, %q", c.text, wrong, c.message, c.hint)
		}
	}
	for text, want := range map[string]bool{"250 ml": true, "1 l": true, "2 cups": true, "250 ML": true, "250 g": false, "250": false, "ml": false, "": false} {
		if recipes.IsVolume(text) != want {
			t.Errorf("%q is a volume: %t", text, !want)
		}
	}
}
