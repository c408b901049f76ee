package cup

import (
	"fmt"

	"barline/brew"
)

// UsualAir is the temperature of a bar, in °C, where nobody says: common
// practice, no source.
const UsualAir = brew.Celsius(21)

// Words says what to expect in a line: "1.13 % strength, 0.51 to 1.48 %, an
// estimate". It is empty where nothing can be said.
func (e Expected) Words() string {
	if e.Strength == 0 {
		return ""
	}
	kind := "an estimate"
	if !e.Valid {
		kind = "arithmetic and no prediction"
	}
	return fmt.Sprintf("%.2f %% strength, %.2f to %.2f %%, %s", float64(e.Strength), float64(e.Low), float64(e.High), kind)
}

// Words says how long to wait: "3:42 (3:36 to 3:47)", or the range alone
// where the kettle was not calibrated.
func (r Rest) Words() string {
	within := brew.Clock(r.Low) + " to " + brew.Clock(r.High)
	if !r.Calibrated {
		return within
	}
	return fmt.Sprintf("%s (%s)", brew.Clock(r.Wait), within)
}

// Words says a figure with its standard uncertainty, both to a hundredth, and
// its unit: "19.80 ± 0.46 %".
func (q Quantity) Words(unit string) string {
	if q.U == 0 {
		return fmt.Sprintf("%.2f %s", q.Value, unit)
	}
	return fmt.Sprintf("%.2f ± %.2f %s", q.Value, q.U, unit)
}
