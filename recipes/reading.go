package recipes

import (
	"strings"

	"barline/brew"
)

// Quantities that no recipe holds but that a bar reads off its instruments and
// its surroundings.
var (
	heightMeasure = measure{
		units: []string{"m", "ft"}, usual: "m", example: "200 m",
		near: map[string]string{
			"metre": "m", "metres": "m", "meter": "m", "meters": "m", "masl": "m", "m asl": "m",
			"feet": "ft", "foot": "ft", "'": "ft", "′": "ft",
		},
	}
	pressureMeasure = measure{
		units: []string{"hPa", "mbar"}, usual: "hPa", example: "990 hPa",
		near: map[string]string{"millibar": "mbar", "millibars": "mbar", "mb": "mbar", "hectopascal": "hPa", "hectopascals": "hPa"},
	}
	volumeMeasure = measure{
		units: []string{"ml", "l"}, usual: "ml", example: "250 ml",
		near: map[string]string{
			"millilitre": "ml", "millilitres": "ml", "milliliter": "ml", "milliliters": "ml", "cc": "ml",
			"litre": "l", "litres": "l", "liter": "l", "liters": "l",
		},
	}
)

// metresPerFoot is the international foot (international yard and pound
// agreement, 1959).
const metresPerFoot = 0.3048

// ReadHeight reads a height above the sea, in metres: 200 m, 650 ft, -400 m.
// The error is a *Wrong.
func ReadHeight(text string) (metres float64, err error) {
	below, figures := 1.0, text
	for _, sign := range []string{"-", "−"} {
		if rest, ok := strings.CutPrefix(text, sign); ok {
			below, figures = -1, rest
		}
	}
	x, err := heightMeasure.scaled(figures, map[string]float64{"m": 1, "ft": metresPerFoot})
	return below * x, err
}

// ReadPressure reads a pressure of the air, in pascals: 990 hPa, 990 mbar. The
// error is a *Wrong.
func ReadPressure(text string) (pascal float64, err error) {
	return pressureMeasure.scaled(text, map[string]float64{"hPa": 100, "mbar": 100})
}

// ReadVolume reads a volume, in millilitres: 250 ml, 0.5 l. The error is a
// *Wrong.
func ReadVolume(text string) (millilitres float64, err error) {
	return volumeMeasure.scaled(text, map[string]float64{"ml": 1, "l": 1000})
}

// ReadPercent reads a share in per cent, however fine: 1.354 %. The error is a
// *Wrong.
func ReadPercent(text string) (brew.Percent, error) {
	x, err := shareMeasure.scaled(text, map[string]float64{"%": 1})
	return brew.Percent(x), err
}

// IsVolume reports whether a quantity has a unit of volume, so that a scale
// cannot have shown it.
func IsVolume(text string) bool {
	_, _, unit, wrong := cut(text, massMeasure.example)
	return wrong == nil && volumes[strings.ToLower(unit)]
}

// scaled reads a quantity, given how many of the wanted unit each unit is.
func (m measure) scaled(text string, factors map[string]float64) (float64, error) {
	f, unit, wrong := m.read(text)
	return reading(f.float()*factors[unit], wrong)
}
